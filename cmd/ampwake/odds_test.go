package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func ampwake(ctx context.Context, args ...string) (code int, stdout, stderr string) {
	var out, errs bytes.Buffer
	code = run(ctx, args, &out, &errs)
	return code, out.String(), errs.String()
}

// Files and output of the whole command are the same bytes for any workers.
func TestOddsSameBytesForAnyWorkers(t *testing.T) {
	var want map[string]string
	for _, workers := range []string{"1", "2", "5"} {
		dir := t.TempDir()
		code, stdout, stderr := ampwake(t.Context(), "odds", "southern-ocean", "-n", "12", "--workers", workers, "--format", "json", "--out", dir)
		require.Equal(t, exitOK, code, stderr)
		require.Empty(t, stderr, "no terminal, no bar")
		got := map[string]string{"stdout": stdout}
		for _, name := range []string{"band.png", "band.svg", "where.png", "where.svg", "odds.json", "band.csv"} {
			data, err := os.ReadFile(filepath.Join(dir, name))
			require.NoError(t, err)
			require.NotEmpty(t, data)
			got[name] = string(data)
		}
		require.Equal(t, stdout, got["odds.json"])
		if want == nil {
			want = got
		}
		for name := range want {
			require.True(t, want[name] == got[name], "%s with %s workers", name, workers)
		}
	}
}

// runsOut is a context that ends when it has been asked so many times.
type runsOut struct {
	context.Context
	left atomic.Int64
}

func (c *runsOut) Err() error {
	if c.left.Add(-1) < 0 {
		return context.Canceled
	}
	return nil
}

// Interrupted odds tell what they have, where it can be marked, and leave the
// files of all weathers alone.
func TestOddsInterrupted(t *testing.T) {
	few := func(args ...string) (code int, stdout, stderr string) {
		ctx := &runsOut{Context: t.Context()}
		ctx.left.Store(60) // voyages ask at the start and once a day: four or so
		return ampwake(ctx, append([]string{"odds", "doldrums-week", "-n", "400", "--workers", "1"}, args...)...)
	}
	dir := filepath.Join(t.TempDir(), "out")
	code, stdout, stderr := few("--out", dir, "--html", dir+".html")
	assert.Equal(t, exitInterrupted, code)
	assert.Equal(t, "ampwake: interrupted\n", stderr)
	first, _, _ := strings.Cut(stdout, "\n")
	assert.Regexp(t, `^STOPPED AT [1-9] OF 400: (HOLDS|FAILS) IN`, first)
	assert.NotContains(t, stdout, "Written")
	assert.NoDirExists(t, dir)
	assert.NoFileExists(t, dir+".html")

	code, stdout, _ = few("--format", "json")
	assert.Equal(t, exitInterrupted, code)
	assert.Contains(t, stdout, `"stopped": true`)
	assert.Contains(t, stdout, `"weathers_wanted": 400`)
	code, stdout, _ = few("--format", "csv")
	assert.Equal(t, exitInterrupted, code)
	assert.Empty(t, stdout, "a table cannot be marked")

	ctx := &runsOut{Context: t.Context()} // before anything is done
	code, stdout, _ = ampwake(ctx, "odds", "doldrums-week")
	assert.Equal(t, exitInterrupted, code)
	assert.Empty(t, stdout)
}
