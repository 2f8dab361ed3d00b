//go:build linux || darwin

package main

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A full disk under the files: exit 1, the file is named, and all old files are as
// they were, with nothing beside them. The limit stops the last of nine files of
// run, when eight are made already.
func TestFaultFilesTooLarge(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	require.Equal(t, exitOK, finish(t, faulty(t, "none", dir, "run", "radio-cover", "--out", "out", "--html", "out/page.html")).code)
	was := snapshot(t, dir)
	other := []string{"run", "radio-cover", "--set", "bank.capacity=460Ah", "--out", "out"}
	o := finish(t, faulty(t, "files=500000", dir, other...))
	assert.Equal(t, exitFailure, o.code)
	assert.Regexp(t, `^ampwake: out/steps\.csv is not written: .*(large|space)`, o.stderr)
	assert.NotContains(t, o.stdout, "Written")
	same(t, was, dir)

	// The page of --html comes in one with the folder of --out.
	o = finish(t, faulty(t, "none", dir, append(other, "--html", "nowhere/page.html")...))
	assert.Equal(t, exitFailure, o.code)
	assert.Regexp(t, `^ampwake: nowhere/page\.html is not written: no such file or directory\n$`, o.stderr)
	same(t, was, dir)

	// The same with room for it: the test sees changes.
	require.Equal(t, exitOK, finish(t, faulty(t, "none", dir, other...)).code)
	assert.NotEqual(t, len(was["out/steps.csv"]), len(snapshot(t, dir)["out/steps.csv"]))
}

// Every command that writes files fails whole.
func TestFaultEveryWriterTooLarge(t *testing.T) {
	t.Parallel()
	for name, args := range writers {
		t.Run(name, func(t *testing.T) {
			if testing.Short() && name != "html" && name != "card" && name != "new" {
				t.Skip("a few will do in a hurry")
			}
			t.Parallel()
			dir := t.TempDir()
			o := finish(t, faulty(t, "files=100", dir, append(args, "to")...))
			assert.Equal(t, exitFailure, o.code)
			assert.Regexp(t, `^ampwake: to.* is not written: .*(large|space)`, o.stderr)
			assert.Empty(t, snapshot(t, dir))
		})
	}
}

// A folder that may not be written: exit 1, its files as they were.
func TestFaultReadOnlyFolder(t *testing.T) {
	t.Parallel()
	faults, dir := asNobody(t)
	require.Equal(t, exitOK, finish(t, faulty(t, faults, dir, "run", "radio-cover", "--out", "to")).code)
	require.NoError(t, os.Chmod(filepath.Join(dir, "to"), 0o555))
	t.Cleanup(func() { os.Chmod(filepath.Join(dir, "to"), 0o755) })
	was := snapshot(t, dir)
	for _, args := range [][]string{
		{"run", "radio-cover", "--set", "bank.capacity=460Ah", "--out", "to"},
		{"run", "radio-cover", "--out", "to/deeper"},
		{"run", "radio-cover", "--html", "to/page.html"},
		{"new", "to/mine.yaml"},
	} {
		o := finish(t, faulty(t, faults, dir, args...))
		assert.Equal(t, exitFailure, o.code, args)
		assert.Regexp(t, `^ampwake: (--out )?to.*(is not written|cannot be made): .*permission denied\n$`, o.stderr)
		same(t, was, dir)
	}
}

// What stands in the way: exit 1, it is named, and nothing is changed.
func TestFaultInTheWay(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	require.NoError(t, os.WriteFile(at("file"), []byte("mine"), 0o600))
	require.NoError(t, os.MkdirAll(at("to/steps.csv"), 0o755))
	require.NoError(t, os.WriteFile(at("to/run.json"), []byte("old"), 0o600))
	require.NoError(t, os.Mkdir(at("locked"), 0o755))
	require.NoError(t, os.WriteFile(at("locked/run.json"), []byte("old"), 0o444))
	require.NoError(t, os.Symlink("round", at("round")))
	was := snapshot(t, at("to"))
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"--out", "file"}, `--out file: the folder cannot be made: .*not a directory`},
		{[]string{"--out", "file/to"}, `--out file/to: the folder cannot be made: .*not a directory`},
		{[]string{"--out", "to"}, `to/steps\.csv is not written: it is a folder`},
		{[]string{"--out", "locked"}, `locked/run\.json is not written: it is read-only`},
		{[]string{"--html", "to"}, `to is not written: it is a folder`},
		{[]string{"--html", "none/page.html"}, `none/page\.html is not written: no such file or directory`},
		{[]string{"--html", "round"}, `round is not written: too many levels of symbolic links`},
	} {
		o := finish(t, faulty(t, "none", dir, append([]string{"run", "radio-cover"}, c.args...)...))
		assert.Equal(t, exitFailure, o.code, c.args)
		assert.Regexp(t, "^ampwake: "+c.want+"\n$", o.stderr)
		same(t, was, at("to"))
		assert.Len(t, snapshot(t, at("locked")), 1)
	}
	o := finish(t, faulty(t, "none", dir, "new", "file"))
	assert.Equal(t, exitBadInput, o.code)
	assert.Contains(t, o.stderr, "there already")
	o = finish(t, faulty(t, "none", dir, "run", "to"))
	assert.Equal(t, exitBadInput, o.code)
	assert.Contains(t, o.stderr, "is a directory")
	data, err := os.ReadFile(at("file"))
	require.NoError(t, err)
	assert.Equal(t, "mine", string(data))
}

