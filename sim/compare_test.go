package sim_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/units"
)

// chancyOf is the small voyage with a bank of another size.
func chancyOf(t testing.TB, rated units.AmpHours) *sim.Voyage {
	v := chancy(t)
	model, err := bank.New(bank.Default(bank.AGM, rated))
	require.NoError(t, err)
	v.Bank = model
	return v
}

func fleetOf(t testing.TB, opt sim.OddsOptions, voyages ...*sim.Voyage) []*sim.Odds {
	t.Helper()
	odds, err := sim.Fleet(t.Context(), voyages, opt)
	require.NoError(t, err)
	return odds
}

// In a fleet each voyage has the odds that it has alone, whatever the workers.
func TestFleetIsOddsOfEach(t *testing.T) {
	small, large := chancyOf(t, 150), chancyOf(t, 300)
	for _, workers := range []int{1, 3} {
		odds := fleetOf(t, sim.OddsOptions{Members: 12, Workers: workers}, small, large)
		require.Equal(t, oddsOf(t, small, sim.OddsOptions{Members: 12}), odds[0])
		require.Equal(t, oddsOf(t, large, sim.OddsOptions{Members: 12}), odds[1])
	}
}

// A fleet that is stopped has sailed through the same weathers with every kit.
func TestFleetStopped(t *testing.T) {
	small, large := chancyOf(t, 150), chancyOf(t, 300)
	odds, err := sim.Fleet(contextOf(500), []*sim.Voyage{small, large, small}, sim.OddsOptions{Members: 40, Workers: 4})
	require.NoError(t, err)
	require.ErrorIs(t, odds[0].Stopped, context.Canceled)
	require.Positive(t, odds[0].Done)
	require.Less(t, odds[0].Done, 40)
	require.Equal(t, odds[0], odds[2])
	c := sim.Compare([]string{"a", "b", "c"}, odds, 0)
	assert.True(t, c.Kits[2].Same)
	assert.False(t, c.Kits[1].Same)

	_, err = sim.Fleet(contextOf(3), []*sim.Voyage{small, large}, sim.OddsOptions{Members: 40})
	require.ErrorIs(t, err, context.Canceled)
}

// A kit equal to the base differs from it by exactly nothing.
func TestCompareWithItself(t *testing.T) {
	odds := fleetOf(t, sim.OddsOptions{Members: 10}, chancy(t), chancy(t))
	for base := range 2 {
		k := sim.Compare([]string{"one", "same"}, odds, base).Kits[1]
		assert.True(t, k.Same)
		zero := func(name string, by, low, high float64, more, less int) {
			assert.Equal(t, []float64{0, 0, 0}, []float64{by, low, high}, name)
			assert.Zero(t, more+less, name)
		}
		zero("margin", float64(k.Margin.By), float64(k.Margin.Low), float64(k.Margin.High), k.Margin.More, k.Margin.Less)
		zero("charge", float64(k.Charge.By), float64(k.Charge.Low), float64(k.Charge.High), k.Charge.More, k.Charge.Less)
		zero("lowest", float64(k.Lowest.By), float64(k.Lowest.Low), float64(k.Lowest.High), k.Lowest.More, k.Lowest.Less)
		zero("misses", k.Misses.By, k.Misses.Low, k.Misses.High, k.Misses.More, k.Misses.Less)
		zero("miles", float64(k.Miles.By), float64(k.Miles.Low), float64(k.Miles.High), k.Miles.More, k.Miles.Less)
		zero("hours", float64(k.Hours.By), float64(k.Hours.Low), float64(k.Hours.High), k.Hours.More, k.Hours.Less)
		zero("passage", float64(k.Passage.By), float64(k.Passage.Low), float64(k.Passage.High), k.Passage.More, k.Passage.Less)
		zero("engine", float64(k.Engine.By), float64(k.Engine.Low), float64(k.Engine.High), k.Engine.More, k.Engine.Less)
		zero("fuel", float64(k.Fuel.By), float64(k.Fuel.Low), float64(k.Fuel.High), k.Fuel.More, k.Fuel.Less)
		zero("life", float64(k.Life.By), float64(k.Life.Low), float64(k.Life.High), k.Life.More, k.Life.Less)
		assert.Zero(t, k.Holds.By)
		assert.Zero(t, k.Holds.Won+k.Holds.Lost)
	}
}

// What Compare says of two banks is what their single voyages say.
func TestCompareOfTwoBanks(t *testing.T) {
	const n = 16
	voyages := []*sim.Voyage{chancyOf(t, 150), chancyOf(t, 300)}
	k := sim.Compare([]string{"small", "large"}, fleetOf(t, sim.OddsOptions{Members: n}, voyages...), 0).Kits[1]
	assert.Equal(t, "large", k.Name)
	assert.False(t, k.Same)
	var margin, square, misses, fuel, hours, life float64
	won, lost := 0, 0
	for i := range n {
		var r [2]*sim.Result
		for j, v := range voyages {
			var err error
			r[j], err = v.Sail(t.Context(), sim.Options{Member: i})
			require.NoError(t, err)
		}
		d := float64(r[1].Verdict.Margin - r[0].Verdict.Margin)
		margin += d
		square += d * d
		misses += float64(missed(r[1]) - missed(r[0]))
		fuel += float64(r[1].Fuel - r[0].Fuel)
		hours += r[1].End.Sub(r[0].End).Hours()
		life += float64(r[1].Wear.Life - r[0].Wear.Life)
		if r[1].Verdict.Holds && !r[0].Verdict.Holds {
			won++
		}
		if !r[1].Verdict.Holds && r[0].Verdict.Holds {
			lost++
		}
	}
	assert.InDelta(t, margin/n, float64(k.Margin.By), 1e-12)
	assert.InDelta(t, misses/n, k.Misses.By, 1e-12)
	assert.InDelta(t, fuel/n, float64(k.Fuel.By), 1e-12)
	assert.InDelta(t, hours/n, float64(k.Passage.By), 1e-9)
	assert.InDelta(t, life/n, float64(k.Life.By), 1e-12)
	assert.Equal(t, []int{won, lost}, []int{k.Holds.Won, k.Holds.Lost})
	assert.NotZero(t, won, "there must be something to tell")
	assert.NotZero(t, misses)
	// 2.131 is Student's t of 15 degrees of freedom at 0.975 in any table.
	half := 2.131 * math.Sqrt((square-margin*margin/n)/(n-1)/n)
	assert.InEpsilon(t, half, float64(k.Margin.High-k.Margin.By), 3e-4) // the table has three decimals
}

// missed counts the slots of the load to keep that failed.
func missed(r *sim.Result) int { return r.Loads[0].Due - r.Loads[0].Kept }

func TestCompareRefusesWhatIsNotPaired(t *testing.T) {
	few, many := fleetOf(t, sim.OddsOptions{Members: 2}, chancy(t)), fleetOf(t, sim.OddsOptions{Members: 3}, chancy(t))
	assert.Panics(t, func() { sim.Compare([]string{"a", "b"}, []*sim.Odds{few[0], many[0]}, 0) })
	assert.Panics(t, func() { sim.Compare([]string{"a"}, few, 1) })
	assert.Panics(t, func() { sim.Compare(nil, few, 0) })
}
