package climate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/mathext"
)

// Against gonum's AS 241 with 16 digits. PPND7 is published as good to about one
// part in 10^7.
func TestQuantile(t *testing.T) {
	var most float64
	check := func(p float64) {
		want := mathext.NormalQuantile(p)
		most = max(most, math.Abs(quantile(p)-want)/max(1, math.Abs(want)))
	}
	for i := 1; i < 20000; i++ {
		check(float64(i) / 20000)
	}
	for e := 2; e < 54; e++ {
		check(math.Ldexp(1, -e))
		check(1 - math.Ldexp(1, -e))
	}
	assert.Less(t, most, 1.5e-7)
	t.Logf("worst %.2g", most)

	assert.Zero(t, quantile(0.5))
	assert.InDelta(t, 1.959963985, quantile(0.975), 2e-7) // any table of the normal distribution
	assert.Equal(t, -quantile(0.25), quantile(0.75))
}

func TestLogarithm(t *testing.T) {
	for x := 1e-16; x < 1e16; x *= 1.0371 {
		assert.InDelta(t, math.Log(x), logarithm(x), 1e-10, "%g", x)
	}
}

func TestDirection(t *testing.T) {
	for i := range 36000 {
		a := float64(i) / 100
		s, c := math.Sincos(a * math.Pi / 180)
		d := direction(7*s, 7*c) - a
		d -= 360 * math.Round(d/360)
		if math.Abs(d) > 1e-7 {
			t.Fatalf("direction at %g° is off by %g°", a, d)
		}
	}
	for _, x := range []struct{ east, north, want float64 }{
		{0, 0, 0}, {0, 1, 0}, {1, 1, 45}, {1, 0, 90}, {1, -1, 135}, {0, -1, 180}, {-1, 0, 270}, {-1, 1, 315},
	} {
		assert.InDelta(t, x.want, direction(x.east, x.north), 1e-7, "%v", x)
	}
	almost := direction(-1e-30, 1) // rounds to 360
	assert.True(t, almost >= 0 && almost < 360, "%v", almost)
}
