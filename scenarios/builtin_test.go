package scenarios_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/sim"
)

// source returns the text of a built-in scenario.
func source(t testing.TB, name string) []byte {
	t.Helper()
	_, src, err := scenarios.Source(name)
	require.NoError(t, err)
	return src
}

// closed asserts both ledgers of a result to 1 part in 10⁹.
func closed(t testing.TB, res *sim.Result) {
	t.Helper()
	k := &res.Books
	assert.LessOrEqual(t, math.Abs(float64(k.BusGap())), 1e-9*math.Max(1, float64(k.Made+k.BankOut)))
	assert.LessOrEqual(t, math.Abs(float64(k.BankGap())), 1e-9*math.Max(1, float64(k.Charged+k.Drawn)))
}

// Every built-in scenario, with each of its variants, reads, arrives, closes its
// books and tells what it assumes.
func TestBuiltinScenariosSail(t *testing.T) {
	list := scenarios.Builtin()
	require.GreaterOrEqual(t, len(list), 4)
	for _, info := range list {
		assert.NotEmpty(t, info.Title, info.Name)
		assert.NotEmpty(t, info.Question, info.Name)
		src := source(t, info.Name)
		s, err := scenarios.Read(info.Name, src, nil, "")
		require.NoError(t, err, info.Name)
		names := []string{""}
		for _, v := range s.File.Variants {
			names = append(names, v.Name)
		}
		for _, name := range names {
			s, err := scenarios.Read(info.Name, src, nil, name)
			require.NoError(t, err, "%s, %s", info.Name, name)
			res, err := s.Voyage().Sail(t.Context(), sim.Options{Trace: true})
			require.NoError(t, err)
			closed(t, res)
			assert.True(t, res.Arrived, "%s, %s", info.Name, name)
			assert.NotEmpty(t, res.Notes)
			assert.InDelta(t, float64(s.Voyage().Route.Length()), float64(res.Sailed), 1e-6)
			for _, l := range res.Loads {
				assert.True(t, l.Energy > 0 || l.Off > 0, "%s: %s draws nothing", info.Name, l.Name)
			}
			for _, x := range s.Voyage().Sources {
				assert.Contains(t, s.Kinds(), x.Source.Name())
			}
		}
	}
}

func TestSourceOfNothing(t *testing.T) {
	_, _, err := scenarios.Source("radio-cver")
	require.ErrorContains(t, err, `"radio-cver"`)
	require.ErrorContains(t, err, "radio-cover")
	_, _, err = scenarios.Source("./no/such.yaml")
	require.Error(t, err)
	_, _, err = scenarios.Source("../builtin/radio-cover")
	require.Error(t, err, "a built-in name is no path")
}
