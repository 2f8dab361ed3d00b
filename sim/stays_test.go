package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/track"
	"ampwake/sim/units"
	"ampwake/sources"
)

// statesOf sums the hours of a result by state.
func statesOf(res *sim.Result) map[sim.State]float64 {
	hours := map[sim.State]float64{}
	for i := range len(res.Trace.Time) - 1 {
		hours[res.Trace.State[i]] += res.Trace.Time[i+1].Sub(res.Trace.Time[i]).Hours()
	}
	return hours
}

// Five days at anchor in the middle of the way.
func TestStayAtAnchor(t *testing.T) {
	v := quiet(t, 0)
	v.Charge = 1
	v.Stays = []sim.Stay{{At: 300, For: 120, State: sim.AtAnchor}}
	res := sail(t, v)
	assert.True(t, res.Arrived)
	assert.InDelta(t, 200+120, res.End.Sub(res.Depart).Hours(), 1e-9)
	hours := statesOf(res)
	assert.InDelta(t, 120, hours[sim.AtAnchor], 1e-9)
	assert.InDelta(t, 200, hours[sim.UnderSail], 1e-9)
	for _, hour := range []float64{50, 100, 169.9} {
		i := stepAt(t, res, hour)
		assert.Equal(t, sim.AtAnchor, res.Trace.State[i])
		assert.InDelta(t, 15, float64(res.Trace.Lat[i]), 1e-9, "300 miles south of 20°N")
		assert.Zero(t, res.Trace.Speed[i])
		assert.Zero(t, res.Trace.Heel[i])
	}
	require.Equal(t, clock(170), res.Trace.Time[stepAt(t, res, 170.01)], "she leaves on the hour")
}

// Alongside on shore power, a follower: what the bank refuses it does not make,
// so that nothing is spilled, and the ledger shows what it made.
func TestStayAlongside(t *testing.T) {
	v := quiet(t, 100)
	v.Stays = []sim.Stay{{At: 60, For: 48, State: sim.Alongside}}
	shore, err := sources.NewShoreCharger("shore power", 300)
	require.NoError(t, err)
	v.Sources = []sim.Fitted{{Source: shore, Rule: sources.OnlyIn(sim.States(0).With(sim.Alongside))}}
	always(v, "fridge", 3, false)
	res := sail(t, v)
	closes(t, res)
	s := res.Sources[0]
	assert.Zero(t, res.Books.Spilled)
	assert.InDelta(t, 48, float64(s.InUse), 1e-9)
	assert.Equal(t, res.Books.Made, s.Energy)
	assert.Less(t, float64(s.Energy), 300.0*48/2, "far from all it could have made")
	i, j := stepAt(t, res, 10), stepAt(t, res, 57.99)
	assert.InDelta(t, 300, float64(res.Trace.Sources[0][i]), 1e-9, "all of it into an empty bank")
	assert.Greater(t, float64(res.Trace.Charge[j]), 0.95)
	floating := float64(res.Trace.Loads[0][j])
	assert.InDelta(t, floating-float64(res.Trace.Battery[j]*units.Amps(res.Trace.Bus[j])), float64(res.Trace.Sources[0][j]), 1e-9,
		"and at the end what the fridge and the bank take")
	require.Len(t, res.Decisions, 2)
	for k, hour := range []float64{10, 58} {
		assert.Equal(t, clock(hour), res.Decisions[k].At.Time)
		assert.Equal(t, k == 0, res.Decisions[k].Use)
		assert.Equal(t, "shore power", res.Decisions[k].What)
	}
}

