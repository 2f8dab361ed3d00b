package sources

import (
	"math"

	"ampwake/sim"
	"ampwake/sim/hull"
	"ampwake/sim/units"
)

// HydroGenerator is a water-driven generator, towed or on the transom. It
// makes power from the speed through the water as sailed, that is after its
// own drag has slowed the boat.
type HydroGenerator struct {
	name  string
	cutIn units.Knots

	// One of the two: a rotor's cube law, or a maker's curve.
	cube   float64 // W per kn³; 0: by curve
	spread units.Knots
	curve  table // W over kn

	clean     float64 // share of the output that weed leaves
	limit     float64 // W, +Inf: none
	limitAmps float64 // A at the bus, +Inf: none
	drag      float64 // N per kn²
}

// Name returns the name the generator was given.
func (h *HydroGenerator) Name() string { return h.name }

// Offer returns what the generator makes at c.Speed: nothing below the cut-in
// speed, never more than its limits. A limit in amperes of a rotor holds at the
// voltage of the bus. Whether it is in the water is the business of its rule.
func (h *HydroGenerator) Offer(c *sim.Conditions) sim.Supply {
	if c.Speed < h.cutIn || c.Speed <= 0 {
		return sim.Supply{}
	}
	var p float64
	if h.cube > 0 {
		p = h.cube * hull.MeanCube(c.Speed, h.spread)
	} else {
		p = h.curve.at(float64(c.Speed))
	}
	p = math.Min(p*h.clean, h.limit)
	if p > h.limitAmps*float64(c.Bus) {
		p = h.limitAmps * float64(c.Bus)
	}
	return sim.Supply{Power: units.Watts(p)}
}

// Drag returns the thrust of the rotor, 1/2 rho A CT v²; nothing for speeds not
// above 0 and for a maker's curve without a rotor. It is not reduced below the
// cut-in speed nor at the limit, which is the worst case: what a rotor at its
// limit does depends on whether its controller lets it run or brakes it.
func (h *HydroGenerator) Drag(v units.Knots) units.Newtons {
	if v <= 0 {
		return 0
	}
	return units.Newtons(h.drag * float64(v*v))
}
