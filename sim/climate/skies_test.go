package climate

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mathext"

	"ampwake/sim/units"
)

// The skies of a mean cloud keep its mean, and are those of the beta
// distribution: checked against gonum's inverse of the incomplete beta function.
func TestSkiesOfAMean(t *testing.T) {
	for _, lat := range []float64{0, 30, 50} {
		nu := concentration(lat)
		for _, m := range []float64{0.1, 0.3, 0.5, 0.7, 0.9} {
			through := throughOf(m, lat, true)
			var s Skies
			s.deal(m, lat, through)
			var sum, worst units.Fraction
			for i := range s {
				p := (float64(i) + 0.5) / float64(len(s))
				sum += s[i]
				exact := Through(units.Fraction(mathext.InvRegIncBeta(m*nu, (1-m)*nu, p)))
				worst = max(worst, max(s[i]-exact, exact-s[i]))
				require.True(t, s[i] >= 0 && s[i] <= 1, "sky %d of %v at %v°: %v", i, m, lat, s[i])
			}
			require.InDelta(t, float64(through), float64(sum)/float64(len(s)), 1e-12, "mean of %v at %v°", m, lat)
			// Eight skies have a mean of their own a little way off, and take a
			// common factor for it.
			require.Less(t, float64(worst), 0.08, "cloud %v at %v°", m, lat)
		}
	}
}
