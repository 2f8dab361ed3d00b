package chart

import (
	"slices"

	"gonum.org/v1/plot/vg"
)

const (
	fieldLeft  vg.Length = 30
	fieldBelow vg.Length = 26
	fieldRight vg.Length = 10
)

// layout places all there is on a page of a size.
func (p *Field) layout(width, height vg.Length) *scene {
	s := &scene{width: width}
	page := Page{Title: p.Title, Facts: p.Facts, Caption: p.Caption, Remarks: p.Remarks}
	top := page.heading(s, width, height)
	page.panelTitle(s, &Panel{Title: p.Name, About: p.About}, edge, width-edge, top-titleRow+4)
	top -= titleRow
	page.footer(s, width)
	s.text(aboutStyle.cut(p.Y.Name, width-2*edge), tickStyle.in(ink), left, edge, top-tickStyle.size)
	top -= titleRow
	f := frame{x0: p.X.Min, x1: p.X.Max, y0: p.Y.Min, y1: p.Y.Max}
	f.data = vg.Rectangle{
		Min: vg.Point{X: edge + fieldLeft, Y: edge + foot + fieldBelow},
		Max: vg.Point{X: width - edge - fieldRight, Y: max(top, edge+foot+fieldBelow+30)},
	}
	f.whole = f.data
	lines := p.paint(s, &f)
	p.axes(s, &f)
	p.number(s, &f, lines)
	return s
}

// isoline is the lines of one level on the page.
type isoline struct {
	level float64
	lines [][]vg.Point
}

// paint fills the ranges between levels and returns the lines of the levels.
func (p *Field) paint(s *scene, f *frame) []isoline {
	r := &raster{columns: len(p.Values[0]), rows: len(p.Values)}
	for _, row := range p.Values {
		r.v = append(r.v, row...)
	}
	if p.Smooth {
		r = r.finer(5)
	}
	w, h := f.data.Max.X-f.data.Min.X, f.data.Max.Y-f.data.Min.Y
	onPage := func(knots []knot) []vg.Point {
		line := make([]vg.Point, len(knots))
		for i, k := range knots {
			line[i] = vg.Point{
				X: f.data.Min.X + w*vg.Length(k.x/float64(r.columns-1)),
				Y: f.data.Min.Y + h*vg.Length(k.y/float64(r.rows-1)),
			}
		}
		return slim(line, 0.05)
	}
	colours := fills(p.Levels)
	s.rect(f.data, colours[0])
	var out []isoline
	for i, level := range p.Levels {
		var rings [][]vg.Point
		iso := isoline{level: level}
		for _, o := range r.above(level) {
			rings = append(rings, onPage(o.knots))
			for _, line := range o.lines() {
				iso.lines = append(iso.lines, onPage(line))
			}
		}
		s.region(rings, colours[i+1])
		out = append(out, iso)
	}
	return out
}

// axes draws the hairlines, the numbers and the names of the axes.
func (p *Field) axes(s *scene, f *frame) {
	tick := func(a *FieldAxis, at float64) bool { return at > a.Min && at < a.Max }
	c := over(ink, white, 0.13)
	for _, x := range p.X.lines() {
		if tick(&p.X, x) {
			s.segment(f.x(x), f.data.Min.Y, f.x(x), f.data.Max.Y, c, 0.4)
		}
	}
	for _, y := range p.Y.lines() {
		if tick(&p.Y, y) {
			s.segment(f.data.Min.X, f.y(y), f.data.Max.X, f.y(y), c, 0.4)
		}
	}
	s.stroke([]vg.Point{f.data.Min, {X: f.data.Max.X, Y: f.data.Min.Y}, f.data.Max, {X: f.data.Min.X, Y: f.data.Max.Y}, f.data.Min}, quiet, 0.5)
	base := f.data.Min.Y - tickStyle.size - 2
	for _, t := range p.X.Ticks {
		if w := put(t.Label, tickStyle.in(ink), centre, f.x(t.At), base); s.free(grown(w.box, 1.5)) {
			s.add(w)
		}
	}
	for _, t := range p.Y.Ticks {
		if w := put(t.Label, tickStyle.in(ink), right, f.data.Min.X-nameGap, f.y(t.At)-tickStyle.size*capHeight/2); s.free(w.box) {
			s.add(w)
		}
	}
	s.text(p.X.Name, tickStyle.in(ink), right, f.data.Max.X, base-tickStyle.size-3)
}

// lines returns where an axis has hairlines.
func (a *FieldAxis) lines() []float64 {
	if a.Bare {
		return a.Lines
	}
	var out []float64
	for _, t := range a.Ticks {
		out = append(out, t.At)
	}
	return out
}

