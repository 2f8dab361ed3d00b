//go:build linux || darwin

package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// nobody is a user without rights, for tests that run as root: to root no folder
// is read-only.
const nobody = 65534

// underFaults is the command line with something wrong, in a process of its own:
// "nobody" gives up root, "files=N" lets no file grow above N bytes, "mask=077"
// sets the mask of new files, "peak=FILE" writes down what memory it took.
func underFaults(faults string) int {
	must := func(err error) {
		if err != nil {
			panic(err)
		}
	}
	peak := ""
	for fault := range strings.SplitSeq(faults, ",") {
		name, value, _ := strings.Cut(fault, "=")
		switch name {
		case "none":
		case "nobody":
			must(syscall.Setgroups(nil))
			must(syscall.Setgid(nobody))
			must(syscall.Setuid(nobody))
		case "files":
			n, err := strconv.ParseUint(value, 10, 64)
			must(err)
			must(syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: n, Max: n}))
		case "mask":
			n, err := strconv.ParseUint(value, 8, 16)
			must(err)
			syscall.Umask(int(n))
		case "peak":
			peak = value
		default:
			panic(fault)
		}
	}
	code := Main()
	if peak != "" {
		status, err := os.ReadFile("/proc/self/status")
		must(err)
		must(os.WriteFile(peak, status, 0o600))
	}
	return code
}

// faulty makes the command line a process with faults, to be started in a folder.
// It is killed when the test ends, or after two minutes: it then hangs.
func faulty(t *testing.T, faults, dir string, args ...string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	require.NoError(t, err)
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
	t.Cleanup(cancel)
	c := exec.CommandContext(ctx, self, args...)
	c.Dir = dir
	c.Env = append(os.Environ(), faultsVariable+"="+faults)
	c.WaitDelay = time.Second
	return c
}

// through puts a shell before a command, which does with it what Go cannot: the
// script finds it as "$@".
func through(c *exec.Cmd, script string) *exec.Cmd {
	c.Args = append([]string{"sh", "-c", script, "sh", c.Path}, c.Args[1:]...)
	c.Path = "/bin/sh"
	return c
}

// outcome is what became of a process.
type outcome struct {
	code           int // -1: killed by a signal
	signal         syscall.Signal
	stdout, stderr string
}

// finish runs a command to its end. Where its outputs are not set yet they are
// kept. No output may ever look like a panic.
func finish(t *testing.T, c *exec.Cmd) outcome {
	t.Helper()
	end := start(t, c)
	return end()
}

// start is finish in two.
func start(t *testing.T, c *exec.Cmd) (end func() outcome) {
	t.Helper()
	var out, errs bytes.Buffer
	if c.Stdout == nil {
		c.Stdout = &out
	}
	if c.Stderr == nil {
		c.Stderr = &errs
	}
	require.NoError(t, c.Start())
	return func() outcome {
		t.Helper()
		err := c.Wait()
		if _, ok := errors.AsType[*exec.ExitError](err); err != nil && !ok {
			require.NoError(t, err)
		}
		o := outcome{code: c.ProcessState.ExitCode(), stdout: out.String(), stderr: errs.String()}
		if s, ok := c.ProcessState.Sys().(syscall.WaitStatus); ok && s.Signal() > 0 { // -1: it ended by itself
			o.signal = s.Signal()
		}
		for _, word := range []string{"panic:", "goroutine ", "runtime error"} {
			require.NotContains(t, o.stderr, word)
			require.NotContains(t, o.stdout, word)
		}
		return o
	}
}

// snapshot returns all files of a folder with their bytes and permissions.
func snapshot(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	require.NoError(t, filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		if errors.Is(err, fs.ErrNotExist) && !e.Type().IsRegular() {
			err = nil // a link to nowhere
		}
		info, wrong := e.Info()
		if err = errors.Join(err, wrong); err == nil {
			all[strings.TrimPrefix(path, dir+"/")] = info.Mode().String() + "\n" + string(data)
		}
		return err
	}))
	return all
}

// same requires that a folder is as it was. Byte by byte, but without printing
// megabytes.
func same(t *testing.T, was map[string]string, dir string) {
	t.Helper()
	is := snapshot(t, dir)
	for name := range is {
		require.Contains(t, keys(was), name, "a new file")
	}
	for name := range was {
		require.True(t, was[name] == is[name], "%s is changed", name)
	}
}

func keys(m map[string]string) []string {
	var list []string
	for k := range m {
		list = append(list, k)
	}
	return list
}

// aTemporary is the name of what a killed process may leave behind.
var aTemporary = regexp.MustCompile(`^\.ampwake-[0-9a-f]{16}\.tmp$`)

// writers is every command that writes files, quickly, with the option that says
// where to; of those names one is in what it complains of.
var writers = map[string][]string{
	"run":       {"run", "radio-cover", "--out"},
	"html":      {"run", "radio-cover", "--html"},
	"odds":      {"odds", "radio-cover", "-n", "2", "--out"},
	"size":      {"size", "radio-cover", "--range", "bank.capacity=200Ah,400Ah", "-n", "2", "--out"},
	"matters":   {"matters", "radio-cover", "--out"},
	"compare":   {"compare", "bank-sizes", "-n", "2", "--out"},
	"card":      {"card", "radio-cover", "-n", "2", "--out"},
	"trial":     {"trial", "radio-cover", "trial-sail", "--out"},
	"noon":      {"noon", "radio-cover", "trial-sail", "-n", "2", "--out"},
	"climate":   {"climate", "radio-cover", "--out"},
	"breakeven": {"breakeven", "radio-cover", "--out"},
	"new":       {"new"},
}

// full opens a device that is as full as a disk can be.
func full(t *testing.T) *os.File {
	t.Helper()
	f, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skipf("this system has no device that is always full: %v", err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

// aPipe returns the end of a pipe to write into, and the other.
func aPipe(t *testing.T) (read, write *os.File) {
	t.Helper()
	read, write, err := os.Pipe()
	require.NoError(t, err)
	t.Cleanup(func() { read.Close(); write.Close() })
	return read, write
}

// asNobody returns the faults of a user without rights, and a folder of his.
func asNobody(t *testing.T) (faults, dir string) {
	t.Helper()
	dir = t.TempDir()
	if os.Geteuid() != 0 {
		return "none", dir
	}
	for _, d := range []string{dir, filepath.Dir(dir)} {
		require.NoError(t, os.Chown(d, nobody, nobody))
	}
	if o := finish(t, faulty(t, "nobody", dir, "new", "can.yaml")); o.code != exitOK {
		t.Skipf("root cannot become a user who reaches the test's folder: %s", o.stderr)
	}
	require.NoError(t, os.Remove(filepath.Join(dir, "can.yaml")))
	return "nobody", dir
}

// write puts a file into a folder, made by repeating a text, and returns its name.
func write(t *testing.T, dir, name, head string, line func(i int) string, lines int, tail string) string {
	t.Helper()
	var b bytes.Buffer
	b.WriteString(head)
	for i := range lines {
		b.WriteString(line(i))
	}
	b.WriteString(tail)
	require.NoError(t, os.WriteFile(filepath.Join(dir, name), b.Bytes(), 0o600))
	return name
}

// readLine reads a line of a process that goes on.
func readLine(t *testing.T, r io.Reader) string {
	t.Helper()
	var b strings.Builder
	for one := make([]byte, 1); ; {
		_, err := io.ReadFull(r, one)
		require.NoError(t, err)
		if one[0] == '\n' {
			return b.String()
		}
		fmt.Fprintf(&b, "%c", one[0])
	}
}
