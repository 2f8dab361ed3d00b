package sim_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/units"
)

// changes lists the hours at which the planned speed changes.
func changes(res *sim.Result) (hours []float64) {
	tr := res.Trace
	for i := 1; i < len(tr.Time)-1; i++ {
		if tr.Plan[i] != tr.Plan[i-1] {
			hours = append(hours, tr.Time[i].Sub(res.Depart).Hours())
		}
	}
	return hours
}

// Stretches end by distance, time and date, at whatever comes first, and to the
// nanosecond of a step's edge.
func TestStretchesEnd(t *testing.T) {
	for name, c := range map[string]struct {
		plan []sim.Stretch
		want []float64 // hours
	}{
		"by distance":         {[]sim.Stretch{{Speed: 6, Until: 40}, {Speed: 4}}, []float64{40.0 / 6}},
		"by time":             {[]sim.Stretch{{Speed: 6, For: 7.21}, {Speed: 4}}, []float64{7.21}},
		"by date":             {[]sim.Stretch{{Speed: 6, By: clock(5.5)}, {Speed: 4}}, []float64{5.5}},
		"distance first":      {[]sim.Stretch{{Speed: 6, Until: 12, For: 9, By: clock(11)}, {Speed: 4}}, []float64{2}},
		"time first":          {[]sim.Stretch{{Speed: 6, Until: 60, For: 9, By: clock(11)}, {Speed: 4}}, []float64{9}},
		"date first":          {[]sim.Stretch{{Speed: 6, Until: 120, For: 12, By: clock(11)}, {Speed: 4}}, []float64{11}},
		"one after another":   {[]sim.Stretch{{Speed: 6, For: 3}, {Speed: 5, For: 4}, {Speed: 4, Until: 50}, {Speed: 7}}, []float64{3, 7, 10}},
		"date passed already": {[]sim.Stretch{{Speed: 6, For: 3}, {Speed: 5, By: clock(2)}, {Speed: 4}}, []float64{3}},
		"place passed":        {[]sim.Stretch{{Speed: 6, For: 3}, {Speed: 5, Until: 10}, {Speed: 4}}, []float64{3}},
		"over at once":        {[]sim.Stretch{{Speed: 5, By: clock(-1)}, {Speed: 4}}, nil},
		"two over at once":    {[]sim.Stretch{{Speed: 6, For: 3}, {Speed: 5, Until: 10}, {Speed: 5, By: clock(1)}, {Speed: 4}}, []float64{3}},
		"last has no end":     {[]sim.Stretch{{Speed: 6, For: 3}, {Speed: 4, For: 1}}, []float64{3}},
		"stands still":        {[]sim.Stretch{{For: 3}, {Speed: 4}}, []float64{3}},
	} {
		v := quiet(t, 20)
		v.Plan = c.plan
		res := sail(t, v)
		got := changes(res)
		require.Len(t, got, len(c.want), name)
		for i := range got {
			assert.InDelta(t, c.want[i], got[i], 1e-9, name)
		}
	}
}

func TestLimitEndsTheVoyage(t *testing.T) {
	v := quiet(t, 17.123)
	res := sail(t, v)
	assert.False(t, res.Arrived)
	assert.WithinDuration(t, clock(17.123), res.End, 1)
	assert.InDelta(t, 6*17.123, float64(res.Sailed), 1e-9)

	v.Limit = 0 // none but the longest of all
	v.Plan = []sim.Stretch{{}}
	res, err := v.Sail(t.Context(), sim.Options{Lean: true})
	require.NoError(t, err)
	assert.Equal(t, v.Depart.Add(400*24*time.Hour), res.End)
	assert.Zero(t, res.Sailed)
}

func TestArrival(t *testing.T) {
	v := quiet(t, 0)
	v.Plan = []sim.Stretch{{Speed: 7, Until: 5000}, {Speed: 1}} // a place beyond the end is never reached
	res := sail(t, v)
	assert.True(t, res.Arrived)
	assert.InDelta(t, 1200.0/7, res.End.Sub(res.Depart).Hours(), 1e-9)
	last := len(res.Trace.Time) - 1
	assert.InDelta(t, 0, float64(res.Trace.Lat[last]), 1e-9)
	assert.Equal(t, res.Last, res.Trace.Charge[last])
	assert.Zero(t, res.Trace.Speed[last])
}

// A departure exactly on an edge of the clock, of a load and of the weather; and
// a voyage of no length.
func TestDepartureOnAnEdge(t *testing.T) {
	v := quiet(t, 24)
	v.Depart = clock(12) // midnight
	v.Loads = []sim.Fixed{{Load: chart(span{10, 12}, span{12, 13}, span{36, 37})}}
	res := sail(t, v)
	assert.Equal(t, [2]int{1, 1}, dueKept(res.Loads), "the one that begins; neither that which ends nor that which begins at the limit")
	assert.InDelta(t, 1, float64(res.Loads[0].Charge), 1e-9)
	require.Len(t, res.Days, 1)
	assert.InDelta(t, 24, float64(res.Days[0].Hours), 1e-9)
	assert.Equal(t, 144+2, res.Steps, "24 h of 10 min, cut at sunrise and sunset and nowhere else")

	v.Stays = []sim.Stay{{At: 0, For: 0, State: sim.AtAnchor}}
	v.Limit = 1e-9
	res = sail(t, v)
	assert.LessOrEqual(t, res.Steps, 1)
	assert.InDelta(t, 0.5, float64(res.Lowest.Charge), 1e-9)
	assert.InDelta(t, 12.1, float64(res.LowestVolts.Bus), 0.2, "a voltage that a bank can have")
	closes(t, res)
}

// The day's noon is the place and the charge at 12:00 UTC; where the day has
// none, those nearest to it.
func TestNoon(t *testing.T) {
	v := quiet(t, 46)
	v.Depart = clock(3) // 15:00
	always(v, "lamp", 1, false)
	res := sail(t, v)
	require.Len(t, res.Days, 3)
	lat := func(hours float64) float64 { return 20 - 6*hours/60 }
	assert.InDelta(t, lat(0), float64(res.Days[0].Noon.Lat), 1e-9, "departure")
	assert.InDelta(t, lat(21), float64(res.Days[1].Noon.Lat), 1e-9, "noon")
	assert.InDelta(t, lat(45), float64(res.Days[2].Noon.Lat), 1e-9, "noon, an hour before the end")
	assert.InDelta(t, float64(v.Charge), float64(res.Days[0].AtNoon), 1e-9)
	i := stepAt(t, res, 24)
	assert.Equal(t, res.Trace.Charge[i], res.Days[1].AtNoon)
	v.Limit = 40 // ends at 07:00
	res = sail(t, v)
	assert.InDelta(t, lat(40), float64(res.Days[2].Noon.Lat), 1e-9, "the end")
	assert.Equal(t, res.Last, res.Days[2].AtNoon)
}

// The leeward side, and a wind from dead ahead or astern, which has none.
func TestHeelToLeeward(t *testing.T) {
	for from, want := range map[units.Degrees]units.Degrees{90: 12, 270: -12, 181: -12, 179: 12} {
		v := quiet(t, 1) // heading south: an east wind comes over the port side
		v.Plan = []sim.Stretch{{Speed: 5, Heel: -12, Leeward: true}}
		v.Weather = func(int) sim.Weather { return steady{WindSpeed: 20, WindFrom: from} }
		assert.Equal(t, want, sail(t, v).Trace.Heel[0], "wind from %v", from)
	}
}
