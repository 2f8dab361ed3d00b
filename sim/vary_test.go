package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/units"
)

// A factor on a source or a load multiplies its rows of the ledgers, which still
// close; a fault takes its share of what is left.
func TestTimes(t *testing.T) {
	v := quiet(t, 10)
	v.Sources = []sim.Fitted{{Source: maker{"plain", 20}}, {Source: maker{"less", 20}, Times: 0.6}}
	v.Loads = []sim.Fixed{
		{Load: user{"plain", sim.Demand{On: true, Current: 1, Power: 5}}},
		{Load: user{"more", sim.Demand{On: true, Current: 1, Power: 5}}, Times: 1.5},
	}
	v.Faults = []sim.Fault{{What: "less", At: clock(5), Source: 1, Left: 0.5, Load: -1}}
	r, err := v.Sail(t.Context(), sim.Options{Trace: true})
	require.NoError(t, err)
	assert.InDelta(t, 200, float64(r.Sources[0].Energy), 1e-9)
	assert.InDelta(t, 200*0.6*0.75, float64(r.Sources[1].Energy), 1e-9, "half of it for half the time")
	assert.InDelta(t, 10*0.6*0.75, float64(r.Sources[1].Lost), 1e-9)
	assert.InDelta(t, 1.5, float64(r.Loads[1].Energy/r.Loads[0].Energy), 1e-12)
	assert.InDelta(t, 0, float64(r.Books.BusGap()), 1e-9*float64(r.Books.Made))
	assert.InDelta(t, 0, float64(r.Books.BankGap()), 1e-9)
}

// What a load draws in place of its demand, when the voltage is too low, is scaled
// like the rest; its peak current is the set's own.
func TestTimesLeavesThePeakAlone(t *testing.T) {
	sail := func(times float64) *sim.Result {
		v := quiet(t, 2)
		v.Charge = 0.4
		v.Loads = []sim.Fixed{{Load: user{"radio", sim.Demand{On: true, Current: 3, Peak: 25, Least: 11.8, Idle: 2}}, Times: times}}
		r, err := v.Sail(t.Context(), sim.Options{})
		require.NoError(t, err)
		return r
	}
	plain, more := sail(1), sail(1.4)
	require.NotEmpty(t, plain.Misses)
	assert.InDelta(t, float64(plain.Misses[0].Volts), float64(more.Misses[0].Volts), 1e-9)
	assert.InDelta(t, 2*2, float64(plain.Loads[0].Charge), 1e-9)
	assert.InDelta(t, 2*2*1.4, float64(more.Loads[0].Charge), 1e-9)
}

// Along is what a current adds to the way over the ground, or takes.
func TestAlong(t *testing.T) {
	for _, along := range []float64{0, 0.5, 1, 1.25} {
		v := quiet(t, 10)
		v.Plan = []sim.Stretch{{Speed: 6, Along: along}}
		r, err := v.Sail(t.Context(), sim.Options{Trace: true})
		require.NoError(t, err)
		want := 60 * along
		if along == 0 {
			want = 60
		}
		assert.InDelta(t, want, float64(r.Sailed), 1e-9)
		assert.Equal(t, units.Knots(6), r.Trace.Speed[3], "through the water")
	}
}

// A voyage that varies sails, for each member, the voyage it is told to; the odds
// are those of these voyages, whatever the workers.
func TestVary(t *testing.T) {
	v := chancy(t)
	base := *v
	v.Vary = func(member int) *sim.Voyage {
		w := base
		w.Loads = append([]sim.Fixed(nil), base.Loads...)
		w.Loads[1].Times = 1 + 0.1*float64(member%3)
		return &w
	}
	one := oddsOf(t, v, sim.OddsOptions{Members: 9, Workers: 1})
	four := oddsOf(t, v, sim.OddsOptions{Members: 12, Workers: 4})
	for i := range one.Members {
		assert.Equal(t, one.Members[i].Used, four.Members[i].Used)
		assert.Equal(t, one.Members[i].Margin, four.Members[i].Margin)
		alone := *v.Vary(i)
		r, err := alone.Sail(t.Context(), sim.Options{Member: i, Lean: true})
		require.NoError(t, err)
		assert.Equal(t, r.Books.Used, one.Members[i].Used)
	}
	plain := oddsOf(t, &base, sim.OddsOptions{Members: 9})
	assert.Equal(t, plain.Members[3].Used, one.Members[3].Used, "times 1")
	assert.NotEqual(t, plain.Members[4].Used, one.Members[4].Used)
}
