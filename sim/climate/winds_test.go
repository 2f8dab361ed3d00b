package climate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

// blowing is a climate with a mean speed in knots and a steadiness.
func blowing(mean, steadiness float64) Cell {
	return Cell{WindSpeed: units.Knots(mean), East: units.Knots(-mean * steadiness)}
}

// The shares of the reference's table of the Rice distribution. Its figures are
// rounded to 0.001 (0.0001 in the last column), and its sigma, which we share, to
// 0.0001; the table's steadiness beyond 0.94 counts as 0.94 here, so those rows
// are left out.
func TestUnderRiceTable(t *testing.T) {
	n := 0
	for _, r := range refdata.Read(t, "climate/rice_table.csv") {
		s := r.Float("steadiness")
		if s > steadiest {
			continue
		}
		c := blowing(20, s)
		assert.InDelta(t, r.Float("p_below_0.25_mean"), float64(c.Under(5)), 0.001, r.Where())
		assert.InDelta(t, r.Float("p_below_0.5_mean"), float64(c.Under(10)), 0.001, r.Where())
		assert.InDelta(t, r.Float("p_above_1.5_mean"), float64(1-c.Under(30)), 0.001, r.Where())
		assert.InDelta(t, r.Float("p_above_2_mean"), float64(1-c.Under(40)), 0.0003, r.Where())
		n++
	}
	assert.Equal(t, 19, n)
}

// The calms and gales that a long synthetic series must show. The reference's
// series of 20 years and more scatters by some thousandths in them, of which this
// test allows 0.004 (ours).
func TestUnderLongSeries(t *testing.T) {
	share := refdata.Check{
		Model: refdata.Climate, Quantity: "share of calms and gales of six waters",
		Source: "synthetic series of 20 years by another program", Status: refdata.Calculated, Tolerance: 0.004,
	}.Begin(t)
	n := 0
	for _, r := range refdata.Read(t, "climate/synth_expected.csv") {
		if r.Text("kind") != "wind" {
			continue
		}
		c := map[string]Cell{
			"trades 15N Jan":      blowing(8.3*knotsPerMS, 0.94),
			"doldrums 5N Feb":     blowing(5.2*knotsPerMS, 0.60),
			"horse latitudes":     blowing(6.0*knotsPerMS, 0.25),
			"N Atlantic 45N Jan":  blowing(11.3*knotsPerMS, 0.46),
			"roaring forties 45S": blowing(10.8*knotsPerMS, 0.65),
			"Southern Ocean 50S":  blowing(10.4*knotsPerMS, 0.80),
		}[r.Text("case")]
		if !assert.NotZero(t, c.WindSpeed, r.Where()) {
			continue
		}
		share.Within(float64(c.Under(2*knotsPerMS)), r.Float("p_calm_below_2ms"), r.Where())
		share.Within(1-float64(c.Under(17.2*knotsPerMS)), r.Float("p_gale_above_17.2ms"), r.Where())
		n++
	}
	assert.Equal(t, 6, n)
}

// Without a mean vector the speed is Rayleigh distributed: 1 - exp(-r²/2σ²)
// (textbook matter). Our sigma at steadiness 0 is sqrt(2/π) rounded.
func TestUnderRayleigh(t *testing.T) {
	c := blowing(10, 0)
	for _, r := range []float64{0.5, 4, 10, 20, 30} {
		assert.InDelta(t, 1-math.Exp(-r*r/2/(10*riceSigma[0])/(10*riceSigma[0])), float64(c.Under(units.Knots(r))), 1e-9)
	}
}

func TestUnderLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := blowing(rapid.Float64Range(2, 30).Draw(t, "mean"), rapid.Float64Range(0, 0.97).Draw(t, "steadiness"))
		a := rapid.Float64Range(0, 60).Draw(t, "speed")
		b := a + rapid.Float64Range(0, 10).Draw(t, "more")
		lo, hi := c.Under(units.Knots(a)), c.Under(units.Knots(b))
		if !(lo >= 0 && lo <= hi+1e-9 && hi <= 1) {
			t.Fatalf("under %g kn %g, under %g kn %g", a, lo, b, hi)
		}
		share := units.Fraction(rapid.Float64Range(0.01, 0.99).Draw(t, "share"))
		if back := c.Under(c.Speed(share)); math.Abs(float64(back-share)) > 0.005 {
			t.Fatalf("share %g comes back as %g", share, back)
		}
	})
}
