package chart

import (
	"cmp"
	"fmt"
	"image/color"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/plot/vg"

	"ampwake/sim"
)

// facts are the sentences under the title: where and when, and the answer.
func (v *voyage) facts() []string {
	t := v.trace
	n := len(t.Time) - 1
	end := "arrived"
	if !v.res.Arrived {
		end = "not arrived"
	}
	a, b := float64(t.Lat[0]), float64(t.Lat[n])
	close := math.Abs(a-b) < 1.5
	where := fmt.Sprintf("%s to %s, %s nm in %s, %s %s.",
		parallel(a, close), parallel(b, close), grouped(float64(v.res.Sailed)),
		lasting((v.to-v.from)/hour), end, t.Time[n].UTC().Format("Mon 2 Jan 2006"))
	if v.opt.Verdict != "" {
		return []string{where, clean(v.opt.Verdict)}
	}
	return []string{where, verdict(v.res)}
}

// verdict puts the answer into a sentence.
func verdict(res *sim.Result) string {
	var parts []string
	low := fmt.Sprintf("lowest %s", percent(100*float64(res.Lowest.Charge)))
	if floor := res.Verdict.Floor; floor > 0 {
		margin := 100 * float64(res.Verdict.Margin)
		side := "above"
		if margin < 0 {
			side, margin = "below", -margin
		}
		low += fmt.Sprintf(", %s points %s the floor", short(margin), side)
	}
	parts = append(parts, low)
	for _, g := range res.Verdict.Goals {
		if g.Due > 0 && len(parts) < 4 {
			parts = append(parts, fmt.Sprintf("%s kept %d of %d", clean(g.Name), g.Kept, g.Due))
		}
	}
	text := strings.Join(parts, "; ")
	switch {
	case len(res.Verdict.Goals) == 0:
		return strings.ToUpper(text[:1]) + text[1:] + "."
	case res.Verdict.Holds:
		return "Holds: " + text + "."
	}
	return "Does not hold: " + text + "."
}

// caption says how to make the picture again.
func (v *voyage) caption() string {
	n := len(v.trace.Time) - 1
	const layout = "2 Jan 2006 15:04"
	title := captionStyle.cut(clean(v.res.Title), 220) // the rest must not be cut off
	parts := []string{
		title, clean(v.opt.Version),
		v.trace.Time[0].UTC().Format(layout) + " – " + v.trace.Time[n].UTC().Format(layout) + " UTC",
	}
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), " · ")
}

// mostRows is how many loads get a row of misses of their own.
const mostRows = 3

// missed makes the rows of what was not served, the most often missed first.
// Beyond three loads the others share the last row.
func (v *voyage) missed() []EventRow {
	byLoad := map[int][]sim.Miss{}
	var order []int
	for _, m := range v.res.Misses {
		if byLoad[m.Load] == nil {
			order = append(order, m.Load)
		}
		byLoad[m.Load] = append(byLoad[m.Load], m)
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(len(byLoad[b]), len(byLoad[a])) })
	var rows []EventRow
	for i, load := range order {
		if i == mostRows-1 && len(order) > mostRows {
			var rest []sim.Miss
			for _, other := range order[i:] {
				rest = append(rest, byLoad[other]...)
			}
			slices.SortStableFunc(rest, func(a, b sim.Miss) int { return a.Slot.Compare(b.Slot) })
			return append(rows, v.row(fmt.Sprintf("%d other loads", len(order)-i), rest))
		}
		rows = append(rows, v.row(clean(v.res.Loads[load].Name), byLoad[load]))
	}
	return rows
}

