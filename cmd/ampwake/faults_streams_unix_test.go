//go:build linux || darwin

package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// printers is what prints, each in its own way.
var printers = [][]string{
	{"run", "radio-cover"},
	{"run", "radio-cover", "--format", "json"},
	{"run", "radio-cover", "--format", "csv"},
	{"run", "bank-sizes"}, // the variants come first
	{"odds", "radio-cover", "-n", "2"},
	{"odds", "radio-cover", "-n", "2", "--format", "json"},
	{"odds", "radio-cover", "-n", "2", "--format", "csv"},
	{"matters", "radio-cover", "--format", "csv"},
	{"climate", "0N 25W"},
	{"list"},
	{"list", "--format", "json"},
	{"check", "radio-cover"},
	{"schema"},
	{"schema", "--format", "text"},
	{"version"},
	{"--help"},
	{"help", "run"},
	{"page", "--no-browser"},
}

// A full disk under the output: exit 1 and a clear message, once.
func TestFaultFullOutput(t *testing.T) {
	t.Parallel()
	to := full(t)
	for _, args := range printers {
		c := faulty(t, "none", t.TempDir(), args...)
		c.Stdout = to
		o := finish(t, c)
		assert.Equal(t, exitFailure, o.code, args)
		assert.Equal(t, "ampwake: not all could be printed: write /dev/stdout: no space left on device\n", o.stderr, args)
	}

	// The files are written all the same: an hour of odds is not lost for that.
	for _, name := range []string{"run", "html", "odds", "size", "card", "climate", "new"} {
		if testing.Short() && name != "run" && name != "new" {
			continue
		}
		args := writers[name]
		dir := t.TempDir()
		require.Equal(t, exitOK, finish(t, faulty(t, "none", dir, append(args, "to")...)).code)
		want := snapshot(t, dir)
		dir = t.TempDir()
		c := faulty(t, "none", dir, append(args, "to")...)
		c.Stdout = to
		assert.Equal(t, exitFailure, finish(t, c).code, name)
		same(t, want, dir)
	}

	// With no room for the message either, the code still tells.
	for want, args := range map[int][]string{
		exitBadInput: {"run", "nowhere"},
		exitFailure:  {"run", "radio-cover", "--out", "/dev/null"},
	} {
		c := faulty(t, "none", t.TempDir(), args...)
		c.Stdout, c.Stderr = to, to
		assert.Equal(t, want, finish(t, c).code, args)
	}
	bad := filepath.Join(t.TempDir(), "bad.yaml")
	require.NoError(t, os.WriteFile(bad, []byte("titel: x\n"), 0o600))
	c := faulty(t, "none", "", "check", bad)
	c.Stderr = to
	assert.Equal(t, exitBadInput, finish(t, c).code)
}

// A reader that has gone, as in "ampwake … | head -1": no word, exit 1, and the
// files are written.
func TestFaultClosedPipe(t *testing.T) {
	t.Parallel()
	for _, args := range printers {
		read, to := aPipe(t)
		require.NoError(t, read.Close())
		c := faulty(t, "none", t.TempDir(), args...)
		c.Stdout = to
		o := finish(t, c)
		assert.Equal(t, exitFailure, o.code, args)
		assert.Zero(t, o.signal, args)
		assert.Empty(t, o.stderr, args)
	}

	dir := t.TempDir()
	require.Equal(t, exitOK, finish(t, faulty(t, "none", dir, "run", "radio-cover", "--out", "to")).code)
	want := snapshot(t, dir)
	dir = t.TempDir()
	read, to := aPipe(t)
	c := faulty(t, "none", dir, "run", "radio-cover", "--format", "json", "--out", "to") // more than a pipe holds
	c.Stdout = to
	end := start(t, c)
	require.Equal(t, "{", readLine(t, read))
	require.NoError(t, read.Close())
	o := end()
	assert.Equal(t, exitFailure, o.code)
	assert.Empty(t, o.stderr)
	same(t, want, dir)

	// Nobody hears the message of a mistake: no harm.
	read, to = aPipe(t)
	require.NoError(t, read.Close())
	c = faulty(t, "none", dir, "run", "nowhere")
	c.Stderr = to
	assert.Equal(t, exitBadInput, finish(t, c).code)
}

