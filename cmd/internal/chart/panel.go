package chart

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
)

// draw paints a panel into its frame, from the back to the front.
func (p *Panel) draw(s *scene, f *frame, nights []Span) {
	for _, t := range p.Ticks {
		width, c := vg.Length(0.4), hair
		if t.Strong {
			width, c = 0.7, quiet
		}
		y := f.y(t.At)
		s.segment(f.data.Min.X, y, f.data.Max.X, y, c, width)
		if w := put(t.Label, tickStyle, right, f.data.Min.X-nameGap, y-tickStyle.size*capHeight/2); s.free(w.box) {
			s.add(w)
		}
	}
	for _, l := range p.Levels {
		if l.Shade && len(p.Lines) > 0 {
			shade(s, f, p.Lines[0], l.At, nights)
		}
	}
	for _, b := range p.Bands {
		upper, lower := trace(f, b.X, b.High), trace(f, b.X, b.Low)
		slices.Reverse(lower)
		s.area(append(upper, lower...), b.Fill)
	}
	if p.Stack != nil {
		p.Stack.draw(s, f)
	}
	for _, l := range p.Levels {
		s.segment(f.data.Min.X, f.y(l.At), f.data.Max.X, f.y(l.At), l.Ink, 0.9)
	}
	var curves [][]vg.Point
	for _, l := range p.Lines {
		line := trace(f, l.X, l.Y)
		curves = append(curves, line)
		if l.Dash {
			s.stroke(line, l.Ink, l.Width, 3, 2)
		} else {
			s.stroke(line, l.Ink, l.Width)
		}
	}
	for _, l := range p.Levels {
		curves = append(curves, []vg.Point{{X: f.data.Min.X, Y: f.y(l.At)}, {X: f.data.Max.X, Y: f.y(l.At)}})
	}
	p.drawRows(s, f)
	p.drawSpells(s, f)
	if p.Empty != "" {
		s.text(p.Empty, aboutStyle, centre, (f.data.Min.X+f.data.Max.X)/2, (f.data.Min.Y+f.data.Max.Y)/2)
	}
	for _, point := range p.Points {
		drawPoint(s, f, point, curves)
	}
	p.drawEnds(s, f)
}

// trace turns a series into points on the page.
func trace(f *frame, x, y []float64) []vg.Point {
	out := make([]vg.Point, len(x))
	for i := range x {
		out[i] = vg.Point{X: f.x(x[i]), Y: f.y(y[i])}
	}
	return out
}

// drawRows paints the event rows above the data: triangles that point down at
// the moment, bars for what lasts.
func (p *Panel) drawRows(s *scene, f *frame) {
	for i, row := range p.Rows {
		mid := f.whole.Max.Y - eventRow*(vg.Length(i)+0.5)
		first := f.data.Max.X
		for _, sp := range row.Spans {
			a, b := f.x(sp.From), f.x(sp.To)
			b = min(max(b, a+1.5), f.data.Max.X)
			s.rect(vg.Rectangle{Min: vg.Point{X: min(a, b-1.5), Y: mid - 1.7}, Max: vg.Point{X: b, Y: mid + 1.7}}, row.Paint.Ink)
			first = min(first, a)
		}
		for _, m := range row.Marks {
			x := f.x(m)
			s.area([]vg.Point{{X: x - 2.6, Y: mid + 2.6}, {X: x + 2.6, Y: mid + 2.6}, {X: x, Y: mid - 2.9}}, row.Paint.Ink)
			first = min(first, x-2.6)
		}
		base := mid - endStyle.size*capHeight/2
		room := s.pageRight(f)
		s.text(endStyle.cut(row.Label, room), endStyle.in(row.Paint.Ink), left, f.data.Max.X+nameGap, base)
		for _, text := range row.First {
			w := put(text, aboutStyle.in(row.Paint.Ink), right, first-4, base)
			if w.box.Min.X >= f.data.Min.X+1 {
				s.add(w)
				break
			}
		}
	}
}

// drawSpells paints the bars at the foot of the data.
func (p *Panel) drawSpells(s *scene, f *frame) {
	for i, row := range p.Spells {
		y := f.data.Min.Y + 1 + vg.Length(i)*4
		for _, sp := range row.Spans {
			a, b := f.x(sp.From), f.x(sp.To)
			b = min(max(b, a+1), f.data.Max.X)
			s.rect(vg.Rectangle{Min: vg.Point{X: min(a, b-1), Y: y}, Max: vg.Point{X: b, Y: y + 3}}, row.Paint.Fill)
		}
	}
}

// pageRight returns the room for names between the data and the paper's edge.
func (s *scene) pageRight(f *frame) vg.Length { return s.width - edge - f.data.Max.X - nameGap }

