package chart

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// FrontierInput is kits by what they weigh or cost and by how often they hold.
type FrontierInput struct {
	Title   string
	Facts   []string
	Caption string
	Axis    string // what X is, with its unit: "weight, kg"
	Wanted  float64
	Kits    []FrontierKit
}

// FrontierKit is one kit that was sailed.
type FrontierKit struct {
	X            float64
	P, Low, High float64 // share that holds with its interval, 0..1
	Name         string
	// Early tells that it was not sailed through all weathers.
	Early bool
	// Best tells that it is the answer, Rival that it might have been, Front that
	// it is the answer for other odds. These get their names.
	Best, Rival, Front bool
}

// Frontier is the picture of what a weight, or a price, buys in odds.
type Frontier struct {
	Title   string
	Facts   []string
	Remarks []string
	Caption string
	Axis    string
	Wanted  float64       // %
	Kits    []FrontierKit // shares in %, the smallest first
	Front   [][2]float64  // the stairs of the best so far: x, %
	Ticks   []Tick        // of X
	X0, X1  float64       // range of X
	Width   vg.Length
	Height  vg.Length
}

// NewFrontier makes the page model. It panics without kits.
func NewFrontier(in FrontierInput) *Frontier {
	if len(in.Kits) == 0 {
		panic("chart: frontier without kits")
	}
	f := &Frontier{
		Title: clean(in.Title), Facts: in.Facts, Caption: clean(in.Caption), Axis: clean(in.Axis), Wanted: 100 * held(in.Wanted, 0, 1),
		Remarks: []string{"Bars: 95 % interval.", "Line: the best of these for so much.", "Hollow: not sailed through all weathers."},
		Width:   8 * vg.Inch, Height: 4.6 * vg.Inch,
	}
	for _, k := range in.Kits {
		k.P, k.Low, k.High = 100*held(k.P, 0, 1), 100*held(k.Low, 0, 1), 100*held(k.High, 0, 1)
		k.Name = clean(k.Name)
		f.Kits = append(f.Kits, k)
	}
	slices.SortStableFunc(f.Kits, func(a, b FrontierKit) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.P, b.P)) })
	lo, hi := f.Kits[0].X, f.Kits[len(f.Kits)-1].X
	pad := 0.06 * (hi - lo)
	if pad == 0 {
		pad = math.Max(0.5, 0.05*math.Abs(lo))
	}
	f.X0, f.X1 = lo-pad, hi+pad
	f.Ticks = ticks(f.X0, f.X1, pace(f.X1-f.X0, 8))
	best := 0.0
	for _, k := range f.Kits {
		if k.P <= best {
			continue
		}
		f.Front = append(f.Front, [2]float64{k.X, best}, [2]float64{k.X, k.P})
		best = k.P
	}
	if f.Front != nil {
		f.Front = append(f.Front, [2]float64{f.X1, best})
	}
	return f
}

// Size returns the size of the page.
func (f *Frontier) Size() (width, height vg.Length) { return f.Width, f.Height }

// Draw draws the picture to fill the canvas.
func (f *Frontier) Draw(c draw.Canvas) {
	size := c.Size()
	f.layout(size.X, size.Y).draw(c)
}

// WriteFile writes the picture; see the function WriteFile.
func (f *Frontier) WriteFile(path string) error { return WriteFile(path, f) }

// Encode writes the picture as "png" or "svg".
func (f *Frontier) Encode(w io.Writer, format string) error { return Encode(w, f, format) }

func (f *Frontier) layout(width, height vg.Length) *scene {
	s := &scene{width: width}
	page := Page{Title: f.Title, Facts: f.Facts, Remarks: f.Remarks, Caption: f.Caption}
	top := page.heading(s, width, height)
	page.panelTitle(s, &Panel{Title: "Weathers in which it holds, of 100", About: "each dot a kit, all in the same weathers"}, edge, width-edge, top-titleRow+4)
	top -= titleRow + 4
	page.footer(s, width)
	wanted := fmt.Sprintf("wanted %s", short(f.Wanted))
	bottom := edge + foot + 30
	fr := &frame{x0: f.X0, x1: f.X1, y0: 0, y1: 102, data: vg.Rectangle{
		Min: vg.Point{X: edge + tickStyle.width("100") + nameGap, Y: bottom},
		Max: vg.Point{X: width - edge - endStyle.width(wanted) - nameGap, Y: max(top, bottom+30)},
	}}
	f.axes(s, fr)
	f.stairs(s, fr)
	y := fr.y(f.Wanted)
	s.segment(fr.data.Min.X, y, fr.data.Max.X, y, alarm.Ink, 0.9, 4, 2)
	s.text(wanted, endStyle.in(alarm.Ink), left, fr.data.Max.X+nameGap, y-endStyle.size*capHeight/2)
	f.dots(s, fr)
	return s
}

