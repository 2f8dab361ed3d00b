package sheet

import (
	"image/color"
	"math"
	"slices"
	"strings"

	"ampwake/cmd/internal/chart"
)

// pair is a colour by day and at night.
type pair [2]string

func pairOf(c color.RGBA, area bool) pair { return pair{hexOf(c), hexOf(chart.Darkened(c, area))} }

// live is what the script draws a figure from. Times are seconds after From;
// From is Unix seconds. Names are short because each number of a file that
// goes by radio costs.
type live struct {
	From   float64     `json:"from"`
	To     float64     `json:"to"`     // seconds after From
	Closer float64     `json:"closer"` // shortest stretch worth looking at, seconds
	Start  float64     `json:"start"`  // where the read-out begins
	ByDay  bool        `json:"byDay"`  // values are those of UTC days
	Zones  [][2]int64  `json:"zones"`  // since when, hours to add to UTC; nil: no ship's time
	Nights [][2]int64  `json:"nights"`
	Panels []livePanel `json:"panels"`
	Ground liveGround  `json:"ground"`
}

type liveGround struct {
	Paper pair `json:"paper"`
	Night pair `json:"night"`
	Hair  pair `json:"hair"`
	Quiet pair `json:"quiet"`
}

// livePanel is one panel. Series are lines, in the order painted, or else the
// layers of a stack, the lowest first, then what was offered.
type livePanel struct {
	Title  string       `json:"title"`
	Unit   string       `json:"unit"`
	Places int          `json:"places"` // after the point, in the read-out
	Height float64      `json:"height"` // 1: as high as the average panel
	Min    float64      `json:"min"`
	Max    float64      `json:"max"`
	Ticks  []liveTick   `json:"ticks"`
	Stack  bool         `json:"stack"`
	X      []int64      `json:"x"`
	Series []liveSeries `json:"series"`
	Bands  []liveBand   `json:"bands,omitempty"`
	Levels []liveLevel  `json:"levels,omitempty"`
	Rows   []liveSpans  `json:"rows,omitempty"`   // above the data
	Spells []liveSpans  `json:"spells,omitempty"` // at the foot of the data
	Points []livePoint  `json:"points,omitempty"`
	Empty  string       `json:"empty,omitempty"`

	// For the page, not the script.
	about string
	notes []string
}

type liveTick struct {
	At     float64 `json:"at"`
	Label  string  `json:"label"`
	Strong bool    `json:"strong,omitempty"`
}

type liveSeries struct {
	Name  string  `json:"name"`
	Ink   pair    `json:"ink"`
	Fill  *pair   `json:"fill,omitempty"` // of a layer
	Width float64 `json:"width"`
	Dash  bool    `json:"dash,omitempty"`
	Y     []value `json:"y"`

	note string
	fill color.RGBA
	ink  color.RGBA
}

type liveBand struct {
	Name string  `json:"name"`
	Fill pair    `json:"fill"`
	X    []int64 `json:"x"`
	Low  []value `json:"low"`
	High []value `json:"high"`

	fill color.RGBA
}

type liveLevel struct {
	At    float64 `json:"at"`
	Label string  `json:"label"`
	Ink   pair    `json:"ink"`
	Shade *pair   `json:"shade,omitempty"` // of what lies between it and the first line
}

type liveSpans struct {
	Ink   pair       `json:"ink"`
	Marks []int64    `json:"marks,omitempty"`
	Spans [][2]int64 `json:"spans,omitempty"`

	text string
	ink  color.RGBA
	mark bool
}

type livePoint struct {
	At    int64   `json:"at"`
	Y     float64 `json:"y"`
	Label string  `json:"label"`
	Ink   pair    `json:"ink"`
}

// liveOf makes the panels for the script from a page.
func liveOf(p *chart.Page, zones []Zone) *live {
	l := &live{From: float64(p.From.Unix()), ByDay: p.ByDay}
	l.To = math.Max(float64(p.To.Unix())-l.From, 60)
	l.Closer = math.Min(l.To, 3600)
	if p.ByDay {
		l.Closer = math.Min(l.To, 2*86400)
	}
	for _, z := range zones {
		l.Zones = append(l.Zones, [2]int64{l.after(z.From), int64(z.Hours)})
	}
	l.Nights = l.spans(p.Nights)
	light, dark := chart.Light(), chart.Dark()
	both := func(a, b color.RGBA) pair { return pair{hexOf(a), hexOf(b)} }
	l.Ground = liveGround{both(light.Paper, dark.Paper), both(light.Night, dark.Night), both(light.Hair, dark.Hair), both(light.Quiet, dark.Quiet)}
	shares := 0.0
	for i := range p.Panels {
		shares += p.Panels[i].Share
	}
	for i := range p.Panels {
		l.Panels = append(l.Panels, l.panel(&p.Panels[i], float64(len(p.Panels))/shares))
	}
	l.Start = math.Round(l.To / 2)
	if pts := l.Panels[0].Points; len(pts) > 0 {
		l.Start = float64(pts[0].At)
	}
	return l
}

// after returns a time as whole seconds after the figure's start.
func (l *live) after(unix float64) int64 {
	return int64(math.Round(math.Max(0, math.Min(l.To, unix-l.From))))
}

func (l *live) afters(unix []float64) []int64 {
	out := make([]int64, len(unix))
	for i, x := range unix {
		out[i] = l.after(x)
	}
	return out
}

