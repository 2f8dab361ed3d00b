package bank

import (
	"fmt"
	"math"

	"ampwake/sim/units"
)

// Conductor is the make of a copper conductor.
type Conductor uint8

// The makes of [IEC 60228]. Class 5 is flexible, as used on boats.
const (
	Class5Tinned Conductor = iota
	Class5Plain
	Class2Tinned
	Class2Plain
)

// String returns the make in words.
func (k Conductor) String() string {
	return [...]string{"class 5 tinned", "class 5 plain", "class 2 tinned", "class 2 plain"}[k]
}

// conductor is one row of the table: largest resistance at 20 °C, Ω/km.
type conductor struct {
	area units.SquareMillimetres
	ohm  [4]float64 // by Conductor
}

// iec60228 is the table of largest resistances, by rising area.
func iec60228() []conductor {
	return []conductor{
		{1.5, [4]float64{13.7, 13.3, 12.2, 12.1}},
		{2.5, [4]float64{8.21, 7.98, 7.56, 7.41}},
		{4, [4]float64{5.09, 4.95, 4.7, 4.61}},
		{6, [4]float64{3.39, 3.3, 3.11, 3.08}},
		{10, [4]float64{1.95, 1.91, 1.84, 1.83}},
		{16, [4]float64{1.24, 1.21, 1.16, 1.15}},
		{25, [4]float64{0.795, 0.78, 0.734, 0.727}},
		{35, [4]float64{0.565, 0.554, 0.529, 0.524}},
		{50, [4]float64{0.393, 0.386, 0.391, 0.387}},
		{70, [4]float64{0.277, 0.272, 0.27, 0.268}},
		{95, [4]float64{0.21, 0.206, 0.195, 0.193}},
	}
}

// PerKilometre returns the largest resistance of 1 km of conductor at 20 °C
// [IEC 60228]. Between two sizes of the table, as for gauge sizes, resistance
// times area is taken on a straight line; from 0.5 to 1.5 and from 95 to
// 120 mm² it is that of the nearest size. The error says so outside these.
func (k Conductor) PerKilometre(area units.SquareMillimetres) (units.Ohms, error) {
	if !(area >= 0.5 && area <= 120) {
		return 0, fmt.Errorf("conductor area %v: expected 0.5 to 120 mm²", area)
	}
	table := iec60228()
	lo, hi := table[0], table[len(table)-1]
	for _, c := range table {
		if c.area <= area {
			lo = c
		}
		if c.area >= area {
			hi = c
			break
		}
	}
	if area < lo.area {
		hi = lo
	}
	if area > hi.area {
		lo = hi
	}
	if lo.area == area {
		return units.Ohms(lo.ohm[k]), nil
	}
	a, b := lo.ohm[k]*float64(lo.area), hi.ohm[k]*float64(hi.area)
	if hi.area > lo.area {
		a += (b - a) * float64((area-lo.area)/(hi.area-lo.area))
	}
	return units.Ohms(a / float64(area)), nil
}

// Cable is a pair of conductors between bus and load.
type Cable struct {
	Run   units.Metres // one way
	Area  units.SquareMillimetres
	Make  Conductor
	Temp  units.Celsius // of the copper
	Extra units.Ohms    // fuse, switch, lugs; 5 mΩ is usual, no source
}

// Loop returns the resistance out and back with what is extra. Copper changes by
// 0.393 % a kelvin from 20 °C. The error is that of PerKilometre, or says that
// the run is below 0.
func (c Cable) Loop() (units.Ohms, error) {
	if !(c.Run >= 0) || !(c.Extra >= 0) {
		return 0, fmt.Errorf("cable run %v and extra %v: must not be below 0", c.Run, c.Extra)
	}
	km, err := c.Make.PerKilometre(c.Area)
	if err != nil {
		return 0, err
	}
	warm := 1 + 0.00393*float64(c.Temp-20)
	return km*units.Ohms(2*float64(c.Run)/1000*warm) + c.Extra, nil
}

// Drop returns the voltage a current loses in a resistance.
func Drop(r units.Ohms, i units.Amps) units.Volts { return units.Volts(float64(r) * float64(i)) }

// AreaFor returns the smallest conductor area by which a current loses at most
// drop on a loop out and back of twice run, at 20 °C and the resistivity of
// annealed copper. Stranded cable has a little more: SizeFor knows.
func AreaFor(i units.Amps, run units.Metres, drop units.Volts) units.SquareMillimetres {
	return units.SquareMillimetres(copper * 1e6 * float64(i) * 2 * float64(run) / float64(drop))
}

// copper is the resistivity of annealed copper at 20 °C, Ω m (100 % IACS).
const copper = 1.7241e-8

// SizeFor returns the smallest size of [IEC 60228] by which a current loses at
// most drop in the cable c, whose own area is not read; ok is false when the
// largest is too small.
func (c Cable) SizeFor(i units.Amps, drop units.Volts) (area units.SquareMillimetres, ok bool) {
	for _, row := range iec60228() {
		c.Area = row.area
		if r, err := c.Loop(); err == nil && Drop(r, i) <= drop {
			return row.area, true
		}
	}
	return 0, false
}

// Verdict is whether a load can work at a voltage.
type Verdict uint8

// The verdicts.
const (
	No Verdict = iota
	Marginal
	Yes
)

// String returns no, marginal or yes.
func (v Verdict) String() string { return [...]string{"no", "marginal", "yes"}[v] }

// Judge returns whether a load that needs at least least works at volts:
// marginal within 0.1 V either way, which is as far as the voltage model can be
// trusted.
func Judge(volts, least units.Volts) Verdict {
	const doubt = 0.1
	switch d := float64(volts - least); {
	case math.Abs(d) < doubt:
		return Marginal
	case d < 0:
		return No
	}
	return Yes
}
