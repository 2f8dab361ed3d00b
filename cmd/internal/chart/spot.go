package chart

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
)

// spot is a point of the map with words about it.
type spot struct {
	text string
	st   style
	at   vg.Point
	must bool // better over the track than not at all
	gap  vg.Length
}

// obstacles are what words keep off: lines and dots if at all possible, other
// lines if there is a choice.
type obstacles struct {
	hard, soft [][]vg.Point
	dots       []vg.Point
}

// beside finds where words about a point stand best: near it, on no other words,
// and on as little else as may be. hits counts what they hide.
func (x *spot) beside(s *scene, room vg.Rectangle, avoid *obstacles) (best word, hits int, found bool) {
	const directions = 16
	least := math.Inf(1)
	width, rise := x.st.width(x.text), x.st.size*capHeight
	for _, far := range []vg.Length{x.gap, 1.7 * x.gap, 2.8 * x.gap} {
		for k := range directions {
			// The corner or the side of the words that faces the spot, far from it.
			sin, cos := math.Sincos(float64(k) * 2 * math.Pi / directions)
			at := vg.Point{
				X: x.at.X + far*vg.Length(cos) - width*facing(cos),
				Y: x.at.Y + far*vg.Length(sin) - rise*facing(sin),
			}
			w := put(x.text, x.st, left, at.X, at.Y)
			clear := grown(w.box, 1)
			clear.Min.X, clear.Max.X = clear.Min.X-3, clear.Max.X+3 // or two read as one
			if !within(grown(w.box, 1), room) || !s.free(clear) {
				continue
			}
			n := crossings(grown(w.box, 1), avoid.hard)
			for _, d := range avoid.dots {
				if g := grown(w.box, 3); d != x.at && d.X > g.Min.X && d.X < g.Max.X && d.Y > g.Min.Y && d.Y < g.Max.Y {
					n += 8
				}
			}
			soft := crossings(grown(w.box, -1.5), avoid.soft)
			// To the right is where the eye looks first.
			if cost := 5*float64(n) + 0.5*float64(soft) + float64(far) + 0.4*(1-cos); cost < least {
				best, least, hits, found = w, cost, n, true
			}
		}
	}
	return best, hits, found
}

// facing returns which share of words lies before the point that faces a spot,
// in a direction given by its cosine.
func facing(cos float64) vg.Length {
	switch {
	case cos > 0.4:
		return 0
	case cos < -0.4:
		return 1
	}
	return 0.5
}

// disc returns a round spot.
func disc(at vg.Point, r vg.Length) []vg.Point {
	ring := make([]vg.Point, 20)
	for i := range ring {
		sin, cos := math.Sincos(float64(i) * math.Pi / 10)
		ring[i] = vg.Point{X: at.X + r*vg.Length(cos), Y: at.Y + r*vg.Length(sin)}
	}
	return ring
}

// cross draws a slanting cross.
func cross(s *scene, at vg.Point, r vg.Length, c color.RGBA, width vg.Length) {
	s.segment(at.X-r, at.Y-r, at.X+r, at.Y+r, c, width)
	s.segment(at.X-r, at.Y+r, at.X+r, at.Y-r, c, width)
}
