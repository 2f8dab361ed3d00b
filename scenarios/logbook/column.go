package logbook

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"ampwake/sim/units"
)

// column is what a column of the file holds.
type column struct {
	name string // as messages call it
	what *quantity
	special
	factor float64
	oktas  bool
}

// special columns are not numbers of a quantity.
type special uint8

const (
	plain special = iota
	ignored
	dateColumn
	timeColumn
	placeColumn
	latColumn
	lonColumn
	remarkColumn
)

// quantity is a number that a log may hold.
type quantity struct {
	name        string
	aliases     []string
	units       []unit
	least, most float64 // of the unit of the field
	what        string  // what a value out of range is not
	set         func(*Row, float64)
	clear       func(*Row)
}

// unit is a way to write a quantity; the first one serves as the example.
type unit struct {
	name   string
	factor float64
}

// Ranges of a bank of 12 V: what a voltmeter can show at its terminals.
const (
	leastVolts = 8.0
	mostVolts  = 17.0
)

// field makes the setter and the clearer of a row's field.
func field[Q ~float64](of func(*Row) **Q) (func(*Row, float64), func(*Row)) {
	return func(r *Row, x float64) { v := Q(x); *of(r) = &v }, func(r *Row) { *of(r) = nil }
}

func quantityOf[Q ~float64](name string, aliases []string, us []unit, least, most float64, what string, of func(*Row) **Q) *quantity {
	set, clear := field(of)
	return &quantity{name, aliases, us, least, most, what, set, clear}
}

// quantities lists what a column may hold.
func quantities() []*quantity {
	volts := []unit{{"v", 1}, {"volt", 1}, {"volts", 1}}
	hours := []unit{{"h", 1}, {"hours", 1}, {"min", 1. / 60}}
	celsius := []unit{{"c", 1}, {"°c", 1}}
	return []*quantity{
		quantityOf("run", []string{"noon run", "day's run", "days run"}, []unit{{"nm", 1}, {"miles", 1}}, 0, 2000, "distance",
			func(r *Row) **units.NauticalMiles { return &r.Run }),
		quantityOf("volts rested", []string{"rested volts", "rested", "volts at rest", "volts"}, volts, leastVolts, mostVolts, "voltage of a 12 V bank",
			func(r *Row) **units.Volts { return &r.Rested }),
		quantityOf("volts under load", []string{"loaded volts", "volts loaded", "volts on load"}, volts, leastVolts, mostVolts, "voltage of a 12 V bank",
			func(r *Row) **units.Volts { return &r.Loaded }),
		quantityOf("load", []string{"amps", "load amps"}, []unit{{"a", 1}, {"amps", 1}}, 0, 200, "current of a load",
			func(r *Row) **units.Amps { return &r.Load }),
		quantityOf("counter", []string{"ah counter", "amp-hour counter", "amp-hours"}, []unit{{"ah", 1}}, -20000, 20000, "charge",
			func(r *Row) **units.AmpHours { return &r.Counter }),
		quantityOf("cloud", []string{"cloud cover"}, []unit{{"oktas", 1. / 8}, {"okta", 1. / 8}, {"%", 0.01}, {"1", 1}}, 0, 1, "cloud amount",
			func(r *Row) **units.Fraction { return &r.Cloud }),
		quantityOf("speed", []string{"log speed", "boat speed"}, []unit{{"kn", 1}, {"kt", 1}, {"kts", 1}, {"knots", 1}, {"m/s", 3600. / 1852}, {"km/h", 1 / 1.852}}, 0, 25, "speed of a yacht",
			func(r *Row) **units.Knots { return &r.Speed }),
		quantityOf("generator", []string{"generator down", "hydro", "generator hours"}, hours, 0, 10000, "time",
			func(r *Row) **units.Hours { return &r.Generator }),
		quantityOf("engine", []string{"engine hours", "motor"}, hours, 0, 10000, "time",
			func(r *Row) **units.Hours { return &r.Engine }),
		quantityOf("air", []string{"air temperature"}, celsius, -40, 60, "temperature of the air",
			func(r *Row) **units.Celsius { return &r.Air }),
		quantityOf("sea", []string{"sea temperature"}, celsius, -3, 40, "temperature of the sea",
			func(r *Row) **units.Celsius { return &r.Sea }),
	}
}

// unitOf returns the factor of a unit.
func (q *quantity) unitOf(name string) (float64, bool) {
	for _, u := range q.units {
		if u.name == name {
			return u.factor, true
		}
	}
	return 0, false
}

// fits reports whether a number could be of the quantity.
func (q *quantity) fits(x float64) bool { return x >= q.least && x <= q.most }

// number reads a cell; a decimal comma counts as a point.
func number(cell string) (float64, bool) {
	cell = strings.NewReplacer("−", "-", "–", "-").Replace(cell)
	if strings.Count(cell, ",") == 1 && !strings.Contains(cell, ".") {
		cell = strings.Replace(cell, ",", ".", 1)
	}
	x, err := strconv.ParseFloat(cell, 64)
	return x, err == nil && !math.IsNaN(x) && !math.IsInf(x, 0)
}

// split parts "Volts rested [V]" into "volts rested" and "v".
func split(cell string) (name, unit string) {
	cell = strings.ToLower(strings.Join(strings.Fields(strings.ReplaceAll(cell, "_", " ")), " "))
	open := strings.IndexAny(cell, "[(")
	if open < 0 || !strings.HasSuffix(cell, "]") && !strings.HasSuffix(cell, ")") {
		return cell, ""
	}
	return strings.TrimSpace(cell[:open]), strings.TrimSpace(cell[open+1 : len(cell)-1])
}

// find returns the quantity of a name.
func find(all []*quantity, name string) *quantity {
	for _, q := range all {
		if q.name == name || slices.Contains(q.aliases, name) {
			return q
		}
	}
	return nil
}