// row makes one row of misses, which are in order of time.
func (v *voyage) row(name string, misses []sim.Miss) EventRow {
	r := EventRow{Paint: alarm}
	off := 0.0
	for _, m := range misses {
		at := held(seconds(m.Slot), v.from, v.to)
		if m.Until.IsZero() {
			r.Marks = append(r.Marks, at)
			continue
		}
		until := held(seconds(m.Until), at, v.to)
		off += (until - at) / hour
		r.Spans = append(r.Spans, Span{at, until})
	}
	when, why := v.when(misses[0].Slot), ", "+misses[0].Cause.String()
	if len(misses) > 1 {
		r.First = []string{"first " + when + why, "first " + when}
	} else {
		r.First = []string{when + why, when}
	}
	var what []string
	if n := len(r.Marks); n > 0 {
		what = append(what, fmt.Sprintf("%d missed", n))
	}
	if len(r.Spans) > 0 {
		what = append(what, "off "+lasting(off))
	}
	r.Label = strings.Join(what, ", ") + ": " + name
	return r
}

// amount writes a charge over the voyage: by the day, or as it is for less than
// two days. If it is less than 95 % of another, that is named too.
func (v *voyage) amount(ah, of float64) string {
	per, unit := 1.0, " Ah"
	if days := (v.to - v.from) / day; days >= 2 {
		per, unit = days, " Ah/d"
	}
	if ah < 0.95*of {
		return short(ah/per) + " of " + short(of/per) + unit
	}
	return short(ah/per) + unit
}

// short writes a number >= 0 with the digits that matter to an eye.
func short(x float64) string {
	if x < 9.95 {
		return strconv.FormatFloat(math.Round(x*10)/10, 'f', -1, 64)
	}
	return strconv.FormatFloat(x, 'f', 0, 64)
}

func percent(x float64) string { return strconv.FormatFloat(math.Round(x), 'f', 0, 64) + " %" }

// lasting writes hours as hours or, beyond two days, days.
func lasting(hours float64) string {
	if hours >= 48 {
		return short(math.Round(hours/24*10)/10) + " days"
	}
	return short(hours) + " h"
}

// grouped writes a whole number with a comma for thousands.
func grouped(x float64) string {
	s := strconv.FormatFloat(math.Round(x), 'f', 0, 64)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// parallel writes a latitude in whole degrees, or with minutes.
func parallel(lat float64, minutes bool) string {
	whole := math.Round(math.Abs(lat) * 60)
	if !minutes {
		whole = math.Round(whole/60) * 60
	}
	side := "N"
	switch {
	case whole == 0 && !minutes:
		return "0°"
	case whole == 0:
		return "0°00'"
	case lat < 0:
		side = "S"
	}
	if minutes {
		return fmt.Sprintf("%.0f°%02.0f'%s", math.Floor(whole/60), math.Mod(whole, 60), side)
	}
	return fmt.Sprintf("%.0f°%s", whole/60, side)
}

// ticks returns ticks at whole multiples of step.
func ticks(lo, hi, step float64) []Tick {
	var out []Tick
	for k := int(math.Ceil(lo/step - 1e-9)); float64(k)*step <= hi*(1+1e-9); k++ {
		at := float64(k) * step
		out = append(out, Tick{At: at, Label: strconv.FormatFloat(math.Round(at*1000)/1000, 'f', -1, 64)})
	}
	return out
}

// meansOver names means over so many seconds.
func meansOver(width float64) string {
	switch width {
	case 10 * minute:
		return "ten-minute means"
	case hour:
		return "hourly means"
	case 3 * hour:
		return "three-hour means"
	case 6 * hour:
		return "six-hour means"
	case day:
		return "daily means"
	}
	if width < 2*hour {
		return short(width/minute) + "-minute means"
	}
	return short(width/hour) + "-hour means"
}

// carried returns v with its first and last value doubled.
func carried(v []float64) []float64 {
	return slices.Concat(v[:1], v, v[len(v)-1:])
}

func middles(edges []float64) []float64 {
	out := make([]float64, len(edges)-1)
	for i := range out {
		out[i] = (edges[i] + edges[i+1]) / 2
	}
	return out
}

// stepped turns means by bin into a line of steps.
func stepped(edges, v []float64, c color.RGBA, width vg.Length) Series {
	s := Series{Ink: c, Width: width}
	for i := range v {
		s.X, s.Y = append(s.X, edges[i], edges[i+1]), append(s.Y, v[i], v[i])
	}
	return s
}
