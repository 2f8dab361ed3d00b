package trial

import (
	"bytes"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/sim"
)

const found = `scenario: radio-cover
log: log.csv
days: 14
set:
  trial.always on: 1.2
  trial.panels: 0.8
spread:
  factors: [always on, panels]
  deviations: [0.1, 0.2]
  correlations:
    - [1]
    - [0.5, 1]
`

func TestFile(t *testing.T) {
	x, err := ReadFile("trial.yaml", []byte(found))
	require.NoError(t, err)
	assert.Equal(t, []string{"trial.always on=1.2", "trial.panels=0.8"}, x.Overrides())
	again, err := ReadFile("trial.yaml", x.Encode())
	require.NoError(t, err)
	assert.Equal(t, x.Encode(), again.Encode(), "what is written reads the same")
	assert.Equal(t, x.Spread, again.Spread)
	_, err = scenarios.Read("radio-cover", source(t, "radio-cover"), x.Overrides(), "")
	assert.NoError(t, err)
	assert.False(t, again.Poor)
	x.Poor = true
	again, err = ReadFile("trial.yaml", x.Encode())
	require.NoError(t, err)
	assert.True(t, again.Poor)
	// By hand: factors without a spread are taken for certain.
	x, err = ReadFile("trial.yaml", []byte("scenario: x\nset: {trial.panels: 0.8}\n"))
	require.NoError(t, err)
	assert.Contains(t, x.says(), "certain")
}

// A trial of another voyage may be of the same boat: a doubt, and no mistake.
func TestDoubtsOfAFile(t *testing.T) {
	x := &File{Scenario: "boats/mine.yaml"}
	assert.Empty(t, x.Doubts("mine.yaml"))
	doubts := (&File{Scenario: "mine.yaml", Poor: true}).Doubts("radio-cover")
	require.Len(t, doubts, 2)
	assert.Contains(t, doubts[0], "was that of mine.yaml")
	assert.Contains(t, doubts[1], "DOUBTFUL")
}

func source(t testing.TB, name string) []byte {
	t.Helper()
	_, src, err := scenarios.Source(name)
	require.NoError(t, err)
	return src
}

func TestFileMistakes(t *testing.T) {
	for _, tt := range []struct{ was, is, say string }{
		{"trial.panels: 0.8", "trial.pannels: 0.8", "no factor of a trial"},
		{"trial.panels: 0.8", "bank.capacity: 440 Ah", "no factor of a trial"},
		{"[always on, panels]", "[always on, pannels]", `"pannels" is no factor`},
		{"[always on, panels]", "[panels, panels]", "panels stands twice"},
		{"[0.1, 0.2]", "[0.1]", "want as many of each"},
		{"[0.1, 0.2]", "[0.1, -0.2]", "trial.yaml:9"},
		{"[0.5, 1]", "[1.5, 1]", "not within -1 to 1"},
		{"[0.5, 1]", "[0.5]", "the last of them 1"},
		{"scenario: radio-cover", "scenrio: radio-cover", "unknown key"},
	} {
		_, err := ReadFile("trial.yaml", bytes.Replace([]byte(found), []byte(tt.was), []byte(tt.is), 1))
		require.Error(t, err, tt.is)
		assert.ErrorContains(t, err, tt.say, tt.is)
	}
	three := `scenario: x
set: {trial.panels: 0.8}
spread: {factors: [panels, lights, capacity], deviations: [1, 1, 1], correlations: [[1], [0.9, 1], [0.9, -0.9, 1]]}
`
	_, err := ReadFile("x", []byte(three))
	assert.ErrorContains(t, err, "contradict each other")
}

func FuzzReadFile(f *testing.F) {
	f.Add(found)
	f.Add("scenario: x\nset: {trial.panels: 0.8}\nspread: {factors: [panels], deviations: [0.3], correlations: [[1]]}")
	f.Fuzz(func(t *testing.T, text string) {
		x, err := ReadFile("trial.yaml", []byte(text))
		if err != nil {
			return
		}
		s := open(t, "radio-cover")
		v := x.Vary(s, s.Voyage(), 1).Vary(3)
		for i := range v.Loads {
			if f := v.Loads[i].Times; f != 0 && !(f > 0 && f < 10) {
				t.Fatalf("load %d times %g", i, f)
			}
		}
	})
}

// Members are drawn about what was found, with the spread and the correlation of
// the file; member i is the same for any number of members and workers.
func TestVary(t *testing.T) {
	x, err := ReadFile("trial.yaml", []byte(found))
	require.NoError(t, err)
	s := open(t, "radio-cover", x.Overrides()...)
	v := x.Vary(s, s.Voyage(), 5)
	const n = 4000
	var a, b, aa, bb, ab float64
	for i := range n {
		w := v.Vary(i)
		p, q := math.Log(w.Loads[0].Times/1.2), math.Log(w.Sources[0].Times/0.8)
		a, b, aa, bb, ab = a+p/n, b+q/n, aa+p*p/n, bb+q*q/n, ab+p*q/n
		assert.Equal(t, s.Voyage().Loads[4].Times, w.Loads[4].Times, "the lights are not in the file")
	}
	// Of 4000 draws: three standard errors.
	assert.InDelta(t, 0, a, 3*0.1/math.Sqrt(n))
	assert.InDelta(t, 0, b, 3*0.2/math.Sqrt(n))
	assert.InDelta(t, 0.1, math.Sqrt(aa), 3*0.1/math.Sqrt(2*n))
	assert.InDelta(t, 0.2, math.Sqrt(bb), 3*0.2/math.Sqrt(2*n))
	assert.InDelta(t, 0.5, ab/math.Sqrt(aa*bb), 0.04)

	seeded, err := s.Seeded(5)
	require.NoError(t, err)
	seeded.Limit = 24 * 6
	odds := func(members, workers int) *sim.Odds {
		o, err := x.Vary(s, seeded, 5).Odds(t.Context(), sim.OddsOptions{Members: members, Workers: workers})
		require.NoError(t, err)
		return o
	}
	few, many := odds(5, 1), odds(12, 4)
	for i := range few.Members {
		assert.Equal(t, few.Members[i].Used, many.Members[i].Used)
		assert.Equal(t, few.Members[i].Margin, many.Members[i].Margin)
	}
	assert.NotEqual(t, few.Members[0].Used, few.Members[1].Used)
	other, err := x.Vary(s, seeded, 6).Odds(t.Context(), sim.OddsOptions{Members: 2})
	require.NoError(t, err)
	assert.NotEqual(t, few.Members[0].Used, other.Members[0].Used, "another seed is another boat")
	said := false
	for _, n := range few.Notes {
		said = said || n.About == "trial"
	}
	assert.True(t, said, "the odds own up")
}

// What a fit writes is what it found, times what the scenario had already.
func TestFileOfAFit(t *testing.T) {
	s := open(t, "radio-cover", "trial.panels=0.5")
	l := readLog(t, s, twoDays)
	f, err := New(t.Context(), l)
	require.NoError(t, err)
	x := f.File("radio-cover")
	y, err := ReadFile("trial.yaml", x.Encode())
	require.NoError(t, err)
	corrected := open(t, "radio-cover", y.Overrides()...)
	assert.InDelta(t, 0.5*estimateOf(t, f, scenarios.Panels).Value(), corrected.File.Trial.Panels, 1e-4)
	assert.InDelta(t, estimateOf(t, f, scenarios.Capacity).Value(), corrected.File.Trial.Capacity, 1e-4)
	assert.Equal(t, 8, len(y.Spread.Factors))
}
