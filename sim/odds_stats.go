package sim

import (
	"math"
	"slices"
)

// Share is how many of a number of weathers have something, and the share that
// this tells of.
type Share struct {
	Count, Of int
	P         float64 // Count over Of; 0 if Of is 0
	Low, High float64 // 95 % interval of the true share
}

// z95 is the 0.975 quantile of the normal distribution.
const z95 = 1.959963984540054

// NewShare returns the share of count in of, 0 <= count <= of, with the score
// interval: Wilson, Journal of the American Statistical Association 22 (1927)
// 209. It holds the true share in about 95 of 100 such runs, also where none or
// all of the weathers have it. With nothing counted it is 0 to 1.
func NewShare(count, of int) Share {
	if count < 0 || count > of {
		panic("sim: share of more than all, or less than none")
	}
	if of == 0 {
		return Share{High: 1}
	}
	n, p := float64(of), float64(count)/float64(of)
	const zz = z95 * z95
	scale := 1 / (1 + zz/n)
	centre := scale * (p + zz/(2*n))
	half := scale * z95 * math.Sqrt(float64(p*(1-p)/n)+zz/(4*n*n))
	s := Share{Count: count, Of: of, P: p, Low: max(0, centre-half), High: min(1, centre+half)}
	switch count { // exactly, where rounding leaves a hair
	case 0:
		s.Low = 0
	case of:
		s.High = 1
	}
	return s
}

// Spread tells how a quantity differs between weathers. P10, P50 and P90 are
// quantiles of type 7 of Hyndman and Fan, The American Statistician 50 (1996)
// 361: of n values in order x[0] … x[n-1] the quantile p lies at place (n-1)p,
// with a straight line between neighbours. All are 0 if Count is 0.
type Spread[Q ~float64] struct {
	Count                   int
	Min, P10, P50, P90, Max Q
}

// NewSpread returns the spread of values, which it leaves as they are. None of
// them may be NaN.
func NewSpread[Q ~float64](values []Q) Spread[Q] {
	if len(values) == 0 {
		return Spread[Q]{}
	}
	return spreadOf(slices.Clone(values))
}

// spreadOf is NewSpread for values that may be put in order.
func spreadOf[Q ~float64](values []Q) Spread[Q] {
	n := len(values)
	if n == 0 {
		return Spread[Q]{}
	}
	slices.Sort(values)
	return Spread[Q]{
		Count: n, Min: values[0], Max: values[n-1],
		P10: quantile(values, 0.1), P50: quantile(values, 0.5), P90: quantile(values, 0.9),
	}
}

// quantile returns the quantile p, 0 <= p <= 1, of sorted values: [Hyndman and
// Fan 1996] definition 7.
func quantile[Q ~float64](sorted []Q, p float64) Q {
	place := p * float64(len(sorted)-1)
	i := int(place)
	if i >= len(sorted)-1 {
		return sorted[len(sorted)-1]
	}
	a, b := sorted[i], sorted[i+1]
	return a + Q(float64(float64(b-a)*(place-float64(i))))
}
