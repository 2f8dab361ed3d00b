package sim_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/testdata/refdata"
)

// tolGrid is what halving the step may change the state of charge, of 1, as long
// as all is switched at the same moments. What is left is the light: it jumps
// where the beam is cut off at a zenith of 87° (see package sky), which is no
// edge of a step.
const tolGrid = 0.003

// roomy gives the voyage a bank large enough for the light of one step not to
// matter, with a charger without stages: the moment of going to float is a
// switching too.
func roomy(t *rapid.T, v *sim.Voyage) {
	s := v.Bank.Setup().Plain()
	if s.Chemistry == bank.LFP { // switches charging at 0 and 5 °C
		s = bank.Default(bank.AGM, s.Rated).Plain()
	}
	s.Rated += 250
	v.Faults = nil // they may bring a bank of their own
	// The one cuts out as the course changes, the other jumps when it is turned.
	v.Sources = lacking(v.Sources, func(s sim.Source) bool {
		return s.Name() == "wind turbine" || strings.HasPrefix(s.Name(), "trimmed")
	})
	var err error
	v.Bank, err = bank.New(s)
	require.NoError(t, err)
}

func TestStepLengthHardlyMatters(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := anyVoyage(t)
		roomy(t, v)
		v.Grid = 10 * time.Minute
		coarse := sail(t, v)
		v.Grid = 5 * time.Minute
		fine := sail(t, v)
		if !switchedAlike(coarse, fine) {
			return
		}
		at := hourly(fine.Trace)
		for i, x := range coarse.Trace.Time {
			if j, both := at[x]; both {
				require.InDelta(t, float64(fine.Trace.Charge[j]), float64(coarse.Trace.Charge[i]), tolGrid, "charge at %v", x)
			}
		}
	})
}

// switchedAlike reports whether nothing was missed and all decisions were the
// same to the second.
func switchedAlike(a, b *sim.Result) bool {
	if len(a.Misses)+len(b.Misses) > 0 || len(a.Decisions) != len(b.Decisions) {
		return false
	}
	for i := range a.Decisions {
		x, y := &a.Decisions[i], &b.Decisions[i]
		if x.What != y.What || x.Use != y.Use || x.At.Time.Sub(y.At.Time).Abs() > time.Second {
			return false
		}
	}
	return true
}

// A coarser grid moves legs A and B by what the reference's own equations are
// moved by it, in points of charge at whole hours.
func TestStepLengthOfReferenceLegs(t *testing.T) {
	fine := map[string]*sim.Result{}
	for _, row := range refdata.Read(t, "leg/step_size_effects.csv") {
		id := row.Text("leg")
		grid, ok := map[string]time.Duration{"5 min": 5 * time.Minute, "10 min": 10 * time.Minute, "30 min": 30 * time.Minute, "60 min": time.Hour}[row.Text("step")]
		if !ok || id == "leg_a_flat" { // the reference ends where that runs flat
			continue
		}
		leg := readLeg(t, id)
		if fine[id] == nil {
			fine[id] = sail(t, leg.voyage(t, 30*time.Second))
		}
		coarse := sail(t, leg.voyage(t, grid))
		closes(t, coarse)
		at, worst := hourly(fine[id].Trace), 0.0
		for i, x := range coarse.Trace.Time {
			if x.Equal(x.Truncate(time.Hour)) {
				worst = math.Max(worst, 100*math.Abs(float64(fine[id].Trace.Charge[at[x]]-coarse.Trace.Charge[i])))
			}
		}
		t.Logf("%s at %v: %.4f points, reference %.4f", id, grid, worst, row.Float("soc_max_abs_pp"))
		require.InDelta(t, row.Float("soc_max_abs_pp"), worst, 0.002+0.1*row.Float("soc_max_abs_pp"), row.Where())
	}
	require.Len(t, fine, 2)
}
