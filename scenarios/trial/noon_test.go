package trial

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/scenarios/logbook"
)

func noonOf(t *testing.T, l *Logged, opt NoonOptions) *Noon {
	t.Helper()
	n, err := NewNoon(t.Context(), l, opt)
	require.NoError(t, err)
	return n
}

func TestNoon(t *testing.T) {
	s := open(t, "radio-cover")
	src, err := logbook.Source("trial-sail")
	require.NoError(t, err)
	l := readLog(t, s, string(src))
	told := 0
	n := noonOf(t, l, NoonOptions{Members: 20, Seed: 1, Progress: func(done, total int) { told++; assert.Equal(t, 40, total) }})
	assert.Equal(t, 40, told)
	v, real := sailTruth(t, s)
	assert.Equal(t, real.End, n.Now)
	assert.InDelta(t, float64(real.Last), n.Charge, 3*n.Spread)
	assert.InDelta(t, float64(real.Sailed), float64(n.Gone), 30, "along the planned route")
	assert.InDelta(t, float64(v.Route.Length()-real.Sailed), float64(n.ToGo), 30)
	assert.Equal(t, "equator crossing", n.Next)
	assert.Equal(t, Below, n.Side)
	assert.Less(t, n.Charge, n.Logged-n.LoggedSpread, "the boat is part of it")
	assert.Less(t, n.Logged, float64(n.PlanNow.P50), "and the weather")
	require.NotEmpty(t, n.Causes)
	assert.Contains(t, []scenarios.Factor{scenarios.Panels, scenarios.AlwaysOn}, n.Causes[0].Factor)
	for i := 1; i < len(n.Causes); i++ {
		assert.LessOrEqual(t, n.Causes[i].Gain, n.Causes[i-1].Gain)
	}
	assert.Contains(t, strings.Join(n.Notes, "\n"), "ahead she is the boat of the plan, though the log speaks for another")
	assert.True(t, n.Under, "she is under 50 %")
	assert.False(t, n.BackSafe.IsZero(), "and comes back")
	assert.Equal(t, n.Now, n.Plan[len(n.Plan)-1].Time)
	assert.Equal(t, n.Now, n.Band[0].Time)
	assert.InDelta(t, n.Charge, float64(n.Band[0].Charge.P50), 0.001)
	for i := 1; i < len(n.Band); i++ {
		assert.True(t, n.Band[i].Time.After(n.Band[i-1].Time))
	}
	assert.Equal(t, 20, n.Ahead.Arrived.Count)

	// Member for member the same, whatever the workers.
	again := noonOf(t, l, NoonOptions{Members: 20, Seed: 1, Workers: 1})
	assert.Equal(t, n.Ahead.Margin, again.Ahead.Margin)
	assert.Equal(t, n.Band, again.Band)
}

// With what a trial found the boat is no longer to be explained, and what it left
// open widens the band.
func TestNoonAfterATrial(t *testing.T) {
	if testing.Short() {
		t.Skip("many fits")
	}
	s := open(t, "radio-cover")
	src, err := logbook.Source("trial-sail")
	require.NoError(t, err)
	fit, err := New(t.Context(), readLog(t, s, string(src)))
	require.NoError(t, err)
	x := fit.File("radio-cover")
	c := open(t, "radio-cover", x.Overrides()...)
	n := noonOf(t, readLog(t, c, string(src)), NoonOptions{Members: 20, Seed: 1, Trial: x})
	assert.InDelta(t, n.Logged, n.Charge, 1.3*n.LoggedSpread)
	plain := noonOf(t, readLog(t, c, string(src)), NoonOptions{Members: 20, Seed: 1})
	wide := func(n *Noon) (w float64) {
		for _, b := range n.Plan {
			w = max(w, float64(b.Charge.P90-b.Charge.P10))
		}
		return w
	}
	assert.Greater(t, wide(n), 1.1*wide(plain))
}

func TestNoonAsPlanned(t *testing.T) {
	s := open(t, "radio-cover")
	n := noonOf(t, readLog(t, s, "time [UTC], position, volts [V], cloud [oktas], speed [kn], generator [h]\n2027-01-10 09:00, 16°53'N 25°W, 12.69, 4, ,\n"+
		"2027-01-11 14:00, 14°20'N 25°18'W, 12.72, 4, 5.4, 29\n2027-01-12 14:00, 12°12'N 25°33'W, 12.72, 4, 5.4, 24\n"), NoonOptions{Members: 10, Seed: 1})
	assert.Equal(t, Inside, n.Side)
	assert.False(t, n.Under)
	assert.True(t, n.Back.IsZero())
}

func TestNoonMistakes(t *testing.T) {
	s := open(t, "radio-cover")
	for _, tt := range []struct{ log, say string }{
		{"time [UTC], position, volts [V]\n2026-01-10 09:00, 16°53'N 25°W, 12.7\n2026-01-12 09:00, 13°N 25°W, 12.7\n", "the log is of another voyage"},
		{"time [UTC], volts [V]\n2027-01-10 09:00, 12.7\n2027-01-12 09:00, 12.7\n", "says nothing of where she is"},
		{"time [UTC], position\n2027-01-10 09:00, 16°53'N 25°W\n2027-01-12 09:00, 13°N 25°W\n", "no volts and no counter"},
	} {
		_, err := NewNoon(t.Context(), readLog(t, s, tt.log), NoonOptions{Members: 2})
		assert.ErrorContains(t, err, tt.say)
	}
	_, err := NewNoon(t.Context(), readLog(t, s, strings.Replace(twoDays, "x", "y", 1)), NoonOptions{})
	assert.ErrorContains(t, err, "want at least 1")
}
