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

// many sails a built-in scenario through many weathers.
func many(t testing.TB, n int, name string, set ...string) (*sim.Odds, OddsOptions) {
	t.Helper()
	label, src, err := scenarios.Source(name)
	require.NoError(t, err)
	s, err := scenarios.Read(label, src, set, "")
	require.NoError(t, err)
	voyage, err := s.Seeded(1)
	require.NoError(t, err)
	o, err := voyage.Odds(t.Context(), sim.OddsOptions{Members: n, Workers: 1})
	require.NoError(t, err)
	band := chart.FanInput{Title: o.Title, About: "lowest of each UTC day", Floor: float64(o.Floor)}
	for i := range o.Days {
		d := &o.Days[i]
		band.Days = append(band.Days, d.Date)
		band.P10, band.P50, band.P90 = append(band.P10, float64(d.Low.P10)), append(band.P50, float64(d.Low.P50)), append(band.P90, float64(d.Low.P90))
		band.Low, band.High = append(band.Low, float64(d.Low.Min)), append(band.High, float64(d.Low.Max))
	}
	where := chart.WhereInput{Title: o.Title, Runs: o.Done, Causes: []string{"voltage under load", "floor"}, Edges: []chart.WhereEdge{{Lat: o.Bins[0].Place.Lat}}}
	for i := range o.Bins {
		b := &o.Bins[i]
		where.Edges = append(where.Edges, chart.WhereEdge{Lat: b.Place.Lat, Sailed: b.To})
		where.Counts = append(where.Counts, []int{b.Begins.Voltage, b.Begins.Floor})
	}
	return o, OddsOptions{Question: s.File.Question, Seed: 1, Version: "ampwake test", Band: chart.NewFan(band), Where: chart.NewWhere(where)}
}
