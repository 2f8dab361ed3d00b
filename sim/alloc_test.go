package sim_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"ampwake/sim"
)

// A step allocates nothing: twenty days allocate no more than ten but for what a
// day keeps, its totals of sources and loads and the growing lists.
func TestStepAllocatesNothing(t *testing.T) {
	allocations := func(days int, lean bool) float64 {
		v := longVoyage(t, days)
		return testing.AllocsPerRun(5, func() {
			_, err := v.Sail(t.Context(), sim.Options{Lean: lean})
			require.NoError(t, err)
		})
	}
	const steps = 10 * 156 // between them
	// Four lists of totals a day; lean, lists that double now and then.
	for lean, most := range map[bool]float64{false: 4*10 + 12, true: 12} {
		more := allocations(20, lean) - allocations(10, lean)
		require.LessOrEqual(t, more, most, "lean: %v; %v for each of %d steps", lean, more/steps, steps)
	}
}
