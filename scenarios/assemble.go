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
