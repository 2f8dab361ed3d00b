package hull_test

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim/hull"
	"ampwake/sim/units"
)

// Every cell of the embedded file, read here by other means, comes out exactly.
func TestIllustrativePolarNodes(t *testing.T) {
	raw, err := os.ReadFile("boat_speed_illustrative.csv")
	require.NoError(t, err)
	p := hull.IllustrativePolar()
	var angles []string
	cells := 0
	for line := range strings.Lines(string(raw)) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		fields := strings.Split(strings.TrimSpace(line), ",")
		if angles == nil {
			angles = fields
			continue
		}
		var wind, angle, want float64
		_, err := fmt.Sscan(fields[0], &wind)
		require.NoError(t, err)
		for j := 1; j < len(fields); j++ {
			_, err := fmt.Sscanf(angles[j], "twa_%g", &angle)
			require.NoError(t, err)
			_, err = fmt.Sscan(fields[j], &want)
			require.NoError(t, err)
			assert.Equal(t, units.Knots(want), p.Speed(units.Knots(wind), units.Degrees(angle)), "%v kn, %v°", wind, angle)
			cells++
		}
	}
	assert.Equal(t, 14*11, cells)
}

// Mean day's runs with the passage factor in Weibull winds of shape 3.2,
// illustrative, computed outside from the formula the table was made of: printed
// to a mile, and the table to 0.1 kn and straight between its nodes.
func TestIllustrativePassages(t *testing.T) {
	p := hull.IllustrativePolar().Times(hull.PassageFactor)
	for _, c := range []struct {
		wind, angle, miles float64
	}{
		{12, 90, 119},
		{15, 90, 130},
		{18, 90, 137},
		{12, 130, 107},
		{15, 130, 120},
		{18, 130, 129},
		{12, 165, 83},
		{15, 165, 97},
		{18, 165, 107},
		{12, 50, 92},
		{15, 50, 100},
		{18, 50, 101},
	} {
		const k, n = 3.2, 400
		scale := c.wind / math.Gamma(1+1/k)
		var sum float64
		for i := range n {
			u := (float64(i) + 0.5) / n
			sum += float64(p.Speed(units.Knots(scale*math.Pow(-math.Log(1-u), 1/k)), units.Degrees(c.angle)))
		}
		assert.InDelta(t, c.miles, 24*sum/n, 2, "%v kn, %v°", c.wind, c.angle)
	}
}

func simple(t testing.TB) *hull.Polar {
	p, err := hull.NewPolar([]units.Knots{10, 20}, []units.Degrees{40, 100, 160}, [][]units.Knots{{4, 6, 5}, {5, 8, 9}})
	require.NoError(t, err)
	return p
}

func TestPolarBetweenAndBeyond(t *testing.T) {
	p := simple(t)
	for _, c := range []struct {
		wind  units.Knots
		angle units.Degrees
		want  float64
	}{
		{10, 70, 5},        // half way between angles
		{15, 100, 7},       // half way between winds
		{15, 130, 7},       // both: the mean of 6, 5, 8 and 9
		{5, 100, 3},        // half way down to a calm
		{10, 20, 2},        // half way to head to wind
		{0, 100, 0},        // calm
		{-3, 100, 0},       // no such wind
		{60, 100, 8},       // the last wind holds
		{20, 180, 9},       // the last angle holds
		{15, -130, 7},      // the other tack
		{15, 230, 7},       // the same, as a bearing
		{15, 130 - 720, 7}, // and two turns on
	} {
		assert.InDelta(t, c.want, float64(p.Speed(c.wind, c.angle)), 1e-12, "Speed(%v, %v)", c.wind, c.angle)
	}
	assert.InDelta(t, 3.5, float64(p.Times(0.5).Speed(15, 100)), 1e-12)
	assert.InDelta(t, 7, float64(p.Speed(15, 100)), 1e-12, "Times leaves the polar as it was")
	assert.Panics(t, func() { p.Times(-1) })
}

func TestNewPolarRefuses(t *testing.T) {
	w, a := []units.Knots{5, 10}, []units.Degrees{50, 120}
	good := [][]units.Knots{{1, 2}, {3, 4}}
	for _, c := range []struct {
		winds  []units.Knots
		angles []units.Degrees
		speeds [][]units.Knots
		want   string
	}{
		{nil, a, nil, "0 winds and 2 angles"},
		{w, nil, good, "2 winds and 0 angles"},
		{w, a, good[:1], "1 rows of speeds for 2 winds"},
		{w, a, [][]units.Knots{{1, 2}, {3}}, "polar row at 10 kn has 1 speeds for 2 angles"},
		{[]units.Knots{10, 10}, a, good, "does not rise"},
		{[]units.Knots{-1, 10}, a, good, "polar wind -1 kn"},
		{w, []units.Degrees{120, 50}, good, "does not rise"},
		{w, []units.Degrees{50, 190}, good, "polar angle 190°"},
		{w, a, [][]units.Knots{{1, 2}, {3, -4}}, "polar speed -4 kn at 10 kn and 120°"},
		{w, a, [][]units.Knots{{1, 2}, {3, units.Knots(math.NaN())}}, "polar speed"},
	} {
		_, err := hull.NewPolar(c.winds, c.angles, c.speeds)
		assert.ErrorContains(t, err, c.want)
	}
}

