package sources

import (
	"fmt"
	"math"

	"ampwake/sim/hull"
	"ampwake/sim/units"
)

// Rotor describes a water generator by its rotor.
type Rotor struct {
	Name string
	hull.Rotor
	Efficiency units.Fraction // from shaft to bus, (0, 1]
	CutIn      units.Knots    // no output below
	Limit      units.Watts    // 0: none
	LimitAmps  units.Amps     // at the voltage of the bus; 0: none
	// Spread is the standard deviation of the speed about its mean within a
	// step, since a mean speed understates a cube law (hull.MeanCube). Trades:
	// 0.5 to 1 kn (common practice, no source). It raises the output, not the
	// cut-in, the limits or the drag.
	Spread units.Knots
	// Fouling is the share of the output that weed and growth take, [0, 1]. The
	// limits cut what is left. The drag stays.
	Fouling units.Fraction
}

// DefaultRotor returns a rotor of middling size on a transom: 0.28 m, CP 0.35,
// CT 0.80, from shaft to bus 0.80, working from 3 kn, limited to 280 W. All are
// common practice, no source; 280 W are the 20 A at 14 V of the trade, which
// this rotor reaches at 6.15 kn.
func DefaultRotor() Rotor {
	return Rotor{
		Name:  "water generator",
		Rotor: hull.Rotor{Diameter: 0.28, CP: 0.35, CT: 0.80}, Efficiency: 0.80,
		CutIn: 3, Limit: 280,
	}
}

// NewRotor returns the generator with that rotor, whose output is its shaft's
// power times the efficiency. It refuses what hull.Rotor.Check does: a CP above
// the limit of Betz, and a CT below the least that CP needs.
func NewRotor(r Rotor) (*HydroGenerator, error) {
	if err := r.Rotor.Check(); err != nil {
		return nil, fmt.Errorf("%s: %w", r.Name, err)
	}
	err := refuse(r.Name,
		check{positive(r.Efficiency) && r.Efficiency <= 1, "the efficiency must be above 0 and not above 100 %"},
		check{nonNegative(r.CutIn), "the cut-in speed must not be negative"},
		check{nonNegative(r.Limit) && nonNegative(r.LimitAmps), "a limit must not be negative"},
		check{nonNegative(r.Spread), "the spread of the speed must not be negative"},
		check{nonNegative(r.Fouling) && r.Fouling <= 1, "the fouling must lie between 0 and 100 %"},
	)
	if err != nil {
		return nil, err
	}
	return &HydroGenerator{
		name:      r.Name,
		cutIn:     r.CutIn,
		cube:      float64(r.Efficiency) * float64(r.Shaft(1)),
		spread:    r.Spread,
		clean:     1 - float64(r.Fouling),
		limit:     orInf(float64(r.Limit)),
		limitAmps: orInf(float64(r.LimitAmps)),
		drag:      float64(r.Thrust(1)),
	}, nil
}

// orInf returns x, or +Inf for the 0 that stands for no limit.
func orInf(x float64) float64 {
	if x == 0 {
		return math.Inf(1)
	}
	return x
}
