package chart

import (
	"fmt"
	"io"
	"math"
	"slices"
	"time"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// CompareInput is what many weathers did to the state of charge with each of
// several kits.
type CompareInput struct {
	Title   string
	Facts   []string // sentences under the title
	About   string   // the statistic: "lowest of each UTC day, 300 weathers"
	Caption string
	Kits    []KitBand
}

// KitBand is one kit. States of charge are shares, 0..1; P10, P50 and P90 are as
// long as Days.
type KitBand struct {
	Name  string
	Says  string // beside the name: "holds in 98 of 100"
	Days  []time.Time
	P10   []float64
	P50   []float64
	P90   []float64
	Floor float64 // 0 for none
	Best  bool    // framed: the one that the answer names
}

// MostKits is how many kits a picture shows.
const MostKits = 12

// Compared is the picture of a comparison: a panel for each kit, all on the same
// scales.
type Compared struct {
	Title   string
	Facts   []string
	About   string
	Remarks []string
	Caption string
	From    time.Time
	To      time.Time
	Panels  []KitPanel
	Columns int
	Width   vg.Length
	Height  vg.Length
}

// KitPanel is the panel of one kit; Panel.Title is its name, Panel.About what is
// said of it.
type KitPanel struct {
	Panel
	Best bool
}

// NewCompared makes the page model, of the first MostKits kits. It panics if there
// are no kits, one has no days, or slices differ in length.
func NewCompared(in CompareInput) *Compared {
	if len(in.Kits) == 0 {
		panic("chart: a comparison needs kits")
	}
	c := &Compared{Title: clean(in.Title), Facts: in.Facts, About: clean(in.About), Caption: clean(in.Caption), Width: 8 * vg.Inch}
	if rest := len(in.Kits) - MostKits; rest > 0 {
		c.Remarks = append(c.Remarks, fmt.Sprintf("%d more kits stand in the table.", rest))
	}
	from, to := math.Inf(1), math.Inf(-1)
	for _, k := range in.Kits[:min(len(in.Kits), MostKits)] {
		p := kitPanel(k)
		c.Panels = append(c.Panels, p)
		x := p.Lines[0].X
		from, to = min(from, x[0]), max(to, x[len(x)-1])
	}
	c.From, c.To = moment(from), moment(to)
	c.Columns = gridColumns(len(c.Panels))
	rows := (len(c.Panels) + c.Columns - 1) / c.Columns
	c.Height = 80 + vg.Length(rows)*(gridRow+gridTitle)
	if slices.ContainsFunc(c.Panels, func(p KitPanel) bool { return p.Best }) {
		c.Remarks = append(c.Remarks, "Framed: the kit that the answer names.")
	}
	if slices.ContainsFunc(c.Panels, func(p KitPanel) bool { return len(p.Levels) > 0 }) {
		c.Remarks = append(c.Remarks, "Tinted: below the floor.")
	}
	return c
}

// gridColumns returns how many panels stand side by side.
func gridColumns(n int) int {
	switch {
	case n <= 3:
		return n
	case n == 4:
		return 2
	}
	return 3
}

func kitPanel(k KitBand) KitPanel {
	n := len(k.Days)
	if n == 0 || len(k.P10) != n || len(k.P50) != n || len(k.P90) != n {
		panic("chart: a kit needs its quantiles for each of its days")
	}
	// As in NewFan: a day's value stands in the middle of the day.
	x := []float64{seconds(k.Days[0])}
	for _, d := range k.Days {
		x = append(x, seconds(d)+day/2)
	}
	x = append(x, seconds(k.Days[n-1])+day)
	y := func(v []float64) []float64 {
		out := carried(v)
		for i := range out {
			out[i] = held(100*out[i], 0, 100)
		}
		return out
	}
	p := Panel{Title: clean(k.Name), About: clean(k.Says), Max: 100}
	for at := 0; at <= 100; at += 25 {
		p.Ticks = append(p.Ticks, Tick{At: float64(at), Label: fmt.Sprint(at)})
	}
	low, high := y(k.P10), y(k.P90)
	p.Bands = []Band{{Name: "8 in 10", X: x, Low: low, High: high, Fill: over(stock.Fill, white, 0.3)}}
	p.Lines = []Series{
		{Name: "median", X: x, Y: y(k.P50), Ink: stock.Ink, Width: 1.5},
		{Name: "1 in 10 below", X: x, Y: low, Ink: stock.Ink, Width: 0.5},
		{Name: "1 in 10 above", X: x, Y: high, Ink: stock.Ink, Width: 0.5},
	}
	if floor := 100 * k.Floor; floor > 0 {
		p.Bands = append(p.Bands, belowLevel(p.Bands[0], floor, over(alarm.Fill, white, 0.5)))
		p.Levels = []Level{{At: floor, Ink: alarm.Ink}}
	}
	return KitPanel{Panel: p, Best: k.Best}
}

// Size returns the size of the page.
func (c *Compared) Size() (width, height vg.Length) { return c.Width, c.Height }

// WriteFile writes the picture; see the function WriteFile.
func (c *Compared) WriteFile(path string) error { return WriteFile(path, c) }

// Encode writes the picture as "png" or "svg".
func (c *Compared) Encode(w io.Writer, format string) error { return Encode(w, c, format) }

// Draw draws the picture to fill the canvas.
func (c *Compared) Draw(canvas draw.Canvas) {
	size := canvas.Size()
	c.layout(size.X, size.Y).draw(canvas)
}

// Distances between the panels of a grid, in points.
const (
	gridRow   vg.Length = 118 // height of a panel's data
	gridTitle vg.Length = 20  // its name, and room above
	gridGap   vg.Length = 14  // between two side by side
)

// layout places the panels in rows and columns, the numbers at the left of each
// row and the time below each column.
func (c *Compared) layout(width, height vg.Length) *scene {
	s := &scene{width: width}
	page := Page{Title: c.Title, Facts: c.Facts, Remarks: c.Remarks, Caption: c.Caption}
	top := page.heading(s, width, height)
	page.panelTitle(s, &Panel{Title: "State of charge, %", About: c.About}, edge, width-edge, top-titleRow+4)
	top -= titleRow
	x0, x1 := seconds(c.From), seconds(c.To)
	rows := (len(c.Panels) + c.Columns - 1) / c.Columns
	leftEdge := edge + tickStyle.width("100") + nameGap
	wide := (width - edge - 10 - leftEdge - vg.Length(c.Columns-1)*gridGap) / vg.Length(c.Columns)
	high := max(10, (top-edge-foot-axisRows)/vg.Length(rows)-gridTitle)
	named := false // the floor
	for i := range c.Panels {
		p := &c.Panels[i]
		column, row := i%c.Columns, i/c.Columns
		x := leftEdge + vg.Length(column)*(wide+gridGap)
		y := top - vg.Length(row)*(high+gridTitle) - gridTitle
		f := frame{x0: x0, x1: x1, y0: p.Min, y1: p.Max}
		f.data = vg.Rectangle{Min: vg.Point{X: x, Y: y - high}, Max: vg.Point{X: x + wide, Y: y}}
		f.whole = f.data
		p.title(s, &f)
		body := p.Panel
		if column > 0 {
			body.Ticks = slices.Clone(body.Ticks)
			for k := range body.Ticks {
				body.Ticks[k].Label = ""
			}
		}
		body.draw(s, &f, nil)
		if p.Best {
			r := grown(f.data, 1.5) // a line along the rim stays to be seen
			s.stroke([]vg.Point{r.Min, {X: r.Min.X, Y: r.Max.Y}, r.Max, {X: r.Max.X, Y: r.Min.Y}, r.Min}, ink, 1.1)
		}
		if i+c.Columns >= len(c.Panels) { // the lowest of its column
			axis{s, &f, f.data.Max.X + gridGap/2}.time(true)
		}
		if !named {
			named = p.nameFloor(s, &f)
		}
	}
	page.footer(s, width)
	return s
}

// title sets the kit's name and what is said of it above its data: as much of the
// name as there is room for.
func (p *KitPanel) title(s *scene, f *frame) {
	st := style{size: panelStyle.size, color: ink}
	room := f.data.Max.X - f.data.Min.X
	says := st.cut(p.About, room*0.7)
	name := panelStyle.cut(p.Title, room-st.width(says)-6)
	y := f.data.Max.Y + 5
	s.text(name, panelStyle, left, f.data.Min.X, y)
	s.text(says, st, right, f.data.Max.X, y)
}

// nameFloor writes what the line is, if there is room beside it that no curve
// runs through, and reports whether it did.
func (p *KitPanel) nameFloor(s *scene, f *frame) bool {
	if len(p.Levels) == 0 {
		return false
	}
	at := p.Levels[0].At
	st := aboutStyle.in(alarm.Ink)
	var curves [][]vg.Point
	for _, l := range p.Lines {
		curves = append(curves, trace(f, l.X, l.Y))
	}
	for _, y := range []vg.Length{f.y(at) - 3 - st.size*capHeight, f.y(at) + 3} {
		for _, w := range []word{
			put("floor "+percent(at), st, left, f.data.Min.X+4, y),
			put("floor "+percent(at), st, right, f.data.Max.X-4, y),
		} {
			if within(w.box, f.data) && s.free(w.box) && crossings(w.box, curves) == 0 {
				s.rect(grown(w.box, 0.8), white)
				s.add(w)
				return true
			}
		}
	}
	return false
}
