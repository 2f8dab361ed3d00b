package sky

import (
	"errors"
	"math"
	"testing"
	"time"

	"ampwake/sim/units"
	"ampwake/testdata/refdata"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// sailing is a boat on a constant course, flat-earth in longitude: good enough
// to move her.
func sailing(from time.Time, lat, lon, knots, course float64) func(time.Time) (units.Degrees, units.Degrees) {
	sin, cos := math.Sincos(course * rad)
	return func(t time.Time) (units.Degrees, units.Degrees) {
		h := t.Sub(from).Hours()
		y := max(-85, min(85, lat+knots/60*h*cos))
		x := lon + knots/60*h*sin/math.Cos(lat*rad)
		return units.Degrees(y), units.Degrees(math.Remainder(x, 360))
	}
}

func TestNextCrossingAgainstScan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := time.Unix(rapid.Int64Range(946684800, 2524608000).Draw(t, "from"), 0).UTC()
		lat := rapid.Float64Range(-84.9, 84.9).Draw(t, "lat")
		lon := rapid.Float64Range(-180, 180).Draw(t, "lon")
		knots := rapid.Float64Range(0, 20).Draw(t, "knots")
		course := rapid.Float64Range(0, 360).Draw(t, "course")
		altitude := rapid.SampledFrom([]float64{float64(Limb), -6, -12, 0, 10}).Draw(t, "altitude")
		checkCrossing(t, from, 36*time.Hour, altitude, sailing(from, lat, lon, knots, course))
	})
}

// checkCrossing holds NextCrossing against a scan of the plain sun, without
// almanac, every 20 s.
func checkCrossing(t rapid.TB, from time.Time, horizon time.Duration, altitude float64,
	where func(time.Time) (units.Degrees, units.Degrees),
) (time.Time, bool) {
	var a Almanac
	at, found := NextCrossing(&a, from, horizon, units.Degrees(altitude), where)

	// Which side the sun is on by more than the 1e-4° of the almanac; 0: neither.
	side := func(at time.Time) int {
		lat, lon := where(at)
		d := At(at, lat, lon).Elevation - units.Degrees(altitude)
		switch {
		case d > 1.2e-4:
			return 1
		case d < -1.2e-4:
			return -1
		}
		return 0
	}
	start := side(from)
	end := from.Add(horizon)
	if found {
		end = at.Add(-time.Second)
	}
	const grid = 20 * time.Second
	for s := from.Add(grid); s.Before(end); s = s.Add(grid) {
		if now := side(s); now*start < 0 {
			if side(s.Add(-30*time.Second)) == now || side(s.Add(30*time.Second)) == now { // not the shortest
				t.Fatalf("missed a crossing at %v; NextCrossing = %v, %v", s, at, found)
			}
		} else if start == 0 {
			start = now
		}
	}
	if found {
		if !at.After(from) {
			t.Fatalf("NextCrossing(%v) = %v", from, at)
		}
		if before, after := side(at.Add(-time.Second)), side(at); before*after > 0 {
			t.Fatalf("no crossing at %v", at)
		}
	}
	return at, found
}

// At the noon or midnight of a polar summer or winter the sun just touches the
// altitude, and a boat that sails towards or from it moves the touch.
func TestNextCrossingGrazes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := time.Unix(rapid.Int64Range(946684800, 2524608000).Draw(t, "from"), 0).UTC()
		altitude := rapid.SampledFrom([]float64{float64(Limb), -6, -12}).Draw(t, "altitude")
		over := rapid.Float64Range(-0.04, 0.04).Draw(t, "over") // at the extreme, degrees
		δ := float64(TermsAt(from).Declination)
		// Noon stands 90 - |φ-δ| high, midnight |φ+δ| - 90.
		lat := rapid.SampledFrom([]float64{
			δ + 90 - altitude - over, δ - 90 + altitude + over,
			90 + altitude + over - δ, -90 - altitude - over - δ,
		}).Draw(t, "lat")
		if math.Abs(lat) > 84 {
			return
		}
		lon := rapid.Float64Range(-180, 180).Draw(t, "lon")
		knots := rapid.Float64Range(0, 30).Draw(t, "knots")
		course := rapid.SampledFrom([]float64{0, 180, 30, 200}).Draw(t, "course")
		checkCrossing(t, from, 24*time.Hour, altitude, sailing(from, lat, lon, knots, course))
	})
}

// A boat at the polar circle in midwinter, where the sun at noon lacks 0.01° of
// rising. She runs south at 12 knots: an hour after noon it is up for a while.
func TestNextCrossingShortDay(t *testing.T) {
	midwinter := utc(2026, 12, 21, 0, 0, 0)
	for hour := range 12 {
		lon := 75 - 15*float64(hour)
		noon := Transit(midwinter, units.Degrees(lon))
		δ := float64(TermsAt(noon).Declination)
		lat := δ + 90 - float64(Limb) + 0.01 // at noon
		from := noon.Add(-time.Duration(hour) * 30 * time.Minute)
		where := sailing(noon, lat, lon, 12, 180)
		rise, found := checkCrossing(t, from, 24*time.Hour, float64(Limb), where)
		require.True(t, found)
		require.WithinDuration(t, noon.Add(25*time.Minute), rise, 25*time.Minute)
		var a Almanac
		set, found := NextCrossing(&a, rise, 24*time.Hour, Limb, where)
		require.True(t, found)
		require.Less(t, set.Sub(rise), time.Hour)
		require.Greater(t, set.Sub(rise), 5*time.Minute)
	}
}

