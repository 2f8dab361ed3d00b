package chart

import (
	"image/color"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The values of the primaries are from memory, to three places.
func TestLab(t *testing.T) {
	for _, c := range []struct {
		rgb     uint32
		l, a, b float64
	}{{0xFFFFFF, 1, 0, 0}, {0x000000, 0, 0, 0}, {0xFF0000, 0.628, 0.225, 0.126}, {0x0000FF, 0.452, -0.032, -0.312}} {
		l, a, b := toLab(hex(c.rgb))
		require.InDelta(t, c.l, l, 6e-4, "%06X", c.rgb)
		require.InDelta(t, c.a, a, 6e-4, "%06X", c.rgb)
		require.InDelta(t, c.b, b, 6e-4, "%06X", c.rgb)
	}
	for _, row := range kinds {
		l, a, b := toLab(row.paint.Fill)
		require.Equal(t, row.paint.Fill, fromLab(l, a, b), row.kind)
	}
}

// What words and lines become is legible on the dark ground, by day and night;
// areas stand out from it (WCAG 2.1, 1.4.3 and 1.4.11).
func TestDarkIsLegible(t *testing.T) {
	paints := map[string]Paint{"stock": stock, "alarm": alarm, "words": {stock.Fill, ink}, "quiet": {stock.Fill, quiet}}
	for _, row := range kinds {
		paints[string(row.kind)] = row.paint
	}
	for i, p := range spare {
		paints["spare "+string(rune('a'+i))] = p
	}
	ground := Dark()
	for name, p := range paints {
		for _, under := range []color.RGBA{ground.Paper, ground.Night} {
			word := Darkened(p.Ink, false)
			require.GreaterOrEqual(t, contrast(luminance(under), luminance(word)), 4.5, name)
			area := Darkened(p.Fill, true)
			require.GreaterOrEqual(t, contrast(luminance(under), luminance(area)), 3.0, name)
		}
	}
}

// A thing keeps its hue in the dark, to five degrees where it has one.
func TestDarkKeepsHue(t *testing.T) {
	for _, row := range kinds {
		_, a, b := toLab(row.paint.Fill)
		_, x, y := toLab(Darkened(row.paint.Fill, true))
		if math.Hypot(a, b) < 0.02 {
			continue
		}
		turn := math.Abs(math.Remainder(math.Atan2(b, a)-math.Atan2(y, x), 2*math.Pi))
		require.Less(t, turn*180/math.Pi, 5.0, row.kind)
	}
}

func TestDarkTints(t *testing.T) {
	// What lies under the floor is darker than it would be as a colour of its
	// own: it is mixed over the dark ground.
	below := Darkened(under, true)
	require.Less(t, luminance(below), 0.12)
	require.Greater(t, contrast(luminance(below), luminance(darkPaper)), 1.3)
	require.Equal(t, Dark().Paper, Darkened(Light().Paper, true))
	require.Equal(t, Dark().Night, Darkened(Light().Night, true))
	require.Equal(t, Dark().Hair, Darkened(Light().Hair, false))
	require.Equal(t, Dark().Ink, Darkened(Light().Ink, false))
	require.Equal(t, Dark().Quiet, Darkened(Light().Quiet, false))
	require.Equal(t, Dark().Alarm.Ink, Darkened(Light().Alarm.Ink, false))
}
