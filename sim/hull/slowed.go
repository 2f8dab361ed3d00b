package hull

import (
	"math"

	"ampwake/sim/units"
)

// Slowed returns the speed a boat keeps that would sail at v0 without the given
// drag: v1 in R(v1) + drag(v1) = R(v0), the sails pulling as before. Downwind a
// slower boat feels more wind and gets some of it back, so this is the most she
// loses. drag is asked for speeds in [0, v0] and is taken to be nought or more
// and not to fall as speed rises; where it jumps, the jump is found.
//
// Special cases: v0 <= 0 and a drag of 0 at v0 return v0; a drag at rest above
// R(v0) returns 0. Accuracy: 1e-9 kn.
func (r *Resistance) Slowed(v0 units.Knots, drag func(units.Knots) units.Newtons) units.Knots {
	if !(v0 > 0) {
		return v0
	}
	pull := r.at(float64(v0))
	// What is lacking to keep up v; it rises with v.
	excess := func(v float64) float64 { return r.at(v) + float64(drag(units.Knots(v))) - pull }
	lo, hi := 0.0, float64(v0)
	atLo, atHi := excess(lo), excess(hi)
	switch {
	case atHi <= 0:
		return v0
	case atLo >= 0:
		return 0
	}
	// [Ridders 1979]: false position on what is left after an exponential has
	// been divided out. Each round at least halves the bracket.
	for range 60 {
		mid := (lo + hi) / 2
		atMid := excess(mid)
		if atMid == 0 {
			return units.Knots(mid)
		}
		x := mid - (mid-lo)*atMid/math.Sqrt(float64(atMid*atMid)-float64(atLo*atHi))
		atX := excess(x)
		for _, p := range [2][2]float64{{mid, atMid}, {x, atX}} {
			if p[1] <= 0 && p[0] > lo {
				lo, atLo = p[0], p[1]
			}
			if p[1] >= 0 && p[0] < hi {
				hi, atHi = p[0], p[1]
			}
		}
		if hi-lo < 1e-9 || math.Abs(atX) <= 1e-13*pull {
			return units.Knots(x)
		}
	}
	return units.Knots((lo + hi) / 2)
}

// The grid of a Slowing: speeds up to 16 kn, 64 to the knot.
const (
	perKnot = 64
	top     = 16
)

// Slowing is Resistance.Slowed for one drag, worked out beforehand on a fine
// grid and interpolated linearly: cheap enough for a speed that changes with
// every step. It never changes; the drag must not either.
type Slowing struct {
	kept       []float64 // knots
	resistance *Resistance
	drag       func(units.Knots) units.Newtons
}

// NewSlowing returns the table of speeds kept with the given drag.
func NewSlowing(r *Resistance, drag func(units.Knots) units.Newtons) *Slowing {
	s := &Slowing{kept: make([]float64, top*perKnot+1), resistance: r, drag: drag}
	for i := range s.kept {
		s.kept[i] = float64(r.Slowed(units.Knots(i)/perKnot, drag))
	}
	return s
}

// At returns the speed kept by a boat that would sail at v0 without the drag.
// It is within 0.0015 kn of Resistance.Slowed for a drag without jumps (worst
// where the table of resistance has a corner), and
// exact above 16 kn. It does not allocate.
func (s *Slowing) At(v0 units.Knots) units.Knots {
	x := float64(v0) * perKnot
	if !(x > 0) {
		return v0
	}
	if x >= top*perKnot {
		return s.resistance.Slowed(v0, s.drag)
	}
	i := int(x)
	a, b := s.kept[i], s.kept[i+1]
	return units.Knots(a + float64((b-a)*(x-float64(i))))
}
