package units

import (
	"math"
	"strconv"
	"strings"
)

// unit is one way to write a quantity: a number x in it is
// x * 10^shift * num / den in the base unit.
type unit struct {
	name     string
	shift    int
	num, den float64
}

// quantity describes how one type is written.
type quantity struct {
	name     string // in a sentence
	specimen string // for messages
	adds     bool   // terms add up, as in "2 h 30 min"
	units    []unit // the base unit first; the others by name
}

// ten is a unit of ten to the power of shift base units, ratio one of num/den.
func ten(name string, shift int) unit          { return unit{name, shift, 1, 1} }
func ratio(name string, num, den float64) unit { return unit{name, 0, num, den} }

var (
	power      = quantity{"a power", "85 W", false, []unit{ten("W", 0), ten("mW", -3), ten("kW", 3)}}
	energy     = quantity{"an energy", "1.2 kWh", false, []unit{ten("Wh", 0), ten("kWh", 3)}}
	current    = quantity{"a current", "2.5 A", false, []unit{ten("A", 0), ten("mA", -3)}}
	charge     = quantity{"a charge", "2 x 115 Ah", false, []unit{ten("Ah", 0), ten("mAh", -3)}}
	voltage    = quantity{"a voltage", "11.6 V", false, []unit{ten("V", 0), ten("mV", -3)}}
	resistance = quantity{"a resistance", "5 mΩ", false, []unit{
		ten("Ω", 0), ten("mΩ", -3), ten("ohm", 0), ten("mohm", -3),
	}}
	speed = quantity{"a speed", "5.2 kn", false, []unit{
		ten("kn", 0), ten("kt", 0), ten("kts", 0), ten("knots", 0),
		ratio("m/s", 3600, 1852), ratio("km/h", 1000, 1852),
	}}
	distance = quantity{"a distance", "120 nm", false, []unit{
		ten("nm", 0), ten("NM", 0), ten("nmi", 0), ten("M", 0), ratio("km", 1000, 1852),
	}}
	angle       = quantity{"an angle", "20°", false, []unit{ten("°", 0), ten("deg", 0)}}
	temperature = quantity{"a temperature", "24 °C", false, []unit{ten("°C", 0), ten("C", 0)}}
	span        = quantity{"a span of time", "15 min, 2 h 30 min or 7 d", true, []unit{
		ten("h", 0), ten("hour", 0), ten("hours", 0),
		ratio("min", 1, 60), ratio("minute", 1, 60), ratio("minutes", 1, 60),
		ratio("s", 1, 3600), ratio("second", 1, 3600), ratio("seconds", 1, 3600),
		ratio("d", 24, 1), ratio("day", 24, 1), ratio("days", 24, 1),
		ratio("week", 168, 1), ratio("weeks", 168, 1),
	}}
	force    = quantity{"a force", "400 N", false, []unit{ten("N", 0), ten("kN", 3)}}
	fraction = quantity{"a share", "55 % or 0.55", false, []unit{ten("%", -2), ten("", 0)}}
	length   = quantity{"a length", "6 m", false, []unit{
		ten("m", 0), ten("cm", -2), ten("mm", -3), ratio("ft", 0.3048, 1),
	}}
	area  = quantity{"a conductor area", "16 mm²", false, []unit{ten("mm²", 0), ten("mm2", 0)}}
	light = quantity{"an irradiance", "800 W/m²", false, []unit{ten("W/m²", 0), ten("W/m2", 0)}}
	// The litre's small letter looks like a one.
	volume   = quantity{"a volume", "60 L", false, []unit{ten("L", 0), ten("l", 0), ten("litre", 0), ten("litres", 0)}}
	fuelRate = quantity{"a fuel rate", "0.8 L/h", false, []unit{ten("L/h", 0), ten("l/h", 0)}}
	mass     = quantity{"a mass", "28 kg", false, []unit{ten("kg", 0), ten("g", -3), ten("t", 3)}}
)

// base returns the unit of the bare number and of the missing unit in hints.
func (q *quantity) base() *unit { return &q.units[0] }

// find returns the unit of that name.
func (q *quantity) find(name string) (*unit, bool) {
	for i := range q.units {
		if q.units[i].name == name {
			return &q.units[i], true
		}
	}
	return nil, false
}

// format writes x so that parse reads the same value back: in the base unit,
// or in thousandths of it where that saves zeros ("5 mΩ").
func (q *quantity) format(x float64) string {
	u := q.base()
	if x != 0 && math.Abs(x) < 0.1 {
		for i := range q.units {
			if q.units[i].shift == -3 {
				u = &q.units[i]
				break
			}
		}
	}
	s := digits(x, -u.shift)
	if u.name == "°" {
		return s + "°"
	}
	return s + " " + u.name
}

// digits writes x times ten to the power of shift, as short as it can be read
// back: the shift moves the point in the text and rounds nothing.
func digits(x float64, shift int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	mantissa, exponent, _ := strings.Cut(strconv.FormatFloat(x, 'e', -1, 64), "e")
	e, _ := strconv.Atoi(exponent) // of our own making
	e += shift
	if e < -6 || e > 14 {
		return mantissa + "e" + strconv.Itoa(e)
	}
	sign := ""
	if strings.HasPrefix(mantissa, "-") {
		sign, mantissa = "-", mantissa[1:]
	}
	d := strings.Replace(mantissa, ".", "", 1)
	switch point := e + 1; { // digits before the point
	case d == "0":
		return sign + d
	case point <= 0:
		return sign + "0." + strings.Repeat("0", -point) + d
	case point >= len(d):
		return sign + d + strings.Repeat("0", point-len(d))
	default:
		return sign + d[:point] + "." + d[point:]
	}
}

// formatSpan writes x hours as days, hours, minutes and seconds when it is a
// whole number of seconds ("7 d", "2 h 30 min"), else in hours.
func formatSpan(x float64) string {
	seconds := math.Round(math.Abs(x) * 3600)
	if x == 0 || seconds >= 1<<53 || seconds/3600 != math.Abs(x) {
		return digits(x, 0) + " h"
	}
	sign := ""
	if x < 0 {
		sign = "-"
	}
	var parts []string
	for _, u := range [...]struct {
		seconds float64
		name    string
	}{{86400, " d"}, {3600, " h"}, {60, " min"}, {1, " s"}} {
		if n := math.Floor(seconds / u.seconds); n > 0 {
			parts = append(parts, strconv.FormatFloat(n, 'f', -1, 64)+u.name)
			seconds -= n * u.seconds
		}
	}
	return sign + strings.Join(parts, " ")
}
