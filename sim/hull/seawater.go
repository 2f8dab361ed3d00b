package hull

import (
	"math"

	"ampwake/sim/units"
)

// SeawaterDensity returns the density of sea water at atmospheric pressure,
// kg/m³, for a practical salinity in [0, 42] and a temperature in [-2 °C, 40 °C].
// [Fofonoff and Millard 1983], the international equation of state EOS-80, with
// the temperature taken as it is measured today (the scale of 1968 differs by
// 0.02 %). A quantity outside the ranges is extrapolated.
func SeawaterDensity(salinity float64, temperature units.Celsius) float64 {
	t, s := float64(temperature), math.Max(0, salinity)
	fresh := 999.842594 + t*(6.793952e-2+t*(-9.095290e-3+t*(1.001685e-4+t*(-1.120083e-6+t*6.536332e-9))))
	a := 8.24493e-1 + t*(-4.0899e-3+t*(7.6438e-5+t*(-8.2467e-7+t*5.3875e-9)))
	b := -5.72466e-3 + t*(1.0227e-4-t*1.6546e-6)
	return fresh + float64(a*s) + float64(b*s*math.Sqrt(s)) + float64(4.8314e-4*s*s)
}
