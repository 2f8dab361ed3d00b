package chart

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"
	"pgregory.net/rapid"
)

func TestSpread(t *testing.T) {
	require.Equal(t, []float64{10, 50}, spread([]float64{10, 50}, 9, 0, 100), "far apart: left alone")
	require.Equal(t, []float64{45.5, 54.5}, spread([]float64{50, 50}, 9, 0, 100), "apart evenly")
	require.Equal(t, []float64{0, 9, 18}, spread([]float64{0, 0, 0}, 9, 0, 100), "held at the edge")
	require.Nil(t, spread(nil, 9, 0, 100))
	require.Equal(t, []float64{0, 5, 10}, spread([]float64{1, 2, 3}, 9, 0, 10), "no room: closer")
}

func TestSpreadKeepsOrderGapAndRoom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.SliceOfN(rapid.Float64Range(-20, 120), 1, 9).Draw(t, "centres")
		slices.Sort(c)
		got := spread(c, 9, 0, 100)
		for i, y := range got {
			if y < -1e-9 || y > 100+1e-9 {
				t.Fatalf("%v outside: %v", y, got)
			}
			if i > 0 && y-got[i-1] < 9-1e-9 {
				t.Fatalf("too near: %v", got)
			}
		}
	})
}

func TestLines(t *testing.T) {
	long := "the water generator with the large rotor and a very long line behind it"
	half := endStyle.width(long) * 6 / 10
	two := endStyle.lines(long, half)
	require.Len(t, two, 2)
	require.Equal(t, long, two[0]+" "+two[1], "no word is lost")
	require.LessOrEqual(t, endStyle.width(two[0]), half)
	require.Equal(t, []string{long}, endStyle.lines(long, 2*half))
	two = endStyle.lines(long, half/2)
	require.Len(t, two, 2)
	require.True(t, strings.HasSuffix(two[1], "…"), "what fits into no two lines is cut")
	require.Equal(t, []string{"…"}, endStyle.lines(long, 1))
}

func TestCut(t *testing.T) {
	long := "the water generator with the large rotor"
	short := endStyle.cut(long, 80)
	require.LessOrEqual(t, endStyle.width(short), vg.Length(80))
	require.True(t, strings.HasSuffix(short, "…"))
	require.True(t, strings.HasPrefix(long, strings.TrimSuffix(short, "…")))
	require.Equal(t, "solar", endStyle.cut("solar", 80))
	require.Equal(t, "…", endStyle.cut("solar", 1))
	require.True(t, strings.HasSuffix(End{Label: long, Value: "41 Ah/d"}.fit(100, endStyle), "… 41 Ah/d"), "the number stays")
}

func TestClean(t *testing.T) {
	require.Equal(t, "HF radio two ?", clean(" HF\x00 radio\n\ttwo \xff "))
	require.Equal(t, "Ω ° −", clean("Ω ° −"))
}

// Widths against the font's own tables, read from Liberation Sans: a digit is
// 1139 units of 2048 wide, as in the type it was made to replace.
func TestWidth(t *testing.T) {
	require.InDelta(t, 10*8*1139.0/2048, float64(endStyle.width("0123456789")), 0.01)
}