// A boat under way: the sun stands at the altitude, to the 0.0042° it moves in a
// second at most, at every crossing of a fortnight, and they alternate.
func TestNextCrossingUnderWay(t *testing.T) {
	from := utc(2027, 1, 5, 14, 0, 0)
	where := sailing(from, 16, -24.5, 5.5, 195)
	var a Almanac
	up := true
	count := 0
	for end := from.Add(14 * 24 * time.Hour); ; count++ {
		at, found := NextCrossing(&a, from, 36*time.Hour, CivilDusk, where)
		require.True(t, found)
		if at.After(end) {
			break
		}
		lat, lon := where(at)
		s := At(at, lat, lon)
		require.InDelta(t, float64(CivilDusk), float64(s.Elevation), 0.0042, "%v", at)
		require.Zero(t, at.Nanosecond())
		up = !up
		require.Equal(t, up, s.Elevation > CivilDusk)
		from = at
	}
	require.Equal(t, 28, count)
}

// At rest the crossings are the fixed place's sunset and sunrise.
func TestNextCrossingAtRest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		date := time.Unix(rapid.Int64Range(946684800, 2524608000).Draw(t, "at"), 0).UTC()
		lat := units.Degrees(rapid.Float64Range(-85, 85).Draw(t, "lat"))
		lon := units.Degrees(rapid.Float64Range(-180, 180).Draw(t, "lon"))
		here := func(time.Time) (units.Degrees, units.Degrees) { return lat, lon }
		d, err := RiseSet(date, lat, lon, Limb)
		var a Almanac
		set, found := NextCrossing(&a, d.Noon, 12*time.Hour, Limb, here)
		switch {
		case errors.Is(err, ErrPolarNight):
			// It may come up in the half day after, at the end of the winter, if the
			// declination helps.
			return
		case d.Set.IsZero():
			if found && set.Sub(d.Noon) < 11*time.Hour+58*time.Minute {
				t.Fatalf("found a sunset at %v in polar day", set)
			}
		default:
			if !found || set.Before(d.Set) || set.Sub(d.Set) > time.Second {
				t.Fatalf("NextCrossing(%v) = %v, %v, want %v", d.Noon, set, found, d.Set)
			}
			rise, found := NextCrossing(&a, set, 24*time.Hour, Limb, here)
			if next, err := RiseSet(d.Noon.Add(24*time.Hour), lat, lon, Limb); err == nil && next.Noon.After(d.Set) {
				if !found || rise.Before(next.Rise) || rise.Sub(next.Rise) > time.Second {
					t.Fatalf("NextCrossing(%v) = %v, %v, want %v", set, rise, found, next.Rise)
				}
			}
		}
	})
}

// Reference: an independent ephemeris library; tolerance 2 min below 60°.
func TestNightLength(t *testing.T) {
	l := newLedger(t)
	l.tell(refdata.Check{
		Model: refdata.Sun, Quantity: "length of the night, three twilights",
		Source: "an ephemeris library", Status: refdata.Library, Tolerance: 2, Unit: "min",
	}, "sunset_to_sunrise_h", "civil_dark_sun_below_6_h", "nautical_dark_sun_below_12_h")
	for _, r := range refdata.Read(t, "radio/night_length_check.csv") {
		lat := units.Degrees(r.Float("lat_deg"))
		here := func(time.Time) (units.Degrees, units.Degrees) { return lat, 0 }
		noon := Transit(r.Time("date_of_evening"), 0)
		for column, altitude := range map[string]units.Degrees{
			"sunset_to_sunrise_h": Limb, "civil_dark_sun_below_6_h": CivilDusk, "nautical_dark_sun_below_12_h": NauticalDusk,
		} {
			var a Almanac
			night := 0.0
			if dusk, found := NextCrossing(&a, noon, 14*time.Hour, altitude, here); found {
				dawn, found := NextCrossing(&a, dusk, 24*time.Hour, altitude, here)
				require.True(t, found, r.Where())
				night = dawn.Sub(dusk).Hours()
			}
			l.within(r.Where(), column, 60*night, 60*r.Float(column), 2)
		}
	}
}

func BenchmarkNextCrossing(b *testing.B) {
	from := time.Date(2027, 1, 5, 14, 0, 0, 0, time.UTC)
	where := sailing(from, 16, -24.5, 5.5, 195)
	var a Almanac
	b.ReportAllocs()
	for b.Loop() {
		NextCrossing(&a, from, 36*time.Hour, Limb, where)
	}
}
