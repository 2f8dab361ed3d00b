package sources

import (
	"ampwake/sim"
	"ampwake/sim/units"
)

// Alternator describes the alternator on the boat's engine, and what the engine
// burns to drive it.
type Alternator struct {
	Name  string
	Rated units.Amps  // cold output, as on the plate
	Volts units.Volts // while charging
	// Hot is the share of the cold output left when hot, (0, 1].
	Hot        units.Fraction
	Efficiency units.Fraction // of the alternator, (0, 1]
	Belt       units.Fraction // efficiency of the drive, (0, 1]

	// Turns of the crankshaft a minute while charging, and while motoring. 0
	// stands for full output at any speed, and MotoringTurns 0 for Turns.
	Turns, MotoringTurns float64
	Pulley               float64       // turns of the alternator for one of the crank
	Curve                []OutputPoint // nil: TypicalOutput

	// Fuel is the straight line NoLoad + PerShaftKWh x shaft power. While the
	// boat motors, Motoring replaces NoLoad.
	NoLoad      units.LitresPerHour
	PerShaftKWh float64 // litres for a kWh at the shaft
	Motoring    units.LitresPerHour
}

// OutputPoint is one point of an alternator's output against its speed.
type OutputPoint struct {
	RPM   float64        // of the alternator
	Share units.Fraction // of the rated output
}

// DefaultAlternator returns the alternator of a diesel of about one litre and
// 15 kW without its rating. Efficiency 0.55 (about 0.50 in use, 0.67 by Decision
// (EU) 2017/785 at half load), belt 0.97, hot 0.8 (0.7 to 0.9), pulley 2 (1.8 to
// 3): common practice, no source. Fuel 0.45 L/h (0.35 to 0.60) and 0.27 L per
// shaft kWh (0.25 to 0.30) follow from friction of 1.1 to 2 bar mean pressure,
// from memory, at 38 % indicated efficiency; motoring 1.75 L/h is the middle of
// owners' 1.5 to 2 L/h at 5 kn.
func DefaultAlternator() Alternator {
	return Alternator{
		Name: "engine alternator", Volts: 14.2, Hot: 0.8, Efficiency: 0.55, Belt: 0.97, Pulley: 2,
		NoLoad: 0.45, PerShaftKWh: 0.27, Motoring: 1.75,
	}
}

// EngineAlternator is the sim.Source of an Alternator. What the bank refuses it
// does not make.
type EngineAlternator struct {
	name            string
	output          [2]units.Watts // charging, motoring
	idle            [2]float64     // L/h
	litresPerBusKWh float64
}

// NewAlternator returns the source, or an error for a setting out of range.
func NewAlternator(a Alternator) (*EngineAlternator, error) {
	share := func(x units.Fraction) bool { return positive(x) && x <= 1 }
	err := refuse(a.Name,
		check{positive(a.Rated), "the rated current must be above 0"},
		check{positive(a.Volts), "the charging voltage must be above 0"},
		check{share(a.Hot), "the hot share of the output must be above 0 and not above 100 %"},
		check{share(a.Efficiency) && share(a.Belt), "an efficiency must be above 0 and not above 100 %"},
		check{nonNegative(a.Turns) && nonNegative(a.MotoringTurns), "the turns must not be negative"},
		check{a.Turns == 0 && a.MotoringTurns == 0 || positive(a.Pulley), "the pulley ratio must be above 0"},
		check{nonNegative(a.NoLoad) && nonNegative(a.PerShaftKWh) && nonNegative(a.Motoring), "fuel must not be negative"},
	)
	if err != nil {
		return nil, err
	}
	output, err := outputCurve(a.Name, a.Curve)
	if err != nil {
		return nil, err
	}
	full := float64(a.Rated) * float64(a.Hot) * float64(a.Volts)
	at := func(turns float64) units.Watts {
		if turns == 0 {
			return units.Watts(full)
		}
		return units.Watts(full * output(turns*a.Pulley))
	}
	motoring := a.MotoringTurns
	if motoring == 0 {
		motoring = a.Turns
	}
	return &EngineAlternator{
		name:   a.Name,
		output: [2]units.Watts{at(a.Turns), at(motoring)},
		idle:   [2]float64{float64(a.NoLoad), float64(a.Motoring)},
		// Shaft power = V I / (alternator x belt).
		litresPerBusKWh: a.PerShaftKWh / (float64(a.Efficiency) * float64(a.Belt)),
	}, nil
}

// Name returns the name the alternator was given.
func (e *EngineAlternator) Name() string { return e.name }

// Offer returns the output at the engine's speed, at the charging voltage.
func (e *EngineAlternator) Offer(c *sim.Conditions) sim.Supply {
	return sim.Supply{Power: e.output[running(c)]}
}

// Follows marks the alternator as one that makes only what the bus takes.
func (e *EngineAlternator) Follows() {}

// Burn returns the fuel rate of the engine with p on the bus. While the boat
// motors it is that of the whole engine, propulsion included.
func (e *EngineAlternator) Burn(c *sim.Conditions, p units.Watts) units.LitresPerHour {
	return units.LitresPerHour(e.idle[running(c)] + float64(e.litresPerBusKWh*float64(p)/1000))
}

// running returns 1 while the boat motors, else 0.
func running(c *sim.Conditions) int {
	if c.State == sim.Motoring {
		return 1
	}
	return 0
}
