package chart

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ampwake/scenarios/breakeven"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// mapsOf are break-even maps made up from two rules.
func mapsOf(bySpeed func(speed, oktas float64) float64, byYear func(lat, year float64) float64) *breakeven.Maps {
	m := &breakeven.Maps{
		Title: "Mindelo to Cape Town & <back>", Place: track.Position{Lat: -12, Lon: -26}, Date: time.Date(2027, 1, 25, 0, 0, 0, 0, time.UTC),
		Course: 176, Cloud: 0.6, Speed: 4.2, YearSpeed: 4.7, Year: 2027,
	}
	day := func(net float64) breakeven.Balance {
		return breakeven.Balance{Made: units.AmpHours(50 + net), Used: 50}
	}
	for i := range 41 {
		m.Speeds = append(m.Speeds, units.Knots(i)/5)
	}
	for j := range 17 {
		m.Clouds = append(m.Clouds, units.Fraction(j)/16)
		var row []breakeven.Balance
		for _, v := range m.Speeds {
			row = append(row, day(bySpeed(float64(v), float64(j)/2)))
		}
		m.BySpeed = append(m.BySpeed, row)
	}
	m.Here = day(bySpeed(4.2, 4.8))
	for i := range 25 {
		m.Dates = append(m.Dates, time.Date(2027, 1, 1+int(math.Round(365*float64(i)/24)), 0, 0, 0, 0, time.UTC))
	}
	for lat := -60; lat <= 60; lat += 3 {
		m.Latitudes = append(m.Latitudes, units.Degrees(lat))
		var row []breakeven.Balance
		for i := range m.Dates {
			row = append(row, day(byYear(float64(lat), float64(i)/24)))
		}
		m.ByYear = append(m.ByYear, row)
	}
	for k := range 40 {
		m.Passage = append(m.Passage, breakeven.Step{Time: time.Date(2027, 12, 10+k, 9, 0, 0, 0, time.UTC), Lat: units.Degrees(17 - 1.2*float64(k))})
	}
	return m
}

// kit is a usual one: panels under the cloud, a generator from 2.5 kn on.
func kit(speed, oktas float64) float64 {
	net := 24*(1-0.6*oktas*oktas/64) - 40
	if speed >= 2.5 {
		net += 24 * 0.05 * math.Pow(speed, 2.5)
	}
	return net
}

func season(lat, year float64) float64 {
	return 25*math.Cos((lat-23*math.Sin(2*math.Pi*(year-0.22)))*math.Pi/100) - 12
}

func fields() map[string]laidOut {
	flat := func(x float64) func(a, b float64) float64 { return func(_, _ float64) float64 { return x } }
	opt := BreakEvenOptions{Version: "ampwake 0.1", Facts: []string{"Even: at 4.1 kn under 5 oktas at 12°S 26°W in January."}}
	out := map[string]laidOut{}
	for name, m := range map[string]*breakeven.Maps{
		"usual":       mapsOf(kit, season),
		"always":      mapsOf(func(v, c float64) float64 { return 50 + 10*v - c }, func(lat, y float64) float64 { return 90 + season(lat, y) }),
		"never":       mapsOf(flat(-30), flat(-3)),
		"nought":      mapsOf(flat(0), flat(0)),
		"great":       mapsOf(func(v, c float64) float64 { return 1e4 * (v - 4 + 0.01*c) }, func(lat, y float64) float64 { return lat * 1000 * math.Sin(9*y) }),
		"crowded":     mapsOf(func(v, c float64) float64 { return -38 + 500/(1+math.Exp(-40*(v-3.4-c/40))) }, season),
		"scattered":   mapsOf(func(v, c float64) float64 { return 20 * math.Sin(3*v) * math.Sin(2*c) }, func(lat, y float64) float64 { return 15 * math.Sin(lat/5) * math.Sin(20*y) }),
		"hardly even": mapsOf(func(v, c float64) float64 { return 0.4 * (v - 4) / 4 }, func(lat, y float64) float64 { return 0.02 * lat }),
	} {
		out["break-even "+name] = NewBreakEven(m, opt)
		out["break-even year "+name] = NewBreakEvenYear(m, opt)
	}
	return out
}

