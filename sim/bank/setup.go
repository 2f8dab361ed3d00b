package bank

import (
	"fmt"

	"ampwake/sim/units"
)

// Setup describes a bank and its charger. Start from Default and change what is
// known better. Voltages are those of the whole bank.
type Setup struct {
	Chemistry Chemistry
	Rated     units.AmpHours // 20 h capacity at 25 °C when new, > 0
	Cells     int            // in series, > 0; the curves scale with it
	// Health is the capacity left of the rated one, (0, 1]; 1 is new. Both
	// resistances grow as it falls, to 1.75 times at 0.8: common practice says
	// 1.5 to 2 times at the end of life, no source.
	Health units.Fraction

	Tanks    Tanks
	Capacity Factor // against temperature

	Discharge Side
	Charge    Side

	// Acceptance holds the charging current to so many A for each Ah still to
	// go to full, 1/h; 0 for no such rule.
	Acceptance float64
	// Trickle is the current that flows in any case while the charger holds
	// absorption, in A for each Ah still to go, 1/h; 0 for none. It stands for
	// what the curve of a battery under charge does not show: the slow end of
	// charging. The charger must be able to give it.
	Trickle float64
	// Upkeep is the same while the charger holds float. The curve of a battery
	// under charge lies above the float voltage near full and would let the bank
	// run down on float, which real ones do not do: they come up to full in a
	// day or two (common practice, no source).
	Upkeep     float64
	Largest    float64 // charging current over the rated capacity, A/Ah, > 0
	Efficiency Efficiency
	Cold       Cold

	// SelfDischarge is the share lost a month of 730 h at SelfDischargeAt; it
	// doubles for each 10 K.
	SelfDischarge   units.Fraction
	SelfDischargeAt units.Celsius

	Charger Charger

	// CutOff is the voltage under which the bank gives nothing, 0 for none.
	// After that it should be left off until the bus is above Reset. Model
	// keeps no memory of a cut-off: whoever steps it does.
	CutOff, Reset units.Volts
}

// Side is the voltage on one side, charging or discharging: that of Curve, less
// or more what the current makes in the resistance.
type Side struct {
	Curve Curve
	Ohm   float64 // resistance times rated capacity, 12 V battery at 25 °C, Ω Ah, > 0
	Warm  Factor  // of the resistance
}

// Efficiency is the share of the charging current that is stored: Low up to
// Knee, from there straight to Full at a full bank. With Copetti set it is that
// of Copetti in its place.
type Efficiency struct {
	Low, Full units.Fraction // (0, 1]
	Knee      units.Fraction // state of charge, [0, 1)
	Copetti   bool
}

// Cold limits charging in the cold: nothing under Never, at most Slow A for each
// rated Ah up to Fully. The zero value does not limit.
type Cold struct {
	Never, Fully units.Celsius
	Slow         float64 // A/Ah
}

// Charger is what holds the voltage down: the controllers of all sources seen
// as one. See Stage for how its stages follow each other.
type Charger struct {
	Absorption units.Volts // at 25 °C
	// Float is the voltage once the bank is full, at 25 °C; 0 for a charger
	// without stages, which holds Absorption for ever.
	Float units.Volts
	// PerKelvin is added to both for each kelvin above 25 °C, V/K, <= 0. The
	// temperature counts only between Coldest and Hottest.
	PerKelvin        float64
	Coldest, Hottest units.Celsius
	Tail             float64        // current that ends absorption, A for each rated Ah
	Longest          units.Hours    // of absorption
	Full             units.Fraction // state of charge that ends it
}

