package scenarios_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/sim"
)

// A factor of a trial sail multiplies what it says and nothing else.
func TestCorrections(t *testing.T) {
	sail := func(sets ...string) *sim.Result {
		label, src, err := scenarios.Source("doldrums-week")
		require.NoError(t, err)
		s, err := scenarios.Read(label, src, sets, "")
		require.NoError(t, err)
		res, err := s.Voyage().Sail(t.Context(), sim.Options{})
		require.NoError(t, err)
		return res
	}
	plain := sail("model.charger=plain", "bank.cut-off=0 V")
	used := func(r *sim.Result, name string) float64 {
		for _, l := range r.Loads {
			if l.Name == name {
				return float64(l.Charge)
			}
		}
		t.Fatalf("no load %q", name)
		return 0
	}
	more := sail("model.charger=plain", "bank.cut-off=0 V", "trial.always on=1.2")
	require.InEpsilon(t, 1.2*used(plain, "AIS alarm"), used(more, "AIS alarm"), 1e-9)
	require.InEpsilon(t, used(plain, "chart light"), used(more, "chart light"), 0.02, "other groups stay, but for the voltage")
	less := sail("model.charger=plain", "bank.cut-off=0 V", "trial.panels=0.8")
	require.InEpsilon(t, 0.8*float64(plain.Sources[0].Energy), float64(less.Sources[0].Energy), 1e-9)
	require.Less(t, float64(less.Lowest.Charge), float64(plain.Lowest.Charge))
	small := sail("model.charger=plain", "bank.cut-off=0 V", "trial.capacity=0.9")
	require.Less(t, float64(small.Lowest.Charge), float64(plain.Lowest.Charge))
}
