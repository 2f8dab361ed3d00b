package card

import (
	"context"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/units"
)

// On the meridian ship's noon is noon UTC: the band must be that of the odds to
// the last bit, and so must be where trouble begins.
func TestBandAndTroubleAreThoseOfTheOdds(t *testing.T) {
	s := written(t, meridian)
	const n = 40
	c := cardOf(t, s, n)
	v, err := s.Seeded(1)
	require.NoError(t, err)
	o, err := v.Odds(t.Context(), sim.OddsOptions{Members: n})
	require.NoError(t, err)
	require.Less(t, o.Holds.Count, n, "some weathers must fail")
	require.Positive(t, o.Holds.Count, "some must not")

	days := map[time.Time]*sim.OddsDay{}
	for i := range o.Days {
		days[o.Days[i].Date] = &o.Days[i]
	}
	compared := 0
	require.Len(t, c.Zones, 2)
	failing := 0
	for k, z := range c.Zones {
		for _, noon := range z.Noons {
			if d := days[noon.Date]; d != nil && noon.Count == n && d.AtSea == n {
				assert.Equal(t, d.Noon, noon.Band, "%v", noon.Date)
				compared++
			}
		}
		failing += z.Failing
		begins := o.Zones[k].Begins
		assert.Equal(t, begins.Total(), z.Failing, z.Name)
		for _, x := range z.Trouble {
			if x.What == "floor" {
				assert.Equal(t, begins.Floor, x.Count)
			}
		}
	}
	assert.Greater(t, compared, 18)
	assert.Equal(t, n-o.Holds.Count, failing)
}

// In its own weather the budget of the zones, put together, is that of the run,
// whose day it shows at noon.
func TestBudgetIsThatOfTheRun(t *testing.T) {
	for _, name := range []string{"radio-cover", "southern-ocean", "doldrums-week"} {
		s := builtin(t, name)
		v := s.Voyage()
		c, err := build(t.Context(), v, s, "a test", Options{Weathers: 1})
		require.NoError(t, err)
		r, err := v.Sail(t.Context(), sim.Options{})
		require.NoError(t, err)
		var days float64
		in, out := make([]float64, len(r.Sources)), make([]float64, len(r.Loads))
		var spilled float64
		for _, z := range c.Zones {
			days += z.Days
			for i, e := range z.In {
				assert.Equal(t, r.Sources[i].Name, e.Name)
				in[i] += float64(e.Ah) * z.Days
			}
			for i, e := range z.Out {
				assert.Equal(t, r.Loads[i].Name, e.Name)
				out[i] += float64(e.Ah) * z.Days
			}
			spilled += float64(z.Spilled) * z.Days
		}
		assert.InDelta(t, r.End.Sub(r.Depart).Hours()/24, days, 1e-9, name)
		// Sums in another order: rounding.
		for i := range in {
			assert.InEpsilon(t, float64(r.Sources[i].Charge)+1, in[i]+1, 1e-9, "%s: %s", name, r.Sources[i].Name)
		}
		for i := range out {
			assert.InEpsilon(t, float64(r.Loads[i].Charge)+1, out[i]+1, 1e-9, "%s: %s", name, r.Loads[i].Name)
		}
		assert.InEpsilon(t, float64(r.Books.SpilledCharge)+1, spilled+1, 1e-9, name)
		assert.True(t, c.Zones[0].Single(c))
	}
}

// The same numbers whatever the workers, and each weather the same among few.
func TestSameForAnyWorkers(t *testing.T) {
	s := written(t, meridian)
	var first *Card
	for _, workers := range []int{1, 3} {
		c, err := New(t.Context(), s, Options{Weathers: 7, Seed: 5, Workers: workers})
		require.NoError(t, err)
		if first == nil {
			first = c
			continue
		}
		for k := range c.Zones {
			assert.Equal(t, first.Zones[k].In, c.Zones[k].In)
			assert.Equal(t, first.Zones[k].Noons, c.Zones[k].Noons)
			assert.Equal(t, first.Zones[k].Ladder, c.Zones[k].Ladder)
		}
	}
}

// Noons are ship's noons: of the trace, in a voyage over the date line.
func TestNoonsAreShipsNoons(t *testing.T) {
	s := builtin(t, "southern-ocean")
	v := s.Voyage()
	c, err := build(t.Context(), v, s, "a test", Options{Weathers: 1})
	require.NoError(t, err)
	r, err := v.Sail(t.Context(), sim.Options{Trace: true})
	require.NoError(t, err)
	want := map[time.Time]units.Fraction{}
	for i, at := range r.Trace.Time {
		local := at.Add(time.Duration(r.Trace.Zone[i]) * time.Hour)
		if local.Hour() == 12 && local.Minute() == 0 && local.Second() == 0 {
			want[local.Truncate(24*time.Hour)] = r.Trace.Charge[i]
		}
	}
	require.Greater(t, len(want), 45)
	seen := map[time.Time]bool{}
	line := 0
	for _, z := range c.Zones {
		line += z.DateLine
		for _, noon := range z.Noons {
			if noon.Thin {
				continue
			}
			assert.Equal(t, want[noon.Date], noon.Band.P50, "%v", noon.Date)
			seen[noon.Date] = true
		}
	}
	assert.Len(t, seen, len(want))
	assert.Equal(t, 1, line, "eastbound over the date line")
}

// A budget that closes: over a zone the charge that comes and goes is what the
// bank gained, and what charging and rest lost.
func TestBudgetCloses(t *testing.T) {
	c := southernCard(t)
	for _, z := range c.Zones {
		gain := float64(z.Made()-z.Used()) * z.Days
		assert.Greater(t, gain, -0.3*float64(z.Used())*z.Days, z.Name)
		assert.Less(t, gain, 0.3*float64(z.Used())*z.Days, z.Name)
		assert.False(t, math.IsNaN(gain))
	}
}

func TestNewStops(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	_, err := New(ctx, written(t, meridian), Options{Weathers: 3})
	assert.ErrorIs(t, err, context.Canceled)

	// In the middle of it too.
	ctx, stop = context.WithCancel(t.Context())
	_, err = New(ctx, written(t, meridian), Options{Weathers: 50, Workers: 1, Progress: func(done, total int) {
		assert.Equal(t, 50, total)
		if done == 2 {
			stop()
		}
	}})
	assert.ErrorIs(t, err, context.Canceled)
}

func TestNewRefusesNoWeather(t *testing.T) {
	_, err := New(t.Context(), written(t, meridian), Options{})
	assert.ErrorContains(t, err, "want at least 1")
}