// Default returns the usual bank of 12 V of a chemistry and a 20 h capacity.
//
// AGM: tanks fitted to a 40 Ah data sheet; voltages fitted to two measured
// batteries [Sulzer 2019]; the other kinds are in the functions below, with the
// standing of each figure.
func Default(c Chemistry, rated units.AmpHours) Setup {
	s := Setup{
		Chemistry: c,
		Rated:     rated,
		Cells:     c.usualCells(),
		Health:    1,
		Tanks:     Tanks{C: 0.4605, K: 0.9375, Over: 1.056},
		// -0.6 %/K at the 10 and 20 h rates: a maker's support page. The
		// bounds are common practice.
		Capacity:  Factor{Slope: 0.006, Least: 0.5, Most: 1.08},
		Discharge: Side{agmDischarge, 0.5451, leadDischargeWarm},
		Charge:    Side{leadCharge(1), 2.8917, leadChargeWarm},

		Acceptance: 1,    // "amps less than Ah to go"; measured 0.4 to 1.6
		Trickle:    0.1,  // own choice
		Upkeep:     0.03, // own choice
		Largest:    0.3,  // 65 Ah data sheet
		Efficiency: Efficiency{Low: 0.97, Knee: 0.8, Full: 0.60},

		SelfDischarge:   0.03, // marine electricity handbook, 20 °C
		SelfDischargeAt: 20,

		Charger: Charger{
			Absorption: 14.4, Float: 13.6,
			PerKelvin: -0.030, // -5 mV/K and cell, a data sheet
			Coldest:   -10, Hottest: 50,
			Tail: 1.0 / 50, Longest: 4, Full: 0.98, // common practice, no source
		},
		CutOff: 10.5, // 1.75 V a cell, where the rated capacity ends
		Reset:  12.2, // common practice 12.2 to 12.6, no source
	}
	switch c {
	case AGM:
	case Flooded:
		s.flooded()
	case Gel:
		s.gel()
	case LFP:
		s.lfp()
	default:
		panic("bank: unknown chemistry")
	}
	return s
}

// flooded: tanks fitted to a 330 Ah data sheet; deep-cycle rest voltages from
// memory, resistance common practice. The charging side is our own choice (see
// leadCharge), its resistance that of AGM in proportion.
func (s *Setup) flooded() {
	s.Tanks = Tanks{C: 0.5580, K: 0.2856, Over: 1.138}
	s.Discharge = Side{floodedDischarge(), 0.8, leadDischargeWarm}
	s.Charger.Absorption, s.Charger.Float = 14.8, 13.2 // data sheet
	s.Charge = Side{leadCharge(1.2134), 2.8917 * 0.8 / 0.5451, leadChargeWarm}
	s.Largest = 0.25       // common practice, no source
	s.SelfDischarge = 0.06 // handbook, semi-traction, 20 °C
}

// gel: tanks fitted to a table from memory; AGM rest voltage; the charging side
// as for flooded.
func (s *Setup) gel() {
	s.Tanks = Tanks{C: 0.4676, K: 0.6024, Over: 1.116}
	s.Discharge = Side{agmDischarge, 0.65, leadDischargeWarm}
	s.Charger.Absorption, s.Charger.Float = 14.1, 13.5 // maker's page; data sheet
	s.Charge = Side{leadCharge(0.8427), 2.8917 * 0.65 / 0.5451, leadChargeWarm}
	s.Largest = 0.25       // common practice, no source
	s.SelfDischarge = 0.02 // handbook, 20 °C
}

// lfp: tanks fitted to a table from memory; voltages measured on a 2 Ah cell at
// C/27 in each direction, so the gap between the two sides is the cell's own.
func (s *Setup) lfp() {
	s.Tanks = Tanks{C: 0.9253, K: 3.3766, Over: 1.003}
	// 5 and -5 °C measured at C/27, -20 °C a maker's statement for useful rates.
	s.Capacity = Factor{Table: []Warm{{-20, 0.70}, {-5, 0.987}, {5, 0.990}, {25, 1}}}
	// 10 mΩ for 100 Ah with protection and links: from memory.
	s.Discharge = Side{lfpDischarge(), 1.0, lfpWarm()}
	s.Charge = Side{lfpCharge(), 1.0, lfpWarm()}
	s.Acceptance, s.Trickle, s.Upkeep = 0, 0, 0
	s.Largest = 0.5 // common practice, no source
	s.Efficiency = Efficiency{Low: 0.99, Full: 0.99}
	s.Cold = Cold{Never: 0, Fully: 5, Slow: 0.1} // makers' pages; common practice
	s.SelfDischarge = 0.02                       // with protection: common practice
	s.Charger.Absorption, s.Charger.Float, s.Charger.PerKelvin = 14.4, 13.4, 0
	s.CutOff = 10.0 // of the protection: common practice 10 to 11 V
	s.Reset = 12.8  // common practice, no source
}

// Plain returns the setup without what this package adds to the bare model: no
// charger stages, no trickle or upkeep, no cut-off. The charger then holds the absorption
// voltage for ever. Used to compare with other programs.
func (s Setup) Plain() Setup {
	s.Charger.Float, s.Trickle, s.Upkeep, s.CutOff, s.Reset = 0, 0, 0, 0, 0
	return s
}

