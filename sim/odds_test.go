package sim_test

import (
	"context"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

func TestOddsSameForAnyWorkers(t *testing.T) {
	v := chancy(t)
	want := oddsOf(t, v, sim.OddsOptions{Members: 24, Workers: 1})
	for _, workers := range []int{0, 2, 7} {
		require.Equal(t, want, oddsOf(t, v, sim.OddsOptions{Members: 24, Workers: workers}), "%d workers", workers)
	}
	// What is compared must not be trivial.
	assert.False(t, want.Alike)
	assert.Nil(t, want.Stopped)
	assert.NotZero(t, want.Holds.Count)
	assert.NotEqual(t, want.Holds.Of, want.Holds.Count)
	assert.NotZero(t, want.Begins.Voltage)
	assert.NotZero(t, want.Begins.Floor)
	assert.Less(t, want.Passage.Min, want.Passage.Max)
	assert.Less(t, want.Engine.Min, want.Engine.Max)
}

func TestOddsMemberAloneOrAmongMany(t *testing.T) {
	v := chancy(t)
	few, many := oddsOf(t, v, sim.OddsOptions{Members: 5}), oddsOf(t, v, sim.OddsOptions{Members: 30})
	require.Equal(t, few.Members, many.Members[:5])
}

// Each member is the voyage that Sail sails and keeps in full.
func TestOddsMembersAreVoyages(t *testing.T) {
	v := chancy(t)
	o := oddsOf(t, v, sim.OddsOptions{Members: 12})
	for i, m := range o.Members {
		r, err := v.Sail(t.Context(), sim.Options{Member: i, Trace: true})
		require.NoError(t, err)
		assert.Equal(t, i, m.Index)
		assert.Equal(t, r.Verdict.Holds, m.Holds)
		assert.Equal(t, r.Verdict.Margin, m.Margin)
		assert.Equal(t, r.Lowest, m.Lowest)
		assert.Equal(t, r.End, m.End)
		assert.Equal(t, r.Last, m.Last)
		assert.Equal(t, r.Books.SpilledCharge, m.Spilled)
		assert.Equal(t, r.Drag, m.Drag)
		assert.Equal(t, r.Wear, m.Wear)
		assert.Equal(t, r.Loads[0].Due-r.Loads[0].Kept, m.Missed)
		assert.Equal(t, r.Sources[1].InUse, m.Engine)
		total := 0
		for j, l := range r.Loads {
			assert.Equal(t, []any{l.Due, l.Kept, l.Off}, []any{m.Loads[j].Due, m.Loads[j].Kept, m.Loads[j].Off})
			total += m.Loads[j].Misses.Total()
		}
		assert.Equal(t, len(r.Misses), total)
		if first := r.Verdict.Goals[0].First; first != nil {
			f := m.Goals[0].First
			assert.Equal(t, first.At, f.At)
			assert.Equal(t, first.Cause.String(), f.Why())
			place, _ := v.Route.At(f.At.Sailed)
			assert.Equal(t, place, f.At.Place)
		}
	}
}

// The days are those of the full voyages, and their quantiles follow from the
// traces: the state of charge at the step that begins at 12:00 UTC.
func TestOddsDays(t *testing.T) {
	v := chancy(t)
	const n = 11 // P10, P50 and P90 of 11 values are the 2nd, 6th and 10th
	o := oddsOf(t, v, sim.OddsOptions{Members: n})
	noons, lows, misses := map[time.Time][]units.Fraction{}, map[time.Time][]units.Fraction{}, map[time.Time]int{}
	for i := range n {
		r, err := v.Sail(t.Context(), sim.Options{Member: i, Trace: true})
		require.NoError(t, err)
		for j, at := range r.Trace.Time {
			if at.Equal(at.Truncate(24 * time.Hour).Add(12 * time.Hour)) {
				d := at.Truncate(24 * time.Hour)
				noons[d] = append(noons[d], r.Trace.Charge[j])
			}
		}
		for _, d := range r.Days {
			lows[d.Date] = append(lows[d.Date], d.Low)
			misses[d.Date] += d.Misses
		}
	}
	compared := 0
	for _, d := range o.Days {
		low, noon := lows[d.Date], noons[d.Date]
		slices.Sort(low)
		slices.Sort(noon)
		require.Equal(t, len(low), d.AtSea, d.Date)
		require.Equal(t, misses[d.Date], d.Misses, d.Date)
		require.Equal(t, low[0], d.Low.Min, d.Date)
		if len(noon) < n || len(low) < n {
			continue
		}
		compared++
		require.Equal(t, []units.Fraction{low[1], low[5], low[9]}, []units.Fraction{d.Low.P10, d.Low.P50, d.Low.P90}, d.Date)
		require.Equal(t, []units.Fraction{noon[0], noon[1], noon[5], noon[9], noon[10]},
			[]units.Fraction{d.Noon.Min, d.Noon.P10, d.Noon.P50, d.Noon.P90, d.Noon.Max}, d.Date)
	}
	require.Greater(t, compared, 25)
	// She leaves after noon: the first day's noon is the departure.
	assert.InDelta(t, float64(v.Charge), float64(o.Days[0].Noon.P50), 1e-12)
	last := o.Days[len(o.Days)-1]
	assert.Less(t, last.AtSea, n, "those that have arrived drop out")
	assert.NotZero(t, last.AtSea)
}

// A bank that nothing charges: 5 A out of a plain bank at 5 kn. Where it fails
// follows from when, and when is the same as that of the single voyage.
func TestOddsWhere(t *testing.T) {
	setup := bank.Default(bank.AGM, 100).Plain()
	model, err := bank.New(setup)
	require.NoError(t, err)
	route, err := track.NewRoute(track.Sphere{}, []track.Waypoint{
		{Name: "a", Position: track.Position{Lat: 0, Lon: -20}},
		{Name: "b", Position: track.Position{Lat: 1, Lon: -20}, Line: track.RhumbLine},
		{Name: "c", Position: track.Position{Lat: 4, Lon: -20}, Line: track.RhumbLine},
	})
	require.NoError(t, err)
	v := &sim.Voyage{
		Depart: time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC), Route: route, Plan: []sim.Stretch{{Speed: 5}},
		Bank: model, Charge: 1, Loads: []sim.Fixed{{Load: user{"lamp", sim.Demand{On: true, Current: 5}}}},
		Goals:   sim.Goals{Keep: []int{0}},
		Weather: func(int) sim.Weather { return steady(climate.Sample{Air: 25, Sea: 25}) },
	}
	o := oddsOf(t, v, sim.OddsOptions{Members: 3, Bins: 24})
	require.Equal(t, sim.Counts{Flat: 3}, o.Begins)
	f := o.Members[1].First()
	hours := f.At.Time.Sub(v.Depart).Hours()
	assert.InDelta(t, 19.5, hours, 1.5, "5 A is about the 20-hour rate of 100 Ah")
	assert.InDelta(t, 5*hours, float64(f.At.Sailed), 0.01)
	assert.InDelta(t, 5*hours/60, float64(f.At.Place.Lat), 1e-4, "60 miles a degree")
	for i, b := range o.Bins { // of 10 miles each
		want := sim.Counts{}
		if i == int(5*hours/10) {
			want.Flat = 3
		}
		assert.Equal(t, want, b.Begins, "bin %d", i)
		assert.InDelta(t, 10*float64(i)+5, 60*float64(b.Place.Lat), 1e-6)
	}
	assert.Equal(t, []sim.OddsZone{
		{Zone: sim.Zone{Name: "a – b", To: route.Mark(1)}},
		{Zone: sim.Zone{Name: "b – c", From: route.Mark(1), To: route.Length()}, Begins: sim.Counts{Flat: 3}},
	}, o.Zones)
	assert.True(t, o.Alike, "the same weather each time")
	assert.Equal(t, sim.NewShare(0, 3), o.Goals[0].Holds)
	assert.InDelta(t, hours, float64(o.Goals[0].After.P50), 1e-9)

	v.Zones = []sim.Zone{{Name: "first hour", To: 5}}
	o = oddsOf(t, v, sim.OddsOptions{Members: 2})
	assert.Equal(t, []sim.OddsZone{{Zone: v.Zones[0]}, {Zone: sim.Zone{Name: "elsewhere", To: route.Length()}, Begins: sim.Counts{Flat: 2}}}, o.Zones)
}