// With stdin, stdout or stderr closed, nothing that belongs there gets into a file.
// Go opens the null device in their place, so that the answer is lost without a
// failure, as with >/dev/null.
func TestFaultClosedDescriptors(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	args := []string{"run", "radio-cover", "--out", "to", "--html", "to/page.html"}
	require.Equal(t, exitOK, finish(t, faulty(t, "none", dir, args...)).code)
	want := snapshot(t, dir)
	for _, closed := range []string{"<&-", ">&-", "2>&-", "<&- >&- 2>&-"} {
		dir := t.TempDir()
		o := finish(t, through(faulty(t, "none", dir, args...), `exec "$@" `+closed))
		assert.Equal(t, exitOK, o.code, closed)
		assert.Equal(t, strings.Contains(closed, " >&-") || strings.HasPrefix(closed, ">&-"), o.stdout == "", closed)
		assert.Empty(t, o.stderr)
		same(t, want, dir)
		o = finish(t, through(faulty(t, "none", dir, "run", "nowhere"), `exec "$@" `+closed))
		assert.Equal(t, exitBadInput, o.code, closed)
	}
}

// No home, an odd terminal, and names that are no UTF-8.
func TestFaultOddSurroundings(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	want := finish(t, faulty(t, "none", dir, "odds", "radio-cover", "-n", "3"))
	require.Equal(t, exitOK, want.code)
	for _, env := range []string{"HOME=", "TERM=", "TERM=dumb", "TERM=no-such-terminal\x1b[31m", "COLUMNS=-1", "LANG=xx_XX.none", "TZ=Nowhere/Nothing", "TMPDIR=/nowhere", "XDG_CONFIG_HOME=relative"} {
		c := faulty(t, "none", dir, "odds", "radio-cover", "-n", "3")
		c.Env = append(c.Env, env)
		assert.Equal(t, want, finish(t, c), env)
	}
	c := faulty(t, "none", dir, "odds", "radio-cover", "-n", "3")
	c.Env = []string{faultsVariable + "=none"}
	assert.Equal(t, want, finish(t, c), "nothing at all")

	odd := "\xff\xfe b\xe9.yaml"
	if err := os.WriteFile(filepath.Join(dir, odd), nil, 0o600); err != nil {
		t.Skipf("this file system takes no such name: %v", err)
	}
	require.NoError(t, os.Remove(filepath.Join(dir, odd)))
	o := finish(t, faulty(t, "none", dir, "new", odd))
	assert.Equal(t, exitOK, o.code, o.stderr)
	o = finish(t, faulty(t, "none", dir, "run", odd, "--out", odd+".out", "--html", odd+".html"))
	assert.Equal(t, exitOK, o.code, o.stderr)
	assert.FileExists(t, filepath.Join(dir, odd+".html"))
	assert.Len(t, snapshot(t, filepath.Join(dir, odd+".out")), 9)
	o = finish(t, faulty(t, "none", dir, "run", odd+"?"))
	assert.Equal(t, exitBadInput, o.code)
	long := strings.Repeat("x", 255) // longest name: the temporary one must not be longer
	o = finish(t, faulty(t, "none", dir, "run", odd, "--html", long))
	assert.Equal(t, exitOK, o.code, o.stderr)
	o = finish(t, faulty(t, "none", dir, "run", odd, "--html", long+"x"))
	assert.Equal(t, exitFailure, o.code)
	assert.Contains(t, o.stderr, "x is not written: file name too long\n")
}

