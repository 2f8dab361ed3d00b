package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/units"
)

// pedals is all that a new source needs: the crew pedals for its supper.
type pedals units.Watts

func (pedals) Name() string { return "pedals" }

func (p pedals) Offer(c *sim.Conditions) sim.Supply {
	if h := c.Clock.Ship / 3600; h < 17 || h >= 19 {
		return sim.Supply{}
	}
	return sim.Supply{Power: units.Watts(p), Lost: units.Watts(p) / 4}
}

// A source that this package has never heard of appears in the result, the
// ledger, the days and the trace.
func TestAStrangersSource(t *testing.T) {
	v := quiet(t, 48)
	v.Sources = []sim.Fitted{{Source: pedals(80)}}
	always(v, "lamp", 1, false)
	res := sail(t, v)
	closes(t, res)
	want := 80.0 * 2 * 2 // W, hours a day, days
	require.Len(t, res.Sources, 1)
	s := res.Sources[0]
	assert.Equal(t, "pedals", s.Name)
	assert.InDelta(t, want, float64(s.Energy), 1e-9)
	assert.InDelta(t, want/4, float64(s.Lost), 1e-9)
	assert.InDelta(t, want*1.25, float64(res.Books.Made), 1e-9)
	assert.InDelta(t, want/4, float64(res.Books.Lost), 1e-9)
	assert.InDelta(t, 48, float64(s.InUse), 1e-9)
	assert.Positive(t, float64(res.Books.BankIn))
	var byDay float64
	for _, d := range res.Days {
		require.Equal(t, "pedals", d.Sources[0].Name)
		byDay += float64(d.Sources[0].Energy)
	}
	assert.InDelta(t, want, byDay, 1e-9)
	// 17:00 of ship's time is 19:00 UTC, hour 7.
	assert.InDelta(t, 80, float64(res.Trace.Sources[0][stepAt(t, res, 7.5)]), 1e-9)
	assert.Zero(t, res.Trace.Sources[0][stepAt(t, res, 9.5)])
}