// Permissions of an old file stay, the user's mask rules those of a new one, a
// link is followed, and what is no file is written into.
func TestFaultModesAndLinks(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	require.NoError(t, os.Mkdir(at("far"), 0o755))
	require.NoError(t, os.WriteFile(at("far/page.html"), []byte("old"), 0o600))
	require.NoError(t, os.Chmod(at("far/page.html"), 0o660))
	require.NoError(t, os.Symlink("far/page.html", at("link")))
	require.NoError(t, os.Symlink("far/new.html", at("dangling")))
	for _, name := range []string{"link", "dangling", "plain"} {
		require.Equal(t, exitOK, finish(t, faulty(t, "mask=077", dir, "run", "radio-cover", "--html", name)).code)
	}
	mode := func(name string) string {
		info, err := os.Lstat(at(name))
		require.NoError(t, err)
		return info.Mode().String()
	}
	assert.Equal(t, "-rw-rw----", mode("far/page.html"))
	assert.Equal(t, "-rw-------", mode("far/new.html"))
	assert.Equal(t, "-rw-------", mode("plain"))
	want, err := os.ReadFile(at("plain"))
	require.NoError(t, err)
	for _, name := range []string{"link", "dangling"} {
		assert.Equal(t, os.ModeSymlink, os.FileMode.Type(must(os.Lstat(at(name))).Mode()), name)
	}
	for _, name := range []string{"far/page.html", "far/new.html"} {
		got, err := os.ReadFile(at(name))
		require.NoError(t, err)
		assert.True(t, string(want) == string(got), name)
	}

	// A pipe, in the place of /dev/stdout and /dev/null: a test that fails as root
	// would replace those.
	require.NoError(t, syscall.Mkfifo(at("pipe"), 0o600))
	end := start(t, faulty(t, "none", dir, "run", "radio-cover", "--html", "pipe"))
	read := make(chan []byte, 1)
	go func() {
		data, _ := os.ReadFile(at("pipe"))
		read <- data
	}()
	require.Equal(t, exitOK, end().code)
	select {
	case got := <-read:
		assert.True(t, string(want) == string(got))
	case <-time.After(10 * time.Second):
		t.Error("nothing came through the pipe")
	}
	assert.Equal(t, os.ModeNamedPipe, must(os.Lstat(at("pipe"))).Mode().Type())
}

// must returns what cannot fail.
func must[T any](x T, err error) T {
	if err != nil {
		panic(err)
	}
	return x
}

// voyages returns the command that writes one of two voyages, by its number, and
// what each writes.
func voyages(t *testing.T) (args func(n int, dir string) []string, want [2]map[string]string) {
	t.Helper()
	capacity := [2]string{"230Ah", "460Ah"}
	args = func(n int, dir string) []string {
		return []string{"run", "radio-cover", "--set", "bank.capacity=" + capacity[n%2], "--out", dir}
	}
	dir := t.TempDir()
	for n := range want {
		out := filepath.Join(dir, fmt.Sprint(n))
		require.Equal(t, exitOK, finish(t, faulty(t, "none", dir, args(n, out)...)).code)
		want[n] = snapshot(t, out)
	}
	for name := range want[0] { // a file that is the same in both would tell nothing
		if name != "track.png" && name != "track.svg" && name != "track.gpx" && name != "track.geojson" {
			require.False(t, want[0][name] == want[1][name], name)
		}
	}
	return args, want
}

// eachWhole requires that every file is one of two, and returns how many of the first
// kind and how many temporaries there are.
func eachWhole(t *testing.T, dir string, want [2]map[string]string) (first, left int) {
	t.Helper()
	is := snapshot(t, dir)
	for name, data := range is {
		if aTemporary.MatchString(name) {
			left++
			continue
		}
		require.True(t, data == want[0][name] || data == want[1][name], "%s is neither the old nor the new", name)
		if data == want[0][name] {
			first++
		}
	}
	require.Len(t, is, len(want[0])+left)
	return first, left
}

