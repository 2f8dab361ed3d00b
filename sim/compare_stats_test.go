package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"ampwake/sim/units"
)

// The extra sleep of ten patients under two drugs: Student, Biometrika 6 (1908)
// 1, section IX. Mean and 95 % interval as statistics packages print them for
// these data, -1.58, -2.4598858 to -0.7001142; from memory.
func TestChangeOfStudentsSleepers(t *testing.T) {
	one := []units.Hours{0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2}
	two := []units.Hours{1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4}
	c := NewChange(one, two)
	assert.InDelta(t, -1.58, float64(c.By), 1e-12)
	assert.InDelta(t, -2.4598858, float64(c.Low), 5.1e-8)
	assert.InDelta(t, -0.7001142, float64(c.High), 5.1e-8)
	assert.InDelta(t, 0.75, float64(c.Mean), 1e-12)
	assert.Equal(t, []int{10, 0, 9}, []int{c.Count, c.More, c.Less}, "one slept as long under both")
}

func TestChangeOfFew(t *testing.T) {
	none := NewChange[units.Hours](nil, nil)
	one := NewChange([]units.Hours{3}, []units.Hours{1})
	assert.Equal(t, units.Hours(2), one.By)
	for _, c := range []Change[units.Hours]{none, one} {
		assert.True(t, math.IsInf(float64(c.Low), -1) && math.IsInf(float64(c.High), 1))
	}
	assert.Equal(t, Change[float64]{Count: 3, Mean: 2}, NewChange([]float64{1, 2, 3}, []float64{1, 2, 3}))
	assert.Panics(t, func() { NewChange([]float64{1}, nil) })
}

// Turned round, a change is the opposite; shifted by a constant, both alike, it
// is the same.
func TestChangeTurnedRound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 40).Draw(t, "n")
		value := rapid.Float64Range(-1000, 1000)
		a, b := rapid.SliceOfN(value, n, n).Draw(t, "ours"), rapid.SliceOfN(value, n, n).Draw(t, "theirs")
		c, back := NewChange(a, b), NewChange(b, a)
		if c.By != -back.By || c.Low != -back.High || c.More != back.Less || !(c.Low <= c.By && c.By <= c.High) {
			t.Fatalf("%+v, turned round %+v", c, back)
		}
	})
}

// Two of the worked values, both from memory: [Newcombe 1998] table III, method
// 10, prints four decimals; the children before and after a transplantation of
// Fagerland, Lydersen and Laake, Statistics in Medicine 33 (2014) 2850, table IV,
// "Newcombe square-and-add", prints three.
func TestShareChangeInterval(t *testing.T) {
	for _, c := range []struct {
		both, won, lost, neither int
		by, low, high, within    float64
	}{
		{36, 12, 2, 0, 0.2000, 0.0569, 0.3404, 5.1e-5},
		{1, 1, 7, 12, -0.286, -0.507, -0.026, 5.1e-4},
	} {
		s := NewShareChange(c.both, c.won, c.lost, c.neither)
		assert.InDelta(t, c.by, s.By, c.within)
		assert.InDelta(t, c.low, s.Low, c.within, "low of %v", c)
		assert.InDelta(t, c.high, s.High, c.within, "high of %v", c)
	}
	assert.Equal(t, ShareChange{Low: -1, High: 1}, NewShareChange(0, 0, 0, 0))
}

func TestShareChangeIsInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		count := rapid.IntRange(0, 300)
		a, b, c, d := count.Draw(t, "both"), count.Draw(t, "won"), count.Draw(t, "lost"), count.Draw(t, "neither")
		s, back := NewShareChange(a, b, c, d), NewShareChange(a, c, b, d)
		if !(-1 <= s.Low && s.Low <= s.By && s.By <= s.High && s.High <= 1) {
			t.Fatalf("%+v", s)
		}
		if s.By != -back.By || math.Abs(s.Low+back.High) > 1e-12 || math.Abs(s.High+back.Low) > 1e-12 {
			t.Fatalf("%+v, turned round %+v", s, back)
		}
		if b == c && s.By != 0 {
			t.Fatalf("%+v", s)
		}
	})
}

// The interval holds the true difference in at least 95 of 100 runs, within two
// standard errors of 4000 runs (0.7 points), and not in nearly all of them: it
// errs on the safe side where both shares are near 1.
func TestShareChangeCoverage(t *testing.T) {
	for _, p := range [][3]float64{ // both, won, lost
		{0.6, 0.15, 0.05},
		{0.05, 0.8, 0.02},
		{0.9, 0.06, 0.005},
	} {
		dice := rand.New(rand.NewPCG(4, 10))
		const runs = 4000
		holds := 0
		for range runs {
			var n [4]int
			for range 150 {
				u, k := dice.Float64(), 0
				for k < 3 && u >= p[k] {
					u -= p[k]
					k++
				}
				n[k]++
			}
			s := NewShareChange(n[0], n[1], n[2], n[3])
			if d := p[1] - p[2]; s.Low <= d && d <= s.High {
				holds++
			}
		}
		assert.Greater(t, float64(holds)/runs, 0.943, "chances %v", p)
		assert.Less(t, float64(holds)/runs, 0.98, "chances %v", p)
	}
}