// Series returns the setup of n such banks in series: 2 makes 24 V of 12 V. The
// capacity in Ah stays.
func (s Setup) Series(n int) Setup {
	x := units.Volts(n)
	s.Cells *= n
	s.Charger.Absorption *= x
	s.Charger.Float *= x
	s.Charger.PerKelvin *= float64(n)
	s.CutOff *= x
	s.Reset *= x
	return s
}

// check returns what is wrong with the setup, or nil.
func (s *Setup) check() error {
	for _, err := range []error{
		s.Tanks.check(),
		s.Capacity.check("capacity"),
		s.Discharge.check("discharge"),
		s.Charge.check("charge"),
		s.Efficiency.check(),
		s.Charger.check(),
	} {
		if err != nil {
			return err
		}
	}
	switch {
	case int(s.Chemistry) >= len(chemistryNames):
		return fmt.Errorf("%v is not known", s.Chemistry)
	case !(s.Rated > 0) || !finite(float64(s.Rated)):
		return fmt.Errorf("rated capacity must be above 0 Ah, is %v", s.Rated)
	case s.Cells <= 0:
		return fmt.Errorf("cells in series must be 1 or more, are %d", s.Cells)
	case !(s.Health > 0 && s.Health <= 1):
		return fmt.Errorf("health must be above 0 and at most 1, is %v", s.Health)
	case !(s.Acceptance >= 0) || !(s.Trickle >= 0) || !(s.Upkeep >= 0) || !finite(s.Acceptance, s.Trickle, s.Upkeep):
		return fmt.Errorf("acceptance, trickle and upkeep must not be below 0, are %g, %g and %g /h", s.Acceptance, s.Trickle, s.Upkeep)
	case !(s.Largest > 0) || !finite(s.Largest):
		return fmt.Errorf("largest charging current must be above 0 A/Ah, is %g", s.Largest)
	case s.Cold.Never > s.Cold.Fully || s.Cold.Fully != s.Cold.Never && !(s.Cold.Slow > 0):
		return fmt.Errorf("charging in the cold: want temperatures that rise and a current above 0 A/Ah between them")
	case !(s.SelfDischarge >= 0 && s.SelfDischarge < 1) || !finite(float64(s.SelfDischargeAt)):
		return fmt.Errorf("self-discharge must be within 0..1 a month, is %v", s.SelfDischarge)
	case !(s.CutOff >= 0) || s.Reset < s.CutOff || !finite(float64(s.CutOff), float64(s.Reset)):
		return fmt.Errorf("cut-off %v and reset %v: the reset must not be under the cut-off", s.CutOff, s.Reset)
	}
	return nil
}

func (s *Side) check(name string) error {
	if err := s.Curve.check(name); err != nil {
		return err
	}
	if !(s.Ohm > 0) || !finite(s.Ohm) {
		return fmt.Errorf("%s resistance must be above 0 Ω Ah, is %g", name, s.Ohm)
	}
	return s.Warm.check(name + " resistance")
}

func (e *Efficiency) check() error {
	ok := e.Low > 0 && e.Low <= 1 && e.Full > 0 && e.Full <= e.Low && e.Knee >= 0 && e.Knee < 1
	if !ok {
		return fmt.Errorf("charge efficiency: want 0 < full <= low <= 1 and a knee within 0..1, have %v, %v, %v", e.Full, e.Low, e.Knee)
	}
	return nil
}

func (c *Charger) check() error {
	switch {
	case !(c.Absorption > 0) || !(c.Float >= 0) || c.Float > c.Absorption || !finite(float64(c.Absorption)):
		return fmt.Errorf("charger: want 0 <= float <= absorption, have %v and %v", c.Float, c.Absorption)
	case !(c.PerKelvin <= 0) || !finite(c.PerKelvin):
		return fmt.Errorf("charger: compensation must not be above 0 V/K, is %g", c.PerKelvin)
	case !(c.Coldest < c.Hottest):
		return fmt.Errorf("charger: compensation needs a range of temperature, has %v..%v", c.Coldest, c.Hottest)
	case c.Float > 0 && (!(c.Tail >= 0) || !(c.Longest > 0) || !(c.Full > 0)):
		return fmt.Errorf("charger: absorption needs a tail current, a longest time and a full charge")
	}
	return nil
}
