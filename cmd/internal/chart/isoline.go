package chart

import (
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
)

// pieces returns the path on the page, cut where it goes over the edge on the
// right and comes in again on the left.
func (p *FieldPath) pieces(f *frame) [][]vg.Point {
	var out [][]vg.Point
	var line []vg.Point
	for i := range p.X {
		if i > 0 && math.Abs(p.X[i]-p.X[i-1]) > (f.x1-f.x0)/2 {
			out, line = append(out, line), nil
		}
		line = append(line, vg.Point{X: f.x(p.X[i]), Y: f.y(p.Y[i])})
	}
	return append(out, line)
}

// dense returns a line with points no farther apart than a step.
func dense(line []vg.Point, step float64) []vg.Point {
	var out []vg.Point
	for i, b := range line {
		if i > 0 {
			a := line[i-1]
			n := int(math.Ceil(math.Hypot(float64(b.X-a.X), float64(b.Y-a.Y)) / step))
			for k := 1; k < n; k++ {
				u := vg.Length(k) / vg.Length(n)
				out = append(out, vg.Point{X: a.X + u*(b.X-a.X), Y: a.Y + u*(b.Y-a.Y)})
			}
		}
		out = append(out, b)
	}
	return out
}

func holds(r vg.Rectangle, p vg.Point) bool {
	return p.X >= r.Min.X && p.X <= r.Max.X && p.Y >= r.Min.Y && p.Y <= r.Max.Y
}

// onLine finds where the number of a line stands: on it, where it runs level
// and far from others; twice on a long line, not at all on a short one.
func onLine(s *scene, room vg.Rectangle, line []vg.Point, text string, st style, others [][]vg.Point, dots []vg.Point) []word {
	const step = 1.5
	length := step * float64(len(line))
	width, rise := st.width(text), st.size*capHeight
	if text == "" || length < 1.5*float64(width) {
		return nil
	}
	parts := 1 + int(length/600)
	var out []word
	for part := range parts {
		from, to := len(line)*part/parts, len(line)*(part+1)/parts
		least := math.Inf(1)
		var best word
		for i := from; i < to; i += 3 {
			at := line[i]
			w := put(text, st, centre, at.X, at.Y-rise/2)
			if !within(grown(w.box, 2), room) || !s.free(grown(w.box, 2)) {
				continue
			}
			if slices.ContainsFunc(out, func(o word) bool { return !apart(o.box, grown(w.box, 40)) }) {
				continue
			}
			if slices.ContainsFunc(dots, func(d vg.Point) bool { return holds(grown(w.box, 5), d) }) {
				continue
			}
			// How much of the line the words hide, and how far it is from the
			// middle.
			hidden := 0
			for _, x := range line {
				if holds(w.box, x) {
					hidden++
				}
			}
			cost := 4*float64(crossings(grown(w.box, 1), others)) + 0.5*float64(hidden) +
				10*math.Abs(float64(i-(from+to)/2))/float64(to-from)
			if cost < least {
				best, least = w, cost
			}
		}
		if least < 60 {
			out = append(out, best)
		}
	}
	return out
}
