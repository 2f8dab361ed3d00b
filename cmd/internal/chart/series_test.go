package chart

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestBins(t *testing.T) {
	require.Equal(t, []float64{3, 10, 20, 25}, bins(3, 25, 10))
	require.Equal(t, []float64{9, 20, 30}, bins(9, 30, 10), "a stub joins the next")
	require.Equal(t, []float64{0, 10, 21}, bins(0, 21, 10), "a stub joins the one before")
	require.Equal(t, []float64{3, 4}, bins(3, 4, 10))
	require.Equal(t, []float64{9, 11}, bins(9, 11, 10))
}

// The area under the means is the area under the steps.
func TestMeansKeepArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(t, "steps")
		at := []float64{rapid.Float64Range(-50, 50).Draw(t, "start")}
		v := make([]float64, n)
		area := 0.0
		for i := range n {
			d := rapid.Float64Range(0.01, 40).Draw(t, "length")
			v[i] = rapid.Float64Range(0, 10).Draw(t, "value")
			at = append(at, at[i]+d)
			area += v[i] * d
		}
		edges := bins(at[0], at[n], 7)
		got := 0.0
		for i, m := range means(edges, at, func(i int) float64 { return v[i] }) {
			got += m * (edges[i+1] - edges[i])
			if m < 0 || m > 10+1e-9 {
				t.Fatalf("mean %v outside its values", m)
			}
		}
		if math.Abs(got-area) > 1e-9*(1+area) {
			t.Fatalf("area %v, want %v", got, area)
		}
	})
}

func TestThinKeepsExtremes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 3000).Draw(t, "points")
		seed := rapid.Float64Range(1, 50).Draw(t, "seed")
		s := Series{Width: 1.4}
		for i := range n {
			s.X = append(s.X, float64(i))
			s.Y = append(s.Y, math.Sin(float64(i*i)*seed))
		}
		got := thin(s, 0, float64(n-1), 100)
		if len(got.X) > 404 || !slices.IsSorted(got.X) || got.Width != 1.4 {
			t.Fatalf("%d points of %d, width %v", len(got.X), n, got.Width)
		}
		if slices.Max(got.Y) != slices.Max(s.Y) || slices.Min(got.Y) != slices.Min(s.Y) {
			t.Fatal("an extreme was lost")
		}
		if got.X[0] != 0 || got.X[len(got.X)-1] != float64(n-1) {
			t.Fatal("an end was lost")
		}
	})
}

func TestExtremes(t *testing.T) {
	low, high := extremes([]float64{0, 10, 20, 30}, []float64{0, 5, 9, 21, 30}, []float64{4, 1, 6, 3, 8})
	require.Equal(t, []float64{1, 6, 3}, low, "a bin without samples keeps the last")
	require.Equal(t, []float64{6, 6, 8}, high)
}

func TestNiceAndPace(t *testing.T) {
	for x, want := range map[float64]float64{0: 1, -3: 1, 0.7: 0.8, 1: 1, 1.1: 1.2, 28: 30, 61: 80, 100: 100} {
		require.InDelta(t, want, nice(x), 1e-9)
	}
	require.InDelta(t, 1.0, nice(math.Inf(1)), 0)
	for _, test := range [][3]float64{{30, 5, 10}, {8, 5, 2}, {100, 5, 20}, {0.4, 4, 0.1}, {0, 5, 1}} {
		require.InDelta(t, test[2], pace(test[0], int(test[1])), 1e-9)
	}
}