// Above nought is lighter than below, and farther below is darker: in grey and
// in red light.
func TestFieldColours(t *testing.T) {
	for _, levels := range [][]float64{{0}, {-5, 0}, {0, 5}, {-50, -20, -10, -5, -2, -1, 0, 1, 2, 5, 10, 20, 50, 100, 200, 500}, {-500, -100, 0, 1000}} {
		c := fills(levels)
		require.Len(t, c, len(levels)+1)
		zero := slices.Index(levels, 0)
		for i := 1; i <= zero; i++ {
			require.Greater(t, grey(c[i]), grey(c[i-1]))
			require.Greater(t, red(c[i]), red(c[i-1]))
		}
		require.Greater(t, grey(c[zero+1])-grey(c[zero]), 30.0, "the step at nought is the one to see")
		require.Greater(t, red(c[len(c)-1]), red(c[zero]))
		for _, x := range c {
			// Words on it are read: WCAG 2 asks for 4.5 for small ones.
			require.Greater(t, contrast(luminance(x), luminance(ink)), 4.0)
		}
	}
	require.Equal(t, fills([]float64{-5, 0})[1], fills([]float64{-50, -5, 0, 9})[2], "the same value, the same colour")
}

func TestFieldLevels(t *testing.T) {
	grid := func(low, high float64) [][]float64 { return [][]float64{{low, high}} }
	require.Equal(t, []float64{-20, -10, -5, -2, -1, 0, 1, 2, 5}, fieldLevels(grid(-34, 9)))
	require.Equal(t, []float64{-20, -10, -5, -2, -1, 0, 10, 20, 50, 100, 200, 500}, fieldLevels(grid(-22, 501)))
	require.Equal(t, []float64{0, 70, 80, 90, 100, 110, 120}, fieldLevels(grid(63, 124)))
	require.Equal(t, []float64{-36, -35, -34, -33, -32, -31, 0}, fieldLevels(grid(-36.5, -30.5)))
	require.Equal(t, []float64{0}, fieldLevels(grid(0, 0)))
}

// The line at nought stands where the balance is nought.
func TestFieldLineAtNought(t *testing.T) {
	m := mapsOf(func(v, c float64) float64 { return 10 * (v - 3 - c/4) }, season)
	p := NewBreakEven(m, BreakEvenOptions{})
	w, h := p.Size()
	s := p.layout(w, h)
	f := frame{x0: 0, x1: 8, y0: 0, y1: 8}
	var bold int
	for _, sh := range s.shapes {
		if len(sh.line) == 5 && sh.line[0] == sh.line[4] { // the edge of the map
			f.data.Min, f.data.Max = sh.line[0], sh.line[2]
		}
	}
	for _, sh := range s.shapes {
		if sh.pen.Width != 2 {
			continue
		}
		for _, at := range sh.line {
			oktas := 8 * float64((at.Y-f.data.Min.Y)/(f.data.Max.Y-f.data.Min.Y))
			require.InDelta(t, float64(f.x(3+oktas/4)), float64(at.X), 0.2)
			bold++
		}
	}
	require.Greater(t, bold, 50)
}

func TestBreakEvenModel(t *testing.T) {
	m := mapsOf(kit, season)
	p := NewBreakEven(m, BreakEvenOptions{Version: "ampwake 0.1"})
	require.Equal(t, []FieldPoint{{X: 4.2, Y: 8 * 0.6, Label: "as planned: +" + short(math.Round(kit(4.2, 4.8))) + " Ah"}}, roundedPoint(p.Points))
	require.Contains(t, p.About, "12°S 26°W in January")
	y := NewBreakEvenYear(m, BreakEvenOptions{})
	require.Len(t, y.X.Ticks, 12)
	require.InDelta(t, 15.5, y.X.Ticks[0].At, 1e-9)
	path := y.Paths[0]
	require.Len(t, path.X, 40)
	// From December into January the path goes out on the right and comes in on
	// the left.
	f := &frame{x0: 0, x1: 365, y0: -60, y1: 60}
	pieces := path.pieces(f)
	require.Len(t, pieces, 2)
	require.InDelta(t, 343.375, path.X[0], 1e-9)
	require.Less(t, path.X[39], 30.0)
	for name, want := range map[string][]string{
		"usual": {"breaks even", "−10", "+20", "Boat speed through the water, kn", "Cloud, oktas"},
		// The one line that matters is named even in a crowd.
		"crowded": {"breaks even"}, "scattered": {"breaks even"},
	} {
		pic := fields()["break-even "+name].(*Field)
		var words []string
		for _, w := range pic.layout(pic.Size()).words {
			words = append(words, w.text)
		}
		for _, x := range want {
			require.Contains(t, strings.Join(words, "\n"), x, name)
		}
	}
}

func roundedPoint(points []FieldPoint) []FieldPoint {
	out := slices.Clone(points)
	for i := range out {
		out[i].X, out[i].Y = math.Round(out[i].X*1e9)/1e9, math.Round(out[i].Y*1e9)/1e9
	}
	return out
}
