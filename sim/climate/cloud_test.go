package climate

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/mathext"

	"ampwake/sim/units"
)

// Kasten-Czeplak at the mean cloud over its mean for beta-distributed cloud, in
// per cent too much: the table of section 7 of the reference, which prints whole
// per cents. tol: half a unit of the last digit.
func TestBiasOfMeanCloud(t *testing.T) {
	for nu, row := range map[float64][]float64{
		3.0: {4, 6, 9, 11, 13, 14, 12},
		1.2: {9, 13, 17, 21, 24, 25, 21},
		0.6: {14, 20, 25, 31, 35, 36, 29},
	} {
		for i, want := range row {
			m := 0.3 + 0.1*float64(i)
			atMean := 1 - 0.75*math.Pow(m, 3.4)
			mean := 1 - 0.75*meanPower(m, nu)
			assert.InDelta(t, want, 100*(atMean/mean-1), 0.5, "mean cloud %.1f, nu %.1f", m, nu)
		}
	}
}

// The analytic mean sun factors that synth_expected.csv prints in its text, to
// three digits.
func TestMeanThrough(t *testing.T) {
	for _, x := range []struct{ cloud, nu, want, atMean float64 }{
		{0.50, 3.00, 0.864, 0.934},
		{0.62, 3.00, 0.781, 0.862},
		{0.72, 1.20, 0.631, 0.771},
		{0.82, 1.20, 0.528, 0.643},
		{0.50, 1.65, 0.828, 0.934},
	} {
		assert.InDelta(t, x.want, float64(MeanThrough(units.Fraction(x.cloud), x.nu)), 0.0005, "%v", x)
		assert.InDelta(t, x.atMean, float64(Through(units.Fraction(x.cloud))), 0.0005, "%v", x)
	}
	assert.Equal(t, MeanThrough(0.05, 2), MeanThrough(0, 2), "clamped")
	assert.Equal(t, MeanThrough(0.97, 2), MeanThrough(1, 2), "clamped")
	assert.EqualValues(t, 1, Through(-0.1))
	assert.InDelta(t, 0.30, float64(Through(1.1)), 1e-12)
	assert.Panics(t, func() { MeanThrough(0.5, 0) })
}

// The concentrations and their corners as the reference recommends (section 6).
func TestConcentration(t *testing.T) {
	for lat, want := range map[units.Degrees]float64{0: 3, 25: 3, -25: 3, 31: 2.1, -31: 2.1, 37: 1.2, 70: 1.2, -60: 1.2} {
		assert.InDelta(t, want, Concentration(lat), 1e-12, "%v", lat)
	}
}

// The table of quantiles against gonum's incomplete beta function, between its
// knots: what is interpolated at a quantile must be found there again.
func TestCloudTable(t *testing.T) {
	var most, bias, biasCloud, factor float64
	where := ""
	step := 1.0 / 12
	if testing.Short() {
		step = 1.0 / 4
	}
	for m := 0.05; m < 0.9701; m += 0.0173 {
		for nu := 1.2; nu < 3.01; nu += 0.15 {
			a, b := m*nu, (1-m)*nu
			var sum, sumC, exact, exactC, weight float64
			for z := -4.0; z <= 4; z += step {
				c := cloudAt(z, m, nu)
				want := betaQuantile(z, a, b)
				if d := math.Abs(throughAt(c) - float64(Through(units.Fraction(want)))); d > most {
					most, where = d, strconv.FormatFloat(m, 'f', 3, 64)+" "+strconv.FormatFloat(nu, 'f', 2, 64)+" "+strconv.FormatFloat(z, 'f', 2, 64)
				}
				w := math.Exp(-z * z / 2)
				weight += w
				sum, sumC = sum+w*throughAt(c), sumC+w*c
				exact, exactC = exact+w*float64(Through(units.Fraction(want))), exactC+w*want
			}
			bias = max(bias, math.Abs(sum-exact)/weight)
			biasCloud = max(biasCloud, math.Abs(sumC-exactC)/weight)
			factor = max(factor, math.Abs(meanThroughAt(m, nu)-float64(MeanThrough(units.Fraction(m), nu))))
		}
	}
	t.Logf("Through: worst %.4f at (m nu z) %s, mean %.5f; mean cloud %.5f; MeanThrough %.6f", most, where, bias, biasCloud, factor)
	assert.Less(t, most, 0.003, "sun factor at a quantile")
	assert.Less(t, bias, 0.0005, "mean sun factor")
	assert.Less(t, biasCloud, 0.0005, "mean cloud")
	assert.Less(t, factor, 0.0007, "expectation of the sun factor")
}

// betaQuantile finds by bisection the beta variate at the quantile of z.
func betaQuantile(z, a, b float64) float64 {
	if z > 0 {
		return 1 - betaQuantile(-z, b, a)
	}
	p := math.Erfc(-z/math.Sqrt2) / 2
	lo, hi := 0.0, 1.0
	for range 30 {
		mid := (lo + hi) / 2
		if mathext.RegIncBeta(a, b, mid) < p {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

func TestThroughTable(t *testing.T) {
	for i := range 100_001 {
		c := float64(i) / 100_000
		if d := math.Abs(throughAt(c) - (1 - 0.70*math.Pow(c, 3.4))); d > 1e-6 {
			t.Fatalf("Through(%g) is off by %g", c, d)
		}
	}
}

// Cloud stays a share and grows with the deviate, at the ends of the table too.
func TestCloudRises(t *testing.T) {
	for _, m := range []float64{0, 0.05, 0.5, 0.969, 0.97, 1} {
		for _, nu := range []float64{0.5, 1.2, 2, 3, 9} {
			last := -1.0
			for z := -9.0; z < 9; z += 0.05 {
				c := cloudAt(z, m, nu)
				if !(c >= 0 && c <= 1 && c >= last) {
					t.Fatalf("cloud %g after %g at z %g, m %g, nu %g", c, last, z, m, nu)
				}
				last = c
			}
		}
	}
}