// Whatever the zones and bins, each weather that fails begins in just one.
func TestOddsCountsAddUp(t *testing.T) {
	v := chancy(t)
	rapid.Check(t, func(rt *rapid.T) {
		w := *v
		length := float64(v.Route.Length())
		for range rapid.IntRange(0, 4).Draw(rt, "zones") {
			from := rapid.Float64Range(0, length).Draw(rt, "from")
			to := rapid.Float64Range(from, length).Draw(rt, "to")
			w.Zones = append(w.Zones, sim.Zone{Name: "z", From: units.NauticalMiles(from), To: units.NauticalMiles(to)})
		}
		seed := rapid.Uint64().Draw(rt, "seed")
		w.Weather = func(i int) sim.Weather { return blocks{seed, uint64(i)} }
		w.Limit = 24 * 12
		n := rapid.IntRange(1, 6).Draw(rt, "members")
		o := oddsOf(t, &w, sim.OddsOptions{Members: n, Bins: rapid.IntRange(1, 40).Draw(rt, "bins")})
		var zones, bins, days, misses, dayMisses int
		for _, z := range o.Zones {
			zones += z.Begins.Total()
		}
		for _, b := range o.Bins {
			bins += b.Begins.Total()
			misses += b.Misses.Total()
		}
		for _, d := range o.Days {
			days += d.Begins.Total()
			dayMisses += d.Misses
		}
		fails := o.Done - o.Holds.Count
		if o.Done != n || zones != fails || bins != fails || days != fails || o.Begins.Total() != fails {
			rt.Fatalf("%d fail: %d by zone, %d by bin, %d by day, %+v", fails, zones, bins, days, o.Begins)
		}
		if radio := o.Loads[0]; misses != radio.Misses.Total() || dayMisses != misses || radio.Due-radio.Kept != misses {
			rt.Fatalf("misses: %d by bin, %d by day, %+v", misses, dayMisses, radio)
		}
		if o.Arrived.Count != 0 || o.Passage.Count != 0 {
			rt.Fatal("nobody gets there in twelve days")
		}
	})
}

