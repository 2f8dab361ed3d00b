package bank

import (
	"math"

	"ampwake/sim/units"
)

// Voltage curves by chemistry, 12 V battery at 25 °C.
var (
	// agmDischarge and leadCharge(1) are fitted to measured data of two
	// batteries: six discharges of 17 Ah [Sulzer 2019] and one of 100 Ah, 40
	// and 26 mV RMSE; recharges 78 and 62 mV. They count depth of the capacity
	// delivered to 10.5 V and leave out the surface charge of the first 3 %.
	agmDischarge = Curve{A: 12.7476, B: -1.2417, C: -0.0522, D: 1.0619, Depth: true}

	// Lead-acid resistance: two public codings of [Copetti 1993]. The bounds are
	// ours: they keep the line from going through zero in the heat.
	leadDischargeWarm = Factor{Slope: -0.007, Least: 0.5, Most: 3}
	leadChargeWarm    = Factor{Slope: -0.025, Least: 0.5, Most: 3}
)

// leadCharge is the charging side of lead-acid at 25 °C. The term that rises
// towards gassing is multiplied by rise: 1 is AGM as measured. For other kinds
// no measurement was found; rise is set so that the curve meets the kind's own
// absorption voltage at the state of charge, 96.6 %, where AGM meets 14.4 V:
// 1.2134 for flooded (14.8 V), 0.8427 for gel (14.1 V).
func leadCharge(rise float64) Curve {
	return Curve{A: 11.6554, B: 0.8839, C: rise, D: 1.4776}
}

// floodedDischarge is a deep-cycle maker's rest table for 10 to 100 %, from
// memory, consistent with six times (specific gravity + 0.845) to 0.01 V. The
// entry at 0 % is our own: 10.54 V makes a 20 h discharge end at 10.5 V.
func floodedDischarge() Curve {
	return Curve{Grid: []units.Volts{10.54, 11.51, 11.66, 11.81, 11.96, 12.10, 12.24, 12.37, 12.50, 12.62, 12.73}}
}

// lfpDischarge and lfpCharge are four times a 2.06 Ah cell measured at C/27 and
// 25 °C in each direction, every 5 %.
func lfpDischarge() Curve {
	return Curve{Grid: []units.Volts{
		8.000, 12.052, 12.650, 12.792, 12.887, 12.950, 13.003, 13.058, 13.132, 13.157,
		13.166, 13.175, 13.190, 13.211, 13.242, 13.299, 13.327, 13.341, 13.360, 13.413, 14.320,
	}}
}

func lfpCharge() Curve {
	return Curve{Grid: []units.Volts{
		9.285, 12.247, 12.817, 12.957, 13.073, 13.163, 13.235, 13.275, 13.281, 13.289,
		13.299, 13.318, 13.344, 13.372, 13.401, 13.429, 13.436, 13.442, 13.454, 13.514, 14.400,
	}}
}

// lfpWarm is the resistance of a pack against temperature: the cell's part,
// taken as 3/8 of the pack at 25 °C, grows 1.80 times at 5 °C and 3.02 times at
// -5 °C (measured); the links do not. At -20 °C the cell's part goes on at the
// same rate a kelvin (own choice).
func lfpWarm() Factor {
	const links, cell = 0.625, 0.375
	return Factor{Table: []Warm{{-20, links + cell*6.57}, {-5, links + cell*3.02}, {5, links + cell*1.80}, {25, 1}}}
}

// RestTable is a rest voltage of a lead-acid battery of 12 V against state of
// charge, after 6 to 24 h without current; by falling charge.
type RestTable []RestPoint

// RestPoint is one row of a RestTable.
type RestPoint struct {
	Charge units.Fraction
	Volts  units.Volts
}

// RestBCI is the battery council's table at 26.7 °C. Its "discharged" leaves
// much capacity: do not use it for the voltage under load.
func RestBCI() RestTable {
	return RestTable{{1, 12.65}, {0.75, 12.45}, {0.50, 12.24}, {0.25, 12.06}, {0, 11.89}}
}

// RestDeepCycle is the table of flooded deep-cycle batteries behind Default.
func RestDeepCycle() RestTable {
	return RestTable{
		{1, 12.73},
		{0.9, 12.62},
		{0.8, 12.50},
		{0.7, 12.37},
		{0.6, 12.24},
		{0.5, 12.10},
		{0.4, 11.96},
		{0.3, 11.81},
		{0.2, 11.66},
		{0.1, 11.51},
	}
}

// RestAGM is common practice without a source: the measured curve of Default is
// lower when full and when empty.
func RestAGM() RestTable {
	return RestTable{{1, 13.0}, {0.75, 12.6}, {0.50, 12.3}, {0.25, 12.0}, {0, 11.8}}
}

// At returns the rest voltage at state of charge s, straight lines between rows
// and the end values beyond them.
func (t RestTable) At(s units.Fraction) units.Volts {
	for i, p := range t {
		if s >= p.Charge {
			if i == 0 {
				return p.Volts
			}
			o := t[i-1]
			return p.Volts + (o.Volts-p.Volts)*units.Volts((s-p.Charge)/(o.Charge-p.Charge))
		}
	}
	return t[len(t)-1].Volts
}

// Charge returns the state of charge at rest voltage v, the inverse of At.
func (t RestTable) Charge(v units.Volts) units.Fraction {
	for i, p := range t {
		if v >= p.Volts {
			if i == 0 {
				return p.Charge
			}
			o := t[i-1]
			return p.Charge + (o.Charge-p.Charge)*units.Fraction((v-p.Volts)/(o.Volts-p.Volts))
		}
	}
	return t[len(t)-1].Charge
}

// RestOfGravity returns the rest voltage of six lead-acid cells from the
// specific gravity of the acid: six times (gravity + 0.845), common practice,
// within 20 mV of RestOfAcid for 1.08 to 1.34.
func RestOfGravity(gravity float64) units.Volts { return units.Volts(6 * (gravity + 0.845)) }

// RestOfAcid returns the rest voltage of six lead-acid cells and the acid's
// molality (mol for each kg of water) from its concentration in mol/m³, above 0
// and up to about 6500: electrode potentials of [Bode 1977] with the partial
// volumes of [Sulzer 2019].
func RestOfAcid(concentration float64) (v units.Volts, molality float64) {
	const (
		waterVolume, acidVolume = 1.75e-5, 4.5e-5 // m³/mol
		waterMass               = 0.01801         // kg/mol
	)
	molality = concentration * waterVolume / ((1 - concentration*acidVolume) * waterMass)
	l := math.Log10(molality)
	negative := -0.294 + l*(-0.074+l*(-0.030+l*(-0.031+l*-0.012)))
	positive := 1.628 + l*(0.074+l*(0.033+l*(0.043+l*0.022)))
	return units.Volts(6 * (positive - negative)), molality
}