// drawEnds sets the names at the right edge, moved apart.
func (p *Panel) drawEnds(s *scene, f *frame) {
	ends := slices.Clone(p.Ends)
	for _, row := range slices.Backward(p.Spells) {
		swatch := row.Paint.Fill
		ends = append(ends, End{At: f.y0, Label: row.Label, Ink: row.Paint.Ink, Swatch: &swatch})
	}
	slices.SortStableFunc(ends, func(a, b End) int { return cmp.Compare(a.At, b.At) })
	centres := make([]float64, len(ends))
	for i, e := range ends {
		centres[i] = float64(f.y(e.At))
	}
	lo, hi := float64(f.data.Min.Y)+1, float64(f.data.Max.Y)-2
	if len(p.Rows) > 0 {
		hi = float64(f.data.Max.Y+eventRow/2-lineGap) - 0.5 // clear of the row's name
	}
	hi = math.Max(lo, hi)
	st := endStyle
	if n := len(ends); n > 1 {
		// A crowd on a small page: smaller words.
		st.size = min(st.size, max(1, vg.Length(hi-lo)/vg.Length(n-1)-0.1)/(capHeight+descent))
	}
	for i, y := range spread(centres, float64(lineGap), lo, hi) {
		e := ends[i]
		x := f.data.Max.X + nameGap
		room := s.pageRight(f)
		if e.Swatch != nil {
			mid := vg.Length(y)
			box := vg.Rectangle{Min: vg.Point{X: x, Y: mid - swatch/2}, Max: vg.Point{X: x + swatch, Y: mid + swatch/2}}
			s.rect(box, *e.Swatch)
			s.stroke([]vg.Point{{X: x, Y: box.Max.Y}, box.Max}, e.Ink, 0.5)
			x += swatch + 3
			room -= swatch + 3
		}
		s.text(e.fit(room, st), st.in(e.Ink), left, x, vg.Length(y)-st.size*capHeight/2)
	}
}

// fit returns the words of an end, its label cut to fit into room.
func (e End) fit(room vg.Length, st style) string {
	if e.Value == "" {
		return st.cut(e.Label, room)
	}
	value := " " + e.Value
	return st.cut(e.Label, room-st.width(value)) + value
}

// drawPoint sets a dot and its words where they hide the least.
func drawPoint(s *scene, f *frame, p Point, curves [][]vg.Point) {
	at := vg.Point{X: f.x(p.X), Y: f.y(p.Y)}
	const r = 2.2
	var dot []vg.Point
	for i := range 16 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 8)
		dot = append(dot, vg.Point{X: at.X + vg.Length(r*cos), Y: at.Y + vg.Length(r*sin)})
	}
	if p.Label == "" {
		s.area(dot, p.Ink)
		return
	}
	st := pointStyle.in(p.Ink)
	// Near is good, on a curve is bad.
	var best word
	worst, hits := math.Inf(1), 0
	for _, far := range []vg.Length{5, 12, 22, 36} {
		for _, try := range []struct {
			a      align
			dx, dy vg.Length
		}{
			{centre, 0, -far - st.size*capHeight},
			{left, far, -far - st.size*capHeight},
			{right, -far, -far - st.size*capHeight},
			{left, far, -st.size * capHeight / 2},
			{right, -far, -st.size * capHeight / 2},
			{centre, 0, far},
			{left, far, far},
			{right, -far, far},
		} {
			c := put(p.Label, st, try.a, at.X+try.dx, at.Y+try.dy)
			if !within(c.box, f.data) || !s.free(c.box) {
				continue
			}
			n := crossings(c.box, curves)
			if cost := float64(5*n) + float64(far); cost < worst {
				best, worst, hits = c, cost, n
			}
		}
	}
	if hits > 0 {
		// No clear place: the words get a ground of their own.
		s.rect(grown(best.box, 1), white)
	}
	s.area(dot, p.Ink)
	s.add(best)
}

// crossings counts how much of the curves runs through a rectangle, in steps
// of about a point.
func crossings(r vg.Rectangle, curves [][]vg.Point) int {
	r = grown(r, 1.5)
	n := 0
	for _, c := range curves {
		for i := 1; i < len(c); i++ {
			a, b := c[i-1], c[i]
			if max(a.X, b.X) < r.Min.X || min(a.X, b.X) > r.Max.X || max(a.Y, b.Y) < r.Min.Y || min(a.Y, b.Y) > r.Max.Y {
				continue
			}
			steps := int(math.Hypot(float64(b.X-a.X), float64(b.Y-a.Y))) + 1
			for k := range steps {
				u := vg.Length(k) / vg.Length(steps)
				x, y := a.X+(b.X-a.X)*u, a.Y+(b.Y-a.Y)*u
				if x >= r.Min.X && x <= r.Max.X && y >= r.Min.Y && y <= r.Max.Y {
					n++
				}
			}
		}
	}
	return n
}

func grown(r vg.Rectangle, by vg.Length) vg.Rectangle {
	return vg.Rectangle{Min: vg.Point{X: r.Min.X - by, Y: r.Min.Y - by}, Max: vg.Point{X: r.Max.X + by, Y: r.Max.Y + by}}
}
