package chart

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// look writes a picture into the directory CHART_LOOK, in colour, in grey, and
// as seen in red light, for someone to look at. Without it, it does nothing.
func look(t *testing.T, name string, p Picture) {
	dir := os.Getenv("CHART_LOOK")
	if dir == "" {
		return
	}
	require.NoError(t, WriteFile(filepath.Join(dir, name+".svg"), p))
	var buf bytes.Buffer
	require.NoError(t, Encode(&buf, p, "png"))
	require.NoError(t, os.WriteFile(filepath.Join(dir, name+".png"), buf.Bytes(), 0o644))
	img, err := png.Decode(&buf)
	require.NoError(t, err)
	save := func(suffix string, tone func(color.Color) color.Color) {
		out := image.NewRGBA(img.Bounds())
		for y := range img.Bounds().Dy() {
			for x := range img.Bounds().Dx() {
				out.Set(x, y, tone(img.At(x, y)))
			}
		}
		f, err := os.Create(filepath.Join(dir, name+suffix+".png"))
		require.NoError(t, err)
		require.NoError(t, png.Encode(f, out))
		require.NoError(t, f.Close())
	}
	save("-grey", color.GrayModel.Convert)
	save("-red", func(c color.Color) color.Color {
		r, _, _, _ := c.RGBA()
		return color.RGBA{R: uint8(r >> 8), A: 255}
	})
}
