package sources

import (
	"fmt"

	"ampwake/sim/hull"
	"ampwake/sim/units"
)

// Curve describes a water generator by the output its maker prints.
type Curve struct {
	Name   string
	Points []CurvePoint // by rising speed
	// Volts is the voltage at which the currents are stated; 0: 14 V. The power
	// they give is offered whatever the voltage of the bus.
	Volts     units.Volts
	CutIn     units.Knots // no output below; 0: below the first point
	Limit     units.Watts // 0: none
	LimitAmps units.Amps  // at Volts; 0: none
	// Fouling is the share of the output that weed and growth take, [0, 1]. The
	// limits cut what is left.
	Fouling units.Fraction
	// Rotor is there for the drag; without a Diameter there is none. Its CP is
	// not used: the curve tells what it takes.
	Rotor hull.Rotor
}

// CurvePoint is one point of a maker's curve: a current or a power.
type CurvePoint struct {
	Speed   units.Knots // through the water
	Current units.Amps
	Power   units.Watts
}

// NewCurve returns the generator with that curve: linear between the points,
// nothing below the first, level beyond the last. Where the rotor is given, it
// refuses a curve that takes more from the water than Betz's limit, and a CT too
// low for what it takes.
func NewCurve(m Curve) (*HydroGenerator, error) {
	if m.Volts == 0 {
		m.Volts = 14
	}
	x, y := make([]float64, len(m.Points)), make([]float64, len(m.Points))
	for i, p := range m.Points {
		if p.Current != 0 && p.Power != 0 {
			return nil, fmt.Errorf("%s: point %d of the curve has a current and a power, want one", m.Name, i+1)
		}
		x[i], y[i] = float64(p.Speed), float64(p.Power)+float64(p.Current)*float64(m.Volts)
	}
	curve, err := newTable(x, y)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", m.Name, err)
	}
	err = refuse(m.Name,
		check{positive(m.Volts), "the voltage of the curve must be above 0"},
		check{nonNegative(m.CutIn), "the cut-in speed must not be negative"},
		check{nonNegative(m.Limit) && nonNegative(m.LimitAmps), "a limit must not be negative"},
		check{nonNegative(m.Fouling) && m.Fouling <= 1, "the fouling must lie between 0 and 100 %"},
	)
	if err != nil {
		return nil, err
	}
	h := &HydroGenerator{
		name:      m.Name,
		cutIn:     max(m.CutIn, m.Points[0].Speed),
		curve:     curve,
		clean:     1 - float64(m.Fouling),
		limit:     min(orInf(float64(m.Limit)), orInf(float64(m.LimitAmps)*float64(m.Volts))),
		limitAmps: orInf(0),
	}
	if m.Rotor.Diameter == 0 {
		return h, nil
	}
	disc := m.Rotor
	disc.CP = 1 // to get what a rotor would have to take whole
	taken := 0.0
	for i, p := range m.Points {
		if p.Speed > 0 {
			taken = max(taken, min(y[i], h.limit)/float64(disc.Shaft(p.Speed)))
		}
	}
	disc.CP = max(taken, 1e-9) // the shaft gives at least what the bus gets
	if err := disc.Check(); err != nil {
		return nil, fmt.Errorf("%s, by its curve: %w", m.Name, err)
	}
	h.drag = float64(m.Rotor.Thrust(1))
	return h, nil
}
