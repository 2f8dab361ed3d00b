package trial

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"ampwake/scenarios"
)

var (
	trials = flag.Int("trials", 0, "synthetic trials of the coverage tests; 0: a few")
	first  = flag.Uint64("first", 20000, "seed of the first of them")
)

// truths are what is true in each of n trials, in prior standard deviations: of
// each parameter one from every n-th part of its prior, in an order of its own.
// So a factor of which a log tells next to nothing is held by its prior as often as
// it should be, and chance is left where the fit is at work.
func truths(seed uint64, n, parameters int) [][]float64 {
	dice := rand.New(rand.NewPCG(seed, 11))
	u := make([][]float64, n)
	for k := range u {
		u[k] = make([]float64, parameters)
	}
	for i := range parameters {
		for k, part := range dice.Perm(n) {
			u[k][i] = distuv.UnitNormal.Quantile((float64(part) + dice.Float64()) / float64(n))
		}
	}
	return u
}

// synthetic fits a log of a boat of which u is true, with the noise of a hand-read
// voltmeter and days that differ from the log at random. It returns the fit and the
// truth, logarithms by factor.
func synthetic(t testing.TB, seed uint64, u []float64, text func(*rand.Rand) string) (*Fit, [scenarios.Factors]float64) {
	t.Helper()
	s := open(t, "radio-cover")
	dice := rand.New(rand.NewPCG(seed, 7))
	l := readLog(t, s, text(dice))
	m := modelOf(t, l)
	require.Len(t, u, len(m.pars))
	var truth [scenarios.Factors]float64
	for i, p := range m.pars {
		if p.which == ofFactor {
			truth[p.factor] = u[i] * p.sd
		}
	}
	live(t, m, atSea{u, dice})
	f, err := New(t.Context(), l)
	require.NoError(t, err)
	return f, truth
}

// modelOf returns the model of a log with its readings listed.
func modelOf(t testing.TB, l *Logged) *model {
	t.Helper()
	m := newModel(l, l.Scenario.Factors(), priors)
	_, err := newSolver(t.Context(), m)
	require.NoError(t, err)
	return m
}

// The 80 % interval holds the truth in about 80 of 100 trials: with -trials 200 it
// must be in 72 to 88 % of all, and in 68 to 92 % for each factor by itself, which
// chance alone moves by 6 % now and then. In passing, a few trials with a bound that
// chance does not break; the seeds are fixed. Seeds from 100 to 299 and 5000 to 5399
// served to find the widening: tell the coverage of others, with -first.
func testCoverage(t *testing.T, text func(*rand.Rand) string) {
	n := *trials
	if n == 0 {
		if testing.Short() {
			t.Skip("many fits")
		}
		n = 6
	}
	var hits [scenarios.Factors]int
	var squares [scenarios.Factors]float64
	all, of := 0, 0
	for k, u := range truths(*first, n, scenarios.Factors+2) {
		f, truth := synthetic(t, *first+uint64(k), u, text)
		for _, e := range f.Factors {
			z := (truth[e.Factor] - e.Mean) / e.Spread
			squares[e.Factor] += z * z
			of++
			if math.Abs(z) <= z80 {
				hits[e.Factor]++
				all++
			}
		}
	}
	for i := range scenarios.Factors {
		t.Logf("%-16s %.1f %%, root mean square %.2f", scenarios.Factor(i), 100*float64(hits[i])/float64(n), math.Sqrt(squares[i]/float64(n)))
	}
	share := float64(all) / float64(of)
	t.Logf("all %.1f %% of %d", 100*share, of)
	if *trials >= 200 {
		for i := range scenarios.Factors {
			assert.InDelta(t, 0.80, float64(hits[i])/float64(n), 0.12, "%s", scenarios.Factor(i))
		}
		assert.InDelta(t, 0.80, share, 0.08)
		return
	}
	// 48 intervals, not independent: far beyond what chance does to 80 %.
	assert.InDelta(t, 0.80, share, 0.2)
}

func TestCoverageOfAVoltmeter(t *testing.T) { testCoverage(t, days14) }

func TestCoverageOfACounter(t *testing.T) { testCoverage(t, counted14) }

// counted14 is a log with an amp-hour counter beside the voltmeter.
func counted14(dice *rand.Rand) string {
	return sailText(dice, 14, ", volts rested [V], counter [Ah]", func(i int) string {
		if i%3 == 2 {
			return ", , -1"
		}
		return ", 12.5, -1"
	})
}
