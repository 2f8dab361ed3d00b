package chart

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"

	"ampwake/scenarios/outlook"
	"ampwake/sim/units"
)

// spans is what the panels of a climate are made from: months, or days.
type spans struct {
	months bool
	edges  []float64
	means  []*outlook.Means
	names  []string
	lat    []float64 // of days
	drawn  []float64 // of days, Ah
	bare   bool      // there are no panels on board
	per    string    // what sums are by
}

// page makes the page.
func (s *spans) page(opt ClimateOptions) *Climate {
	c := &Climate{Page: Page{
		Title: clean(opt.Title), Facts: opt.Facts, Caption: clean(opt.Caption),
		Remarks: []string{"Averages of ships’ reports of about 1850 to 1990, no forecast; not for navigation."},
		Width:   8 * vg.Inch, Height: 10 * vg.Inch,
	}}
	if s.lat != nil {
		c.Panels = append(c.Panels, s.latitude())
		c.Wind = 1
	}
	c.Panels = append(c.Panels, s.wind(), s.extremes(), s.cloud(), s.temperatures(), s.night(), s.sun())
	if !s.bare {
		c.Panels = append(c.Panels, s.array())
	}
	for i, x := range middles(s.edges) {
		m := s.means[i]
		c.Arrows = append(c.Arrows, Arrow{X: x, To: units.Degrees(math.Mod(float64(m.From)+180, 360)), Steadiness: m.Steadiness})
	}
	return c
}

// of returns one value of all spans.
func (s *spans) of(value func(m *outlook.Means) float64) []float64 {
	out := make([]float64, len(s.means))
	for i, m := range s.means {
		out[i] = value(m)
	}
	return out
}

// curve returns values as points of a line: each in the middle of its span, and
// the ends carried to the edges; December goes over into January.
func (s *spans) curve(v []float64) (x, y []float64) {
	x = slices.Concat(s.edges[:1], middles(s.edges), s.edges[len(s.edges)-1:])
	y = carried(v)
	if s.months {
		turn := (v[0] + v[len(v)-1]) / 2
		y[0], y[len(y)-1] = turn, turn
	}
	return x, y
}

// line makes a line of values.
func (s *spans) line(v []float64, paint Paint, width vg.Length) Series {
	x, y := s.curve(v)
	return Series{X: x, Y: y, Ink: paint.Ink, Width: width}
}

// last returns where a curve ends.
func (s *spans) last(v []float64) float64 {
	_, y := s.curve(v)
	return y[len(y)-1]
}

func (s *spans) latitude() Panel {
	lo, hi := slices.Min(s.lat), slices.Max(s.lat)
	pad := max(0.06*(hi-lo), 0.5)
	x, y := s.curve(s.lat)
	p := Panel{Title: "Latitude", About: "by the planned pace", Share: 0.9, Min: lo - pad, Max: hi + pad, Lines: []Series{{X: x, Y: y, Ink: ink, Width: 1}}}
	p.Ticks = latitudes(p.Min, p.Max)
	p.Ends = []End{{At: s.last(s.lat), Label: parallel(s.lat[len(s.lat)-1], hi-lo < 2), Ink: ink}}
	return p
}

// wind makes the panel of the wind and the room for its arrows.
func (s *spans) wind() Panel {
	paint, _ := byKind(Wind)
	mean := s.of(func(m *outlook.Means) float64 { return float64(m.Wind) })
	light := s.of(func(m *outlook.Means) float64 { return float64(m.Light) })
	hard := s.of(func(m *outlook.Means) float64 { return float64(m.Hard) })
	x, low := s.curve(light)
	_, high := s.curve(hard)
	p := Panel{
		Title: "Wind, kn", About: "mean, and where it blows (arrows, north up; long: steady); band: 8 hours in 10",
		Share: 1.5, Max: nice(max(20, slices.Max(hard))),
		Rows:  make([]EventRow, arrowRows),
		Bands: []Band{{X: x, Low: low, High: high, Fill: over(paint.Fill, white, 0.5)}},
		Lines: []Series{s.line(mean, paint, 1.4)},
	}
	p.Ticks = ticks(0, p.Max, pace(p.Max, 4))
	p.Ends = []End{
		{At: s.last(light), Label: "1 h in 10 under", Ink: paint.Ink},
		{At: s.last(mean), Label: "mean", Ink: paint.Ink},
		{At: s.last(hard), Label: "1 h in 10 over", Ink: paint.Ink},
	}
	return p
}