// The same charger that does not follow spills what the bank refuses; the two
// differ in nothing else.
func TestSpilledOrNotMade(t *testing.T) {
	base := func(s sim.Source) *sim.Result {
		v := quiet(t, 48)
		v.Sources = []sim.Fitted{{Source: s}}
		always(v, "fridge", 3, false)
		res := sail(t, v)
		closes(t, res)
		return res
	}
	plain, follows := base(maker{"charger", 300}), base(follower{maker{"charger", 300}})
	assert.Zero(t, follows.Books.Spilled)
	assert.Greater(t, float64(plain.Books.Spilled), 1000.0)
	assert.Equal(t, plain.Trace.Charge, follows.Trace.Charge)
	assert.InDelta(t, float64(plain.Sources[0].Energy-plain.Books.Spilled), float64(follows.Sources[0].Energy), 1e-6)
	assert.InEpsilon(t, float64(follows.Sources[0].Energy)/20, float64(follows.Sources[0].Lost), 1e-9, "losses shrink with the output")

	// Of two, the follower gives way to the other.
	v := quiet(t, 48)
	v.Charge = 1
	v.Sources = []sim.Fitted{{Source: maker{"panel", 60}}, {Source: follower{maker{"engine", 300}}}}
	always(v, "fridge", 3, false)
	res := sail(t, v)
	closes(t, res)
	assert.Positive(t, float64(res.Books.Spilled), "of the panel")
	i := stepAt(t, res, 47)
	assert.Zero(t, res.Trace.Sources[1][i])
	assert.InDelta(t, 60, float64(res.Trace.Sources[0][i]), 1e-9)
}

type follower struct{ maker }

func (follower) Follows() {}

// Stays at the first and the last waypoint, two at one place, and one of no
// length.
func TestStaysAtTheEnds(t *testing.T) {
	v := quiet(t, 0)
	v.Charge = 1
	v.Stays = []sim.Stay{
		{At: 0, For: 10, State: sim.Alongside},
		{At: 600, For: 5, State: sim.HoveTo},
		{At: 600, For: 7, State: sim.AtAnchor},
		{At: 700, For: 0, State: sim.AtAnchor},
		{At: v.Route.Length(), For: 20, State: sim.AtAnchor},
	}
	lift, err := sources.NewLiftRule(sources.DefaultLifting())
	require.NoError(t, err)
	v.Sources = []sim.Fitted{{Source: maker{"hydro", 5}, Rule: lift}}
	res := sail(t, v)
	assert.True(t, res.Arrived)
	assert.InDelta(t, 200+42, res.End.Sub(res.Depart).Hours(), 1e-9)
	hours := statesOf(res)
	for s, want := range map[sim.State]float64{sim.Alongside: 10, sim.HoveTo: 5, sim.AtAnchor: 27, sim.UnderSail: 200} {
		assert.InDelta(t, want, hours[s], 1e-9)
	}
	for _, d := range res.Decisions {
		assert.True(t, d.At.Time.Before(clock(242)), "nothing is decided on arrival: %+v", d)
	}

	// A boat with no way on has her stay all the same.
	v.Plan = []sim.Stretch{{For: 24}, {Speed: 6}}
	v.Stays = v.Stays[:1]
	res = sail(t, v)
	assert.Equal(t, sim.Alongside, res.Trace.State[0])
	assert.InDelta(t, 10, statesOf(res)[sim.Alongside], 1e-9)
	assert.InDelta(t, 14+200, statesOf(res)[sim.UnderSail], 1e-9, "the clock of the stretch goes on meanwhile")
}

// A route of one waypoint: she stays there, for her stay or else to the limit.
func TestOneWaypoint(t *testing.T) {
	v := quiet(t, 50)
	v.Route = routeOf(t, 15, -24)
	always(v, "lamp", 0.1, false)
	res := sail(t, v)
	assert.InDelta(t, 50, res.End.Sub(res.Depart).Hours(), 1e-9)
	assert.Zero(t, res.Sailed)
	assert.Equal(t, track.Position{Lat: 15, Lon: -24}, res.Lowest.Place)
	assert.InDelta(t, 5, float64(res.Loads[0].Charge), 1e-9)
	v.Stays = []sim.Stay{{For: 30, State: sim.AtAnchor}}
	res = sail(t, v)
	assert.InDelta(t, 30, res.End.Sub(res.Depart).Hours(), 1e-9)
	assert.True(t, res.Arrived)
}