func TestParsePolar(t *testing.T) {
	want := simple(t)
	for _, text := range []string{
		"tws,40,100,160\n10,4,6,5\n20,5,8,9\n",
		"# mine\n\nTWS_kn;twa_40;twa_100;twa_160\r\n10;4;6;5\r\n20;5;8;9\r\n",
		"twa/tws\t10\t20\n40\t4\t5\n100\t6\t8\n160\t5\t9",
	} {
		p, err := hull.ParsePolar(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, p, text)
	}
	for text, message := range map[string]string{
		"":                          "0 winds",
		"40,100\n10,4":              `line 1 begins with "40": want tws or twa`,
		"tws,40,100\n10,4":          "line 2 has 2 numbers, the first line has 3",
		"tws,40,100\n10,4,five":     `line 2: "five" is not a number`,
		"tws,40,port\n10,4,5":       `line 1: "port" is not a number`,
		"tws,40,100\n10,4,\n":       `line 2: "" is not a number`,
		"tws,40,100\n10,4,5\n9,4,5": "polar wind 9 kn does not rise from 10 kn",
		"twa,10,20\n100,4,5\n9,4,5": "polar angle 9° does not rise from 100°",
		"tws,40\n10,99":             "polar speed 99 kn",
		"twa,10,20":                 "0 angles",
	} {
		_, err := hull.ParsePolar(text)
		assert.ErrorContains(t, err, message, text)
	}
}

// The speed is never outside the table's, does not jump, is the same on both
// tacks, and off the wind, where each column of the illustrative table rises to
// 20 kn of wind, more wind is never slower.
func TestPolarLaws(t *testing.T) {
	p := hull.IllustrativePolar()
	rapid.Check(t, func(t *rapid.T) {
		wind := units.Knots(rapid.Float64Range(0, 70).Draw(t, "wind"))
		angle := units.Degrees(rapid.Float64Range(-400, 400).Draw(t, "angle"))
		v := p.Speed(wind, angle)
		if !(v >= 0 && v <= 7.1) {
			t.Fatalf("Speed(%v, %v) = %v", wind, angle, v)
		}
		if other := p.Speed(wind, -angle); math.Abs(float64(other-v)) > 1e-9 {
			t.Fatalf("other tack: %v, not %v", other, v)
		}
		// The steepest cell changes by 0.6 kn a knot and 0.12 kn a degree.
		if near := p.Speed(wind+1e-6, angle+1e-6); math.Abs(float64(near-v)) > 1e-6 {
			t.Fatalf("Speed(%v, %v) jumps from %v to %v", wind, angle, v, near)
		}
		w := units.Knots(rapid.Float64Range(0, 20).Draw(t, "lesser wind"))
		more := w + (20-w)*units.Knots(rapid.Float64Range(0, 1).Draw(t, "more"))
		if p.Speed(more, angle) < p.Speed(w, angle)-1e-12 {
			t.Fatalf("at %v: %v kn makes %v, %v kn %v", angle, w, p.Speed(w, angle), more, p.Speed(more, angle))
		}
	})
}

func TestPolarDoesNotAllocate(t *testing.T) {
	p := hull.IllustrativePolar()
	assert.Zero(t, testing.AllocsPerRun(100, func() { p.Speed(13.3, 222) }))
}

// Whatever parses gives a speed within the table's bounds for any wind.
func FuzzParsePolar(f *testing.F) {
	for _, s := range []string{
		"tws,40,100,160\n10,4,6,5\n20,5,8,9\n", "twa/tws\t10\t20\n40\t4\t5\n100\t6\t8", "tws,0\n0,0", "tws\n1\n", "tws,180\n200,50", "tws,0.5,0.75\n0.25,1,2",
	} {
		f.Add(s, 12.5, 77.0)
	}
	f.Fuzz(func(t *testing.T, text string, wind, angle float64) {
		p, err := hull.ParsePolar(text)
		if err != nil {
			if p != nil || !strings.HasPrefix(err.Error(), "polar ") {
				t.Fatalf("%v, %v", p, err)
			}
			return
		}
		if v := p.Speed(units.Knots(wind), units.Degrees(angle)); !(v >= 0 && v <= 50) {
			t.Fatalf("Speed(%v, %v) = %v of\n%s", wind, angle, v, text)
		}
	})
}

func BenchmarkPolarSpeed(b *testing.B) {
	p := hull.IllustrativePolar()
	b.ReportAllocs()
	wind, angle := units.Knots(0), units.Degrees(0)
	for b.Loop() {
		if wind += 0.7; wind > 45 {
			wind = 0
		}
		if angle += 7.7; angle > 360 {
			angle = 0
		}
		p.Speed(wind, angle)
	}
}