// extremes makes the panel of calms and gales.
func (s *spans) extremes() Panel {
	calms, gales := Paint{Fill: hex(0xC9CFD6), Ink: hex(0x555555)}, alarm
	p := Panel{Title: "Time in calm and gale, %", About: "Gaussian wind of the mean and the steadiness, not counted", Share: 0.9}
	layers := []Layer{
		{Name: fmt.Sprintf("calm, < %.0f kn", float64(outlook.CalmUnder)), Paint: calms, Values: s.of(func(m *outlook.Means) float64 { return 100 * float64(m.Calm) })},
		{Name: fmt.Sprintf("gale, > %.0f kn", float64(outlook.GaleOver)), Paint: gales, Values: s.of(func(m *outlook.Means) float64 { return 100 * float64(m.Gale) })},
	}
	p.Stack = &Stack{Edges: s.edges, Layers: layers}
	p.Max = nice(max(10, p.Stack.top()))
	p.Ticks = ticks(0, p.Max, pace(p.Max, 3))
	for k, at := range p.Stack.ends() {
		fill := layers[k].Paint.Fill
		p.Ends = append(p.Ends, End{At: at, Label: layers[k].Name, Ink: layers[k].Paint.Ink, Swatch: &fill})
	}
	return p
}

func (s *spans) cloud() Panel {
	oktas := s.of(func(m *outlook.Means) float64 { return 8 * float64(m.Cloud) })
	x, y := s.curve(oktas)
	p := Panel{Title: "Cloud, oktas", About: "mean", Share: 0.8, Max: 8, Ticks: ticks(0, 8, 2)}
	if s.doubtful() {
		p.About = "mean; not observed here but carried over from the nearest ocean: doubtful"
	}
	p.Bands = []Band{{X: x, Low: make([]float64, len(x)), High: y, Fill: hex(0xDADDE1)}}
	p.Lines = []Series{s.line(oktas, Paint{Ink: quiet}, 1)}
	p.Ends = []End{{At: s.last(oktas), Label: "cloud", Ink: quiet}}
	return p
}

// doubtful reports whether no cloud was observed in any span.
func (s *spans) doubtful() bool {
	return slices.ContainsFunc(s.means, func(m *outlook.Means) bool {
		return slices.ContainsFunc(m.Quality.Notes(), func(note string) bool { return strings.HasPrefix(note, "no cloud") })
	})
}

func (s *spans) temperatures() Panel {
	air := s.of(func(m *outlook.Means) float64 { return float64(m.Air) })
	sea := s.of(func(m *outlook.Means) float64 { return float64(m.Sea) })
	p := Panel{Title: "Air and sea, °C", About: "mean", Share: 0.9}
	lo, hi := min(slices.Min(air), slices.Min(sea)), max(slices.Max(air), slices.Max(sea))
	p.Min, p.Max = 5*math.Floor(lo/5), 5*math.Ceil(max(hi, lo+5)/5)
	p.Ticks = ticks(p.Min, p.Max, max(5, pace(p.Max-p.Min, 3)))
	dashed := s.line(air, Paint{Ink: ink}, 1)
	dashed.Dash = true
	p.Lines = []Series{s.line(sea, stock, 1.4), dashed}
	p.Ends = []End{{At: s.last(sea), Label: "sea", Ink: stock.Ink}, {At: s.last(air), Label: "air (dashed)", Ink: ink}}
	return p
}

