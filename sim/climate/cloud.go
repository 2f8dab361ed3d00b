package climate

import (
	_ "embed" // for the cloud tables
	"math"

	"ampwake/sim/units"
)

// What cloud does to the sun: [Kasten-Czeplak 1980] with 0.70 for their 0.75,
// which lies between Hamburg, a maritime island of Alaska and the okta model of
// F. W. Dobson and S. D. Smith 1988 for the ocean.
const (
	opacity = 0.70
	power   = 3.4
)

// The monthly mean cloud is kept away from the ends, where a beta distribution
// degenerates; the table holds 0.11..0.95.
const leastCloud, mostCloud = 0.05, 0.97

// Through returns the share of clear-sky global irradiance that comes through an
// instantaneous cloud amount, clamped to [0, 1]: 1 - 0.70 C^3.4.
func Through(cloud units.Fraction) units.Fraction {
	return 1 - opacity*units.Fraction(math.Pow(min(max(float64(cloud), 0), 1), power))
}

// MeanThrough returns the expectation of [Through] where only the mean cloud is
// known: 1 - 0.70 E[C^3.4] of a beta distribution [Falls 1974] with the given
// mean, clamped to [0.05, 0.97], and concentration > 0 (see [Concentration]).
// The factor at the mean cloud would be 4 to 25 % too high.
func MeanThrough(cloud units.Fraction, concentration float64) units.Fraction {
	return 1 - opacity*units.Fraction(meanPower(float64(cloud), concentration))
}

// meanPower returns E[C^3.4] = G(a+p) G(a+b) / (G(a) G(a+b+p)), G the gamma
// function, a = m nu, b = (1-m) nu.
func meanPower(m, nu float64) float64 {
	if !(nu > 0) {
		panic("climate: concentration of cloud must be positive")
	}
	a := nu * min(max(m, leastCloud), mostCloud)
	g := func(x float64) float64 { y, _ := math.Lgamma(x); return y }
	return math.Exp(g(a+power) + g(nu) - g(a) - g(nu+power))
}

// Concentration returns how closely cloud keeps to its monthly mean m at a
// latitude: nu = m (1-m)/variance - 1 of the beta distribution. It is 3.0 up to
// 25°, 1.2 from 37° on and linear between: ships of 1879-83 show 2.8-3.4 and
// 1.65-2.0, reports of July 1985 1.4-5 and 0.6-1.3. With 0.8 or 1.8 in place of
// 1.2 mid-latitude insolation moves by 4 % down or up.
func Concentration(latitude units.Degrees) float64 { return concentration(float64(latitude)) }

func concentration(latitude float64) float64 {
	return 3.0 - float64(1.8*ramp(latitude, 25, 37))
}

// ramp returns 0 up to a latitude, either side of the equator, 1 from another
// on, and the straight line between.
func ramp(latitude, from, to float64) float64 {
	return min(max((math.Abs(latitude)-from)/(to-from), 0), 1)
}

// The tables of the cloud, three behind each other; internal/pack says how.
//
//go:embed cloud.bin
var cloudTables string

const (
	cloudMeans, cloudConcentrations, cloudDeviates = 57, 7, 129
	powerSteps                                     = 1024

	averagesAt = 2 * cloudMeans * cloudConcentrations * cloudDeviates
	powersAt   = averagesAt + 4*cloudMeans*cloudConcentrations
)

// knot returns the knot below a mean cloud and a concentration in the tables and
// how far beyond it they lie, in steps; both are clamped to the tables. Knots lie
// at equal steps of ln(m/(1-m)), in which the quantiles are smooth.
func knot(m, nu float64) (i, j int, s, t float64) {
	const least, most = -2.9444389791664403, 3.4760986898352733 // at 0.05 and 0.97
	m = min(max(m, leastCloud), mostCloud)
	x := min(max(float64((logarithm(m/(1-m))-least)*((cloudMeans-1)/(most-least))), 0), cloudMeans-1)
	y := float64((min(max(nu, 1.2), 3.0) - 1.2) * (1 / 0.3))
	i, j = min(int(x), cloudMeans-2), min(int(y), cloudConcentrations-2)
	return i, j, x - float64(i), y - float64(j)
}

