package chart

import (
	"image/color"
	"slices"

	"gonum.org/v1/plot/vg"

	"ampwake/sim"
	"ampwake/sim/units"
)

// horizon is the true elevation of the sun's centre at sunrise and sunset:
// refraction 34' and half the disc 16' (Meeus, Astronomical Algorithms, 1998,
// chapter 15).
const horizon units.Degrees = -0.8333

// Nights returns when the sun was below the horizon. A day without sunset gives
// none and one without sunrise runs into the next.
func Nights(t *sim.Trace) []Span {
	var out []Span
	for i := 0; i+1 < len(t.Time) && i < len(t.Sun); i++ {
		if t.Sun[i] >= horizon {
			continue
		}
		from, to := seconds(t.Time[i]), seconds(t.Time[i+1])
		if n := len(out); n > 0 && out[n-1].To >= from {
			out[n-1].To = to
		} else {
			out = append(out, Span{from, to})
		}
	}
	return out
}

// nights shades the nights behind a panel.
func (p *Page) nights(s *scene, f *frame) {
	for _, n := range p.Nights {
		s.rect(vg.Rectangle{
			Min: vg.Point{X: f.x(n.From), Y: f.whole.Min.Y},
			Max: vg.Point{X: f.x(n.To), Y: f.whole.Max.Y},
		}, night)
	}
}

// shade fills what lies between a level and a line below it. Colours are
// opaque, so the piece of it that falls into a night is mixed over the night.
func shade(s *scene, f *frame, line Series, level float64, nights []Span) {
	if len(line.X) < 2 {
		return
	}
	from, to := line.X[0], line.X[len(line.X)-1]
	cuts := []float64{from}
	dark := []bool{false}
	for _, n := range nights {
		if n.To <= from || n.From >= to {
			continue
		}
		cuts = append(cuts, max(n.From, from), min(n.To, to))
		dark = append(dark, true, false)
	}
	cuts = append(cuts, to)
	for k := range dark {
		fill := under
		if dark[k] {
			fill = over(alarm.Fill, night, 0.35)
		}
		fillBelow(s, f, piece(line, cuts[k], cuts[k+1]), level, fill)
	}
}

// piece returns the part of a line between two times, with its ends
// interpolated.
func piece(l Series, from, to float64) Series {
	var out Series
	if to <= from {
		return out
	}
	i, _ := slices.BinarySearch(l.X, from)
	out.X, out.Y = append(out.X, from), append(out.Y, valueAt(l, from))
	for ; i < len(l.X) && l.X[i] < to; i++ {
		if l.X[i] > from {
			out.X, out.Y = append(out.X, l.X[i]), append(out.Y, l.Y[i])
		}
	}
	out.X, out.Y = append(out.X, to), append(out.Y, valueAt(l, to))
	return out
}

// valueAt returns a line's value at a time, that of the ends beyond them.
func valueAt(l Series, t float64) float64 {
	i, hit := slices.BinarySearch(l.X, t)
	switch {
	case hit || i == 0:
		return l.Y[min(i, len(l.Y)-1)]
	case i == len(l.X):
		return l.Y[i-1]
	}
	u := (t - l.X[i-1]) / (l.X[i] - l.X[i-1])
	return l.Y[i-1] + u*(l.Y[i]-l.Y[i-1])
}

// fillBelow fills the runs of a line below a level.
func fillBelow(s *scene, f *frame, l Series, level float64, fill color.RGBA) {
	var ring []vg.Point
	flush := func() {
		s.area(ring, fill)
		ring = nil
	}
	add := func(x, y float64) { ring = append(ring, vg.Point{X: f.x(x), Y: f.y(y)}) }
	for i := range l.X {
		below := l.Y[i] < level
		if i > 0 && below != (l.Y[i-1] < level) {
			x := l.X[i-1] + (level-l.Y[i-1])/(l.Y[i]-l.Y[i-1])*(l.X[i]-l.X[i-1])
			add(x, level)
			if !below {
				flush()
			}
		} else if i == 0 && below {
			add(l.X[0], level)
		}
		if below {
			add(l.X[i], l.Y[i])
		}
	}
	if len(ring) > 0 {
		add(l.X[len(l.X)-1], level)
		flush()
	}
}
