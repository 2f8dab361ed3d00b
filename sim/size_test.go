package sim_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/units"
)

// fixture is the chancy voyage with a bank and a panel of a size.
func fixture(t testing.TB, v *sim.Voyage, ah units.AmpHours, watts units.Watts) *sim.Voyage {
	t.Helper()
	w := *v
	var err error
	w.Bank, err = bank.New(bank.Default(bank.AGM, ah))
	require.NoError(t, err)
	w.Sources = append([]sim.Fitted{{Source: flatPanel(watts)}}, v.Sources[1:]...)
	return &w
}

// choice is nine banks and four panels, by weight.
func choice(t testing.TB) *sim.Choice {
	v := chancy(t)
	c := &sim.Choice{Box: sim.Box{Axes: []sim.Axis{{Len: 9, Rises: true}, {Len: 4, Rises: true}}}}
	ah := func(p []int) units.AmpHours { return units.AmpHours(100 + 25*p[0]) }
	watts := func(p []int) units.Watts { return units.Watts(110 + 10*p[1]) }
	for i := range c.Len() {
		p := c.Point(i)
		c.Cost = append(c.Cost, 0.3*float64(ah(p))+2*float64(watts(p)))
	}
	c.Kit = func(i int) (*sim.Voyage, error) { return fixture(t, v, ah(c.Point(i)), watts(c.Point(i))), nil }
	return c
}

// What the search finds is what sailing every kit through every weather finds,
// and the voyages it counts are those that were sailed.
func TestSizeAgainstEveryKit(t *testing.T) {
	const members = 12
	c := choice(t)
	all := make([]sim.Share, c.Len())
	for i := range all {
		v, err := c.Kit(i)
		require.NoError(t, err)
		all[i] = oddsOf(t, v, sim.OddsOptions{Members: members}).Holds
	}
	found := map[int]bool{}
	for _, wanted := range []float64{0.3, 0.6, 0.8, 1} {
		s, err := c.Size(t.Context(), sim.SizeOptions{Members: members, Wanted: wanted})
		require.NoError(t, err)
		want := -1
		for _, i := range c.Order() {
			if float64(all[i].Count) >= wanted*members-1e-9 {
				want = i
				break
			}
		}
		if want < 0 {
			require.Negative(t, s.Best)
		} else {
			require.Equal(t, want, s.Kits[s.Best].Kit, "wanted %v", wanted)
			found[want] = true
		}
		require.LessOrEqual(t, len(s.Kits), c.Bound())
		voyages := 0
		for i, x := range s.Kits {
			voyages += len(x.Trial.Holds)
			enough := float64(all[x.Kit].Count) >= wanted*members-1e-9
			require.Equal(t, enough, x.Trial.Reaches(s.Need))
			require.Equal(t, !enough, x.Trial.Misses(s.Need))
			if i == s.Best || i == s.Rival {
				require.True(t, x.Trial.Complete())
				require.Equal(t, all[x.Kit], x.Trial.Share())
			}
			if i != s.Best && i == s.Rival {
				require.True(t, x.Trial.Misses(s.Need))
			}
		}
		require.Equal(t, voyages, s.Voyages)
		require.Equal(t, voyages, s.Answered)
		require.Less(t, voyages, c.Len()*members/3, "of what sailing every kit would take")
	}
	require.Greater(t, len(found), 2, "the wanted share makes a difference")

	// The frontier is what the single searches find, in fewer voyages.
	levels := []float64{0.3, 0.8, 1}
	s, err := c.Size(t.Context(), sim.SizeOptions{Members: members, Wanted: 0.6, Levels: levels})
	require.NoError(t, err)
	require.Len(t, s.Levels, 4)
	single := 0
	for _, l := range s.Levels {
		alone, err := c.Size(t.Context(), sim.SizeOptions{Members: members, Wanted: l.Wanted})
		require.NoError(t, err)
		single += alone.Voyages
		require.Equal(t, alone.Kits[alone.Best].Kit, s.Kits[l.Best].Kit, "level %v", l.Wanted)
		require.Equal(t, all[s.Kits[l.Best].Kit], s.Kits[l.Best].Trial.Share())
		if l.Wanted == 0.6 {
			require.Equal(t, s.Best, l.Best)
			require.Equal(t, alone.Answered, s.Answered)
			require.Equal(t, alone.Asked, s.Asked)
		}
	}
	require.Less(t, s.Voyages, single)
	seen := map[int]bool{}
	for _, x := range s.Kits {
		require.False(t, seen[x.Kit], "a kit is there twice")
		seen[x.Kit] = true
	}
}

