package main

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A disk that really is full: the old files stay, the reason is named, and what
// there was of the new ones is gone, so that the room is there again.
func TestFaultFullDisk(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	if err := syscall.Mount("ampwake-test", dir, "tmpfs", 0, "size=3m"); err != nil {
		t.Skipf("no small disk can be had: %v", err)
	}
	t.Cleanup(func() { require.NoError(t, syscall.Unmount(dir, syscall.MNT_DETACH)) })
	free := func() uint64 {
		var s syscall.Statfs_t
		require.NoError(t, syscall.Statfs(dir, &s))
		return s.Bfree
	}
	require.Equal(t, exitOK, finish(t, faulty(t, "none", dir, "run", "radio-cover", "--out", "to")).code)
	was, room := snapshot(t, dir), free()
	o := finish(t, faulty(t, "none", dir, "run", "radio-cover", "--set", "bank.capacity=460Ah", "--out", "to"))
	assert.Equal(t, exitFailure, o.code)
	assert.Regexp(t, `^ampwake: to/\S+ is not written: no space left on device\n$`, o.stderr)
	same(t, was, dir)
	assert.Equal(t, room, free())

	// To the last byte: nothing at all can be made.
	f, err := os.Create(filepath.Join(dir, "full"))
	require.NoError(t, err)
	for block := make([]byte, 4096); err == nil; {
		_, err = f.Write(block)
	}
	require.ErrorIs(t, err, syscall.ENOSPC)
	require.NoError(t, f.Close())
	was = snapshot(t, dir)
	for _, args := range [][]string{{"new", "mine.yaml"}, {"run", "radio-cover", "--html", "page.html"}, {"card", "radio-cover", "-n", "2", "--out", "to"}} {
		o := finish(t, faulty(t, "none", dir, args...))
		assert.Equal(t, exitFailure, o.code)
		assert.Regexp(t, `^ampwake: \S+ is not written: no space left on device\n$`, o.stderr)
		same(t, was, dir)
	}
}
