package trial

import (
	"math"
	"time"

	"gonum.org/v1/gonum/mat"

	"ampwake/scenarios"
	"ampwake/sim"
	"ampwake/sim/units"
)

// z80 is the quantile of the normal distribution that holds 80 % between itself
// and its opposite.
const z80 = 1.2815515655446004

// Fit is what a log tells of a boat.
type Fit struct {
	Logged  *Logged
	Days    float64 // from the first to the last row
	Factors []Estimate
	// Cov is the covariance of the logarithms of Factors, in their order.
	Cov *mat.SymDense
	// Use is all loads together over what the plan would have used on this way.
	Use Estimate
	// Start is the state of charge at the first row, Offset the error that all
	// voltages share; both with their standard deviation.
	Start, StartSpread   float64
	Offset, OffsetSpread units.Volts

	Readings []Reading
	Charge   []ChargeAt // every hour or so, and at each row
	// Result is the voyage at the most likely factors.
	Result *sim.Result
	// Bent lists factors about which the log speaks more clearly on one side than
	// on the other, so that the interval is a rough one.
	Bent []scenarios.Factor

	// Rough tells that the bank runs flat in the fit, which makes it jagged: the
	// spreads are at least half of those before.
	Rough bool
	// Poor tells that the readings lie farther from the fit than their noise has
	// them lie: no boat near that of the scenario comes to them, and neither factors
	// nor spreads are to be trusted.
	Poor bool

	planned *prediction // at the factors of the scenario
	solver  *solver
}

// Estimate is what is known of one factor: its logarithm is normal.
type Estimate struct {
	Factor scenarios.Factor // for Fit.Use, none
	Mean   float64          // of the logarithm
	Spread float64          // its standard deviation
	Prior  float64          // the same before the log
	// More is how many more days like these would halve the spread; +Inf if none
	// would.
	More float64
}

// Value returns the factor.
func (e Estimate) Value() float64 { return math.Exp(e.Mean) }

// Interval returns the two factors between which it lies with 80 % probability.
func (e Estimate) Interval() (low, high float64) {
	return math.Exp(e.Mean - z80*e.Spread), math.Exp(e.Mean + z80*e.Spread)
}

// Settled tells how much of a factor the log settles.
type Settled uint8

// The degrees.
const (
	Open   Settled = iota // nothing to speak of: it is what was assumed
	Partly                // something
	Well                  // it depends on the log rather than on what was assumed
)

// String says it in a word or two.
func (s Settled) String() string { return [...]string{"not settled", "partly", "settled"}[s] }

// Settled compares the spread with that before the log: a log that leaves more
// than 85 % of it has not settled the factor, one that leaves less than half has.
func (e Estimate) Settled() Settled {
	switch share := e.Spread / e.Prior; {
	case share > 0.85:
		return Open
	case share > 0.5:
		return Partly
	}
	return Well
}

// Reading is one reading beside what the fit says.
type Reading struct {
	Kind   Kind
	Line   int
	Time   time.Time
	Zone   int
	Value  float64 // V or Ah
	Fitted float64 // with what is likely of each day
	Sigma  float64 // its own noise
	// Plain is what the fit says without what is likely of each day, and
	// PlainSigma what noise and days together may differ from it.
	Plain, PlainSigma float64
	// Charge is the state of charge that a voltage tells of by itself, with its
	// standard deviation; 0 and 0 for a counter.
	Charge, ChargeSpread float64
	// Odd readings lie so far from the rest that they count less.
	Odd bool
}

// ChargeAt is the state of charge at a moment: the most likely, and the bounds
// of 80 %.
type ChargeAt struct {
	Time            time.Time
	Mean, Low, High float64
	Spread          float64 // standard deviation
	Planned         float64 // with the factors of the scenario, on the way of the log
}

// Corrections returns the most likely factors.
func (f *Fit) Corrections() scenarios.Corrections {
	c := scenarios.Uncorrected()
	for _, e := range f.Factors {
		c[e.Factor] = e.Value()
	}
	return c
}

// Apart returns the correlation of two factors after the log: near 1 or -1 the
// log cannot tell them apart.
func (f *Fit) Apart(i, j int) float64 {
	return f.Cov.At(i, j) / math.Sqrt(f.Cov.At(i, i)*f.Cov.At(j, j))
}

// Confused lists pairs of factors, indexes into Factors, of which the log tells
// the sum or the difference better than each, worst first. Factors that the log
// left open are not in it.
func (f *Fit) Confused() [][2]int {
	const worth = 0.45
	var pairs [][2]int
	for i := range f.Factors {
		for j := i + 1; j < len(f.Factors); j++ {
			if f.Factors[i].Settled() != Open && f.Factors[j].Settled() != Open && math.Abs(f.Apart(i, j)) >= worth {
				pairs = append(pairs, [2]int{i, j})
			}
		}
	}
	for a := range pairs {
		for b := a + 1; b < len(pairs); b++ {
			if math.Abs(f.Apart(pairs[b][0], pairs[b][1])) > math.Abs(f.Apart(pairs[a][0], pairs[a][1])) {
				pairs[a], pairs[b] = pairs[b], pairs[a]
			}
		}
	}
	return pairs
}

// Scatter returns the root mean square of the voltages about the fit, V, and how
// many there are.
func (f *Fit) Scatter() (rms float64, n int) {
	for _, r := range f.Readings {
		if r.Kind != Counted && !r.Odd {
			rms += (r.Value - r.Fitted) * (r.Value - r.Fitted)
			n++
		}
	}
	if n == 0 {
		return 0, 0
	}
	return math.Sqrt(rms / float64(n)), n
}
