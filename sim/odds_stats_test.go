package sim

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"ampwake/sim/units"
)

// Newcombe, Statistics in Medicine 17 (1998) 857, table I, method 3 (score, no
// continuity correction), 95 %, printed to four decimals; read from memory.
func TestShareInterval(t *testing.T) {
	for _, c := range []struct {
		count, of int
		low, high float64
	}{
		{81, 263, 0.2553, 0.3662},
		{15, 148, 0.0624, 0.1605},
		{0, 20, 0, 0.1611},
		{1, 29, 0.0061, 0.1718},
	} {
		s := NewShare(c.count, c.of)
		assert.InDelta(t, c.low, s.Low, 5.1e-5, "low of %d/%d", c.count, c.of)
		assert.InDelta(t, c.high, s.High, 5.1e-5, "high of %d/%d", c.count, c.of)
		assert.Equal(t, float64(c.count)/float64(c.of), s.P)
	}
}

// The ends of the interval solve |p - share| = z sqrt(p (1-p) / n), which is how
// Wilson derives it; none and all reach the ends exactly.
func TestShareSolvesItsEquation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 5000).Draw(t, "of")
		k := rapid.IntRange(0, n).Draw(t, "count")
		s := NewShare(k, n)
		for _, p := range []float64{s.Low, s.High} {
			d := math.Abs(p-s.P) - z95*math.Sqrt(p*(1-p)/float64(n))
			if math.Abs(d) > 1e-12 && !(k == 0 && p == s.Low) && !(k == n && p == s.High) {
				t.Fatalf("%d/%d: %v is off by %v", k, n, p, d)
			}
		}
		if (s.Low == 0) != (k == 0) || (s.High == 1) != (k == n) || s.Low > s.P || s.P > s.High {
			t.Fatalf("%+v", s)
		}
	})
}

func TestShareOfNothing(t *testing.T) {
	assert.Equal(t, Share{High: 1}, NewShare(0, 0))
	assert.PanicsWithValue(t, "sim: share of more than all, or less than none", func() { NewShare(3, 2) })
}

// Worked by hand from the definition: place (n-1)p among the sorted values.
// (1, 2, 3, 4) at 0.3 is also the example that spreadsheets print for their
// inclusive percentile, which is type 7: 1.9, from memory.
func TestQuantileType7(t *testing.T) {
	ten := []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}
	for _, c := range []struct {
		values  []float64
		p, want float64
	}{
		{ten, 0.1, 1.9},
		{ten, 0.5, 5.5},
		{ten, 0.9, 9.1},
		{[]float64{1, 2, 3, 4}, 0.3, 1.9},
		{[]float64{15, 20, 35, 40, 50}, 0.4, 29}, // place 1.6: 20 + 0.6 x 15
		{[]float64{2, 7, 11}, 0.5, 7},
		{[]float64{2, 7, 11}, 0.25, 4.5},
		{[]float64{3}, 0.9, 3},
		{ten, 0, 1},
		{ten, 1, 10},
	} {
		assert.InDelta(t, c.want, quantile(c.values, c.p), 1e-14, "%v of %v", c.p, c.values)
	}
}

func TestSpread(t *testing.T) {
	values := []units.Hours{9, 1, 5, 3, 10, 2, 4, 6, 8, 7}
	assert.Equal(t, Spread[units.Hours]{Count: 10, Min: 1, P10: 1.9, P50: 5.5, P90: 9.1, Max: 10}, NewSpread(values))
	assert.Equal(t, units.Hours(9), values[0], "left as they are")
	assert.Zero(t, NewSpread[units.Hours](nil))
}

func TestSpreadIsOrdered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(-1e6, 1e6), 1, 50).Draw(t, "values")
		s := NewSpread(values)
		if !slices.IsSorted([]float64{s.Min, s.P10, s.P50, s.P90, s.Max}) {
			t.Fatalf("%+v", s)
		}
		if s.Min != slices.Min(values) || s.Max != slices.Max(values) {
			t.Fatalf("%+v of %v", s, values)
		}
		if n := len(values); n%2 == 1 {
			slices.Sort(values)
			if s.P50 != values[n/2] {
				t.Fatalf("median %v of %v", s.P50, values)
			}
		}
	})
}