func TestOddsStopped(t *testing.T) {
	v := chancy(t)
	all := oddsOf(t, v, sim.OddsOptions{Members: 30})
	for _, workers := range []int{1, 3} {
		o, err := v.Odds(contextOf(400), sim.OddsOptions{Members: 30, Workers: workers})
		require.NoError(t, err)
		require.ErrorIs(t, o.Stopped, context.Canceled)
		require.Equal(t, 30, o.Wanted)
		require.Positive(t, o.Done)
		require.Less(t, o.Done, 30)
		require.Len(t, o.Members, o.Done)
		require.Equal(t, o.Done, o.Holds.Of)
		for _, m := range o.Members {
			require.Equal(t, all.Members[m.Index], m)
		}
	}
	_, err := v.Odds(contextOf(3), sim.OddsOptions{Members: 30})
	require.ErrorIs(t, err, context.Canceled, "nothing to tell")
	_, err = v.Odds(t.Context(), sim.OddsOptions{})
	require.EqualError(t, err, "odds of 0 weathers: want at least 1")
}

// A context that ends for real, on another goroutine, while voyages are under
// way.
func TestOddsCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	o, err := chancy(t).Odds(ctx, sim.OddsOptions{Members: 10_000, Progress: func(done, _ int) {
		if done == 5 {
			cancel()
		}
	}})
	require.NoError(t, err)
	require.ErrorIs(t, o.Stopped, context.Canceled)
	require.GreaterOrEqual(t, o.Done, 5)
	require.Less(t, o.Done, 10_000)
}

func TestOddsProgress(t *testing.T) {
	var told []int
	oddsOf(t, chancy(t), sim.OddsOptions{Members: 9, Workers: 4, Progress: func(done, total int) {
		require.Equal(t, 9, total)
		told = append(told, done) // unguarded: the race detector watches
	}})
	require.Equal(t, []int{1, 2, 3, 4, 5, 6, 7, 8, 9}, told)
}

// A boat that stays at one place, and asks for nothing.
func TestOddsAtOnePlace(t *testing.T) {
	v := chancy(t)
	var err error
	v.Route, err = track.NewRoute(track.Sphere{}, []track.Waypoint{{Name: "bay", Position: track.Position{Lat: 15, Lon: -24}}})
	require.NoError(t, err)
	v.Stays = []sim.Stay{{For: 100, State: sim.AtAnchor}}
	v.Goals = sim.Goals{}
	o := oddsOf(t, v, sim.OddsOptions{Members: 4})
	assert.Equal(t, sim.NewShare(4, 4), o.Holds)
	assert.Empty(t, o.Goals)
	assert.Len(t, o.Bins, 1)
	assert.Equal(t, "bay", o.Zones[0].Name)
	assert.Equal(t, units.Hours(100), o.Passage.P50)
}

func BenchmarkOdds(b *testing.B) {
	v := chancy(b)
	b.ReportAllocs()
	for b.Loop() {
		oddsOf(b, v, sim.OddsOptions{Members: 20})
	}
}