func TestSizeSameForAnyWorkers(t *testing.T) {
	var want *sim.Size
	for _, workers := range []int{1, 2, 7} {
		s, err := choice(t).Size(t.Context(), sim.SizeOptions{Members: 20, Wanted: 0.8, Levels: []float64{0.4}, Workers: workers})
		require.NoError(t, err)
		if want == nil {
			want = s
		}
		require.Equal(t, want, s)
	}
	require.NotZero(t, want.Compared)
}

// None of the kits is large enough: the rival is the one that comes nearest.
func TestSizeOfNone(t *testing.T) {
	c := choice(t)
	kit := c.Kit
	c.Kit = func(i int) (*sim.Voyage, error) {
		v, err := kit(i)
		v.Goals.Above = 0.85
		return v, err
	}
	s, err := c.Size(t.Context(), sim.SizeOptions{Members: 10, Wanted: 0.9})
	require.NoError(t, err)
	assert.Equal(t, -1, s.Best)
	require.LessOrEqual(t, len(s.Kits), c.Bound())
	rival := s.Kits[s.Rival]
	assert.Equal(t, c.Len()-1, rival.Kit, "the largest was sailed, or others might do")
	assert.True(t, rival.Trial.Complete())
	assert.Less(t, rival.Trial.Share().Count, s.Need)
}

func TestSizeRefuses(t *testing.T) {
	c := choice(t)
	_, err := c.Size(t.Context(), sim.SizeOptions{Wanted: 0.9})
	require.ErrorContains(t, err, "want at least 1")
	for _, wanted := range []float64{0, -0.1, 1.1} {
		_, err = c.Size(t.Context(), sim.SizeOptions{Members: 10, Wanted: wanted})
		require.ErrorContains(t, err, "more than 0 and at most 1")
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = c.Size(ctx, sim.SizeOptions{Members: 10, Wanted: 0.9})
	require.ErrorIs(t, err, context.Canceled)
}

// A trial stops at the first weather after which the answer cannot change, and
// sails none beyond it.
func TestTrialStopsWhenDecided(t *testing.T) {
	v := chancy(t)
	const of = 24
	o := oddsOf(t, v, sim.OddsOptions{Members: of})
	require.Greater(t, o.Holds.Count, 2)
	require.Less(t, o.Holds.Count, of-2)
	for need := 0; need <= of; need++ {
		var want int
		for held := 0; want < of; want++ {
			if held >= need || held+of-want < need {
				break
			}
			if o.Members[want].Holds {
				held++
			}
		}
		for _, workers := range []int{1, 4} {
			trial := &sim.Trial{Of: of}
			require.NoError(t, trial.Decide(t.Context(), v, need, workers))
			require.Len(t, trial.Holds, want, "need %d", need)
			require.Equal(t, o.Holds.Count >= need, trial.Reaches(need))
			require.Equal(t, o.Holds.Count < need, trial.Misses(need))
			if need%8 != 0 {
				continue
			}
			require.NoError(t, trial.Finish(t.Context(), v, workers))
			require.True(t, trial.Complete())
			require.Equal(t, o.Holds, trial.Share())
		}
	}
}

// What is suggested is enough: were the shares those of the larger number, the
// intervals would clear the wanted share.
func TestSizeEnough(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		members := rapid.IntRange(20, 500).Draw(t, "weathers")
		wanted := float64(rapid.IntRange(50, 99).Draw(t, "wanted, %")) / 100
		s := &sim.Size{Members: members, Wanted: wanted, Best: 0, Rival: 1}
		trial := func(name string, from, to int) *sim.Trial {
			n := rapid.IntRange(from, to).Draw(t, name)
			holds := make([]bool, members)
			for i := range n {
				holds[i] = true
			}
			return sim.NewTrial(members, holds)
		}
		need := int(wanted*float64(members)) + 1
		s.Kits = []sim.SizedKit{{Trial: trial("best", need, members)}, {Trial: trial("rival", 0, need-2)}}
		n := s.Enough()
		best, rival := s.Sure()
		require.Equal(t, best && rival, n == 0)
		if n == 0 || n == 100_000 {
			return
		}
		require.GreaterOrEqual(t, n, 2*members)
		at := func(i int) sim.Share {
			return sim.NewShare(int(s.Kits[i].Trial.Share().P*float64(n)+0.5), n)
		}
		// tol: two digits, and half a weather
		require.GreaterOrEqual(t, at(0).Low, wanted-0.5/float64(members)-0.002)
		require.LessOrEqual(t, at(1).High, wanted+0.5/float64(members)+0.002)
	})
}