// Killed at any moment, every file is the old or the new; what is left behind can
// be told by its name, and goes when it is old.
func TestFaultKilled(t *testing.T) {
	args, want := voyages(t)
	out := filepath.Join(t.TempDir(), "out")
	require.Equal(t, exitOK, finish(t, faulty(t, "none", "", args(0, out)...)).code)
	kills := 24
	if testing.Short() {
		kills = 6
	}
	struck := 0 // while files were being written
	random := rand.New(rand.NewPCG(1, 2))
	for n := 1; n <= kills; n++ {
		_, before := eachWhole(t, out, want)
		c := faulty(t, "none", "", args(n, out)...)
		end := start(t, c)
		ended := make(chan outcome, 1)
		go func() { ended <- end() }()
		// Half of the kills come anywhere, the others when writing has begun.
		if n%2 == 0 {
			time.Sleep(time.Duration(random.IntN(300)) * time.Millisecond)
		} else {
			for stop := time.Now().Add(10 * time.Second); time.Now().Before(stop); time.Sleep(100 * time.Microsecond) {
				if names, err := filepath.Glob(filepath.Join(out, ".ampwake-*")); err == nil && len(names) > before {
					break
				}
			}
			time.Sleep(time.Duration(random.IntN(20_000)) * time.Microsecond)
		}
		_ = c.Process.Kill() // it may have ended
		<-ended
		if _, left := eachWhole(t, out, want); left > before {
			struck++
		}
	}
	t.Logf("%d of %d kills struck while files were written", struck, kills)
	require.Positive(t, struck, "no kill came while files were written: the test tells nothing")

	// Young ones may be at work; old ones go.
	_, left := eachWhole(t, out, want)
	require.Equal(t, exitOK, finish(t, faulty(t, "none", "", args(0, out)...)).code)
	_, still := eachWhole(t, out, want)
	require.Equal(t, left, still)
	names := must(filepath.Glob(filepath.Join(out, ".ampwake-*")))
	for _, name := range names {
		old := time.Now().Add(-2 * time.Hour)
		require.NoError(t, os.Chtimes(name, old, old))
	}
	require.NoError(t, os.WriteFile(filepath.Join(out, ".ampwake-notes.tmp"), []byte("mine"), 0o600))
	require.NoError(t, os.Chtimes(filepath.Join(out, ".ampwake-notes.tmp"), time.Unix(0, 0), time.Unix(0, 0)))
	require.Equal(t, exitOK, finish(t, faulty(t, "none", "", args(0, out)...)).code)
	require.NoError(t, os.Remove(filepath.Join(out, ".ampwake-notes.tmp")), "a file of another name is not ours")
	same(t, want[0], out)
}

// Killed while it writes a scenario, new leaves none or a whole one.
func TestFaultKilledNew(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	require.Equal(t, exitOK, finish(t, faulty(t, "none", dir, "new", "want.yaml")).code)
	want := must(os.ReadFile(filepath.Join(dir, "want.yaml")))
	random := rand.New(rand.NewPCG(3, 4))
	for n := range 20 {
		c := faulty(t, "none", dir, "new", "mine.yaml")
		end := start(t, c)
		time.Sleep(time.Duration(random.IntN(40_000)) * time.Microsecond)
		_ = c.Process.Signal(syscall.SIGKILL)
		end()
		got, err := os.ReadFile(filepath.Join(dir, "mine.yaml"))
		if err != nil {
			require.ErrorIs(t, err, os.ErrNotExist)
			continue
		}
		require.Equal(t, string(want), string(got), n)
		require.NoError(t, os.Remove(filepath.Join(dir, "mine.yaml")))
	}
}

// Two at once into one folder: every file is of one or the other, nothing is left
// behind, and both say that all is well.
func TestFaultTwoAtOnce(t *testing.T) {
	args, want := voyages(t)
	out := filepath.Join(t.TempDir(), "out")
	rounds := 5
	if testing.Short() {
		rounds = 1
	}
	for range rounds {
		var ends []func() outcome
		for n := range 4 {
			ends = append(ends, start(t, faulty(t, "none", "", args(n, out)...)))
		}
		for _, end := range ends {
			o := end()
			require.Equal(t, exitOK, o.code, o.stderr)
		}
		_, left := eachWhole(t, out, want)
		require.Zero(t, left)
	}
	// Of several that make one new scenario, one wins and the others say so.
	dir := t.TempDir()
	codes := map[int]int{}
	var ends []func() outcome
	for range 6 {
		ends = append(ends, start(t, faulty(t, "none", dir, "new", "mine.yaml")))
	}
	for _, end := range ends {
		codes[end().code]++
	}
	require.True(t, maps.Equal(map[int]int{exitOK: 1, exitBadInput: 5}, codes), "%v", codes)
	require.Len(t, snapshot(t, dir), 1)
}
