package main

import (
	"encoding/binary"
	"math"

	"gonum.org/v1/gonum/mathext"
)

// The grid of the cloud table: mean cloud 0.05..0.97 at equal steps of
// ln(m/(1-m)), concentration 1.2..3.0 by 0.3, standard normal deviate -4..4 by
// 1/16.
const (
	means, concentrations, deviates = 57, 7, 129
	leastCloud, mostCloud           = 0.05, 0.97
	powerKnots                      = 1025
	power                           = 3.4
)

func logit(m float64) float64 { return math.Log(m / (1 - m)) }

// packCloud writes three tables, little endian:
//
//	uint16 [means][concentrations][deviates]: the cloud at that quantile, in 1/65535
//	uint32 [means][concentrations]: the mean of cloud^3.4, in 1/(2^32-1)
//	uint32 [1025]: x^3.4 for x = 0, 1/1024 .. 1, in 1/(2^32-1)
func packCloud() []byte {
	var quantiles, averages, powers []byte
	for i := range means {
		y := logit(leastCloud) + (logit(mostCloud)-logit(leastCloud))*float64(i)/(means-1)
		m := 1 / (1 + math.Exp(-y))
		for j := range concentrations {
			nu := 1.2 + 0.3*float64(j)
			for k := range deviates {
				c := betaAt(-4+float64(k)/16, m*nu, (1-m)*nu)
				quantiles = binary.LittleEndian.AppendUint16(quantiles, uint16(math.Round(c*math.MaxUint16)))
			}
			averages = appendShare(averages, meanPower(m*nu, (1-m)*nu))
		}
	}
	for i := range powerKnots {
		powers = appendShare(powers, math.Pow(float64(i)/(powerKnots-1), power))
	}
	return append(append(quantiles, averages...), powers...)
}

func appendShare(b []byte, x float64) []byte {
	return binary.LittleEndian.AppendUint32(b, uint32(math.Round(x*math.MaxUint32)))
}

// betaAt returns the value of a beta variate that lies at the same quantile as
// the standard normal deviate z, by bisection. The upper half is taken from the
// mirrored distribution, where the probability keeps its digits.
func betaAt(z, a, b float64) float64 {
	if z > 0 {
		return 1 - betaAt(-z, b, a)
	}
	p := math.Erfc(-z/math.Sqrt2) / 2
	lo, hi := 0.0, 1.0
	for range 60 {
		mid := (lo + hi) / 2
		if mathext.RegIncBeta(a, b, mid) < p {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// meanPower returns E[C^p] of a beta variate: G(a+p) G(a+b) / (G(a) G(a+b+p)).
func meanPower(a, b float64) float64 {
	g := func(x float64) float64 { y, _ := math.Lgamma(x); return y }
	return math.Exp(g(a+power) + g(a+b) - g(a) - g(a+b+power))
}
