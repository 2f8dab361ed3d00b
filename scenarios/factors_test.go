package scenarios_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/sim"
)

func openedWith(t *testing.T, name string, set ...string) *scenarios.Scenario {
	t.Helper()
	label, src, err := scenarios.Source(name)
	require.NoError(t, err)
	s, err := scenarios.Read(label, src, set, "")
	require.NoError(t, err)
	return s
}

func TestGroups(t *testing.T) {
	want := map[string]scenarios.Factor{
		"AIS alarm": scenarios.AlwaysOn, "plotter": scenarios.AlwaysOn, "radar alarm": scenarios.AlwaysOn, "instruments": scenarios.AlwaysOn,
		"tricolour": scenarios.Lights, "chart light": scenarios.Lights, "cabin lights": scenarios.Lights, "tablet": scenarios.OtherLoads,
		"HF radio": scenarios.Radios, "weather fax": scenarios.Radios,
	}
	s := openedWith(t, "radio-cover")
	for i, l := range s.Voyage().Loads {
		assert.Equal(t, want[l.Load.Name()], s.Group(i), l.Load.Name())
	}
	assert.Len(t, s.Factors(), scenarios.Factors)
	s = openedWith(t, "radio-cover", "loads[tablet].group=always on", "sources.hydro=")
	for i, l := range s.Voyage().Loads {
		if l.Load.Name() == "tablet" {
			assert.Equal(t, scenarios.AlwaysOn, s.Group(i))
		}
	}
	assert.NotContains(t, s.Factors(), scenarios.Generator)
	assert.NotContains(t, s.Factors(), scenarios.OtherLoads)
}

// The keys of trial in a file do what Corrected does, each to its own row of the
// books, and a note owns up.
func TestFactors(t *testing.T) {
	sail := func(v *sim.Voyage) *sim.Result {
		r, err := v.Sail(t.Context(), sim.Options{})
		require.NoError(t, err)
		return r
	}
	s := openedWith(t, "radio-cover")
	plain := sail(s.Voyage())
	for i := range scenarios.Factors {
		f := scenarios.Factor(i)
		name, ok := scenarios.FactorNamed(f.String())
		require.True(t, ok)
		assert.Equal(t, f, name)
		c := scenarios.Uncorrected()
		c[f] = 0.8
		v, err := s.Corrected(s.Voyage(), c)
		require.NoError(t, err)
		byKey := openedWith(t, "radio-cover", f.Path()+"=0.8")
		assert.Equal(t, sail(v).Books, sail(byKey.Voyage()).Books, "%s", f)
		assert.NotEqual(t, plain.Books, sail(v).Books, "%s", f)
		found := false
		for _, n := range byKey.Voyage().Notes {
			found = found || n.About == "trial"
		}
		assert.True(t, found, "%s", f)
	}
	assert.Equal(t, plain.Books, sail(s.Voyage()).Books, "the original is left alone")
	c := scenarios.Uncorrected()
	c[scenarios.Lights], c[scenarios.Panels] = 1.3, 0.9
	v, err := s.Corrected(s.Voyage(), c)
	require.NoError(t, err)
	r := sail(v)
	for i, l := range r.Loads {
		want := 1.0
		if s.Group(i) == scenarios.Lights {
			want = 1.3
		}
		assert.InDelta(t, want, float64(l.Charge/plain.Loads[i].Charge), 0.02, l.Name) // watts draw more amps from a lower bank
	}
	// Steps are cut where the charger goes to float, so the sun is met at other moments.
	assert.InDelta(t, 0.9, float64(r.Sources[0].Energy/plain.Sources[0].Energy), 1e-4)
	assert.InDelta(t, 1, float64(r.Sources[2].Energy/plain.Sources[2].Energy), 1e-4)
}

// Losses are what is scaled, so no factor makes the efficiency more than 1 or
// takes all; the capacity takes the bank of a fault along.
func TestCorrectedBank(t *testing.T) {
	s := openedWith(t, "radio-cover")
	c := scenarios.Uncorrected()
	c[scenarios.Losses], c[scenarios.Capacity] = 2, 0.9
	v, err := s.Corrected(s.Voyage(), c)
	require.NoError(t, err)
	was, is := s.Voyage().Bank.Setup(), v.Bank.Setup()
	assert.InDelta(t, 2*(1-float64(was.Efficiency.Low)), 1-float64(is.Efficiency.Low), 1e-12)
	assert.InDelta(t, 2*(1-float64(was.Efficiency.Full)), 1-float64(is.Efficiency.Full), 1e-12)
	assert.InDelta(t, 0.9, float64(v.Bank.Capacity(20)/s.Voyage().Bank.Capacity(20)), 1e-12)
	for _, losses := range []float64{0.05, 20} {
		c[scenarios.Losses] = losses
		v, err := s.Corrected(s.Voyage(), c)
		require.NoError(t, err)
		e := v.Bank.Setup().Efficiency
		assert.True(t, e.Full > 0 && e.Full <= e.Low && e.Low < 1)
	}
	label, src, err := scenarios.Source("radio-cover")
	require.NoError(t, err)
	s, err = scenarios.Read(label, src, nil, "", "bank: 50 % left, day 3")
	require.NoError(t, err)
	v, err = s.Corrected(s.Voyage(), c)
	require.NoError(t, err)
	assert.InDelta(t, 0.9, float64(v.Faults[0].Bank.Capacity(20)/s.Voyage().Faults[0].Bank.Capacity(20)), 1e-12)
}

func TestTrialKeysAreChecked(t *testing.T) {
	label, src, err := scenarios.Source("radio-cover")
	require.NoError(t, err)
	for _, set := range []string{"trial.panels=0", "trial.panels=50", "trial.pannels=1", "loads[tablet].group=toys"} {
		_, err := scenarios.Read(label, src, []string{set}, "")
		assert.Error(t, err, set)
	}
}
