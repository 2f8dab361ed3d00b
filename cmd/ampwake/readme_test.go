package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const readme = "../../README.md"

// block is a command of the README with what it prints. A comment before the
// fence, "<!-- 12 lines -->", says how much of it is shown.
var block = regexp.MustCompile("(?s)(?:<!-- (\\d+) lines -->\n)?```console\n(.*?)```\n")

// TestReadme runs every command of the README in an empty folder and compares
// what it prints. With -update it writes what it prints into the README.
func TestReadme(t *testing.T) {
	if testing.Short() {
		t.Skip("-short: many weathers")
	}
	path, err := filepath.Abs(readme)
	require.NoError(t, err)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	found := 0
	out := block.ReplaceAllStringFunc(string(text), func(b string) string {
		m := block.FindStringSubmatch(b)
		lines := strings.Split(strings.TrimSuffix(m[2], "\n"), "\n")
		var fresh strings.Builder
		for _, line := range lines {
			command, ok := strings.CutPrefix(line, "$ ")
			if !ok {
				continue // printed by the command before
			}
			found++
			fresh.WriteString(line + "\n")
			fresh.WriteString(show(t, command, m[1]))
		}
		return strings.Replace(b, m[2], fresh.String(), 1)
	})
	require.Greater(t, found, 5, "commands in the README")
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(out), 0o644))
		return
	}
	require.Equal(t, out, string(text), "the README is stale: go test ./cmd/ampwake -run TestReadme -update")
}

// show runs a command and returns the part of its output that the README shows.
func show(t *testing.T, command, most string) string {
	t.Helper()
	args, err := words(command)
	require.NoError(t, err, command)
	require.Equal(t, "ampwake", args[0], command)
	var stdout, stderr bytes.Buffer
	code := run(t.Context(), args[1:], &stdout, &stderr)
	require.Zero(t, code, "%s: %s", command, stderr.String())
	got := stdout.String()
	if most == "" {
		return got
	}
	n, err := strconv.Atoi(most)
	require.NoError(t, err)
	lines := strings.SplitAfter(got, "\n")
	if len(lines) > n {
		return strings.Join(lines[:n], "") + "…\n"
	}
	return got
}

// words splits a command line at blanks outside single quotes.
func words(line string) ([]string, error) {
	var out []string
	word, quoted, open := "", false, false
	for _, r := range line {
		switch {
		case r == '\'':
			quoted, open = !quoted, true
		case r == ' ' && !quoted:
			if open {
				out = append(out, word)
			}
			word, open = "", false
		default:
			word, open = word+string(r), true
		}
	}
	if open {
		out = append(out, word)
	}
	return out, nil
}