// number draws the lines of the levels with gaps for their numbers, then paths
// and points.
func (p *Field) number(s *scene, f *frame, isos []isoline) {
	// Lines of points a point and a half apart: gaps can be cut anywhere.
	for i := range isos {
		for k, line := range isos[i].lines {
			isos[i].lines[k] = dense(line, 1.5)
		}
	}
	var avoid obstacles
	for _, path := range p.Paths {
		for _, line := range path.pieces(f) {
			avoid.hard = append(avoid.hard, dense(line, 1.5))
		}
	}
	for _, x := range p.Points {
		avoid.dots = append(avoid.dots, vg.Point{X: f.x(x.X), Y: f.y(x.Y)})
	}
	// Words of points and paths go first: they have less choice.
	type gap struct{ box vg.Rectangle }
	var gaps []gap
	var iso [][]vg.Point
	for _, o := range isos {
		iso = append(iso, o.lines...)
	}
	var words []word
	say := func(x spot) {
		around := obstacles{hard: avoid.hard, soft: iso, dots: avoid.dots}
		w, _, found := x.beside(s, f.data, &around)
		if !found {
			return
		}
		gaps = append(gaps, gap{grown(w.box, 1.5)})
		s.add(w)
		words = append(words, w)
	}
	marks := len(s.shapes)
	for _, x := range p.Points {
		say(spot{text: x.Label, st: pointStyle, at: vg.Point{X: f.x(x.X), Y: f.y(x.Y)}, must: true, gap: 7})
	}
	for _, path := range p.Paths {
		n := len(path.X) - 1
		say(spot{text: path.Label, st: endStyle, at: vg.Point{X: f.x(path.X[n]), Y: f.y(path.Y[n])}, must: true, gap: 7})
	}
	said := slices.Clone(s.shapes[marks:])
	s.shapes = s.shapes[:marks]
	for i, o := range isos {
		st, text := tickStyle.in(ink), signed(o.level)
		if o.level == 0 {
			st, text = pointStyle, p.Zero
		}
		others := slices.Clone(avoid.hard)
		for k := range isos {
			if k != i {
				others = append(others, isos[k].lines...)
			}
		}
		named := false
		for _, line := range o.lines {
			for _, w := range onLine(s, f.data, line, text, st, others, avoid.dots) {
				gaps = append(gaps, gap{grown(w.box, 1)})
				said = append(said, shape{words: len(s.words)})
				s.words = append(s.words, w)
				named = true
			}
		}
		if o.level == 0 && !named && len(o.lines) > 0 {
			// In a crowd the one line that matters has its name beside it.
			line := slices.MaxFunc(o.lines, func(a, b []vg.Point) int { return len(a) - len(b) })
			x := spot{text: text, st: st, at: line[len(line)/2], gap: 8}
			if w, _, found := x.beside(s, f.data, &obstacles{hard: append(others, o.lines...), dots: avoid.dots}); found {
				gaps = append(gaps, gap{grown(w.box, 1)})
				said = append(said, shape{words: len(s.words)})
				s.words = append(s.words, w)
			}
		}
	}
	for _, o := range isos {
		width, c := vg.Length(0.55), over(ink, white, 0.75)
		if o.level == 0 {
			width, c = 2, ink
		}
		for _, line := range o.lines {
			var piece []vg.Point
			for _, at := range line {
				if slices.ContainsFunc(gaps, func(g gap) bool { return holds(g.box, at) }) {
					s.stroke(piece, c, width)
					piece = nil
					continue
				}
				piece = append(piece, at)
			}
			s.stroke(piece, c, width)
		}
	}
	for _, path := range p.Paths {
		for _, line := range path.pieces(f) {
			s.stroke(line, white, 3.4)
			s.stroke(line, stock.Ink, 1.8)
		}
		n := len(path.X) - 1
		s.area(disc(vg.Point{X: f.x(path.X[0]), Y: f.y(path.Y[0])}, 2.4), stock.Ink)
		s.area(disc(vg.Point{X: f.x(path.X[n]), Y: f.y(path.Y[n])}, 3.4), stock.Ink)
		s.area(disc(vg.Point{X: f.x(path.X[n]), Y: f.y(path.Y[n])}, 1.8), white)
	}
	for _, x := range p.Points {
		at := vg.Point{X: f.x(x.X), Y: f.y(x.Y)}
		s.area(disc(at, 4), white)
		s.area(disc(at, 3), ink)
	}
	s.shapes = append(s.shapes, said...)
}
