package climate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"ampwake/testdata/refdata"
)

// The array equals the reference table up to 0.95, and between the knots it is
// linear.
func TestRiceTable(t *testing.T) {
	n := 0
	for _, r := range refdata.Read(t, "climate/rice_table.csv") {
		s := r.Float("steadiness")
		if s > 0.951 {
			continue
		}
		i := int(math.Round(s * 20))
		assert.Equal(t, r.Float("sigma_over_mean_speed"), riceSigma[i], r.Where())
		if s < steadiest {
			assert.InDelta(t, riceSigma[i], sigmaOverMean(s), 1e-12, r.Where())
			assert.InDelta(t, (riceSigma[i]+riceSigma[min(i+1, 19)])/2, sigmaOverMean(min(s+0.025, steadiest)), 1e-3)
		}
		n++
	}
	assert.Equal(t, len(riceSigma), n)
	assert.Equal(t, sigmaOverMean(0.94), sigmaOverMean(0.97), "capped")
}

// The wind made with the table has the mean speed asked for: the mean of the
// Rice distribution, integrated here over the two Gaussians, is within 0.3 % of
// it at every steadiness up to 0.94 (own check; the reference states none).
func TestRiceMean(t *testing.T) {
	const h = 0.05
	var most float64
	for s := 0.0; s <= steadiest+1e-9; s += 0.01 {
		sigma := sigmaOverMean(s)
		var mean, cv float64
		for x := -6.0; x <= 6; x += h {
			for y := -6.0; y <= 6; y += h {
				w := math.Hypot(s+sigma*x, sigma*y)
				p := math.Exp(-(x*x+y*y)/2) / (2 * math.Pi) * h * h
				mean += p * w
				cv += p * w * w
			}
		}
		most = max(most, math.Abs(mean-1))
		cv = math.Sqrt(cv-mean*mean) / mean
		assert.InDelta(t, 0.42, cv, 0.13, "cv at steadiness %g", s)
	}
	assert.Less(t, most, 0.003)
	t.Logf("mean speed within %.3f %%", 100*most)
}
