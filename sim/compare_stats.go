package sim

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Change is how a quantity of one kit differs from that of another in the same
// weathers. What the weather does to both alike is not in it, so that it is much
// surer than the difference of two runs in different weathers.
type Change[Q ~float64] struct {
	Count int // weathers
	Mean  Q   // of the kit
	By    Q   // mean of the kit's less the other's
	// Low and High are the 95 % interval of the true mean difference: infinite
	// for fewer than two weathers.
	Low, High  Q
	More, Less int // weathers in which the kit has more or less than the other
}

// NewChange returns the change from the values of another kit to ours, pair by
// pair, with the interval of Student's t for paired values: Student, Biometrika 6
// (1908) 1. It supposes that the mean of the differences is about normal, which
// holds for a hundred weathers even where most differences are 0. It panics if
// the two differ in length.
func NewChange[Q ~float64](ours, theirs []Q) Change[Q] {
	if len(ours) != len(theirs) {
		panic("sim: change between values that are not paired")
	}
	n := len(ours)
	c := Change[Q]{Count: n, Low: Q(math.Inf(-1)), High: Q(math.Inf(1))}
	if n == 0 {
		return c
	}
	mean, by := 0.0, 0.0
	for i := range ours {
		mean += float64(ours[i])
		by += float64(ours[i] - theirs[i])
		switch {
		case ours[i] > theirs[i]:
			c.More++
		case ours[i] < theirs[i]:
			c.Less++
		}
	}
	mean, by = mean/float64(n), by/float64(n)
	c.Mean, c.By = Q(mean), Q(by)
	if n == 1 {
		return c
	}
	squares := 0.0
	for i := range ours {
		d := float64(ours[i]-theirs[i]) - by
		squares += float64(d * d)
	}
	t := distuv.StudentsT{Sigma: 1, Nu: float64(n - 1)}.Quantile(0.975)
	half := float64(t * math.Sqrt(squares/float64(n-1)/float64(n))) // rounded: the interval is the same turned round
	c.Low, c.High = Q(by-half), Q(by+half)
	return c
}

// ShareChange is in how many weathers one kit holds and another does not.
type ShareChange struct {
	Both, Won, Lost, Neither int     // weathers in which both, only the kit, only the other, neither holds
	By                       float64 // share of the kit less that of the other: (Won - Lost) / all
	Low, High                float64 // 95 % interval of the true difference
}

// NewShareChange returns the difference of two shares of the same weathers with
// the square-and-add interval: Newcombe, Statistics in Medicine 17 (1998) 2635,
// method 10. It joins the score intervals of the two shares (NewShare) by their
// correlation, so it is right also where none or all of the weathers hold; that
// two kits never differed in n weathers does not make it 0 wide. With no weathers
// it is -1 to 1.
func NewShareChange(both, won, lost, neither int) ShareChange {
	n := both + won + lost + neither
	c := ShareChange{Both: both, Won: won, Lost: lost, Neither: neither, Low: -1, High: 1}
	if n == 0 {
		return c
	}
	ours, theirs := NewShare(both+won, n), NewShare(both+lost, n)
	c.By = float64(won-lost) / float64(n)
	phi := agreement(both, won, lost, neither)
	reach := func(a, b float64) float64 { // [Newcombe 1998] p. 2638
		return math.Sqrt(max(0, float64(a*a)-float64(2*phi*a*b)+float64(b*b)))
	}
	c.Low = max(-1, c.By-reach(ours.P-ours.Low, theirs.High-theirs.P))
	c.High = min(1, c.By+reach(ours.High-ours.P, theirs.P-theirs.Low))
	return c
}

// agreement is the correlation of two shares, drawn towards 0 where it is
// positive: [Newcombe 1998] method 10. It is 0 where one of the shares is none or
// all.
func agreement(both, won, lost, neither int) float64 {
	a, b, c, d := float64(both), float64(won), float64(lost), float64(neither)
	product := (a + b) * (c + d) * (a + c) * (b + d)
	if product == 0 {
		return 0
	}
	q := float64(a*d) - float64(b*c)
	if q > 0 {
		q = max(0, q-(a+b+c+d)/2)
	}
	return q / math.Sqrt(product)
}
