package loads

import (
	"fmt"

	"ampwake/sim"
	"ampwake/sim/units"
)

// Shedding is the sim.Rule of a load that the crew does without while the charge
// is low. Loads with a higher limit go first and come back last.
type Shedding struct{ below, above units.Fraction }

// NewShedding returns the rule: off under below, on again from above.
func NewShedding(below, above units.Fraction) (*Shedding, error) {
	if !(below > 0 && below <= above && above <= 1) {
		return nil, fmt.Errorf("off under %v of charge and back over %v: want rising shares above 0", below, above)
	}
	return &Shedding{below, above}, nil
}

// Decide implements sim.Rule.
func (s *Shedding) Decide(c *sim.Conditions, inUse bool, _ units.Hours) (use bool, why string) {
	switch {
	case c.Charge < s.below:
		return false, "low charge"
	case c.Charge >= s.above:
		return true, "charge enough"
	}
	return inUse, "as it was"
}