// axes draws the hairlines and the numbers.
func (f *Frontier) axes(s *scene, fr *frame) {
	for v := 0.0; v <= 100; v += 20 {
		y := fr.y(v)
		s.segment(fr.data.Min.X, y, fr.data.Max.X, y, hair, 0.4)
		s.text(short(v), tickStyle, right, fr.data.Min.X-nameGap, y-tickStyle.size*capHeight/2)
	}
	base := fr.data.Min.Y
	s.segment(fr.data.Min.X, base, fr.data.Max.X, base, quiet, 0.5)
	for _, t := range f.Ticks {
		x := fr.x(t.At)
		s.segment(x, base, x, base-3, quiet, 0.5)
		if w := put(t.Label, tickStyle, centre, x, base-5-tickStyle.size*capHeight); s.free(grown(w.box, 2)) && w.box.Max.X < s.width-edge {
			s.add(w)
		}
	}
	s.text(f.Axis, aboutStyle, right, fr.data.Max.X, base-8-2*aboutStyle.size)
}

// stairs draws the best that is to be had for so much.
func (f *Frontier) stairs(s *scene, fr *frame) {
	s.stroke(f.line(fr), over(stock.Fill, white, 0.45), 1.2)
}

// line is the stairs on the page.
func (f *Frontier) line(fr *frame) []vg.Point {
	var line []vg.Point
	for _, p := range f.Front {
		line = append(line, vg.Point{X: fr.x(p[0]), Y: fr.y(p[1])})
	}
	return line
}

// dots draws the kits and names those that matter, as far as there is room.
func (f *Frontier) dots(s *scene, fr *frame) {
	at := func(k *FrontierKit) vg.Point { return vg.Point{X: fr.x(k.X), Y: fr.y(k.P)} }
	y := fr.y(f.Wanted)
	avoid := &obstacles{hard: [][]vg.Point{{{X: fr.data.Min.X, Y: y}, {X: fr.data.Max.X, Y: y}}, f.line(fr)}}
	for i := range f.Kits {
		k := &f.Kits[i]
		bar := []vg.Point{{X: fr.x(k.X), Y: fr.y(k.Low)}, {X: fr.x(k.X), Y: fr.y(k.High)}}
		s.stroke(bar, over(stock.Ink, white, 0.4), 1.8)
		avoid.hard = append(avoid.hard, bar)
	}
	for i := range f.Kits {
		k := &f.Kits[i]
		r := vg.Length(2.6)
		if k.Best {
			r = 4
		}
		c := at(k)
		s.area(disc(c, r+0.8), white)
		s.area(disc(c, r), stock.Ink)
		if k.Early {
			s.area(disc(c, r-0.9), white)
		}
		avoid.dots = append(avoid.dots, c)
	}
	var order []int
	for i := range f.Kits {
		if f.Kits[i].weight() > 0 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(f.Kits[b].weight(), f.Kits[a].weight()) })
	room := fr.data
	room.Max.X = s.width - edge
	for _, i := range order {
		k := &f.Kits[i]
		x := spot{text: k.Name, st: tickStyle.in(ink), at: at(k), gap: 7}
		if k.Best {
			x.st = pointStyle.in(stock.Ink)
		}
		x.text = x.st.cut(x.text, (room.Max.X-room.Min.X)*0.45)
		w, hits, found := x.beside(s, room, avoid)
		switch {
		case found && hits == 0:
			s.add(w)
		case found && k.Best: // no clear place: the words get a ground of their own
			s.rect(grown(w.box, 1), white)
			s.add(w)
		}
	}
}

// weight is how much a kit wants its name.
func (k *FrontierKit) weight() int {
	switch {
	case k.Best:
		return 3
	case k.Rival:
		return 2
	case k.Front:
		return 1
	}
	return 0
}
