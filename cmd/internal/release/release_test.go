package main

import (
	"bytes"
	"debug/buildinfo"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const root = "../../.."

func asked() request {
	return request{version: "v9.8.7", commit: strings.Repeat("0123456789", 4), date: date, root: root, out: "out"}
}

func TestCheck(t *testing.T) {
	ok := asked()
	require.NoError(t, ok.check())
	for say, spoil := range map[string]func(*request){
		"want one like v1.0.0":  func(r *request) { r.version = "1.0" },
		"v1.0.0-rc.1":           func(r *request) { r.version = "v1.0.0 -X main.commit=x" },
		"a commit in full":      func(r *request) { r.commit = "abc" },
		"no date of a commit":   func(r *request) { r.date = time.Unix(0, 0) },
		"where are the archive": func(r *request) { r.out = "" },
	} {
		r := asked()
		spoil(&r)
		require.ErrorContains(t, r.check(), say)
	}
}

func TestSixTargets(t *testing.T) {
	assert.Equal(t, []target{
		{"linux", "amd64"}, {"linux", "arm64"}, {"darwin", "amd64"}, {"darwin", "arm64"}, {"windows", "amd64"}, {"windows", "arm64"},
	}, targets())
}

func TestSumLinesAreInTheOrderOfNames(t *testing.T) {
	a, b := strings.Repeat("a", 64), strings.Repeat("b", 64)
	assert.Equal(t, b+"  one\n"+a+"  two\n", sumLines(map[string]string{"two": a, "one": b}))
}

func TestPicturesOfTheReadme(t *testing.T) {
	assert.Equal(t, []string{"a/b.png", "c.png"}, pictures("![x](a/b.png) | ![y](c.png)\n![z](a/b.png) ![far](https://x/y.png) [no](d.png)"))
	text, err := os.ReadFile(filepath.Join(root, "README.md"))
	require.NoError(t, err)
	list := pictures(string(text))
	require.NotEmpty(t, list)
	for _, p := range list {
		assert.FileExists(t, filepath.Join(root, p))
	}
}

// All that is linked comes with its terms.
func TestNotices(t *testing.T) {
	r := asked()
	text, err := r.notices(t.Context())
	require.NoError(t, err)
	for _, words := range []string{
		"The Go standard library and runtime: LICENSE", "github.com/spf13/cobra v", "gonum.org/v1/plot v",
		"Apache License", "SIL OPEN FONT LICENSE", "The FreeType Project", "MIT License",
		"In this module: cmd/internal/sheet/assets/uplot/LICENSE", "In this module: sim/climate/SOURCE.md",
		"mousetrap", // of Windows alone
	} {
		assert.Contains(t, text, words)
	}
	assert.NotContains(t, text, "stretchr/testify", "what only tests use is not linked")
	assert.NotContains(t, text, "In this module: cmd/internal/release")
	home, err := filepath.Abs(root)
	require.NoError(t, err)
	assert.NotContains(t, text, home)
}

// The same source in two folders makes the same binary, which knows neither, and
// tells what it is. (Go keeps compiled packages from one build to the next; with
// two caches, and for all targets, the release was compared by hand.)
func TestSameBytesInAnotherFolder(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the command twice")
	}
	var built [2][]byte
	for i, folder := range []string{"a", "another/and/much/deeper"} {
		r := asked()
		r.root = filepath.Join(t.TempDir(), folder)
		copySource(t, r.root)
		var err error
		built[i], err = r.build(t.Context(), here(), t.TempDir())
		require.NoError(t, err)
		assert.False(t, bytes.Contains(built[i], []byte(r.root)), "the folder shows")
	}
	assert.True(t, bytes.Equal(built[0], built[1]), "two folders, two binaries")
	if home, err := os.UserHomeDir(); err == nil && len(home) > len("/home/") {
		assert.False(t, bytes.Contains(built[0], []byte(home)), "the home of the builder shows")
	}
	assert.True(t, bytes.Contains(built[0], []byte("v9.8.7")))
	info, err := buildinfo.Read(bytes.NewReader(built[0]))
	require.NoError(t, err)
	assert.Equal(t, runtime.Version(), info.GoVersion)
	settings := map[string]string{}
	for _, s := range info.Settings {
		settings[s.Key] = s.Value
	}
	assert.Equal(t, "0", settings["CGO_ENABLED"])
	assert.Equal(t, "true", settings["-trimpath"])
	assert.Equal(t, runtime.GOOS, settings["GOOS"])
}

// copySource copies what a build reads: all but hidden folders and test data.
func copySource(t *testing.T, to string) {
	t.Helper()
	from, err := filepath.Abs(root)
	require.NoError(t, err)
	require.NoError(t, filepath.WalkDir(from, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name, err := filepath.Rel(from, path)
		if err != nil {
			return err
		}
		switch {
		case d.IsDir() && name != "." && (strings.HasPrefix(d.Name(), ".") || d.Name() == "testdata" || d.Name() == "out"):
			return fs.SkipDir
		case d.IsDir():
			return os.MkdirAll(filepath.Join(to, name), 0o755)
		case !d.Type().IsRegular() || strings.HasSuffix(name, "_test.go"):
			return nil
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		return os.WriteFile(filepath.Join(to, name), data, 0o644)
	}))
}
