package chart

import (
	"fmt"
	"io"
	"math"
	"slices"
	"time"

	"gonum.org/v1/plot/vg"

	"ampwake/sim"
	"ampwake/sim/units"
)

// Where pictures change with the length of the passage.
const (
	tenMinutesUpTo = 6 * hour
	hourlyUpTo     = 12 * day
	threeHoursUpTo = 45 * day
	columns        = 900 // of pixels in the data, about
)

// PassageOptions say how a passage is drawn. The zero value will do.
type PassageOptions struct {
	// Kinds gives sources and loads, by name, the kind whose colour they get.
	// A name that is not in it gets that of KindOf, else a spare colour.
	Kinds map[string]Kind
	// Version goes into the caption, like "ampwake 0.3".
	Version string
	// Verdict is the sentence under the title, or "" for one made from the
	// result.
	Verdict string
	// TopIn and TopOut end the scales of amps in and out, so that pictures laid
	// side by side compare. 0: from the data.
	TopIn, TopOut units.Amps
	// Means is the time that each mean of amps and speed is over; 0: by the
	// length of the passage, as suits paper. A screen on which one can look
	// closer wants shorter ones.
	Means time.Duration
	// Points is how many points a line may have, about; 0: as suits paper.
	Points int
}

// Passage is the picture of one voyage: state of charge, amps in and out,
// speed and latitude.
type Passage struct{ Page }

// NewPassage makes the page model of a voyage. It panics if the result has no
// trace of at least one step: ask the engine for one.
//
// Amps are the power of a step over its bus voltage.
func NewPassage(res *sim.Result, opt PassageOptions) *Passage {
	t := res.Trace
	if t == nil || len(t.Time) < 2 {
		panic("chart: a passage needs a result with a trace")
	}
	v := voyage{res: res, trace: t, opt: opt, at: make([]float64, len(t.Time))}
	for i, x := range t.Time {
		v.at[i] = seconds(x)
	}
	v.from, v.to = v.at[0], v.at[len(v.at)-1]
	span := v.to - v.from
	v.width = hour
	switch {
	case opt.Means > 0:
		v.width = opt.Means.Seconds()
	case span <= tenMinutesUpTo:
		v.width = 10 * minute
	case span > threeHoursUpTo:
		v.width = day
	case span > hourlyUpTo:
		v.width = 3 * hour
	}
	v.means = meansOver(v.width)
	v.edges = bins(v.from, v.to, v.width)

	charge := v.charge()
	in, out := v.inAndOut()
	p := &Passage{Page{
		Title:   clean(res.Title),
		Facts:   v.facts(),
		Caption: v.caption(),
		From:    t.Time[0].UTC(),
		To:      t.Time[len(t.Time)-1].UTC(),
		Panels:  []Panel{charge, in, out, v.speed(), v.latitude()},
		Width:   8 * vg.Inch,
		Height:  10 * vg.Inch,
	}}
	if !v.long() {
		p.Nights, p.Noons = Nights(t), Noons(t)
		if len(p.Nights) > 0 {
			p.Remarks = append(p.Remarks, "Shaded: the sun is below the horizon.")
		}
		if len(p.Noons) > 0 {
			p.Remarks = append(p.Remarks, "Ticks along the top: 12:00 ship’s time.")
		}
	}
	return p
}

// WriteFile writes the picture; see the function WriteFile.
func (p *Passage) WriteFile(path string) error { return WriteFile(path, p) }

// Encode writes the picture as "png" or "svg".
func (p *Passage) Encode(w io.Writer, format string) error { return Encode(w, p, format) }

// voyage is what the panels of a passage are made from.
type voyage struct {
	res   *sim.Result
	trace *sim.Trace
	opt   PassageOptions
	at    []float64 // of the trace, Unix seconds
	from  float64
	to    float64
	edges []float64
	width float64 // of a bin
	means string  // what bins hold, in words
}

// long reports whether bins are days.
func (v *voyage) long() bool { return v.width == day }

// columns returns how many pieces lines are thinned by: each keeps up to four
// points.
func (v *voyage) columns() int {
	if v.opt.Points > 0 {
		return max(1, v.opt.Points/4)
	}
	return columns
}

// charge makes the panel of the state of charge.
func (v *voyage) charge() Panel {
	soc := Series{Name: "state of charge", X: v.at, Y: make([]float64, len(v.at)), Ink: stock.Fill, Width: 1.4}
	for i, c := range v.trace.Charge {
		soc.Y[i] = held(100*float64(c), 0, 100)
	}
	p := Panel{Title: "State of charge, %", About: "at every step", Share: 3.0 / 8, Max: 100}
	for k := range 6 {
		p.Ticks = append(p.Ticks, Tick{At: float64(20 * k), Label: fmt.Sprint(20 * k)})
	}
	if v.long() {
		p.About = "daily low (line) and high"
		low, high := extremes(v.edges, soc.X, soc.Y)
		mid := middles(v.edges)
		// The first and last day are carried to the edges.
		mid = slices.Concat([]float64{v.from}, mid, []float64{v.to})
		low, high = carried(low), carried(high)
		p.Bands = []Band{{X: mid, Low: low, High: high, Fill: over(stock.Fill, white, 0.3)}}
		if floor := 100 * float64(v.res.Verdict.Floor); floor > 0 {
			p.Bands = append(p.Bands, belowLevel(p.Bands[0], floor, over(alarm.Fill, white, 0.5)))
		}
		p.Lines = []Series{{Name: "daily low", X: mid, Y: low, Ink: stock.Ink, Width: 1.1}}
	} else {
		p.Lines = []Series{thin(soc, v.from, v.to, v.columns())}
	}
	if floor := 100 * float64(v.res.Verdict.Floor); floor > 0 {
		p.Levels = []Level{{At: floor, Ink: alarm.Ink, Shade: !v.long()}}
		p.Ends = append(p.Ends, End{At: floor, Label: "floor " + percent(floor), Ink: alarm.Ink})
	}
	last := soc.Y[len(soc.Y)-1]
	p.Ends = append(p.Ends, End{At: last, Label: "ends at " + percent(last), Ink: stock.Ink})
	if low := v.res.Lowest; !low.Time.IsZero() {
		x, y := held(seconds(low.Time), v.from, v.to), held(100*float64(low.Charge), 0, 100)
		p.Points = []Point{{X: x, Y: y, Label: "lowest " + percent(y) + ", " + v.when(low.Time), Ink: ink}}
	}
	p.Rows = v.missed()
	return p
}

// sum adds up means by bin, times hours.
func (v *voyage) sum(mean []float64) float64 {
	total := 0.0
	for i, m := range mean {
		total += m * (v.edges[i+1] - v.edges[i]) / hour
	}
	return total
}

// held returns x within [lo, hi]; what is no number becomes lo.
func held(x, lo, hi float64) float64 {
	if math.IsNaN(x) {
		return lo
	}
	return max(lo, min(hi, x))
}

func maxOf(v []float64) float64 {
	high := 0.0
	for _, x := range v {
		high = max(high, x)
	}
	return high
}

// when writes a time within the passage.
func (v *voyage) when(t time.Time) string { return t.UTC().Format("2 Jan 15:04") }
