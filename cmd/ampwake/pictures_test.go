package main

import (
	"bytes"
	"flag"
	"image/png"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
)

var pictures = flag.Bool("pictures", false, "make the README's pictures anew; needs pdftoppm and chromium")

// TestReadmePictures wants every picture that the README shows to be there. With
// -pictures it makes them: go test ./cmd/ampwake -run TestReadmePictures -pictures
func TestReadmePictures(t *testing.T) {
	root, err := filepath.Abs("../..")
	require.NoError(t, err)
	if *pictures {
		makePictures(t, filepath.Join(root, "testdata", "readme"))
	}
	text, err := os.ReadFile(filepath.Join(root, "README.md"))
	require.NoError(t, err)
	shown := regexp.MustCompile(`!\[[^\]]+\]\(([^)]+)\)`).FindAllStringSubmatch(string(text), -1)
	require.Greater(t, len(shown), 3)
	for _, m := range shown {
		f, err := os.Open(filepath.Join(root, filepath.FromSlash(m[1])))
		require.NoError(t, err)
		size, err := png.DecodeConfig(f)
		require.NoError(t, err, m[1])
		require.NoError(t, f.Close())
		require.Greater(t, size.Width, 300, m[1])
	}
}

func makePictures(t *testing.T, to string) {
	dir := t.TempDir()
	ampwake := func(args ...string) {
		var out bytes.Buffer
		require.Zero(t, run(t.Context(), args, io.Discard, &out), "%v: %s", args, out.String())
	}
	tool := func(name string, args ...string) {
		out, err := exec.CommandContext(t.Context(), name, args...).CombinedOutput()
		require.NoError(t, err, "%s: %s", name, out)
	}
	keep := func(from, name string) {
		raw, err := os.ReadFile(filepath.Join(dir, from))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(to, name), raw, 0o644))
	}
	html := filepath.Join(dir, "report.html")
	ampwake("run", "doldrums-week", "--out", dir, "--html", html)
	keep("passage.png", "passage.png")
	ampwake("run", "radio-cover", "--out", dir)
	keep("track.png", "track.png")
	ampwake("odds", "southern-ocean", "--out", dir)
	keep("band.png", "band.png")
	ampwake("compare", "bank-sizes", "-n", "200", "--out", dir) // as in the README
	keep("compare.png", "compare.png")
	ampwake("breakeven", "radio-cover", "--out", dir)
	keep("breakeven.png", "breakeven.png")
	ampwake("trial", "radio-cover", "trial-sail", "--out", dir)
	keep("trial.png", "trial.png")
	ampwake("card", "southern-ocean", "--out", dir)
	pdf := filepath.Join(dir, "card.pdf")
	tool("pdftoppm", "-r", "80", "-f", "3", "-l", "4", "-png", pdf, filepath.Join(dir, "card"))
	keep("card-3.png", "card.png")
	keep("card-4.png", "trace.png")
	tool("chromium", "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
		"--disable-background-networking", "--disable-component-update", "--disable-sync", "--hide-scrollbars",
		"--user-data-dir="+filepath.Join(dir, "browser"), "--window-size=1000,1300",
		"--screenshot="+filepath.Join(dir, "report.png"), "file://"+html)
	keep("report.png", "report.png")
}
