package main

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A noon that is cut short tells nothing, wherever it is cut: its answer could not
// say that the way ahead is of fewer weathers.
func TestNoonInterrupted(t *testing.T) {
	if testing.Short() {
		t.Skip("it fits the log five times")
	}
	noon := []string{"noon", "radio-cover", "trial-sail", "-n", "4", "--workers", "1"}
	whole := &runsOut{Context: t.Context()}
	whole.left.Store(math.MaxInt64)
	code, stdout, stderr := ampwake(whole, noon...)
	require.Equal(t, exitOK, code, stderr)
	require.NotEmpty(t, stdout)
	asked := math.MaxInt64 - whole.left.Load()
	for _, left := range []int64{asked - 2, asked - 40, asked / 2, 0} { // the first two on the way ahead
		ctx := &runsOut{Context: t.Context()}
		ctx.left.Store(left)
		code, stdout, stderr := ampwake(ctx, noon...)
		assert.Equal(t, exitInterrupted, code, left)
		assert.Empty(t, stdout, left)
		assert.Equal(t, "ampwake: interrupted\n", stderr, left)
	}
}
