package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Files and output of the whole command are the same bytes for any workers.
func TestCompareSameBytesForAnyWorkers(t *testing.T) {
	var want map[string]string
	for _, workers := range []string{"1", "2", "5"} {
		dir := t.TempDir()
		code, stdout, stderr := ampwake(t.Context(), "compare", "generator-choice", "-n", "8", "--workers", workers, "--format", "json", "--out", dir)
		require.Equal(t, exitOK, code, stderr)
		require.Empty(t, stderr, "no terminal, no bar")
		got := map[string]string{"stdout": stdout}
		for _, name := range []string{"compare.png", "compare.svg", "compare.json", "compare.csv"} {
			data, err := os.ReadFile(filepath.Join(dir, name))
			require.NoError(t, err)
			require.NotEmpty(t, data)
			got[name] = string(data)
		}
		require.Equal(t, stdout, got["compare.json"])
		if want == nil {
			want = got
		}
		for name := range want {
			require.True(t, want[name] == got[name], "%s with %s workers", name, workers)
		}
	}
}

func TestCompareInterrupted(t *testing.T) {
	ctx := &runsOut{Context: t.Context()}
	ctx.left.Store(150) // voyages ask at the start and once a day
	dir := filepath.Join(t.TempDir(), "out")
	code, stdout, stderr := ampwake(ctx, "compare", "bank-sizes", "-n", "400", "--workers", "1", "--out", dir, "--html", dir+".html")
	assert.Equal(t, exitInterrupted, code)
	assert.Equal(t, "ampwake: interrupted\n", stderr)
	first, _, _ := strings.Cut(stdout, "\n")
	assert.Regexp(t, `^STOPPED AT [1-9] OF 400: `, first)
	assert.Contains(t, stdout, "that all kits have sailed through")
	assert.NotContains(t, stdout, "Written")
	assert.NoDirExists(t, dir)
	assert.NoFileExists(t, dir+".html")

	ctx = &runsOut{Context: t.Context()} // before all kits have sailed once
	ctx.left.Store(20)
	code, stdout, _ = ampwake(ctx, "compare", "bank-sizes")
	assert.Equal(t, exitInterrupted, code)
	assert.Empty(t, stdout)
}
