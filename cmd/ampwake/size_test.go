package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/sim"
)

// sized is the JSON of a search, as a reader of it would write it.
type sized struct {
	Best     int
	Voyages  int
	Answered int `json:"answer_voyages"`
	Need     int `json:"wanted_weathers"`
	InBox    int `json:"kits_to_choose_from"`
	Against  int `json:"against"`
	Kits     []sizedKit
}

type sizedKit struct {
	Name     string
	Set      []string
	Values   []string
	Cost     float64
	Complete bool
	Enough   bool
	Holds    struct{ Count, Of int }
}

// A finer grid, of which every kit is sailed through every weather, has its
// smallest kit within a step of the one that size finds.
func TestSizeAgainstAFinerGrid(t *testing.T) {
	const members, need, per = 24, 22, 0.3
	weigh := []string{"bank.weighs per Ah=0.3 kg", "sources.panels[deck panel].weighs per W=0.5 kg"}
	args := []string{
		"size", "doldrums-week", "--range", "bank.capacity=60Ah..460Ah step 50Ah",
		"--range", "sources.panels[deck panel].rated=0W..170W step 85W", "-n", fmt.Sprint(members), "--wanted", "90%", "--format", "json",
	}
	for _, w := range weigh {
		args = append(args, "--set", w)
	}
	code, stdout, stderr := ampwake(t.Context(), args...)
	require.Equal(t, exitOK, code, stderr)
	var s sized
	require.NoError(t, json.Unmarshal([]byte(stdout), &s))
	require.Equal(t, need, s.Need)
	require.Equal(t, 27, s.InBox)
	best := s.Kits[s.Best]
	require.True(t, best.Enough)

	_, src, err := scenarios.Source("doldrums-week")
	require.NoError(t, err)
	holds := func(set ...string) int {
		x, err := scenarios.Read("doldrums-week", src, set, "")
		require.NoError(t, err)
		v, err := x.Seeded(1)
		require.NoError(t, err)
		o, err := v.Odds(t.Context(), sim.OddsOptions{Members: members})
		require.NoError(t, err)
		return o.Holds.Count
	}
	panels := []string{"sources.panels[deck panel]=", "sources.panels[deck panel].rated=85W", "sources.panels[deck panel].rated=170W"}
	fine, coarse := math.Inf(1), math.Inf(1)
	var found float64
	for i, panel := range panels {
		for ah := 60.0; ah <= 460; ah += 10 {
			cost := per*ah + 0.5*85*float64(i)
			if cost >= fine && (cost >= coarse || math.Mod(ah, 50) != 10) {
				continue
			}
			if holds(fmt.Sprintf("bank.capacity=%g Ah", ah), panel) < need {
				continue
			}
			if cost < fine {
				fine, found = cost, ah
			}
			if math.Mod(ah, 50) == 10 {
				coarse = min(coarse, cost)
			}
		}
	}
	require.False(t, math.IsInf(fine, 1))
	t.Logf("fine grid: %.0f kg with %.0f Ah; size: %.0f kg, %s, in %d voyages of %d", fine, found, best.Cost, best.Name, s.Answered, s.InBox*members)
	assert.InDelta(t, coarse, best.Cost, 1e-9, "the smallest of its own grid")
	assert.GreaterOrEqual(t, best.Cost, fine-1e-9)
	assert.Less(t, best.Cost, fine+50*per, "within a step of the finer grid's")

	// The voyages reported are those that the kits sailed, and far from all.
	sailed := 0
	for _, k := range s.Kits {
		sailed += k.Holds.Of
		if k.Complete {
			assert.Equal(t, k.Holds.Count, holds(k.Set...), k.Name)
		}
	}
	assert.Equal(t, sailed, s.Voyages)
	assert.Less(t, s.Answered, s.InBox*members/3)
	assert.Zero(t, s.Against)
}

// Files and output of the whole command are the same bytes for any workers.
func TestSizeSameBytesForAnyWorkers(t *testing.T) {
	var want map[string]string
	for _, workers := range []string{"1", "3"} {
		dir := t.TempDir()
		code, stdout, stderr := ampwake(t.Context(), "size", "doldrums-week", "--range", "bank.capacity=150Ah..450Ah step 50Ah", "-n", "20", "--workers", workers, "--out", dir)
		require.Equal(t, exitOK, code, stderr)
		require.Empty(t, stderr, "no terminal, no bar")
		text, _, _ := strings.Cut(stdout, "\nWritten to ")
		got := map[string]string{"stdout": text}
		for _, name := range []string{"size.png", "size.svg", "size.json", "size.csv"} {
			data, err := os.ReadFile(filepath.Join(dir, name))
			require.NoError(t, err)
			require.NotEmpty(t, data)
			got[name] = string(data)
		}
		if want == nil {
			want = got
		}
		for name := range want {
			require.True(t, want[name] == got[name], "%s with %s workers", name, workers)
		}
	}
}

func TestSizeInterrupted(t *testing.T) {
	ctx := &runsOut{Context: t.Context()}
	ctx.left.Store(30)
	code, stdout, stderr := ampwake(ctx, "size", "doldrums-week", "--range", "bank.capacity=150Ah..450Ah step 50Ah", "--workers", "1")
	assert.Equal(t, exitInterrupted, code)
	assert.Equal(t, "ampwake: interrupted\n", stderr)
	assert.Empty(t, stdout, "half a search is no answer")
}
