package sheet

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"ampwake/cmd/internal/chart"
	"ampwake/scenarios"
	"ampwake/sim"
)

// sail sails a built-in scenario, with overrides.
func sail(t testing.TB, name string, set ...string) (*sim.Result, RunOptions) {
	t.Helper()
	label, src, err := scenarios.Source(name)
	require.NoError(t, err)
	s, err := scenarios.Read(label, src, set, "")
	require.NoError(t, err)
	res, err := s.Voyage().Sail(t.Context(), sim.Options{Trace: true})
	require.NoError(t, err)
	opt := RunOptions{Question: s.File.Question, Version: "ampwake test", Kinds: map[string]chart.Kind{}}
	for thing, kind := range s.Kinds() {
		opt.Kinds[thing] = chart.Kind(kind)
	}
	return res, opt
}

// written returns the sheet as its file.
func written(t testing.TB, s *Sheet) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, s.Write(&b))
	return b.Bytes()
}
