package trial

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
)

var trials = flag.Int("trials", 0, "synthetic trials of the coverage tests; 0: a few")

// synthetic fits a log whose truth is drawn from what is thought of each factor
// before, with the noise of a hand-read voltmeter and days that differ from the
// log at random. It returns the fit and the truth, logarithms by factor.
func synthetic(t testing.TB, seed uint64, text func(*rand.Rand) string) (*Fit, [scenarios.Factors]float64) {
	t.Helper()
	s := open(t, "radio-cover")
	dice := rand.New(rand.NewPCG(seed, 7))
	l := readLog(t, s, text(dice))
	m := newModel(l, s.Factors(), priors)
	sv, err := newSolver(t.Context(), m)
	require.NoError(t, err)
	u := make([]float64, len(m.pars))
	var truth [scenarios.Factors]float64
	for i, p := range m.pars {
		u[i] = dice.NormFloat64()
		if p.which == ofFactor {
			truth[p.factor] = u[i] * p.sd
		}
	}
	live(t, m, atSea{u, dice})
	sv.at, err = m.predict(t.Context(), sv.z)
	require.NoError(t, err)
	f := &Fit{Logged: l, planned: sv.at, solver: sv, Days: 14}
	require.NoError(t, sv.solve(t.Context()))
	f.Result = sv.at.result
	require.NoError(t, f.spreads(t.Context()))
	return f, truth
}

// The 80 % interval holds the truth in about 80 of 100 trials, for each factor and
// for all. With -trials 200 and a voltmeter it was 78 to 82 % by factor, 80 % in
// all; see the report of the test with -v.
func testCoverage(t *testing.T, text func(*rand.Rand) string) {
	n := *trials
	if n == 0 {
		n = 16
		if testing.Short() {
			n = 4
		}
	}
	var hits [scenarios.Factors]int
	var squares [scenarios.Factors]float64
	all, of := 0, 0
	for k := range n {
		f, truth := synthetic(t, uint64(k)+100, text)
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
			assert.InDelta(t, 0.80, float64(hits[i])/float64(n), 0.08, "%s", scenarios.Factor(i))
		}
		assert.InDelta(t, 0.80, share, 0.08)
		return
	}
	// 128 intervals, not independent: far beyond what chance does to 80 %.
	assert.InDelta(t, 0.80, share, 0.18)
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