// cloudAt returns the cloud amount at the quantile of the standard normal
// deviate z, clamped to [-4, 4]: inverse beta CDF(Phi(z); m nu, (1-m) nu),
// interpolated. Through of it is within 0.003 of that of the exact value, and its
// mean over all z within 0.0005.
func cloudAt(z, m, nu float64) float64 {
	i, j, s, t := knot(m, nu)
	x := (min(max(z, -4), 4) + 4) * 16
	k := min(int(x), cloudDeviates-2)
	r := x - float64(k)
	at := (i*cloudConcentrations+j)*cloudDeviates + k
	a := float64((1-t)*alongZ(at, r)) + float64(t*alongZ(at+cloudDeviates, r))
	at += cloudConcentrations * cloudDeviates
	b := float64((1-t)*alongZ(at, r)) + float64(t*alongZ(at+cloudDeviates, r))
	return float64((float64((1-s)*a) + float64(s*b)) * (1.0 / math.MaxUint16))
}

// alongZ interpolates between two neighbouring quantiles.
func alongZ(at int, r float64) float64 {
	p := cloudTables[2*at : 2*at+4]
	a, b := int(p[0])|int(p[1])<<8, int(p[2])|int(p[3])<<8
	return float64(a) + float64(r*float64(b-a))
}

// throughAt returns 1 - 0.70 c^3.4 for c in [0, 1], within 1e-6.
func throughAt(c float64) float64 {
	x := c * powerSteps
	i := min(int(x), powerSteps-1)
	a, b := share(powersAt+4*i), share(powersAt+4*i+4)
	return 1 - float64(opacity*(a+float64((x-float64(i))*(b-a))))
}

// meanThroughAt returns what MeanThrough does, within 0.0007, for concentrations
// in [1.2, 3.0].
func meanThroughAt(m, nu float64) float64 {
	i, j, s, t := knot(m, nu)
	at := averagesAt + 4*(i*cloudConcentrations+j)
	a := float64((1-t)*share(at)) + float64(t*share(at+4))
	at += 4 * cloudConcentrations
	b := float64((1-t)*share(at)) + float64(t*share(at+4))
	return 1 - float64(opacity*(float64((1-s)*a)+float64(s*b)))
}

// share reads a number in [0, 1].
func share(at int) float64 {
	p := cloudTables[at : at+4]
	return float64(float64(uint32(p[0])|uint32(p[1])<<8|uint32(p[2])<<16|uint32(p[3])<<24) * (1.0 / math.MaxUint32))
}

// throughOf returns the sun factor of a cloud amount, of the moment or on
// average at a latitude.
func throughOf(cloud, latitude float64, average bool) units.Fraction {
	if average {
		return units.Fraction(meanThroughAt(cloud, concentration(latitude)))
	}
	return units.Fraction(throughAt(min(max(cloud, 0), 1)))
}

// skyQuantiles are the standard normal quantiles of 1/16, 3/16 .. 15/16.
var skyQuantiles = [len(Skies{})]float64{-1.5341205444, -0.8871465590, -0.4887764111, -0.1573106846, 0.1573106846, 0.4887764111, 0.8871465590, 1.5341205444}

// deal fills in the skies that a mean cloud at a latitude is made of: the values
// of the beta distribution at those quantiles, moved by a common factor so that
// their mean is through.
func (s *Skies) deal(cloud, latitude float64, through units.Fraction) {
	nu := concentration(latitude)
	var sum units.Fraction
	for i, z := range skyQuantiles {
		s[i] = units.Fraction(throughAt(cloudAt(z, cloud, nu)))
		sum += s[i]
	}
	// Dark skies are moved most: they lie farthest from clear.
	if dark := units.Fraction(len(s)) - sum; dark > 0 {
		scale := units.Fraction(len(s)) * (1 - through) / dark
		for i := range s {
			s[i] = 1 - (1-s[i])*scale
		}
	}
}