// Every long command stops at once: exit 130, a word, nothing written, and no
// table that looks whole. Quick ones are tried until the signal comes in time.
func TestFaultInterrupted(t *testing.T) {
	many := []string{"-n", "100000", "--out", "to"}
	for name, args := range map[string][]string{
		"odds":     append([]string{"odds", "southern-ocean"}, many...),
		"odds csv": append([]string{"odds", "southern-ocean", "--format", "csv"}, many...),
		"size":     append([]string{"size", "radio-cover", "--range", "bank.capacity=100Ah..600Ah step 50Ah"}, many...),
		"matters":  append([]string{"matters", "radio-cover"}, many...),
		"compare":  {"compare", "bank-sizes", "-n", "20000", "--out", "to"},
		"card":     append([]string{"card", "southern-ocean"}, many...),
		"noon":     append([]string{"noon", "radio-cover", "trial-sail"}, many...),
		"trial":    {"trial", "radio-cover", "trial-sail", "--out", "to"},
		"page":     {"page", "--no-browser"},
		// Not breakeven and run: they are over sooner than a signal comes.
	} {
		for _, sig := range []syscall.Signal{syscall.SIGINT, syscall.SIGTERM} {
			t.Run(name+" "+sig.String(), func(t *testing.T) {
				if testing.Short() && (sig != syscall.SIGINT || !slices.Contains([]string{"odds", "size", "trial", "page"}, name)) {
					t.Skip("a few will do in a hurry")
				}
				dir := t.TempDir()
				require.NoError(t, os.Mkdir(filepath.Join(dir, "to"), 0o755))
				for file := range map[string]bool{"odds.json": true, "trial.yaml": true, "card.pdf": true} {
					require.NoError(t, os.WriteFile(filepath.Join(dir, "to", file), []byte("old"), 0o600))
				}
				was := snapshot(t, dir)
				var o outcome
				var took time.Duration
				for _, after := range []int{400, 200, 800, 100, 1600, 50, 25} {
					c := faulty(t, "none", dir, args...)
					end := start(t, c)
					time.Sleep(time.Duration(after) * time.Millisecond)
					_ = c.Process.Signal(sig) // it may have ended
					at := time.Now()
					o = end()
					if took = time.Since(at); o.code == exitInterrupted {
						break
					}
					// Too early, before it listens, or too late: no other end will do.
					if name == "page" && o.code == exitOK {
						break
					}
					require.True(t, o.signal == sig || o.code == exitOK, "exit code %d: %s", o.code, o.stderr)
					if o.code == exitOK {
						require.NoError(t, os.RemoveAll(filepath.Join(dir, "to")))
						was = snapshot(t, dir)
					}
				}
				t.Logf("ended after %v", took)
				if name == "page" {
					assert.Equal(t, exitOK, o.code, "Ctrl-C is its usual end")
					return
				}
				require.Equal(t, exitInterrupted, o.code)
				assert.Equal(t, "ampwake: interrupted\n", o.stderr)
				if o.stdout != "" {
					assert.Contains(t, []string{"odds", "compare"}, name)
					assert.Regexp(t, `^STOPPED AT \d+ OF \d+0000: `, o.stdout)
				}
				same(t, was, dir)
			})
		}
	}
}

// Where the first signal is not heard, here while a pipe waits for its writer, the
// second ends the process at once.
func TestFaultSecondSignal(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	require.NoError(t, syscall.Mkfifo(filepath.Join(dir, "pipe.yaml"), 0o600))
	c := faulty(t, "none", dir, "run", "pipe.yaml")
	end := start(t, c)
	ended := make(chan outcome, 1)
	go func() { ended <- end() }()
	for range 2 {
		select {
		case o := <-ended:
			t.Fatalf("ended too early: %+v", o)
		case <-time.After(500 * time.Millisecond):
		}
		require.NoError(t, c.Process.Signal(syscall.SIGINT))
	}
	select {
	case o := <-ended:
		assert.Equal(t, syscall.SIGINT, o.signal)
	case <-time.After(10 * time.Second):
		t.Fatal("the second signal does not end it")
	}
}

// What a shell put behind itself, or nohup started, ignores Ctrl-C, and goes on
// doing so.
func TestFaultIgnoredInterrupt(t *testing.T) {
	t.Parallel()
	var out, errs bytes.Buffer
	c := through(faulty(t, "none", t.TempDir(), "odds", "southern-ocean", "-n", "100000"), `trap "" INT; exec "$@"`)
	c.Stdout, c.Stderr = &out, &errs
	end := start(t, c)
	ended := make(chan outcome, 1)
	go func() { ended <- end() }()
	time.Sleep(500 * time.Millisecond)
	require.NoError(t, c.Process.Signal(syscall.SIGINT))
	select {
	case o := <-ended:
		t.Fatalf("it heard the interrupt that was to be ignored: %+v", o)
	case <-time.After(time.Second):
	}
	require.NoError(t, c.Process.Signal(syscall.SIGTERM))
	assert.Equal(t, exitInterrupted, (<-ended).code)
	assert.Equal(t, "ampwake: interrupted\n", errs.String())
}

// A run for a terminal that hangs up, or whose output nobody takes for a while,
// waits and then goes on: nothing is lost.
func TestFaultSlowReader(t *testing.T) {
	t.Parallel()
	read, to := aPipe(t)
	c := faulty(t, "none", t.TempDir(), "run", "radio-cover", "--format", "json")
	c.Stdout = to
	end := start(t, c)
	time.Sleep(500 * time.Millisecond)
	require.NoError(t, to.Close())
	text, err := io.ReadAll(read)
	require.NoError(t, err)
	assert.Equal(t, exitOK, end().code)
	assert.True(t, strings.HasSuffix(string(text), "}\n"))
}
