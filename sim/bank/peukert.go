package bank

import (
	"math"

	"ampwake/sim/units"
)

// Peukert is the old law of capacity against current, t = H (C/(I H))^n. It is
// here to compare with data sheets: the step uses the two tanks instead. It
// overstates the capacity at currents under the rated one; a measured battery
// showed none of it between C/37 and C/6.
type Peukert struct {
	Capacity units.AmpHours // at the current that lasts Hours, > 0
	Hours    units.Hours    // > 0
	Exponent float64        // >= 1: AGM 1.05-1.15, gel 1.10-1.25, flooded 1.2-1.6
}

// PeukertExponent returns the exponent from two tests of a current and the time
// it lasted.
func PeukertExponent(i1 units.Amps, t1 units.Hours, i2 units.Amps, t2 units.Hours) float64 {
	return math.Log(float64(t2/t1)) / math.Log(float64(i1/i2))
}

// Lasts returns how long the full battery carries the current i > 0.
func (p Peukert) Lasts(i units.Amps) units.Hours {
	return p.Hours * units.Hours(math.Pow(float64(p.Capacity)/(float64(i)*float64(p.Hours)), p.Exponent))
}

// Delivers returns the charge the full battery delivers at the current i > 0,
// never more than qmax.
func (p Peukert) Delivers(i units.Amps, qmax units.AmpHours) units.AmpHours {
	return min(units.AmpHours(float64(i)*float64(p.Lasts(i))), qmax)
}
