package scenarios

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"time"

	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// Weather absent from the file, where nothing else gives it.
const (
	usualCloud = CloudAmount(0.5)
	usualAir   = units.Celsius(20)
	usualSea   = units.Celsius(18)
)

// buildWeather makes the weather of a voyage over another weather, which is nil
// when the file alone tells it.
type buildWeather func(under climate.Weather) climate.Weather

func (a *assembly) weather() {
	w := &a.file.Weather
	if !a.clean("weather", "voyage.depart") || a.route == nil {
		return
	}
	alone := w.From != "climate"
	t := a.timetable(alone && w.Record == "")
	record := a.record(w.Record)
	a.scripted = a.spells(w.Spells)
	if !a.clean("weather") {
		return
	}
	if !alone {
		a.checkSea("weather.from")
	}
	if alone && w.Record != "" {
		a.fill(&record, t)
	}
	build := func(under climate.Weather) climate.Weather {
		over := under
		for _, table := range []climate.Timetable{record, t} {
			if from, _ := table.Span(); from.IsZero() {
				continue
			}
			d, err := climate.NewDated(table, over)
			if err != nil {
				panic("scenarios: " + err.Error()) // tried below
			}
			over = d
		}
		return a.lay(over)
	}
	for _, table := range []climate.Timetable{record, t} {
		var under climate.Weather
		if !alone || w.Record != "" {
			under = climate.Fixed{}
		}
		if from, _ := table.Span(); from.IsZero() {
			continue
		}
		if _, err := climate.NewDated(table, under); err != nil {
			a.doc.Problem("weather", "%v", err)
			return
		}
	}
	a.build = build
	if alone {
		a.out.Weather = func(int) sim.Weather { return build(nil) }
		return
	}
	a.out.Weather = func(int) sim.Weather { return build(climate.NewMean(climate.Ocean())) }
}

// lay lays the scripted spells over a weather.
func (a *assembly) lay(over climate.Weather) climate.Weather {
	for _, s := range a.scripted {
		o, err := climate.NewOverlay(over, s)
		if err != nil {
			panic("scenarios: " + err.Error()) // tried in spells
		}
		over = o
	}
	return over
}

// timetable returns what the file itself says of the weather. With whole set,
// what it does not say gets the usual values.
func (a *assembly) timetable(whole bool) climate.Timetable {
	w := &a.file.Weather
	var t climate.Timetable
	t.Cloud, t.Average = a.cloud(&w.Cloud, whole)
	t.Air = a.temperature(&w.Air, "weather.air", usualAir, whole)
	t.Sea = a.temperature(&w.Sea, "weather.sea", usualSea, whole)
	if w.Wind != nil || whole {
		wind := Wind{}
		if w.Wind != nil {
			wind = *w.Wind
		}
		t.WindSpeed.Knots = []climate.Knot[units.Knots]{{At: a.depart, Value: wind.Speed}}
		t.WindFrom.Knots = []climate.Knot[units.Degrees]{{At: a.depart, Value: wind.From}}
	}
	return t
}

// fill gives a record without some columns, and a file that does not say them
// either, the usual values.
func (a *assembly) fill(r *climate.Timetable, t climate.Timetable) {
	if len(r.Cloud.Knots)+len(t.Cloud.Knots) == 0 {
		r.Cloud.Knots = []climate.Knot[units.Fraction]{{At: a.depart, Value: units.Fraction(usualCloud)}}
	}
	if len(r.Air.Knots)+len(t.Air.Knots) == 0 {
		r.Air.Knots = []climate.Knot[units.Celsius]{{At: a.depart, Value: usualAir}}
	}
	if len(r.Sea.Knots)+len(t.Sea.Knots) == 0 {
		r.Sea.Knots = []climate.Knot[units.Celsius]{{At: a.depart, Value: usualSea}}
	}
	if len(r.WindSpeed.Knots)+len(t.WindSpeed.Knots) == 0 {
		r.WindSpeed.Knots = []climate.Knot[units.Knots]{{At: a.depart}}
	}
	if len(r.WindFrom.Knots)+len(t.WindFrom.Knots) == 0 {
		r.WindFrom.Knots = []climate.Knot[units.Degrees]{{At: a.depart}}
	}
}

// mostRecord is the longest weather log that is read, bytes: a line a minute for
// half a year, or a line an hour for twenty years. Reading it takes some 200 MB of
// memory.
const mostRecord = 8 << 20

