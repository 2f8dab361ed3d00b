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
	pull, power := r.about(float64(v0))
	// What is lacking to keep up v0 when sailing at v, which rises with v, and its
	// slope: resistance goes with a power of speed, the drag about with its square.
	lacking := func(v float64) (excess, slope float64) {
		force, n := r.about(v)
		t := float64(drag(units.Knots(v)))
		return force + t - pull, (float64(n*force) + float64(2*t)) / v
	}
	t := float64(drag(v0))
	if t <= 0 {
		return v0
	}
	if float64(drag(0)) >= pull {
		return 0
	}
	lo, hi := 0.0, float64(v0)
	v, at, slope := hi, t, (float64(power*pull)+float64(2*t))/hi
	for range 200 {
		next := v - at/slope
		if !(next > lo && next < hi) {
			next = (lo + hi) / 2
		}
		if math.Abs(next-v) < 1e-10 || hi-lo < 1e-9 {
			return units.Knots(next)
		}
		last := math.Abs(at)
		v = next
		if at, slope = lacking(v); math.Abs(at) > last/2 { // a jump of the drag: halve
			lo, hi = bracket(lo, hi, v, at)
			v = (lo + hi) / 2
			at, slope = lacking(v)
		}
		if at == 0 {
			return units.Knots(v)
		}
		lo, hi = bracket(lo, hi, v, at)
	}
	return units.Knots((lo + hi) / 2)
}

// bracket narrows [lo, hi] to the side of v on which the excess changes sign.
func bracket(lo, hi, v, excess float64) (float64, float64) {
	if excess < 0 {
		return v, hi
	}
	return lo, v
}

// The grid of a Slowing: speeds up to 16 kn, 64 to the knot.
const (
	perKnot = 64
	top     = 16
)

// Slowing is Resistance.Slowed for one drag on a fine grid, interpolated linearly:
// cheap enough for a speed that changes with every breath of wind. A point of the
// grid is worked out when it is first asked for, so a Slowing belongs to one
// goroutine; the drag must always be the same.
type Slowing struct {
	kept       []float64 // knots; NaN: not yet asked for
	resistance *Resistance
	drag       func(units.Knots) units.Newtons
}

// NewSlowing returns the speeds kept with the given drag.
func NewSlowing(r *Resistance, drag func(units.Knots) units.Newtons) *Slowing {
	s := &Slowing{kept: make([]float64, top*perKnot+1), resistance: r, drag: drag}
	for i := range s.kept {
		s.kept[i] = math.NaN()
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
	a, b := s.point(i), s.point(i+1)
	return units.Knots(a + float64((b-a)*(x-float64(i))))
}

// point returns a point of the grid.
func (s *Slowing) point(i int) float64 {
	if math.IsNaN(s.kept[i]) {
		s.kept[i] = float64(s.resistance.Slowed(units.Knots(i)/perKnot, s.drag))
	}
	return s.kept[i]
}
