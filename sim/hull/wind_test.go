package hull_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"ampwake/sim/hull"
	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

func TestApparent(t *testing.T) {
	felt := refdata.Check{
		Model: refdata.Water, Quantity: "apparent wind",
		Source: "vector sums; printed to 1e-4 kn", Status: refdata.Calculated, Tolerance: 0.5e-4 + 1e-9, Unit: "kn",
	}.Begin(t)
	for _, row := range refdata.Read(t, "hydro/apparent_wind_check.csv") {
		wind, angle := units.Knots(row.Float("true_wind_kn")), units.Degrees(row.Float("true_wind_angle_deg"))
		speed, from := hull.Apparent(wind, angle, units.Knots(row.Float("boat_speed_kn")))
		felt.Within(float64(speed), row.Float("apparent_wind_kn"), row.Text("id"))
		assert.InDelta(t, row.Float("apparent_wind_angle_deg"), float64(from), 0.5e-3+1e-9, row.Text("id"))
		// The other tack, written as a bearing beyond 180°.
		if angle < 180 {
			speed2, from2 := hull.Apparent(wind, 360-angle, units.Knots(row.Float("boat_speed_kn")))
			assert.InDelta(t, float64(speed), float64(speed2), 1e-12)
			assert.InDelta(t, -float64(from), float64(from2), 1e-12)
		}
	}
	speed, from := hull.Apparent(0, 70, 0)
	assert.Zero(t, speed)
	assert.Zero(t, from)
	speed, from = hull.Apparent(0, 70, 6)
	assert.InDelta(t, 6, float64(speed), 1e-12)
	assert.Zero(t, from)
}

func TestFromBow(t *testing.T) {
	for _, c := range []struct{ bearing, heading, want units.Degrees }{
		{45, 0, 45}, {10, 350, 20}, {350, 10, -20}, {180, 0, 180}, {0, 180, 180}, {90, 271, 179}, {725, 0, 5}, {0, 0, 0}, {-540, 0, 180},
	} {
		assert.InDelta(t, float64(c.want), float64(hull.FromBow(c.bearing, c.heading)), 1e-12, "FromBow(%v, %v)", c.bearing, c.heading)
	}
}

// The triangle closes: taking the boat's own wind off again leaves the true wind.
func TestApparentCloses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := rapid.Float64Range(0, 60).Draw(t, "wind")
		a := rapid.Float64Range(-720, 720).Draw(t, "angle")
		b := rapid.Float64Range(0, 20).Draw(t, "boat")
		speed, from := hull.Apparent(units.Knots(w), units.Degrees(a), units.Knots(b))
		sin, cos := math.Sincos(float64(from) * math.Pi / 180)
		ahead, abeam := float64(speed)*cos-b, float64(speed)*sin
		wantSin, wantCos := math.Sincos(a * math.Pi / 180)
		if math.Abs(ahead-w*wantCos) > 1e-9 || math.Abs(abeam-w*wantSin) > 1e-9 {
			t.Fatalf("wind %v at %v with %v: %v at %v", w, a, b, speed, from)
		}
	})
}

func BenchmarkApparent(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		hull.Apparent(15, 130, 6)
	}
}
