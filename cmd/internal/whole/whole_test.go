package whole

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// listed returns the files of a folder with what is in them.
func listed(t *testing.T, dir string) map[string]string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	all := map[string]string{}
	for _, e := range entries {
		if e.IsDir() {
			all[e.Name()] = "a folder"
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		require.NoError(t, err)
		all[e.Name()] = string(data)
	}
	return all
}

func TestWriteAll(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	require.NoError(t, os.WriteFile(at("a"), []byte("old a"), 0o600))
	require.NoError(t, os.WriteFile(at("b"), []byte("old b"), 0o600))
	require.NoError(t, os.Mkdir(at("c"), 0o755))
	was := listed(t, dir)

	// Whichever of them cannot be, all stay as they were.
	for _, files := range [][]File{
		{{at("a"), []byte("new")}, {at("b"), []byte("new")}, {at("c"), []byte("new")}},
		{{at("c"), []byte("new")}, {at("a"), []byte("new")}},
		{{at("a"), []byte("new")}, {at("none/d"), []byte("new")}, {at("b"), []byte("new")}},
		{{at("a"), []byte("new")}, {at("a/d"), []byte("new")}},
	} {
		require.ErrorContains(t, WriteAll(files), "is not written: ")
		require.Equal(t, was, listed(t, dir))
	}
	require.ErrorIs(t, Write(at("none/d"), nil), fs.ErrNotExist)

	require.NoError(t, WriteAll([]File{{at("a"), []byte("new a")}, {at("d"), nil}}))
	require.NoError(t, WriteAll(nil))
	assert.Equal(t, map[string]string{"a": "new a", "b": "old b", "c": "a folder", "d": ""}, listed(t, dir))
}

func TestWriteReadOnly(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a")
	require.NoError(t, os.WriteFile(path, []byte("old"), 0o444))
	require.ErrorContains(t, Write(path, []byte("new")), "a is not written: it is read-only")
	assert.Equal(t, map[string]string{"a": "old"}, listed(t, filepath.Dir(path)))
}

func TestWriteThroughLinks(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	require.NoError(t, os.Mkdir(at("far"), 0o755))
	require.NoError(t, os.WriteFile(at("far/a"), []byte("old"), 0o600))
	for link, to := range map[string]string{"one": "far/a", "two": "one", "whole": at("far/a"), "new": "far/b"} {
		if err := os.Symlink(to, at(link)); err != nil {
			t.Skipf("no links here: %v", err)
		}
	}
	for _, link := range []string{"one", "two", "whole", "new"} {
		require.NoError(t, Write(at(link), []byte(link)))
		info, err := os.Lstat(at(link))
		require.NoError(t, err)
		assert.NotZero(t, info.Mode()&fs.ModeSymlink, "%s is a link no more", link)
		data, err := os.ReadFile(at(link))
		require.NoError(t, err)
		assert.Equal(t, link, string(data))
	}
	assert.Equal(t, map[string]string{"a": "whole", "b": "new"}, listed(t, at("far")))
	require.NoError(t, os.Symlink("round", at("round")))
	require.ErrorContains(t, Write(at("round"), nil), "round is not written: ")
}

// What others left behind goes when it is old; nothing else does.
func TestSweep(t *testing.T) {
	dir := t.TempDir()
	old := time.Now().Add(-2 * stale)
	name := func(head, middle string) string { return head + strings.Repeat(middle, 16) + tempTail }
	for _, f := range []string{name(tempHead, "a"), name(tempHead, "bb"), name(".other--", "a"), "plain"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, f), nil, 0o600))
		require.NoError(t, os.Chtimes(filepath.Join(dir, f), old, old))
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, name(tempHead, "c")), nil, 0o600))
	require.NoError(t, os.Mkdir(filepath.Join(dir, name(tempHead, "d")), 0o755))
	require.NoError(t, os.Chtimes(filepath.Join(dir, name(tempHead, "d")), old, old))
	want := listed(t, dir)
	delete(want, name(tempHead, "a"))
	want["x"] = "x"
	require.NoError(t, Write(filepath.Join(dir, "x"), []byte("x")))
	assert.Equal(t, want, listed(t, dir))
}

func TestNew(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a")
	require.NoError(t, New(path, []byte("first")))
	require.ErrorIs(t, New(path, []byte("second")), fs.ErrExist)
	require.ErrorIs(t, New(dir, nil), fs.ErrExist)
	require.ErrorIs(t, New(filepath.Join(dir, "none", "a"), nil), fs.ErrNotExist)
	assert.Equal(t, map[string]string{"a": "first"}, listed(t, dir))
}
