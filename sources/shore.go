package sources

import (
	"ampwake/sim"
	"ampwake/sim/units"
)

// ShoreCharger is a charger on shore power: it works only alongside, and makes
// only what the bus takes.
type ShoreCharger struct {
	name  string
	power units.Watts
}

// NewShoreCharger returns a charger with that output at the bus, which must be
// above 0.
func NewShoreCharger(name string, power units.Watts) (*ShoreCharger, error) {
	if err := refuse(name, check{positive(power), "the output must be above 0"}); err != nil {
		return nil, err
	}
	return &ShoreCharger{name, power}, nil
}

// Name returns the name the charger was given.
func (s *ShoreCharger) Name() string { return s.name }

// Offer returns the output alongside and nothing elsewhere.
func (s *ShoreCharger) Offer(c *sim.Conditions) sim.Supply {
	if c.State != sim.Alongside {
		return sim.Supply{}
	}
	return sim.Supply{Power: s.power}
}

// Follows marks the charger as one that makes only what the bus takes.
func (s *ShoreCharger) Follows() {}
