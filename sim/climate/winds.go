package climate

import (
	"math"

	"ampwake/sim/units"
)

// Under returns the share of the time that the wind is under a speed, for the
// wind that [Synthetic] makes: a vector with Gaussian components about the mean
// vector, with the climate's mean speed and steadiness. It is made from these
// two, not counted: squalls and cyclones are not in it. A steadiness beyond 0.94
// counts as that.
func (c Cell) Under(speed units.Knots) units.Fraction {
	w := c.winds()
	return units.Fraction(w.under(float64(speed) / knotsPerMS))
}

// Speed returns the wind that is not reached in a share of the time: the inverse
// of Under, to 0.01 kn. A share must lie in (0, 1).
func (c Cell) Speed(share units.Fraction) units.Knots {
	if !(share > 0 && share < 1) {
		panic("climate: no such share of the time")
	}
	w := c.winds()
	low, high := 0.0, w.mean+8*w.sigma
	for high-low > 0.005/knotsPerMS {
		if m := (low + high) / 2; w.under(m) < float64(share) {
			low = m
		} else {
			high = m
		}
	}
	return units.Knots(knotsPerMS * (low + high) / 2)
}

// winds is the distribution of a vector wind in m/s: the length of its mean and
// the standard deviation of each component.
type winds struct{ mean, sigma float64 }

func (c Cell) winds() winds {
	var s spread
	s.blow(float64(c.WindSpeed)/knotsPerMS, float64(c.East)/knotsPerMS, float64(c.North)/knotsPerMS)
	return winds{math.Sqrt(float64(s.east*s.east) + float64(s.north*s.north)), s.sigma}
}

// under integrates the two Gaussians over the disc of a radius r: along the mean
// wind x = r sin t, and across it the error function to the rim,
//
//	P = ∫ φ((r sin t - mean)/σ) erf(r cos t/(σ√2)) (r cos t/σ) dt
//
// from -π/2 to π/2. The integrand has period π, so that the midpoint rule
// converges at once: 64 points give 1e-9 as long as r < 20 σ.
func (w winds) under(r float64) float64 {
	const points = 64
	switch {
	case r <= 0:
		return 0
	case r > w.mean+8*w.sigma:
		return 1
	}
	sum := 0.0
	for i := range points {
		sin, cos := math.Sincos(((float64(i)+0.5)/points - 0.5) * math.Pi)
		z := (float64(r*sin) - w.mean) / w.sigma
		across := r * cos / w.sigma
		sum += float64(math.Exp(-z*z/2) * math.Erf(across/math.Sqrt2) * across)
	}
	return min(1, sum*math.Pi/points/math.Sqrt(2*math.Pi))
}
