package sim_test

import (
	"context"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/units"
	"ampwake/sources"
)

func alternator(t testing.TB, g sources.Charging) sim.Fitted {
	t.Helper()
	a := sources.DefaultAlternator()
	a.Rated = 40
	src, err := sources.NewAlternator(a)
	require.NoError(t, err)
	rule, err := sources.NewChargeRule(g)
	require.NoError(t, err)
	return sim.Fitted{Source: src, Rule: rule}
}

// An engine on demand starts below and stops above, its fuel is what it burns at
// the power it gives, and what it decided is told with time and reason.
func TestEngineOnDemand(t *testing.T) {
	v := quiet(t, 72)
	v.Sources = []sim.Fitted{alternator(t, sources.Charging{Below: 0.45, Above: 0.8})}
	always(v, "house", 5, false)
	res := sail(t, v)
	closes(t, res)
	require.GreaterOrEqual(t, len(res.Decisions), 4)
	tr := res.Trace
	on, n := false, 0
	fuel := 0.0
	engine := v.Sources[0].Source.(sim.Burner)
	for i := range len(tr.Time) - 1 {
		was := on
		switch {
		case tr.Charge[i] < 0.45:
			on = true
		case tr.Charge[i] >= 0.8:
			on = false
		}
		require.Equal(t, on, tr.Sources[0][i] > 0, "at %v with %v", tr.Time[i], tr.Charge[i])
		if on != was {
			d := res.Decisions[n]
			n++
			require.Equal(t, tr.Time[i], d.At.Time)
			require.Equal(t, tr.Charge[i], d.At.Charge)
			require.Equal(t, on, d.Use)
			require.Equal(t, map[bool]string{true: "low charge", false: "charged"}[on], d.Why)
			require.Equal(t, "engine alternator", d.What)
		}
		if on {
			fuel += float64(engine.Burn(&sim.Conditions{}, tr.Sources[0][i])) * tr.Time[i+1].Sub(tr.Time[i]).Hours()
		}
	}
	assert.Len(t, res.Decisions, n)
	assert.InDelta(t, fuel, float64(res.Fuel), 1e-9)
	assert.Greater(t, fuel, 1.0)
}

// With an empty tank the engine stops, and does not start again.
func TestTankRunsEmpty(t *testing.T) {
	v := quiet(t, 48)
	v.Fuel = 1
	v.Sources = []sim.Fitted{alternator(t, sources.Charging{Below: 0.9, Above: 1})}
	always(v, "house", 1, false)
	res := sail(t, v)
	assert.Equal(t, units.Litres(1), res.Fuel)
	require.Len(t, res.Decisions, 1, "it ran from the first")
	d := res.Decisions[0]
	assert.Equal(t, "no fuel left", d.Why)
	assert.False(t, d.Use)
	for i := stepAt(t, res, d.At.Time.Sub(v.Depart).Hours()); i < len(res.Trace.Time); i++ {
		require.Zero(t, res.Trace.Sources[0][i])
	}
}

// Daily hours of the ship's clock cut the steps, and a motoring boat charges
// whatever the hour.
func TestEngineByTheClockAndUnderWay(t *testing.T) {
	v := quiet(t, 47)
	v.Plan = []sim.Stretch{{For: 30, Speed: 6}, {For: 2.5, Speed: 5, State: sim.Motoring}, {Speed: 6}}
	v.Sources = []sim.Fitted{alternator(t, sources.Charging{Daily: []sources.Window{{From: 8*3600 + 60, To: 9 * 3600}}})}
	always(v, "house", 1, false)
	res := sail(t, v)
	// Ship's time is two hours behind: 08:01 is hour 22:01 of the voyage.
	var got []float64
	for _, d := range res.Decisions {
		got = append(got, d.At.Time.Sub(v.Depart).Hours())
	}
	assert.InDeltaSlice(t, []float64{22 + 1.0/60, 23, 30, 32.5, 46 + 1.0/60}, got, 1e-9)
	assert.InDelta(t, 59.0/60+2.5+59.0/60, float64(res.Sources[0].InUse), 1e-9)
	assert.Equal(t, "motoring", res.Decisions[2].Why)
	assert.Equal(t, "daily charging hours", res.Decisions[0].Why)
}

// A generator is judged by the planned speed and gives by the slowed one.
func TestDragSlowsTheBoat(t *testing.T) {
	leg := readLeg(t, "leg_b")
	v := leg.voyage(t, 0)
	v.Limit = 30
	v.Plan = []sim.Stretch{{For: 10, Speed: 6}, {For: 10, Speed: 1}, {Speed: 6}}
	res := sail(t, v)
	gen := v.Sources[len(v.Sources)-1].Source.(sim.Dragger)
	tr := res.Trace
	i, j := slices.Index(tr.Plan, 6), slices.Index(tr.Plan, 1)
	assert.InDelta(t, float64(v.Hull.Slowed(6, gen.Drag)), float64(tr.Speed[i]), 1e-9)
	assert.Less(t, float64(tr.Speed[i]), 6.0)
	assert.Equal(t, units.Knots(6), tr.Plan[i])
	assert.Equal(t, units.Knots(1), tr.Speed[j], "lifted, it costs nothing")
	assert.Zero(t, tr.Sources[len(tr.Sources)-1][j])
}

// A cancelled voyage returns the context's error, even one of some hours; one
// cancelled under way stops at midnight.
func TestCancelled(t *testing.T) {
	for _, hours := range []units.Hours{3, 300} {
		ctx, cancel := context.WithCancel(t.Context())
		cancel()
		res, err := quiet(t, hours).Sail(ctx, sim.Options{})
		require.ErrorIs(t, err, context.Canceled)
		require.Nil(t, res)
	}
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	v := quiet(t, 0)
	steps := 0
	v.Sources = []sim.Fitted{{Source: watcher(func() {
		if steps++; steps == 200 { // in the second day
			cancel()
		}
	})}}
	_, err := v.Sail(ctx, sim.Options{})
	require.ErrorIs(t, err, context.Canceled)
	require.Less(t, steps, 72+144+10, "stops at the next midnight")
}

// watcher is a source that makes nothing and tells when it is asked.
type watcher func()

func (watcher) Name() string { return "watcher" }
func (w watcher) Offer(*sim.Conditions) sim.Supply {
	w()
	return sim.Supply{}
}
