package chart

import (
	"math"
	"time"
)

// seconds is a time on the axis: Unix seconds.
func seconds(t time.Time) float64 { return float64(t.UnixNano()) / 1e9 }

// moment is the inverse of seconds, to the second.
func moment(x float64) time.Time { return time.Unix(int64(math.Round(x)), 0).UTC() }

// bins cuts from..to at whole multiples of width in UTC. A first or last piece
// shorter than a quarter of the width joins its neighbour: a mean over two
// minutes is no mean of an hour.
func bins(from, to, width float64) []float64 {
	edges := []float64{from}
	for t := (math.Floor(from/width) + 1) * width; t < to; t += width {
		edges = append(edges, t)
	}
	edges = append(edges, to)
	if n := len(edges); n > 2 && edges[1]-edges[0] < width/4 {
		edges = append(edges[:1], edges[2:]...)
	}
	if n := len(edges); n > 2 && edges[n-1]-edges[n-2] < width/4 {
		edges = append(edges[:n-2], edges[n-1])
	}
	return edges
}

// means returns the means over time, in the bins, of a value that is constant
// during each step; at has one entry more than there are steps.
func means(edges, at []float64, value func(step int) float64) []float64 {
	out := make([]float64, len(edges)-1)
	b := 0
	for i := 0; i+1 < len(at); i++ {
		v := value(i)
		for b < len(out)-1 && edges[b+1] <= at[i] {
			b++
		}
		// A step may reach over several bins.
		for k := b; k < len(out) && edges[k] < at[i+1]; k++ {
			share := math.Min(at[i+1], edges[k+1]) - math.Max(at[i], edges[k])
			if share > 0 {
				out[k] += v * share
			}
		}
	}
	for k := range out {
		if d := edges[k+1] - edges[k]; d > 0 {
			out[k] /= d
		}
	}
	return out
}

// extremes returns the lowest and highest of samples in each bin; at are the
// times of the samples. A bin without samples takes the last one before it.
func extremes(edges, at, v []float64) (low, high []float64) {
	low, high = make([]float64, len(edges)-1), make([]float64, len(edges)-1)
	i := 0
	last := 0.0
	if len(v) > 0 {
		last = v[0]
	}
	for k := range low {
		low[k], high[k] = last, last
		for first := true; i < len(v) && (at[i] < edges[k+1] || k == len(low)-1); i++ {
			if first {
				low[k], high[k] = v[i], v[i]
				first = false
			}
			low[k], high[k] = math.Min(low[k], v[i]), math.Max(high[k], v[i])
			last = v[i]
		}
	}
	return low, high
}

// thin keeps at most four points in each of columns equal pieces of the time
// axis: the first, the lowest, the highest and the last, in order of time.
func thin(s Series, from, to float64, columns int) Series {
	if len(s.X) <= 2*columns || to <= from {
		return s
	}
	out := Series{Name: s.Name, Ink: s.Ink, Width: s.Width, Dash: s.Dash}
	keep := func(i int) { out.X, out.Y = append(out.X, s.X[i]), append(out.Y, s.Y[i]) }
	column := func(x float64) int { return int((x - from) / (to - from) * float64(columns)) }
	for i := 0; i < len(s.X); {
		j, lo, hi := i, i, i
		for ; j < len(s.X) && column(s.X[j]) == column(s.X[i]); j++ {
			if s.Y[j] < s.Y[lo] {
				lo = j
			}
			if s.Y[j] > s.Y[hi] {
				hi = j
			}
		}
		keep(i)
		for _, k := range []int{min(lo, hi), max(lo, hi)} {
			if k != i && k != j-1 && (k != lo || lo != hi) {
				keep(k)
			}
		}
		if j-1 > i {
			keep(j - 1)
		}
		i = j
	}
	return out
}

// nice returns the smallest round number >= x that a scale may end at.
func nice(x float64) float64 {
	if !(x > 0) || math.IsInf(x, 0) {
		return 1
	}
	p := math.Pow(10, math.Floor(math.Log10(x)))
	for _, m := range []float64{1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10} {
		if x <= m*p*(1+1e-9) {
			return m * p
		}
	}
	return 10 * p
}

// pace returns a round step that cuts span into at most most pieces.
func pace(span float64, most int) float64 {
	if !(span > 0) || math.IsInf(span, 0) {
		return 1
	}
	p := math.Pow(10, math.Floor(math.Log10(span/float64(most))))
	for _, m := range []float64{1, 2, 5, 10} {
		if span/(m*p) <= float64(most)*(1+1e-9) {
			return m * p
		}
	}
	return 10 * p
}
