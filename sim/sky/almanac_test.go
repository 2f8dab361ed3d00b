package sky

import (
	"math"
	"testing"
	"time"

	"ampwake/sim/units"

	"pgregory.net/rapid"
)

// Going straight between knots 6 h apart costs at most h²/8 times the second
// derivative: tan ε λ'² = 0.0078°/day² of the declination at the December
// solstice gives 6.1e-5°, 0.02 min/day² of the equation of time 4e-5°.
func TestAlmanacAgainstAt(t *testing.T) {
	var worst float64
	rapid.Check(t, func(t *rapid.T) {
		var a Almanac
		start := rapid.Int64Range(-631152000, 2524608000).Draw(t, "start")
		lat := units.Degrees(rapid.Float64Range(-90, 90).Draw(t, "lat"))
		lon := units.Degrees(rapid.Float64Range(-180, 180).Draw(t, "lon"))
		for i := range 40 {
			at := time.Unix(start+int64(i)*7000, 0)
			got, want := a.Sun(at, lat, lon), At(at, lat, lon)
			d := between(got.Azimuth(), got.Elevation, want.Azimuth(), want.Elevation)
			worst = max(worst, d)
			if d > 1e-4 {
				t.Fatalf("Almanac.Sun(%v) is %v° from At", at.UTC(), d)
			}
			if d := math.Abs(float64(got.Declination - want.Declination)); d > 7e-5 {
				t.Fatalf("declination off by %v°", d)
			}
			if d := math.Abs(got.Distance - want.Distance); d > 5e-7 {
				t.Fatalf("distance off by %v au", d)
			}
			if got, want := a.SinElevation(at, lat, lon), math.Sin(float64(got.Elevation)*rad); math.Abs(got-want) > 1e-9 {
				t.Fatalf("SinElevation = %v, want %v", got, want)
			}
		}
	})
	t.Logf("worst distance on the sky from the plain sun: %.2g°", worst)
}

// Whatever was asked before, the answer has the same bits.
func TestAlmanacForgetsNothingWrong(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var a Almanac
		times := rapid.SliceOfN(rapid.Int64Range(-40*86400, 40*86400), 1, 60).Draw(t, "times")
		for _, x := range times {
			at := time.Unix(x, 0)
			var fresh Almanac
			if got, want := a.Sun(at, 30, -20), fresh.Sun(at, 30, -20); got != want {
				t.Fatalf("Sun(%v) = %v, a fresh almanac says %v", at, got, want)
			}
		}
	})
}

func TestAlmanacIsContinuous(t *testing.T) {
	var a Almanac
	for i := range 400 {
		knot := time.Unix(0, int64(i)*knot+1767225600e9)
		before, after := a.Sun(knot.Add(-time.Millisecond), 40, -30), a.Sun(knot, 40, -30)
		if d := between(before.Azimuth(), before.Elevation, after.Azimuth(), after.Elevation); d > 1e-5 {
			t.Errorf("jump of %v° at %v", d, knot.UTC())
		}
	}
}

// A voyage's steps: ten minutes apart, so that the cost of turning a page is in.
func BenchmarkAlmanacSun(b *testing.B) {
	var a Almanac
	at := utc(2027, 1, 5, 10, 0, 0)
	b.ReportAllocs()
	for b.Loop() {
		at = at.Add(10 * time.Minute)
		a.Sun(at, 16, -24.5)
	}
}

func BenchmarkAlmanacSinElevation(b *testing.B) {
	var a Almanac
	at := utc(2027, 1, 5, 10, 0, 0)
	b.ReportAllocs()
	for b.Loop() {
		at = at.Add(10 * time.Minute)
		a.SinElevation(at, 16, -24.5)
	}
}

func BenchmarkAt(b *testing.B) {
	at := utc(2027, 1, 5, 14, 0, 0)
	b.ReportAllocs()
	for b.Loop() {
		At(at, 16, -24.5)
	}
}
