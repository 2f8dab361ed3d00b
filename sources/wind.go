package sources

import (
	"math"

	"ampwake/sim"
	"ampwake/sim/hull"
	"ampwake/sim/units"
)

// WindTurbine describes a small wind turbine.
type WindTurbine struct {
	Name     string
	Diameter units.Metres
	CP       float64     // from the wind to the bus, (0, 16/27]
	CutIn    units.Knots // apparent wind, no output below
	CutOut   units.Knots // apparent wind, no output above: furled or braked; 0: never
	Rated    units.Watts // 0: no limit
	Density  float64     // of the air, kg/m³; 0: 1.225 (sea level, 15 °C)
}

// knotsPerMetre is one metre a second in knots; a knot is 1852 m an hour.
const knotsPerMetre = 3600.0 / 1852

// DefaultWindTurbine returns a turbine of 1.1 m and 300 W that works in an
// apparent wind of 3 to 20 m/s with an overall CP of 0.25: 20 W at 10 kn. The
// 40 W that the trade calls good at 10 kn need 0.50. Common practice, no source.
func DefaultWindTurbine() WindTurbine {
	return WindTurbine{
		Name: "wind turbine", Diameter: 1.1, CP: 0.25, Rated: 300,
		CutIn: 3 * knotsPerMetre, CutOut: 20 * knotsPerMetre,
	}
}

// WindGenerator is the sim.Source of a WindTurbine.
type WindGenerator struct {
	name          string
	cutIn, cutOut units.Knots
	cube          float64 // W per kn³
	rated         float64 // W, +Inf: no limit
}

// NewWindTurbine returns the source, or an error for a setting out of range.
func NewWindTurbine(w WindTurbine) (*WindGenerator, error) {
	if w.Density == 0 {
		w.Density = 1.225
	}
	err := refuse(w.Name,
		check{positive(w.Diameter), "the diameter must be above 0"},
		check{positive(w.CP) && w.CP <= hull.Betz, "cp must be above 0 and not above 16/27, the limit of Betz"},
		check{nonNegative(w.CutIn), "the cut-in wind must not be negative"},
		check{w.CutOut == 0 || positive(w.CutOut) && w.CutOut > w.CutIn, "the cut-out wind must lie above the cut-in"},
		check{nonNegative(w.Rated), "the rated power must not be negative"},
		check{positive(w.Density), "the density of the air must be above 0"},
	)
	if err != nil {
		return nil, err
	}
	disc := hull.Rotor{Diameter: w.Diameter, CP: w.CP, Density: w.Density}
	return &WindGenerator{
		name:   w.Name,
		cutIn:  w.CutIn,
		cutOut: units.Knots(orInf(float64(w.CutOut))),
		cube:   float64(disc.Shaft(1)),
		rated:  orInf(float64(w.Rated)),
	}, nil
}

// Name returns the name the turbine was given.
func (w *WindGenerator) Name() string { return w.name }

// Offer returns min(1/2 rho A CP v³, rated) in the apparent wind v of the true
// wind and the boat's own way, nothing outside the cut-in and cut-out.
func (w *WindGenerator) Offer(c *sim.Conditions) sim.Supply {
	v, _ := hull.Apparent(c.Weather.WindSpeed, c.Weather.WindFrom-c.Heading, c.Speed)
	if v < w.cutIn || v > w.cutOut {
		return sim.Supply{}
	}
	return sim.Supply{Power: units.Watts(math.Min(w.cube*float64(v*v*v), w.rated))}
}