func (l *live) spans(in []chart.Span) [][2]int64 {
	var out [][2]int64
	for _, s := range in {
		if a, b := l.after(s.From), l.after(s.To); b > a {
			out = append(out, [2]int64{a, b})
		}
	}
	return out
}

// panel makes one panel; height turns its share into a height.
func (l *live) panel(p *chart.Panel, height float64) livePanel {
	out := livePanel{Title: p.Title, Height: p.Share * height, Min: p.Min, Max: p.Max, Empty: p.Empty, about: p.About, Ticks: []liveTick{}, X: []int64{}, Series: []liveSeries{}}
	if i := strings.LastIndex(p.Title, ", "); i >= 0 {
		out.Unit = p.Title[i+2:]
	}
	out.Places = 1
	if out.Unit == "A" {
		out.Places = 2
	}
	if out.Max <= out.Min {
		out.Max = out.Min + 1
	}
	for _, t := range p.Ticks {
		out.Ticks = append(out.Ticks, liveTick{short(t.At), t.Label, t.Strong})
	}
	ends := slices.Clone(p.Ends)
	if p.Stack != nil {
		l.stack(&out, p.Stack, &ends)
	} else {
		l.lines(&out, p.Lines)
	}
	for _, b := range p.Bands {
		out.Bands = append(out.Bands, liveBand{Name: b.Name, Fill: pairOf(b.Fill, true), fill: b.Fill, X: l.afters(b.X), Low: values(b.Low), High: values(b.High)})
	}
	for _, v := range p.Levels {
		level := liveLevel{At: v.At, Ink: pairOf(v.Ink, false)}
		if i := slices.IndexFunc(ends, func(e chart.End) bool { return e.At == v.At && e.Ink == v.Ink }); i >= 0 {
			level.Label = ends[i].Label
			ends = slices.Delete(ends, i, i+1)
		}
		if v.Shade {
			shade := pairOf(chart.Light().Alarm.Fill, true)
			level.Shade = &shade
		}
		out.Levels = append(out.Levels, level)
	}
	for _, e := range ends { // of the others those that do not name a line
		if !slices.ContainsFunc(p.Lines, func(s chart.Series) bool { return s.Name == e.Label }) {
			note := strings.TrimSpace(e.Label + " " + e.Value)
			if note != "" && note[0] >= '0' && note[0] <= '9' { // at the right edge that speaks for itself
				note = "ends at " + note
			}
			out.notes = append(out.notes, note)
		}
	}
	for _, r := range p.Rows {
		text := r.Label
		if len(r.First) > 0 {
			text += " (" + r.First[0] + ")"
		}
		out.Rows = append(out.Rows, liveSpans{Ink: pairOf(r.Paint.Ink, false), ink: r.Paint.Ink, Marks: l.afters(r.Marks), Spans: l.spans(r.Spans), text: text, mark: true})
	}
	for _, r := range p.Spells {
		out.Spells = append(out.Spells, liveSpans{Ink: pairOf(r.Paint.Fill, true), ink: r.Paint.Fill, Spans: l.spans(r.Spans), text: r.Label})
	}
	for _, pt := range p.Points {
		out.Points = append(out.Points, livePoint{l.after(pt.X), short(pt.Y), pt.Label, pairOf(pt.Ink, false)})
	}
	return out
}

// stack makes the layers, and takes their names out of ends.
func (l *live) stack(out *livePanel, st *chart.Stack, ends *[]chart.End) {
	out.Stack = true
	out.X = l.afters(st.Edges)
	// The last value is carried to the last edge.
	y := func(v []float64) []value { return values(append(slices.Clone(v), v[len(v)-1])) }
	for _, layer := range st.Layers {
		s := liveSeries{Name: layer.Name, Ink: pairOf(layer.Paint.Ink, false), Width: 0.7, Y: y(layer.Values), ink: layer.Paint.Ink, fill: layer.Paint.Fill}
		fill := pairOf(layer.Paint.Fill, true)
		s.Fill = &fill
		if i := slices.IndexFunc(*ends, func(e chart.End) bool { return e.Label == layer.Name }); i >= 0 {
			s.note = (*ends)[i].Value
			*ends = slices.Delete(*ends, i, i+1)
		}
		out.Series = append(out.Series, s)
	}
	if st.Offered != nil {
		quiet := chart.Light().Quiet
		out.Series = append(out.Series, liveSeries{Name: "offered", Ink: pairOf(quiet, false), Width: 1, Y: y(st.Offered), ink: quiet, fill: quiet})
	}
}

// lines puts the lines of a panel on one row of times. A line has no value
// where only another has a point.
func (l *live) lines(out *livePanel, lines []chart.Series) {
	times := make([][]int64, len(lines))
	for k, s := range lines {
		times[k] = l.afters(s.X)
		for i := 1; i < len(times[k]); i++ { // a jump takes a second
			times[k][i] = max(times[k][i], times[k][i-1]+1)
		}
		out.X = append(out.X, times[k]...)
	}
	slices.Sort(out.X)
	out.X = slices.Compact(out.X)
	for k, s := range lines {
		y := make([]value, len(out.X))
		for i := range y {
			y[i] = value(math.NaN())
		}
		for i, t := range times[k] {
			at, _ := slices.BinarySearch(out.X, t)
			y[at] = value(s.Y[i])
		}
		out.Series = append(out.Series, liveSeries{Name: s.Name, Ink: pairOf(s.Ink, false), Width: short(1.35 * math.Max(float64(s.Width), 0.8)), Dash: s.Dash, Y: y, ink: s.Ink, fill: s.Ink})
	}
}
