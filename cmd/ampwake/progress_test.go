package main

import (
	"bytes"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestBar(t *testing.T) {
	var b bytes.Buffer
	now := time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC)
	x := &bar{w: &b, width: 80, began: now, now: func() time.Time { return now }}
	now = now.Add(30 * time.Second)
	x.show(125, 500)
	assert.Equal(t, "\r["+strings.Repeat("=", 10)+strings.Repeat(" ", 30)+"] 125 of 500 weathers, 1m30s left\x1b[K", b.String())
	b.Reset()
	now = now.Add(99 * time.Millisecond)
	x.show(126, 500)
	assert.Empty(t, b.String(), "ten times a second at most")
	now = now.Add(time.Millisecond)
	x.show(127, 500)
	assert.NotEmpty(t, b.String())
	b.Reset()
	x.clear()
	assert.Equal(t, "\r\x1b[K", b.String())
}

// The bar never reaches the edge, where a terminal would begin a new line.
func TestBarNarrow(t *testing.T) {
	for width := 1; width < 120; width++ {
		var b bytes.Buffer
		x := &bar{w: &b, width: width, began: time.Unix(0, 0), now: func() time.Time { return time.Unix(1000, 0) }}
		x.show(7, 100_000)
		line := strings.TrimSuffix(strings.TrimPrefix(b.String(), "\r"), "\x1b[K")
		require.Less(t, len(line), width, "%q", line)
	}
}

func TestBarIsSilentOffATerminal(t *testing.T) {
	f, err := os.CreateTemp(t.TempDir(), "")
	require.NoError(t, err)
	defer f.Close()
	for _, x := range []*bar{newBar(new(bytes.Buffer)), newBar(f)} {
		require.Nil(t, x)
		x.show(1, 2) // nothing to draw on, and no harm
		x.clear()
	}
}