// record reads the weather log that the file names, beside the file.
func (a *assembly) record(name string) climate.Timetable {
	if name == "" {
		return climate.Timetable{}
	}
	const path = "weather.record"
	if !filepath.IsAbs(name) {
		name = filepath.Join(filepath.Dir(a.label), name)
	}
	f, err := a.open(name)
	if err != nil {
		a.doc.Problem(path, "the log cannot be read: %v", err)
		return climate.Timetable{}
	}
	defer func() { _ = f.Close() }() // only read
	text, err := io.ReadAll(io.LimitReader(f, mostRecord+1))
	if err != nil {
		a.doc.Problem(path, "the log cannot be read: %v", err)
		return climate.Timetable{}
	}
	if len(text) > mostRecord {
		a.doc.Problem(path, "%s is larger than %d MiB: keep the lines of this voyage, or a line an hour", name, mostRecord>>20)
		return climate.Timetable{}
	}
	r, err := climate.ReadRecord(bytes.NewReader(text))
	if err != nil {
		a.doc.Problem(path, "%s: %v", name, err)
		return climate.Timetable{}
	}
	for _, n := range r.Notes {
		a.noted("record", n)
	}
	if from, to := r.Span(); !a.depart.IsZero() && (from.After(a.depart) || to.Before(a.depart)) {
		a.noted("record", fmt.Sprintf("the log runs from %s to %s UTC; outside it the first and the last reading hold",
			from.Format("2 Jan 2006 15:04"), to.Format("2 Jan 2006 15:04")))
	}
	return r.Timetable
}

// spells assembles the scripted weather.
func (a *assembly) spells(list []Spell) []climate.Spell {
	var out []climate.Spell
	for i, s := range list {
		path := fmt.Sprintf("weather.spells[%d]", i)
		if !a.clean(path) {
			continue
		}
		x := climate.Calm(s.For)
		if s.Kind == "gale" {
			x = climate.Gale(s.For)
		}
		switch {
		case s.Begins.At != nil:
			x.From = s.Begins.At.At(a.zone)
		case s.Begins.Side == "north of":
			x.When = climate.NorthOf(s.Begins.Lat)
		case s.Begins.Side == "south of":
			x.When = climate.SouthOf(s.Begins.Lat)
		default:
			x.When = climate.Crossing(s.Begins.Lat)
		}
		if s.Cloud != nil {
			// A value just above 0 keeps a clear sky apart from "leave it alone".
			x.CloudLeast, x.CloudMost = units.Fraction(*s.Cloud), max(1e-6, units.Fraction(*s.Cloud))
			x.Average = a.file.Weather.From == "climate"
		}
		if _, err := climate.NewOverlay(climate.Fixed{}, x); err != nil {
			a.doc.Problem(path, "%v", err)
			continue
		}
		out = append(out, x)
	}
	return out
}

// ashore is how far a route may lie on land by the coarse mask of one degree,
// which takes the approaches of many a port for land, before it is held to
// cross it.
const ashore units.NauticalMiles = 150

// sea walks the route and tells where the climate knows nothing, and what it
// knows badly.
func (a *assembly) sea() (inland track.Position, at units.NauticalMiles, doubts climate.Quality, dry bool) {
	walk := climate.Ocean().Walk()
	length := a.route.Length()
	const pace = 20
	var dryFor units.NauticalMiles
	for d := units.NauticalMiles(0); ; d += pace {
		d = min(d, length)
		place, _ := a.route.At(d)
		cell, err := walk.At(a.depart, place)
		if errors.Is(err, climate.ErrInland) && !dry {
			inland, at, dry = place, d, true
		}
		doubts |= cell.Quality
		if dryFor += pace; !climate.Land(place) {
			dryFor = 0
		}
		if dryFor > ashore && !dry {
			inland, at, dry = place, d, true
		}
		if d >= length {
			return inland, at, doubts, dry
		}
	}
}

// checkSea refuses a route where there is no climate.
func (a *assembly) checkSea(path string) {
	place, at, doubts, dry := a.sea()
	if dry {
		want(a.doc.Problem(path, "%v: the route lies inland near %v, %.0f miles out", climate.ErrInland, place, float64(at)),
			"waypoints that keep to the sea, or weather from the file")
	}
	for _, n := range doubts.Notes() {
		a.noted("climate", "in places: "+n)
	}
}

// cloud returns the cloud by date, and whether its values are means of a
// changing sky rather than the sky of the moment.
func (a *assembly) cloud(c *Cloud, whole bool) (s climate.Series[units.Fraction], average bool) {
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
	case whole:
		put(a.depart, usualCloud)
	}
	if c.Average != nil {
		average = *c.Average
	}
	return s, average
}

func (a *assembly) temperature(t *Temperature, path string, usual units.Celsius, whole bool) (s climate.Series[units.Celsius]) {
	if t.Value != nil && len(t.Points) > 0 {
		a.doc.Problem(path, "give one temperature or points, not both")
	}
	switch {
	case len(t.Points) > 0:
		for i, p := range t.Points {
			if i > 0 && p.After <= t.Points[i-1].After {
				a.doc.Problem(fmt.Sprintf("%s.points[%d]", path, i), "%v is not after the point before it", p.After)
				return s
			}
			at := a.depart.Add(time.Duration(float64(p.After) * 3.6e12))
			s.Knots = append(s.Knots, climate.Knot[units.Celsius]{At: at, Value: p.Value})
		}
	case t.Value != nil:
		s.Knots = []climate.Knot[units.Celsius]{{At: a.depart, Value: *t.Value}}
	case whole:
		s.Knots = []climate.Knot[units.Celsius]{{At: a.depart, Value: usual}}
	}
	return s
}
