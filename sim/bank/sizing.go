package bank

import (
	"math"

	"ampwake/sim/units"
)

// Sizing is the bank a load needs by the steps of [IEEE 1013]: the structure is
// that of the published table of contents, the formulae are from memory.
type Sizing struct {
	Daily units.AmpHours
	Days  float64 // without charging

	Deepest   units.Fraction // discharge allowed at the end of Days
	EndOfLife units.Fraction // capacity left when the bank is replaced
	DailyDeep units.Fraction // discharge allowed in one day; 0 for no such rule
	Cold      float64        // multiplier, see ColdFactor; 0 counts as 1
	Margin    float64        // design margin, 1.10 to 1.25; 0 counts as 1
}

// Unadjusted returns the capacity for the deepest discharge, the end of life
// and the daily discharge, whichever asks most.
func (z Sizing) Unadjusted() units.AmpHours {
	total := z.Daily * units.AmpHours(z.Days)
	need := total / units.AmpHours(z.Deepest)
	if z.EndOfLife > 0 {
		need = max(need, total/units.AmpHours(z.EndOfLife))
	}
	if z.DailyDeep > 0 {
		need = max(need, z.Daily/units.AmpHours(z.DailyDeep))
	}
	return need
}

// Capacity returns Unadjusted, raised for the cold and the margin.
func (z Sizing) Capacity() units.AmpHours {
	need := z.Unadjusted()
	for _, f := range []float64{z.Cold, z.Margin} {
		if f > 0 {
			need *= units.AmpHours(f)
		}
	}
	return need
}

// FunctionalHours returns the time in which the largest load would empty the
// capacity: the column of the data sheet to choose the battery from.
func FunctionalHours(capacity units.AmpHours, largest units.Amps) units.Hours {
	return units.Hours(float64(capacity) / float64(largest))
}

// CellsInSeries returns how many cells keep within a highest bus voltage when
// each is charged to a voltage.
func CellsInSeries(highest, charged units.Volts) int {
	return int(math.Floor(float64(highest/charged) + 1e-9))
}

// Strings returns how many batteries of a capacity in parallel make at least
// another.
func Strings(need, each units.AmpHours) int {
	return int(math.Ceil(float64(need/each) - 1e-9))
}

// ArrayStrings returns how many modules in parallel make ratio times the daily
// load: [IEEE 1562], from memory. current is that of one module at its maximum
// power point, sunHours the full sun hours of the worst month, losses a share.
func ArrayStrings(daily units.AmpHours, ratio float64, current units.Amps, sunHours units.Hours, losses units.Fraction) int {
	return Strings(daily*units.AmpHours(ratio), moduleDay(current, sunHours, losses))
}

// ArrayToLoad returns the ratio of what n modules in parallel make a day to the
// daily load.
func ArrayToLoad(n int, daily units.AmpHours, current units.Amps, sunHours units.Hours, losses units.Fraction) float64 {
	return float64(n) * float64(moduleDay(current, sunHours, losses)/daily)
}

func moduleDay(current units.Amps, sunHours units.Hours, losses units.Fraction) units.AmpHours {
	return units.AmpHours(float64(current) * float64(sunHours) * float64(1-losses))
}

// ColdFactor returns by how much the capacity of vented lead-acid batteries is
// multiplied at temperature t when sizing for moderate to high discharge rates
// [IEEE 485]; straight lines between the rows, the end rows beyond them. It is
// too harsh for a slow house load: see Setup.Capacity for that.
func ColdFactor(t units.Celsius) float64 {
	f := float64(t)*9/5 + 32 // the table is even in °F
	rows := ieee485()
	for i, r := range rows {
		if f < r[0] {
			if i == 0 {
				return r[1]
			}
			o := rows[i-1]
			return o[1] + (r[1]-o[1])*(f-o[0])/(r[0]-o[0])
		}
	}
	return rows[len(rows)-1][1]
}

// ieee485 is the table of cell size factors, °F and factor. Rows from 40 to 120
// are from a public test-calculation package, the others from memory.
func ieee485() [][2]float64 {
	return [][2]float64{
		{25, 1.520},
		{30, 1.430},
		{35, 1.350},
		{40, 1.300},
		{45, 1.250},
		{50, 1.190},
		{55, 1.150},
		{60, 1.110},
		{65, 1.080},
		{66, 1.072},
		{67, 1.064},
		{68, 1.056},
		{69, 1.048},
		{70, 1.040},
		{71, 1.034},
		{72, 1.029},
		{73, 1.023},
		{74, 1.017},
		{75, 1.011},
		{76, 1.006},
		{77, 1.000},
		{78, 0.994},
		{79, 0.987},
		{80, 0.980},
		{81, 0.976},
		{82, 0.972},
		{83, 0.968},
		{84, 0.964},
		{85, 0.960},
		{86, 0.956},
		{87, 0.952},
		{88, 0.948},
		{89, 0.944},
		{90, 0.940},
		{95, 0.930},
		{100, 0.910},
		{105, 0.890},
		{110, 0.880},
		{115, 0.870},
		{120, 0.860},
		{125, 0.850},
	}
}

// GMDSS is a radio installation whose reserve source of energy is sized by the
// footnote to [SOLAS IV/13] and [COMSAR/Circ.16]. The rule is for convention
// ships: for a yacht it is guidance only.
type GMDSS struct {
	Transmit, Receive, Other units.Amps
}

// Need returns the charge for a number of hours: half the transmitting current,
// the receiving current and additional loads, times a factor (1.4 in the
// published example).
func (g GMDSS) Need(hours units.Hours, factor float64) units.AmpHours {
	return units.AmpHours(float64(hours) * (0.5*float64(g.Transmit) + float64(g.Receive) + float64(g.Other)) * factor)
}

// GMDSSCharger returns the current that restores a capacity within 10 h.
func GMDSSCharger(capacity units.AmpHours) units.Amps { return units.Amps(capacity / 10) }
