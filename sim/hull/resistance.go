package hull

import (
	"fmt"
	"math"
	"sort"

	"ampwake/sim/units"
)

// metresPerSecond is one knot in m/s.
const metresPerSecond = 1852.0 / 3600

// Point is one point of a resistance curve.
type Point struct {
	Speed units.Knots // through the water
	Force units.Newtons
}

// Resistance is the resistance of a hull against her speed through the water:
// a table, interpolated linearly in (log speed, log force), so that between two
// points it is a power of speed. Beyond either end the power of the end interval
// goes on; above the table that is a guess. It never changes.
type Resistance struct {
	logV, logR []float64 // of knots and newtons, ascending
	power      []float64 // the exponent of each interval
	factor     float64
}

// NewResistance returns the curve through at least two points, in the order of
// rising speed.
//
// Errors: too few points, a speed or a force that is not positive or does not
// rise.
func NewResistance(points []Point) (*Resistance, error) {
	if len(points) < 2 {
		return nil, fmt.Errorf("resistance table has %d points: want at least 2", len(points))
	}
	r := &Resistance{factor: 1}
	for i, p := range points {
		v, f := float64(p.Speed), float64(p.Force)
		if !(v > 0 && f > 0) || math.IsInf(v, 0) || math.IsInf(f, 0) {
			return nil, fmt.Errorf("resistance at point %d is %v at %v: want a force above 0 N at a speed above 0 kn", i+1, p.Force, p.Speed)
		}
		r.logV = append(r.logV, math.Log(v))
		r.logR = append(r.logR, math.Log(f))
		if i == 0 {
			continue
		}
		dv, dr := r.logV[i]-r.logV[i-1], r.logR[i]-r.logR[i-1]
		if !(dv > 0 && dr > 0) {
			return nil, fmt.Errorf("resistance does not rise from %v at %v to %v at %v: want rising speeds and forces",
				points[i-1].Force, points[i-1].Speed, p.Force, p.Speed)
		}
		r.power = append(r.power, dr/dv)
	}
	return r, nil
}

// Times returns the curve with all forces times factor, for fouling, heel and
// waves: 1.3 to 1.6 at sea (common practice, no source). It panics on a factor
// that is not positive.
func (r *Resistance) Times(factor float64) *Resistance {
	if !(factor > 0) || math.IsInf(factor, 0) {
		panic("hull: factor of resistance must be positive")
	}
	s := *r
	s.factor *= factor
	return &s
}

// At returns the resistance at speed v, 0 at v <= 0.
func (r *Resistance) At(v units.Knots) units.Newtons { return units.Newtons(r.at(float64(v))) }

func (r *Resistance) at(v float64) float64 {
	force, _ := r.about(v)
	return force
}

// about returns the resistance at a speed and the power of speed that it follows
// there; 0 and the first power at no speed.
func (r *Resistance) about(v float64) (force, power float64) {
	if v <= 0 {
		return 0, r.power[0]
	}
	x := math.Log(v)
	i := r.interval(x)
	return r.factor * math.Exp(r.logR[i]+float64(r.power[i]*(x-r.logV[i]))), r.power[i]
}

// interval returns the interval to use for the logarithm of a speed.
func (r *Resistance) interval(x float64) int {
	return sort.Search(len(r.power)-1, func(i int) bool { return x < r.logV[i+1] })
}

// Near returns the power of speed that the curve follows about speed v > 0.
func (r *Resistance) Near(v units.Knots) PowerLaw {
	force, power := r.about(float64(v))
	return PowerLaw{Speed: v, Force: units.Newtons(force), Exponent: power}
}

// PowerLaw is a resistance that goes with a power of speed about a working
// point: R = Force (v/Speed)^Exponent.
type PowerLaw struct {
	Speed    units.Knots
	Force    units.Newtons
	Exponent float64
}

// SimpleLoss returns the speed lost to a drag T taken as constant,
// dv = v T/(n R): too much in light airs.
func (p PowerLaw) SimpleLoss(drag units.Newtons) units.Knots {
	return p.Speed * units.Knots(float64(drag)/(p.Exponent*float64(p.Force)))
}

// Loss returns the speed lost to a drag T that falls with the square of the
// speed, to first order: dv = v T/(n R + 2 T). It is a little less than the exact
// loss (see Resistance.Slowed), by 12 % of it where T is half of R.
func (p PowerLaw) Loss(drag units.Newtons) units.Knots {
	t := float64(drag)
	return p.Speed * units.Knots(t/(float64(p.Exponent*float64(p.Force))+float64(2*t)))
}