func (s *spans) night() Panel {
	h := s.of(func(m *outlook.Means) float64 { return float64(m.Night) })
	x, y := s.curve(h)
	p := Panel{Title: "Night, hours", About: "sunset to sunrise", Share: 0.8, Max: 24, Ticks: ticks(0, 24, 6)}
	p.Bands = []Band{{X: x, Low: make([]float64, len(x)), High: y, Fill: night}}
	p.Lines = []Series{s.line(h, Paint{Ink: ink}, 1)}
	p.Ends = []End{{At: s.last(h), Label: "night", Value: fmt.Sprintf("%.1f h", s.last(h)), Ink: ink}}
	if s.months {
		p.Ends[0].Value = ""
	}
	p.Points = s.best(h, func(x float64) string { return fmt.Sprintf("%.1f h", x) })
	return p
}

func (s *spans) sun() Panel {
	paint, _ := byKind(Solar)
	clear := s.of(func(m *outlook.Means) float64 { return float64(m.Clear) / 1000 })
	likely := s.of(func(m *outlook.Means) float64 { return float64(m.Expected) / 1000 })
	x, y := s.curve(likely)
	p := Panel{
		Title: "Sun on the level, kWh/m²" + s.per, About: "clear sky, and expected with the cloud", Share: 1.2,
		Max:   nice(max(1, slices.Max(clear))),
		Bands: []Band{{X: x, Low: make([]float64, len(x)), High: y, Fill: over(paint.Fill, white, 0.55)}},
		Lines: []Series{s.line(likely, paint, 1.4)},
	}
	top := s.line(clear, Paint{Ink: quiet}, 0.9)
	top.Dash = true
	p.Lines = append(p.Lines, top)
	p.Ticks = ticks(0, p.Max, pace(p.Max, 4))
	p.Ends = []End{{At: s.last(likely), Label: "expected", Ink: paint.Ink}, {At: s.last(clear), Label: "clear sky", Ink: quiet}}
	return p
}

// array makes the panel of what the panels make, with what the loads draw.
func (s *spans) array() Panel {
	paint, _ := byKind(Solar)
	ah := s.of(func(m *outlook.Means) float64 { return float64(m.Array) })
	p := Panel{
		Title: "Panels, Ah" + s.per, About: "offered, before the bank refuses any", Share: 1.2,
		Stack: &Stack{Edges: s.edges, Layers: []Layer{{Name: "panels", Paint: paint, Values: ah}}},
	}
	// The edge of the pile once more as a line, for words to keep off it.
	p.Lines = []Series{stepped(s.edges, ah, paint.Ink, 0.45)}
	top := slices.Max(ah)
	fill := paint.Fill
	p.Ends = []End{{At: p.Stack.ends()[0], Label: "panels", Ink: paint.Ink, Swatch: &fill}}
	if s.drawn != nil {
		top = max(top, slices.Max(s.drawn))
		line := s.line(s.drawn, Paint{Ink: ink}, 1.2)
		line.Dash = true
		p.Lines = append(p.Lines, line)
		p.Ends = append(p.Ends, End{At: s.last(s.drawn), Label: "drawn by loads", Ink: ink})
	}
	p.Max = nice(max(1, 1.2*top))
	p.Ticks = ticks(0, p.Max, pace(p.Max, 4))
	p.Points = s.best(ah, func(x float64) string { return short(x) + " Ah" })
	return p
}

// best labels the highest and the lowest value.
func (s *spans) best(v []float64, written func(float64) string) []Point {
	at := middles(s.edges)
	point := func(i int) Point {
		return Point{X: at[i], Y: v[i], Label: written(v[i]) + ", " + s.names[i], Ink: ink}
	}
	hi, lo := 0, 0
	for i := range v {
		if v[i] > v[hi] {
			hi = i
		}
		if v[i] < v[lo] {
			lo = i
		}
	}
	if hi == lo {
		return nil
	}
	return []Point{point(hi), point(lo)}
}
