package sim_test

import (
	"context"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// tester is a *testing.T or a *rapid.T.
type tester interface {
	require.TestingT
	Helper()
	Context() context.Context
}

// steady is a weather that never changes.
type steady climate.Sample

func (s steady) At(time.Time, track.Position) climate.Sample { return climate.Sample(s) }
func (steady) Edge(time.Time) time.Time                      { return time.Time{} }

// maker is a source of constant power.
type maker struct {
	name  string
	power units.Watts
}

func (m maker) Name() string { return m.name }
func (m maker) Offer(*sim.Conditions) sim.Supply {
	return sim.Supply{Power: m.power, Lost: m.power / 20}
}

// user is a load that is always on.
type user struct {
	name   string
	demand sim.Demand
}

func (u user) Name() string                       { return u.name }
func (u user) Draw(*sim.Conditions) sim.Demand    { return u.demand }
func (user) Edge(t time.Time, zone int) time.Time { return time.Time{} }

// clock is the hour of a voyage of quiet.
func clock(hours float64) time.Time {
	return time.Date(2027, 3, 1, 12, 0, 0, 0, time.UTC).Add(time.Duration(math.Round(hours * 3.6e12)))
}

// routeOf returns the rhumb line through places given as latitude, longitude, ...
func routeOf(t testing.TB, degrees ...units.Degrees) *track.Route {
	t.Helper()
	var points []track.Waypoint
	for i := 0; i < len(degrees); i += 2 {
		points = append(points, track.Waypoint{Position: track.Position{Lat: degrees[i], Lon: degrees[i+1]}, Line: track.RhumbLine})
	}
	r, err := track.NewRoute(track.Sphere{}, points)
	require.NoError(t, err)
	return r
}

// bankOf returns an AGM bank of 100 Ah, changed as told.
func bankOf(t testing.TB, change func(*bank.Setup)) *bank.Model {
	t.Helper()
	s := bank.Default(bank.AGM, 100)
	change(&s)
	m, err := bank.New(s)
	require.NoError(t, err)
	return m
}

// quiet is a voyage due south at 6 kn, 1200 miles from 20°N 30°W, from noon on
// 1 March 2027, in clear weather at 25 °C, with an AGM bank of 100 Ah half full
// and nothing else on board.
func quiet(t testing.TB, hours units.Hours) *sim.Voyage {
	t.Helper()
	return &sim.Voyage{
		Title: "quiet", Depart: clock(0), Limit: hours,
		Route: routeOf(t, 20, -30, 0, -30),
		Plan:  []sim.Stretch{{Speed: 6}},
		Bank:  bankOf(t, func(*bank.Setup) {}), Charge: 0.5, Fuel: 20,
		Weather: func(int) sim.Weather { return steady{Through: 1, Air: 25, Sea: 25, WindSpeed: 15, WindFrom: 45} },
	}
}

// always adds a load of a constant current that is always on.
func always(v *sim.Voyage, name string, amps units.Amps, spare bool) {
	v.Loads = append(v.Loads, sim.Fixed{Load: user{name, sim.Demand{On: true, Current: amps}}, Spare: spare})
}

// span is a time of a voyage of quiet, hours since departure.
type span struct{ from, to float64 }

func (s span) holds(t time.Time) bool { return !t.Before(clock(s.from)) && t.Before(clock(s.to)) }

// nextOf returns the first beginning or end of the spans after t.
func nextOf(spans []span, t time.Time) (next time.Time) {
	for _, s := range spans {
		for _, at := range []time.Time{clock(s.from), clock(s.to)} {
			if at.After(t) && (next.IsZero() || at.Before(next)) {
				next = at
			}
		}
	}
	return next
}

// slots is a load that is on in its spans, each of which is a slot.
type slots struct {
	name   string
	demand sim.Demand
	spans  []span
}

func (s slots) Name() string { return s.name }
func (s slots) Draw(c *sim.Conditions) sim.Demand {
	for _, x := range s.spans {
		if x.holds(c.Time) {
			d := s.demand
			d.On, d.Slot = true, clock(x.from).Unix()
			return d
		}
	}
	return sim.Demand{}
}
func (s slots) Edge(t time.Time, _ int) time.Time { return nextOf(s.spans, t) }

// shining is a source of constant power in its spans, cut there.
type shining struct {
	name  string
	power units.Watts
	spans []span
}

func (s shining) Name() string { return s.name }
func (s shining) Offer(c *sim.Conditions) sim.Supply {
	for _, x := range s.spans {
		if x.holds(c.Time) {
			return sim.Supply{Power: s.power}
		}
	}
	return sim.Supply{}
}
func (s shining) Edge(t time.Time, _ int) time.Time { return nextOf(s.spans, t) }

// stepAt returns the step of the trace under way at an hour of a voyage of quiet.
func stepAt(t testing.TB, res *sim.Result, hour float64) int {
	t.Helper()
	at := clock(hour)
	for i := range len(res.Trace.Time) - 1 {
		if !at.Before(res.Trace.Time[i]) && at.Before(res.Trace.Time[i+1]) {
			return i
		}
	}
	t.Fatalf("no step at hour %v", hour)
	return 0
}

// plenty makes a bank large enough to carry a light for weeks.
func plenty(s *bank.Setup) { s.Rated = 1000 }
