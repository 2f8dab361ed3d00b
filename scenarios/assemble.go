package scenarios

import (
	"fmt"
	"math"
	"strings"
	"time"

	"ampwake/scenarios/form"
	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/climate"
	"ampwake/sim/hull"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// assembly turns a file into a voyage. What cannot be assembled is noted in the
// document with its line, and the work goes on, so that all problems are told
// at once.
type assembly struct {
	file     *File
	doc      *form.Doc
	kinds    map[string]string
	zone     int // ship's zone at departure
	depart   time.Time
	names    []string // of the waypoints; "" for one from a GPX file without a name
	route    *track.Route
	out      sim.Voyage
	label    string       // the file's name
	open     Opener       // of the files that it names
	build    buildWeather // see weather
	scripted []climate.Spell
	found    []sim.Note // on the way
	groups   []Factor   // of the loads, see Trial
}

// noted keeps a remark for the reader of a result.
func (a *assembly) noted(about, text string) {
	a.found = append(a.found, sim.Note{About: about, Text: text})
}

// voyage assembles all. The result is of use only if the document has no
// problems afterwards.
func (a *assembly) voyage() *sim.Voyage {
	a.out.Title = a.file.Title
	a.way()
	a.model()
	a.weather()
	a.bank()
	a.boat()
	a.sources()
	a.worth()
	a.loads()
	a.goals()
	a.faults()
	a.correct()
	a.out.Notes = a.notes()
	return &a.out
}

// clean reports whether nothing is wrong with the value at path, so that a
// check of it would not repeat or invent a problem.
func (a *assembly) clean(paths ...string) bool {
	for _, p := range paths {
		if !a.doc.Sound(p) {
			return false
		}
	}
	return true
}

// want adds to a problem what was expected.
func want(p *form.Problem, what string) {
	p.Want = what
	p.Message += ": want " + what
}

func (a *assembly) way() {
	a.track()
	a.pace()
	a.zones()
}

// zones assembles the ocean zones.
func (a *assembly) zones() {
	list := a.file.Voyage.Zones
	var from units.NauticalMiles
	for i, z := range list {
		path := fmt.Sprintf("voyage.zones[%d]", i)
		if !a.clean(path) {
			continue
		}
		var to units.NauticalMiles
		switch {
		case z.Until != "":
			to = a.until(string(z.Until), path+".until")
		case i < len(list)-1:
			want(a.doc.Problem(path, "this zone has no end, so those after it are never reached"), "until")
		case a.route != nil:
			to = a.route.Length()
		}
		if a.route == nil || !a.clean(path) {
			continue
		}
		if to <= from {
			a.doc.Problem(path+".until", "%s is not beyond the end of the zone before", z.Until)
			continue
		}
		a.out.Zones = append(a.out.Zones, sim.Zone{Name: z.Name, From: from, To: to})
		from = to
	}
}

// track assembles the route and the stays.
func (a *assembly) track() {
	v := &a.file.Voyage
	for _, w := range v.Route.Points {
		a.names = append(a.names, w.Name)
	}
	if !a.clean("voyage.route") {
		return
	}
	path := "voyage.route"
	if v.Route.GPX != "" {
		path += ".gpx"
	}
	points := a.waypoints()
	if !a.clean("voyage.route") {
		return
	}
	route, err := track.NewRoute(track.Sphere{}, points)
	if err != nil {
		a.doc.Problem(path, "%v", err)
		return
	}
	a.route, a.out.Route = route, route
	a.zone, _ = route.ZoneAt(0)
	a.depart = v.Depart.At(a.zone)
	a.out.Depart = a.depart
	a.out.Limit = v.For
	if len(v.Zones) == 0 {
		a.out.Zones = namedLegs(route)
	}
	for i, w := range v.Route.Points {
		if w.Stay != nil {
			a.out.Stays = append(a.out.Stays, sim.Stay{At: route.Mark(i), For: w.Stay.For, State: w.Stay.State})
		}
	}
}

func (a *assembly) pace() {
	last := len(a.file.Voyage.Pace) - 1
	if last < 0 {
		if a.clean("voyage.pace") {
			a.doc.Problem("voyage.pace", "a pace needs one stretch at least")
		}
		return
	}
	for i := range a.file.Voyage.Pace {
		p := &a.file.Voyage.Pace[i]
		at := fmt.Sprintf("voyage.pace[%d]", i)
		if !a.clean(at) {
			continue
		}
		s := sim.Stretch{Name: p.Note, For: p.For, State: p.State.state(), Speed: p.Speed.Knots, Heel: p.Heel.Angle, Leeward: p.Heel.Leeward}
		if p.By != nil {
			s.By = p.By.At(a.zone)
			if a.route != nil && !s.By.After(a.depart) {
				a.doc.Problem(at+".to date", "%v is not after the departure", *p.By)
			}
		}
		if p.Until != "" {
			s.Until = a.until(string(p.Until), at+".until")
		}
		if p.Speed.ByWind {
			s.Polar = a.polar()
			s.Seamanship = sim.Seamanship{HoveToSpeed: p.HoveTo, MotorSpeed: p.MotorAt, DriftBelow: p.DriftBelow}
			if p.HeaveTo != nil {
				s.Seamanship.HeaveTo = *p.HeaveTo
			}
			if p.MotorBelow != nil {
				s.Seamanship.MotorBelow = *p.MotorBelow
			}
			if w := &a.file.Weather; w.Wind == nil && w.From != "climate" && w.Record == "" && a.clean("weather") {
				want(a.doc.Problem(at+".speed", "by wind, but the weather has none"), "weather: climate, weather.wind or weather.record")
			}
		}
		limited := s.For > 0 || p.By != nil || p.Until != ""
		if !limited && i < last {
			want(a.doc.Problem(at, "this stretch has no end, so those after it are never sailed"), "until, for or to date")
		}
		if s.Speed == 0 && !p.Speed.ByWind && p.Until != "" && s.For == 0 && p.By == nil && i < last {
			a.doc.Problem(at+".speed", "at 0 kn she never gets there: give for or to date too")
		}
		if s.Speed == 0 && !p.Speed.ByWind && i == last && a.file.Voyage.For == 0 {
			a.doc.Problem(at+".speed", "the last stretch lasts to the end: at 0 kn she never arrives")
		}
		a.out.Plan = append(a.out.Plan, s)
	}
	if a.route == nil {
		return
	}
	if hours := float64(a.route.Length()) / math.Max(0.01, float64(a.file.Voyage.Pace[last].Speed.Knots)); a.clean("voyage") &&
		a.file.Voyage.For == 0 && !a.file.Voyage.Pace[last].Speed.ByWind && hours > 4*float64(sim.MaxLength) {
		a.doc.Problem(fmt.Sprintf("voyage.pace[%d].speed", last), "at this pace she is under way for more than %v: give a higher speed, or voyage.for", sim.MaxLength)
	}
}

// until finds the distance along the route of a waypoint or a latitude.
func (a *assembly) until(text, path string) units.NauticalMiles {
	if len(a.names) == 0 {
		return 0 // the GPX file has a problem already
	}
	var names []string
	for i, name := range a.names {
		if strings.EqualFold(name, strings.TrimSpace(text)) && i > 0 {
			if a.route == nil {
				return 0
			}
			return a.route.Mark(i)
		}
		if i > 0 && name != "" {
			names = append(names, name)
		}
	}
	lat, ok := latitude(text)
	if !ok {
		p := a.doc.Problem(path, "%q is neither a waypoint ahead nor a latitude like 5°N", text)
		p.Hint = form.Nearest(text, names)
		if len(names) > 0 {
			want(p, "one of "+strings.Join(names[:min(len(names), mostNames)], ", ")+", or a latitude")
		}
		return 0
	}
	if a.route == nil {
		return 0
	}
	d, found := crossing(a.route, lat)
	if !found {
		a.doc.Problem(path, "the route never reaches the latitude of %s", text)
	}
	return d
}

// latitude reads "5°N" or "12°30'S".
func latitude(text string) (units.Degrees, bool) {
	p, err := track.ParsePosition(strings.TrimSpace(text) + " 0°E")
	return p.Lat, err == nil
}

// crossing finds the first place, after the start, where the route passes a
// latitude.
func crossing(r *track.Route, lat units.Degrees) (units.NauticalMiles, bool) {
	length := float64(r.Length())
	side := func(d float64) bool {
		p, _ := r.At(units.NauticalMiles(d))
		return p.Lat >= lat
	}
	const pace = 10.0
	start := side(0)
	for d := pace; d < length+pace; d += pace {
		if side(math.Min(d, length)) == start {
			continue
		}
		lo, hi := d-pace, math.Min(d, length)
		for hi-lo > 1e-6 {
			if m := (lo + hi) / 2; side(m) == start {
				lo = m
			} else {
				hi = m
			}
		}
		return units.NauticalMiles(hi), true
	}
	return 0, false
}

func (a *assembly) model() {
	step := time.Duration(math.Round(float64(a.file.Model.Step) * 3.6e12))
	if a.clean("model") && (step <= 0 || time.Hour%step != 0) {
		want(a.doc.Problem("model.step", "%v does not divide an hour", a.file.Model.Step), "1, 2, 3, 4, 5, 6, 10, 12, 15, 20, 30 or 60 min")
	}
	a.out.Grid = step
}

func (a *assembly) bank() {
	b := &a.file.Bank
	if !a.clean("bank") {
		return
	}
	var chemistry bank.Chemistry
	if err := chemistry.UnmarshalText([]byte(b.Chemistry)); err != nil {
		a.doc.Problem("bank.chemistry", "%v", err)
		return
	}
	s := bank.Default(chemistry, b.Capacity)
	s.Health = b.Age
	if b.Absorption != nil {
		s.Charger.Absorption = *b.Absorption
	}
	if b.Float != nil {
		s.Charger.Float = *b.Float
	}
	if b.CutOff != nil {
		s.CutOff = *b.CutOff
		s.Reset = max(s.Reset, s.CutOff)
	}
	if b.Reset != nil {
		s.Reset = *b.Reset
	}
	if b.MaxCharge != nil {
		s.Largest = float64(*b.MaxCharge) / float64(b.Capacity)
	}
	if a.file.Model.Charger == "plain" {
		s.Charger.Float, s.Trickle, s.Upkeep = 0, 0, 0
	}
	if s.Reset < s.CutOff {
		a.doc.Problem("bank.reset", "%v is under the cut-off of %v", s.Reset, s.CutOff)
		return
	}
	m, err := bank.New(s)
	if err != nil {
		a.doc.Problem("bank", "%s", strings.TrimPrefix(err.Error(), "bank: "))
		return
	}
	a.out.Bank, a.out.Charge = m, b.Start
}

func (a *assembly) boat() {
	if a.file.Boat == nil || len(a.file.Boat.Resistance) == 0 || !a.clean("boat") {
		return
	}
	var points []hull.Point
	for _, p := range a.file.Boat.Resistance {
		points = append(points, hull.Point{Speed: p.Speed, Force: p.Force})
	}
	r, err := hull.NewResistance(points)
	if err != nil {
		a.doc.Problem("boat.resistance", "%v", err)
		return
	}
	a.out.Hull = r.Times(a.file.Boat.Factor)
}

// polar returns the boat's speed by the wind on passage.
func (a *assembly) polar() *hull.Polar {
	factor := hull.PassageFactor
	table := hull.IllustrativePolar()
	if b := a.file.Boat; b != nil && a.clean("boat") {
		factor = b.Passage
		if b.Polar != nil {
			var winds []units.Knots
			var speeds [][]units.Knots
			for _, row := range b.Polar.Rows {
				winds = append(winds, row.Wind)
				speeds = append(speeds, row.Speeds)
			}
			own, err := hull.NewPolar(winds, b.Polar.Angles, speeds)
			if err != nil {
				a.doc.Problem("boat.polar", "%v", err)
				return table
			}
			table = own
		}
	}
	return table.Times(factor)
}

func (a *assembly) goals() {
	g := &a.file.Goals
	var names []string
	for _, l := range a.file.Loads {
		names = append(names, l.Name)
	}
	for i, name := range g.Keep {
		found := -1
		for j, n := range names {
			if strings.EqualFold(n, name) {
				found = j
			}
		}
		if found < 0 {
			p := a.doc.Problem(fmt.Sprintf("goals.keep[%d]", i), "no load is called %q", name)
			want(p, "one of "+strings.Join(names, ", "))
			p.Hint = form.Nearest(name, names)
			continue
		}
		a.out.Goals.Keep = append(a.out.Goals.Keep, found)
	}
	if g.Above != nil {
		a.out.Goals.Above = *g.Above
		if a.clean("bank.start", "goals") && *g.Above >= a.file.Bank.Start {
			a.doc.Problem("goals.stay above", "the bank starts at %.0f %%, not above %.0f %%", 100*a.file.Bank.Start, 100**g.Above)
		}
	}
	if a.file.Bank.Floor != nil {
		a.out.Goals.Floor = *a.file.Bank.Floor
	}
}
