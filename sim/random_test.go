package sim_test

import (
	"fmt"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// dice draws the parts of a voyage.
type dice struct{ *rapid.T }

// float draws evenly, where rapid itself would rather have small numbers: 0 is
// from, to shrink to.
func (d dice) float(name string, from, to float64) float64 {
	x := rapid.Uint64().Draw(d.T, name)
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9 // the finaliser of splitmix64
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return from + (to-from)*float64((x^x>>31)>>11)/(1<<53)
}

func (d dice) whole(name string, from, to int) int {
	return rapid.IntRange(from, to).Draw(d.T, name)
}
func (d dice) yes(name string) bool { return rapid.Bool().Draw(d.T, name) }

// anyVoyage draws a valid voyage of up to a week with any kit through any
// weather: all chemistries, sources, loads and states, across the equator and
// the date line.
func anyVoyage(t *rapid.T) *sim.Voyage {
	d := dice{t}
	v := &sim.Voyage{
		Title:  "any",
		Depart: time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(d.whole("depart, s", 0, 365*86400)) * time.Second),
		Limit:  units.Hours(d.float("limit, h", 2, 170)),
		Grid:   time.Duration(rapid.SampledFrom([]int{5, 10, 15, 30, 60}).Draw(t, "grid, min")) * time.Minute,
		Bank:   d.bank(),
		Charge: units.Fraction(d.float("start", 0.03, 1)),
		Fuel:   units.Litres(d.float("fuel, L", 0, 12)),
	}
	v.Route = d.route()
	d.plan(v)
	v.Weather = d.weather(v.Depart)
	d.sources(v)
	d.loads(v)
	d.faults(v)
	if d.yes("floor") {
		v.Goals.Above = 0.4
	}
	return v
}

func (d dice) bank() *bank.Model {
	s := bank.Default(bank.Chemistry(d.whole("chemistry", 0, 3)), units.AmpHours(d.float("capacity, Ah", 30, 500)))
	s.Health = units.Fraction(d.float("health", 0.5, 1))
	switch d.whole("charger", 0, 3) {
	case 0:
		s = s.Plain()
	case 1:
		s.CutOff = units.Volts(d.float("cut-off, V", 10.5, 12))
		s.Reset = s.CutOff + units.Volts(d.float("reset above it, V", 0, 1.5))
	}
	m, err := bank.New(s)
	require.NoError(d, err)
	return m
}

func (d dice) route() *track.Route {
	for {
		at := track.Position{Lat: units.Degrees(d.float("lat", -62, 62)), Lon: units.Degrees(d.float("lon", -180, 180))}
		switch d.whole("region", 0, 3) {
		case 0:
			at.Lat /= 20
		case 1:
			at.Lon = units.Degrees(rapid.SampledFrom([]float64{180, 179.5, -179.5}).Draw(d.T, "beside the date line"))
		}
		points := []track.Waypoint{{Name: "from", Position: at}}
		for i := range d.whole("legs", 1, 3) {
			at.Lat = max(-65, min(65, at.Lat+units.Degrees(d.float("north", -9, 9))))
			at.Lon += units.Degrees(d.float("east", -12, 12))
			if at.Lon > 180 {
				at.Lon -= 360
			} else if at.Lon < -180 {
				at.Lon += 360
			}
			line := track.GreatCircle
			if d.yes("rhumb line") {
				line = track.RhumbLine
			}
			points = append(points, track.Waypoint{Name: fmt.Sprint(i), Position: at, Line: line})
		}
		if r, err := track.NewRoute(track.Sphere{}, points); err == nil {
			return r
		}
	}
}

func (d dice) plan(v *sim.Voyage) {
	length := float64(v.Route.Length())
	for range d.whole("stretches", 0, 3) {
		s := d.stretch()
		switch d.whole("end of the stretch", 0, 3) {
		case 0:
			s.Until = units.NauticalMiles(d.float("until, nm", 0, length))
		case 1:
			s.By = v.Depart.Add(time.Duration(d.float("by, h", -3, 100) * float64(time.Hour)))
		default:
			s.For = units.Hours(d.float("for, h", 0.2, 60))
		}
		v.Plan = append(v.Plan, s)
	}
	v.Plan = append(v.Plan, d.stretch())
	for range d.whole("stays", 0, 2) {
		at := units.NauticalMiles(d.float("stay at, nm", 0, length))
		if d.yes("at a waypoint") {
			at = v.Route.Mark(d.whole("waypoint", 0, v.Route.Len()-1))
		}
		v.Stays = append(v.Stays, sim.Stay{
			At: at, For: units.Hours(d.float("stay, h", 0, 40)),
			State: rapid.SampledFrom([]sim.State{sim.AtAnchor, sim.Alongside, sim.HoveTo}).Draw(d.T, "staying"),
		})
	}
}

func (d dice) stretch() sim.Stretch {
	s := sim.Stretch{
		Speed: units.Knots(d.float("speed, kn", 0, 9)), Heel: units.Degrees(d.float("heel", -25, 25)), Leeward: d.yes("leeward"),
		State: rapid.SampledFrom([]sim.State{sim.UnderSail, sim.Motoring, sim.HoveTo, sim.Drifting}).Draw(d.T, "state"),
	}
	if d.yes("becalmed") {
		s.Speed = 0
	}
	return s
}

// weather draws random cloud in blocks, and temperatures from -2 to 32 °C.
func (d dice) weather(depart time.Time) func(int) sim.Weather {
	var table climate.Timetable
	table.Cloud.Steps = true
	at := func(h float64) time.Time { return depart.Add(time.Duration(h * float64(time.Hour))) }
	every := d.float("cloud block, h", 2, 24)
	for i := range 10 {
		table.Cloud.Knots = append(table.Cloud.Knots, climate.Knot[units.Fraction]{At: at(every * float64(i)), Value: units.Fraction(d.float("cloud", 0, 1))})
	}
	for i := range 4 {
		table.Air.Knots = append(table.Air.Knots, climate.Knot[units.Celsius]{At: at(50 * float64(i)), Value: units.Celsius(d.float("air, °C", -2, 32))})
		table.Sea.Knots = append(table.Sea.Knots, climate.Knot[units.Celsius]{At: at(50 * float64(i)), Value: units.Celsius(d.float("sea, °C", -2, 32))})
	}
	table.Average = d.yes("mean cloud")
	table.WindSpeed.Knots = []climate.Knot[units.Knots]{{At: depart, Value: units.Knots(d.float("wind, kn", 0, 40))}}
	table.WindFrom.Knots = []climate.Knot[units.Degrees]{{At: depart, Value: units.Degrees(d.float("wind from", 0, 360))}}
	return func(int) sim.Weather {
		w, err := climate.NewDated(table, nil)
		require.NoError(d, err)
		return w
	}
}
