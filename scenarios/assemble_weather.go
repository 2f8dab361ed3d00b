package scenarios

import (
	"fmt"
	"time"

	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/units"
)

// Weather absent from the file.
const (
	usualCloud = CloudAmount(0.5)
	usualAir   = units.Celsius(20)
	usualSea   = units.Celsius(18)
)

func (a *assembly) weather() {
	w := &a.file.Weather
	if !a.clean("weather") || a.route == nil {
		return
	}
	var t climate.Timetable
	t.Cloud, t.Average = a.cloud(&w.Cloud)
	t.Air = a.temperature(&w.Air, usualAir)
	t.Sea = a.temperature(&w.Sea, usualSea)
	wind := Wind{}
	if w.Wind != nil {
		wind = *w.Wind
	}
	t.WindSpeed.Knots = []climate.Knot[units.Knots]{{At: a.depart, Value: wind.Speed}}
	t.WindFrom.Knots = []climate.Knot[units.Degrees]{{At: a.depart, Value: wind.From}}
	if _, err := climate.NewDated(t, nil); err != nil {
		a.doc.Problem("weather", "%v", err)
		return
	}
	a.out.Weather = func(int) sim.Weather {
		d, err := climate.NewDated(t, nil)
		if err != nil {
			panic("scenarios: " + err.Error()) // checked above
		}
		return d
	}
}

// cloud returns the cloud by date, and whether its values are means of a
// changing sky rather than the sky of the moment.
func (a *assembly) cloud(c *Cloud) (s climate.Series[units.Fraction], average bool) {
	s.Steps = true
	put := func(at time.Time, v CloudAmount) {
		s.Knots = append(s.Knots, climate.Knot[units.Fraction]{At: at, Value: units.Fraction(v)})
	}
	given := 0
	for _, has := range []bool{c.Amount != nil, len(c.Values) > 0, len(c.Table) > 0} {
		if has {
			given++
		}
	}
	if given > 1 {
		a.doc.Problem("weather.cloud", "give one of amount, values and table, not several")
	}
	average = true
	switch {
	case len(c.Values) > 0:
		if c.Every == 0 {
			want(a.doc.Problem("weather.cloud.values", "how long each value holds is missing"), "every, like 6 h")
			return s, false
		}
		average = c.Every > 12
		for i, v := range c.Values {
			put(a.depart.Add(time.Duration(float64(i)*float64(c.Every)*3.6e12)), v)
		}
	case len(c.Table) > 0:
		for i, row := range c.Table {
			at := row.From.At(a.zone)
			if i > 0 && !at.After(s.Knots[i-1].At) {
				a.doc.Problem(fmt.Sprintf("weather.cloud.table[%d]", i), "%v is not after the row before it", row.From)
				return s, average
			}
			put(at, row.Cloud)
		}
	case c.Amount != nil:
		put(a.depart, *c.Amount)
	default:
		put(a.depart, usualCloud)
	}
	if c.Average != nil {
		average = *c.Average
	}
	return s, average
}

func (a *assembly) temperature(t *Temperature, usual units.Celsius) (s climate.Series[units.Celsius]) {
	if t.Value != nil && len(t.Points) > 0 {
		a.doc.Problem("weather", "give one temperature or points, not both")
	}
	switch {
	case len(t.Points) > 0:
		for _, p := range t.Points {
			at := a.depart.Add(time.Duration(float64(p.After) * 3.6e12))
			s.Knots = append(s.Knots, climate.Knot[units.Celsius]{At: at, Value: p.Value})
		}
	case t.Value != nil:
		s.Knots = []climate.Knot[units.Celsius]{{At: a.depart, Value: *t.Value}}
	default:
		s.Knots = []climate.Knot[units.Celsius]{{At: a.depart, Value: usual}}
	}
	return s
}
