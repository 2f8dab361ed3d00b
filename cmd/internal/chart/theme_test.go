package chart

import (
	"image/color"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// linear undoes the sRGB curve; WCAG 2.1, relative luminance.
func linear(v uint8) float64 {
	x := float64(v) / 255
	if x <= 0.04045 {
		return x / 12.92
	}
	return math.Pow((x+0.055)/1.055, 2.4)
}

// contrast is that of WCAG 2.1, success criterion 1.4.3, which asks for 4.5.
func contrast(a, b float64) float64 { return (max(a, b) + 0.05) / (min(a, b) + 0.05) }

func luminance(c color.RGBA) float64 {
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

// Words are legible by day, and in the light of a red torch, in which only the
// red of a colour counts.
func TestWordsAreLegible(t *testing.T) {
	inks := map[string]color.RGBA{"ink": ink, "quiet": quiet, "stock": stock.Ink, "alarm": alarm.Ink}
	for _, row := range kinds {
		inks[string(row.kind)] = row.paint.Ink
	}
	for i, p := range spare {
		inks["spare "+string(rune('a'+i))] = p.Ink
	}
	for name, c := range inks {
		require.GreaterOrEqual(t, contrast(luminance(white), luminance(c)), 4.5, name)
		require.GreaterOrEqual(t, contrast(linear(white.R), linear(c.R)), 4.5, "%s in red light", name)
	}
	// The words of missed slots may stand on a night.
	require.GreaterOrEqual(t, contrast(luminance(night), luminance(alarm.Ink)), 4.5)
}

// The sources, which share a panel, differ as greys by a fifth of the lighter.
func TestSourcesDifferInGrey(t *testing.T) {
	grey := func(k Kind) float64 {
		p, _ := byKind(k)
		return float64(color.GrayModel.Convert(p.Fill).(color.Gray).Y)
	}
	order := []Kind{Wind, Solar, Hydro, Engine} // from light to dark
	for i := 1; i < len(order); i++ {
		require.Less(t, grey(order[i]), 0.89*grey(order[i-1]), order[i])
	}
}

func TestKindOf(t *testing.T) {
	for name, want := range map[string]Kind{
		"HF radio": Radio, "VHF standby": Radio, "Solar panel, port": Solar, "water generator": Hydro, "watermaker": Water,
		"engine alternator": Engine, "weather fax": Fax, "tricolour light": Lights, "anchor light": Lights, "wind turbine": Wind,
		"tiller pilot": Autopilot, "chart plotter": Fax, "shore charger": Shore, "genset": Shore, "GPS": Instruments, "AIS alarm": Instruments,
		"shfoo": "", "analogue thing": "", "": "",
	} {
		require.Equal(t, want, KindOf(name), name)
	}
}

func TestPaints(t *testing.T) {
	solar, _ := byKind(Solar)
	radio, _ := byKind(Radio)
	got := Paints([]string{"solar port", "gizmo", "solar starboard", "doodad", "thing", "solar aft"}, map[string]Kind{"thing": Radio})
	require.Equal(t, solar, got[0])
	require.Equal(t, spare[0], got[1])
	require.Equal(t, spare[1], got[3])
	require.Equal(t, radio, got[4], "the map comes first")
	seen := map[color.RGBA]bool{}
	for _, p := range got {
		require.False(t, seen[p.Fill], "each its own")
		seen[p.Fill] = true
	}
	require.Equal(t, got, Paints([]string{"solar port", "gizmo", "solar starboard", "doodad", "thing", "solar aft"}, map[string]Kind{"thing": Radio}))
}

func TestOver(t *testing.T) {
	require.Equal(t, hex(0x808080), over(hex(0), white, 0.5))
	require.Equal(t, white, over(hex(0), white, 0))
}
