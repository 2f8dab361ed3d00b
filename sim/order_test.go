package sim_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/units"
	"ampwake/sources"
)

// plusPanel returns the voyage with one more panel, flat and of that rating.
func plusPanel(t *rapid.T, v *sim.Voyage, rated units.Watts) *sim.Voyage {
	spec := sources.DefaultPanel()
	spec.Name, spec.Rated = "the panel", rated
	p, err := sources.NewPanel(spec)
	require.NoError(t, err)
	w := *v
	w.Sources = append(slices.Clone(v.Sources), sim.Fitted{Source: p})
	return &w
}

// onBank returns the voyage with another bank.
func onBank(t *rapid.T, v *sim.Voyage, s bank.Setup) *sim.Voyage {
	w := *v
	w.Faults = nil // they may bring a bank of their own
	var err error
	w.Bank, err = bank.New(s)
	require.NoError(t, err)
	return &w
}

// More panel, never less charge: as long as nothing is switched by the charge or
// the voltage. With a charger in stages it holds until the larger array first
// fills the bank: it then goes to float the earlier, and hours later the bank can
// stand some points lower than with the smaller array still in absorption (8
// points were the worst of 3000).
func TestMorePanelNeverLessCharge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := anyVoyage(t)
		v.Grid = 10 * time.Minute
		// A follower hides that the bank is full.
		v.Sources = lacking(v.Sources, func(s sim.Source) bool { _, follows := s.(sim.Follower); return follows })
		v.Faults = nil
		s := v.Bank.Setup()
		s.CutOff = 0
		staged := rapid.Bool().Draw(t, "staged")
		if !staged {
			s = s.Plain()
		}
		v = onBank(t, v, s)
		rated := units.Watts(rapid.IntRange(20, 200).Draw(t, "rated"))
		less, more := sail(t, plusPanel(t, v, rated)), sail(t, plusPanel(t, v, rated*1.5))
		if !switchedAlike(less, more) {
			return
		}
		filled := len(more.Trace.Time)
		if staged {
			for j := range more.Trace.Time {
				if more.Trace.Spilled[j] > 0 || more.Trace.Charge[j] >= s.Charger.Full {
					filled = j
					break
				}
			}
		}
		at := hourly(more.Trace)
		for i, x := range less.Trace.Time {
			j, both := at[x]
			if !both {
				continue
			}
			if j > filled {
				break
			}
			require.GreaterOrEqual(t, float64(more.Trace.Charge[j]-less.Trace.Charge[i]), -1e-6, "at %v", x)
		}
	})
}

// Twice the bank never fails sooner, where that must hold: without sources, and
// from a full bank that missed nothing. In between it need not: a small bank
// charges to a higher share sooner, and stands higher while it is charged. Nor
// are there always fewer misses in all, since a bank too small for a heavy load
// spares its charge for the light ones.
func TestTwiceTheBankNeverFailsSooner(t *testing.T) {
	first := func(r *sim.Result) float64 {
		if len(r.Misses) == 0 {
			return math.Inf(1)
		}
		return r.Misses[0].At.Time.Sub(r.Depart).Hours()
	}
	rapid.Check(t, func(t *rapid.T) {
		v := anyVoyage(t)
		s := v.Bank.Setup()
		s = bank.Default(s.Chemistry, s.Rated)
		for i := range v.Loads {
			v.Loads[i].Rule = nil // it goes by the charge
		}
		v.Sources = lacking(v.Sources, func(s sim.Source) bool { _, burns := s.(sim.Burner); return burns })
		if rapid.Bool().Draw(t, "sources") {
			v.Charge, s = 1, s.Plain()
		} else {
			v.Sources = nil
		}
		small := sail(t, onBank(t, v, s))
		s.Rated *= 2
		large := sail(t, onBank(t, v, s))
		if len(v.Sources) > 0 && len(small.Misses) > 0 {
			return
		}
		require.GreaterOrEqual(t, first(large), first(small), "hours to the first miss")
	})
}

// lacking returns the sources less those that are so.
func lacking(list []sim.Fitted, so func(sim.Source) bool) []sim.Fitted {
	return slices.DeleteFunc(slices.Clone(list), func(f sim.Fitted) bool { return so(f.Source) })
}
