package sources

import (
	"fmt"
	"math"

	"ampwake/sim/units"
)

// TypicalOutput returns the share of its rated cold output that an alternator
// gives at its own speed in turns a minute: 0 up to 1000, then
// 1 - exp(-(rpm - 1000)/1500), about half at 2000 and 96 % at 6000. The shape is
// common practice, no source.
func TypicalOutput(rpm float64) units.Fraction {
	if !(rpm > 1000) {
		return 0
	}
	return units.Fraction(-math.Expm1(-(rpm - 1000) / 1500))
}

// outputCurve returns the share of the rated output over the alternator's speed.
func outputCurve(name string, points []OutputPoint) (func(rpm float64) float64, error) {
	if len(points) == 0 {
		return func(rpm float64) float64 { return float64(TypicalOutput(rpm)) }, nil
	}
	x, y := make([]float64, len(points)), make([]float64, len(points))
	for i, p := range points {
		x[i], y[i] = p.RPM, float64(p.Share)
		if p.Share > 1 {
			return nil, fmt.Errorf("%s: point %d of the output curve is above 100 %%", name, i+1)
		}
	}
	t, err := newTable(x, y)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return t.at, nil
}

// LitresPerKWh converts a specific fuel consumption in g/kWh to litres for a
// kWh, with the density of the fuel in kg/L (diesel 0.82 to 0.845 at 15 °C,
// from memory of EN 590). Catalogue figures of 250 to 300 g/kWh are for a good
// load: charging a bank burns 400 to 700 g for each kWh at the shaft.
func LitresPerKWh(gramsPerKWh, kilogramsPerLitre float64) float64 {
	return gramsPerKWh / 1000 / kilogramsPerLitre
}
