package chart

import (
	"bytes"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestPNGSize(t *testing.T) {
	for _, test := range []struct {
		p             Picture
		width, height int
	}{
		{NewPassage(atlantic().sail(), PassageOptions{}), 1200, 1500},
		{NewFan(fanOf(26)), 1200, 750},
	} {
		var buf bytes.Buffer
		require.NoError(t, Encode(&buf, test.p, "png"))
		c, err := png.DecodeConfig(&buf)
		require.NoError(t, err)
		require.Equal(t, [2]int{test.width, test.height}, [2]int{c.Width, c.Height})
	}
}

func TestSameInputSameBytes(t *testing.T) {
	for _, format := range []string{"png", "svg"} {
		for _, pair := range [][2]Picture{
			{NewPassage(atlantic().sail(), PassageOptions{}), NewPassage(atlantic().sail(), PassageOptions{})},
			{NewFan(fanOf(26)), NewFan(fanOf(26))},
			{NewWhere(whereOf(11, 3)), NewWhere(whereOf(11, 3))},
		} {
			var a, b bytes.Buffer
			require.NoError(t, Encode(&a, pair[0], format))
			require.NoError(t, Encode(&b, pair[1], format))
			require.True(t, bytes.Equal(a.Bytes(), b.Bytes()), format)
		}
	}
}

func TestWriteFile(t *testing.T) {
	dir := t.TempDir()
	p := NewFan(fanOf(5))
	for _, name := range []string{"a.png", "b.svg", "c.SVG"} {
		require.NoError(t, p.WriteFile(filepath.Join(dir, name)))
	}
	require.ErrorContains(t, p.WriteFile(filepath.Join(dir, "d.pdf")), "want a name that ends in .png or .svg")
	require.ErrorContains(t, p.WriteFile(filepath.Join(dir, "nowhere", "e.png")), "is not written")
	require.ErrorContains(t, p.Encode(&bytes.Buffer{}, "gif"), `"gif" is unknown`)
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, entries, 3, "nothing temporary is left")
	info, err := os.Stat(filepath.Join(dir, "a.png"))
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o644), info.Mode().Perm())
}

// A directory in the way: the old thing stays, nothing temporary is left.
func TestWriteFileFails(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "a.svg"), 0o755))
	require.Error(t, NewFan(fanOf(5)).WriteFile(filepath.Join(dir, "a.svg")))
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, entries, 1)
}

func TestFontsFallBack(t *testing.T) {
	in := fanOf(5)
	in.Title = `style="font-family:Liberation Sans; is only text`
	var svg bytes.Buffer
	require.NoError(t, NewFan(in).Encode(&svg, "svg"))
	require.Contains(t, svg.String(), "'Liberation Sans',Arimo,Arial,Helvetica,sans-serif")
	require.Contains(t, texts(t, svg.Bytes())[0], in.Title)
}
