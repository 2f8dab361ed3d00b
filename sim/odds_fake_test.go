package sim_test

import (
	"context"
	"math"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/climate"
	"ampwake/sim/hull"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// blocks is a weather in blocks of six hours, drawn from a hash of seed, member
// and block: it has no state, so a member cannot depend on another.
type blocks struct{ seed, member uint64 }

func (b blocks) draw(t time.Time, what uint64) float64 {
	x := b.seed ^ b.member*0x9e3779b97f4a7c15 ^ uint64(t.Unix()/21600)*0xd1b54a32d192ed03 ^ what<<60
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9 // the finaliser of splitmix64
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return float64((x^x>>31)>>11) / (1 << 53)
}

func (b blocks) At(t time.Time, _ track.Position) climate.Sample {
	cloud := math.Sqrt(b.draw(t, 0))
	return climate.Sample{
		WindSpeed: units.Knots(4 + 22*b.draw(t, 1)), WindFrom: 90,
		Cloud: units.Fraction(cloud), Through: units.Fraction(1 - 0.7*math.Pow(cloud, 3.4)),
		Air: 20, Sea: units.Celsius(14 + 10*b.draw(t, 2)),
	}
}

func (blocks) Edge(t time.Time) time.Time { return t.Truncate(6 * time.Hour).Add(6 * time.Hour) }

// flatPanel lies flat under whatever sun there is.
type flatPanel units.Watts

func (flatPanel) Name() string { return "panel" }
func (p flatPanel) Offer(c *sim.Conditions) sim.Supply {
	w := units.Watts(float64(p) * float64(c.Weather.Through) * math.Max(0, c.Sun.Up))
	return sim.Supply{Power: w, Lost: w / 20}
}

// genset runs below 30 % of charge, up to 45 %, while there is fuel.
type genset struct{}

func (genset) Name() string                                          { return "engine" }
func (genset) Offer(*sim.Conditions) sim.Supply                      { return sim.Supply{Power: 300} }
func (genset) Burn(*sim.Conditions, units.Watts) units.LitresPerHour { return 0.6 }
func (genset) Follows()                                              {}
func (genset) Decide(c *sim.Conditions, on bool, _ units.Hours) (bool, string) {
	return c.Fuel > 0 && (c.Charge < 0.3 || on && c.Charge < 0.45), "charge is low"
}

// sched is on for an hour at 8 and 20 UTC, a slot each.
type sched struct{ demand sim.Demand }

func (sched) Name() string { return "radio" }
func (s sched) Draw(c *sim.Conditions) sim.Demand {
	if h := c.Clock.UTC / 3600; h != 8 && h != 20 {
		return sim.Demand{}
	}
	d := s.demand
	d.On, d.Slot = true, c.Time.Truncate(time.Hour).Unix()
	return d
}

func (sched) Edge(t time.Time, _ int) time.Time {
	at := t.Truncate(time.Hour).Add(time.Hour)
	for h := at.Hour(); h != 8 && h != 9 && h != 20 && h != 21; h = at.Hour() {
		at = at.Add(time.Hour)
	}
	return at
}

// chancy is a small voyage whose outcome hangs on its weather: some 40 days and
// a bank that the panel just about feeds.
func chancy(t testing.TB) *sim.Voyage {
	at := func(name string, lat, lon units.Degrees) track.Waypoint {
		return track.Waypoint{Name: name, Position: track.Position{Lat: lat, Lon: lon}, Line: track.RhumbLine}
	}
	route, err := track.NewRoute(track.Sphere{}, []track.Waypoint{at("north", 45, -20), at("trades", 20, -25), at("line", 0, -25), at("south", -30, -20)})
	require.NoError(t, err)
	setup := bank.Default(bank.AGM, 180)
	model, err := bank.New(setup)
	require.NoError(t, err)
	return &sim.Voyage{
		Title: "chancy", Depart: time.Date(2027, 9, 3, 15, 0, 0, 0, time.UTC), Route: route,
		Plan: []sim.Stretch{{Polar: hull.IllustrativePolar()}},
		Bank: model, Charge: 0.9, Fuel: 1, Grid: 30 * time.Minute,
		Sources: []sim.Fitted{{Source: flatPanel(125)}, {Source: genset{}, Rule: genset{}}},
		Loads: []sim.Fixed{
			{Load: sched{sim.Demand{Current: 6, Peak: 28, Least: 11.45, Cable: 0.012}}},
			{Load: user{"house", sim.Demand{On: true, Current: 1.7}}, Spare: true},
		},
		Goals:   sim.Goals{Keep: []int{0}, Above: 0.35},
		Weather: func(member int) sim.Weather { return blocks{1, uint64(member)} },
		Notes:   []sim.Note{{About: "weather", Text: "made up"}},
	}
}

func oddsOf(t testing.TB, v *sim.Voyage, opt sim.OddsOptions) *sim.Odds {
	t.Helper()
	o, err := v.Odds(t.Context(), opt)
	require.NoError(t, err)
	return o
}

// runsOut is a context that ends when it has been asked so many times.
type runsOut struct {
	context.Context
	left *atomic.Int64
}

func (c runsOut) Err() error {
	if c.left.Add(-1) < 0 {
		return context.Canceled
	}
	return nil
}

func contextOf(asks int64) context.Context {
	c := runsOut{context.Background(), new(atomic.Int64)}
	c.left.Store(asks)
	return c
}
