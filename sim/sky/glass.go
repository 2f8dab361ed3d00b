package sky

import (
	"math"

	"ampwake/sim/units"
)

// ASHRAE returns the share of the beam that passes the glass at an incidence
// with the given cosine: [Souka 1966], 1 - b0 (1/cos - 1), at least 0; 0 from
// behind. b0 = 0.05 is usual and reaches 0 at 87.3°.
func ASHRAE(cosIncidence, b0 float64) units.Fraction {
	return units.Fraction(ashrae(cosIncidence, b0))
}

func ashrae(cosI, b0 float64) float64 {
	if cosI <= 0 {
		return 0
	}
	return max(0, 1-float64(b0*(1/cosI-1)))
}

// MartinRuiz returns the same by [Martin 2001]: better than ASHRAE past 75°.
// ar is about 0.16 for ordinary glass.
func MartinRuiz(cosIncidence, ar float64) units.Fraction {
	if cosIncidence <= 0 {
		return 0
	}
	return units.Fraction((1 - math.Exp(-cosIncidence/ar)) / (1 - math.Exp(-1/ar)))
}

// MartinRuizDiffuse returns the shares of the sky's and of the sea's light that
// pass the glass of a plane tilted by [0°, 180°]: [Martin 2001] with the second
// coefficient of IEC 61853-3. The sea's share is 0 for a flat plane, which does
// not see it.
func MartinRuizDiffuse(tilt units.Degrees, ar float64) (sky, sea units.Fraction) {
	b := float64(tilt) * rad
	sin, cos := math.Sincos(b)
	c2 := 0.5*ar - 0.154
	pass := func(T float64) units.Fraction {
		return units.Fraction(1 - math.Exp(-(0.4244+c2*T)*T/ar))
	}
	const edge = 1e-6
	if 1+cos > edge {
		sky = pass(sin + (math.Pi-b-sin)/(1+cos))
	}
	if 1-cos > edge {
		sea = pass(sin + (b-sin)/(1-cos))
	}
	return sky, sea
}
