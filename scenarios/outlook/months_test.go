package outlook

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim/climate"
	"ampwake/sim/sky"
	"ampwake/sim/track"
	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

func place(t testing.TB, text string) track.Position {
	t.Helper()
	p, err := track.ParsePosition(text)
	require.NoError(t, err)
	return p
}

func months(t testing.TB, at track.Position, p Panel) *Year {
	t.Helper()
	y, err := Months(at, p)
	require.NoError(t, err)
	return y
}

// ofDay integrates a clear day over the hour angle, with the declination and the
// distance of noon: another way than the steps by the clock, with the sun where it
// is, that are tested with it. Wh/m².
func ofDay(day time.Time, at track.Position) float64 {
	const rad, parts = math.Pi / 180, 1440
	terms := sky.TermsAt(sky.LocalNoon(day, at.Lon))
	sinφ, cosφ := math.Sincos(float64(at.Lat) * rad)
	sinδ, cosδ := math.Sincos(float64(terms.Declination) * rad)
	sum := 0.0
	for i := range parts {
		H := (float64(i)/parts - 0.5) * 2 * math.Pi
		true := math.Asin(sinφ*sinδ+cosφ*cosδ*math.Cos(H)) / rad
		seen := true + float64(sky.Refraction(units.Degrees(true), 1013.25, 15))
		sum += float64(sky.Haurwitz(math.Sin(seen * rad)))
	}
	return sum * 24 / parts / (terms.Distance * terms.Distance)
}

// The light of a month agrees with another integration of its days within 1 %.
func TestMonthsAgreeWithDailyIntegration(t *testing.T) {
	for _, text := range []string{"0°N 25°W", "16°53'N 25°W", "33°S 17°E", "40°N 150°W", "50°S 177°E", "60°N 20°W"} {
		at := place(t, text)
		worst := 0.0
		for _, m := range months(t, at, Reference()).Months {
			first, next := span(m.Month)
			clear, days := 0.0, 0.0
			for d := first; d.Before(next); d = d.AddDate(0, 0, 1) {
				clear += ofDay(d, at)
				days++
			}
			clear /= days
			likely := clear * float64(climate.MeanThrough(m.Cloud, climate.Concentration(at.Lat)))
			assert.InEpsilon(t, clear, float64(m.Clear), 0.01, "%s in %s, clear", text, m.Month)
			assert.InEpsilon(t, likely, float64(m.Expected), 0.01, "%s in %s, expected", text, m.Month)
			worst = max(worst, math.Abs(float64(m.Expected)/likely-1))
		}
		t.Logf("%s: within %.2f %%", text, 100*worst)
	}
}

// The reference's monthly means of its recommended formula and of its clear sky at
// 42 places, W/m². It has another sun (Spencer's), the exponent 0.057 for our
// 0.059, no refraction and the cloud of the sources where ours went through a
// table: as in sim/climate, 2 % for the recommended (ours), and 1.5 % for the
// clear sky.
func TestMonthsMeetCheckpoints(t *testing.T) {
	expected := refdata.Check{
		Model: refdata.Climate, Quantity: "expected light of a month",
		Source: "recommended formula with the cloud of the sources, 42 points", Status: refdata.Calculated, Tolerance: 2, Unit: "%",
	}.Begin(t)
	clearSky := refdata.Check{
		Model: refdata.Climate, Quantity: "clear sky of a month",
		Source: "Haurwitz with another sun, 42 points", Status: refdata.Calculated, Tolerance: 1.5, Unit: "%",
	}.Begin(t)
	rows := refdata.Read(t, "climate/checkpoints.csv")
	require.Len(t, rows, 42)
	worst, worstClear := 0.0, 0.0
	for _, r := range rows {
		at := track.Position{Lat: units.Degrees(r.Float("lat")), Lon: units.Degrees(r.Float("lon"))}
		m := months(t, at, Reference()).Months[int(r.Float("month"))-1]
		likely, clear := float64(m.Expected)/24, float64(m.Clear)/24
		expected.Ratio(likely, r.Float("ghi_rec"), r.Where())
		clearSky.Ratio(clear, r.Float("ghi_clear"), r.Where())
		worst = max(worst, math.Abs(likely/r.Float("ghi_rec")-1))
		worstClear = max(worstClear, math.Abs(clear/r.Float("ghi_clear")-1))

		// Within 0.3 m/s of the source, as the reference says of its table.
		assert.InDelta(t, r.Float("ek_wspd"), float64(m.Wind)/(3600.0/1852), 0.35, r.Where())
	}
	t.Logf("expected within %.1f %%, clear within %.1f %%", 100*worst, 100*worstClear)
}

// Half a year apart the other hemisphere has the same sun but for the earth's
// distance: the inverse square of it differs by up to 7 % between January and
// July, and the months differ in length and by two days about the solstices.
func TestMirroredHemispheres(t *testing.T) {
	for _, lat := range []units.Degrees{5, 20, 35, 50} {
		n := months(t, track.Position{Lat: lat, Lon: -140}, Reference())
		s := months(t, track.Position{Lat: -lat, Lon: -140}, Reference())
		for i := range n.Months {
			a, b := n.Months[i], s.Months[(i+6)%12]
			assert.InEpsilon(t, float64(a.Clear), float64(b.Clear), 0.1, "%v, %s", lat, a.Month)
			assert.InDelta(t, float64(a.Night), float64(b.Night), 0.25, "%v, %s", lat, a.Month)
			// The same day is as long here as the night there, but for refraction and
			// the sun's radius: 0.8333° of altitude at both ends of both, where the
			// hour angle moves it by cos φ cos δ sin H, the root of cos²φ - sin²δ.
			δ := float64(sky.TermsAt(time.Date(year, a.Month, 16, 0, 0, 0, 0, time.UTC)).Declination) * math.Pi / 180
			cosφ := math.Cos(float64(lat) * math.Pi / 180)
			want := 4 * 0.8333 / 15 / math.Sqrt(cosφ*cosφ-math.Pow(math.Sin(δ), 2))
			assert.InEpsilon(t, want, 24-float64(a.Night)-float64(s.Months[i].Night), 0.02, "%v, %s", lat, a.Month)
		}
	}
}

// The hours of night are those between sunset and sunrise.
func TestNightIsSunsetToSunrise(t *testing.T) {
	for _, text := range []string{"0°N 0°E", "33°S 17°E", "50°N 170°W", "58°S 60°W"} {
		at := place(t, text)
		for day := time.Date(year, 1, 5, 0, 0, 0, 0, time.UTC); day.Year() == year; day = day.AddDate(0, 0, 17) {
			d, err := sky.RiseSet(sky.LocalNoon(day, at.Lon), at.Lat, at.Lon, sky.Limb)
			require.NoError(t, err)
			assert.InDelta(t, 24-d.Set.Sub(d.Rise).Hours(), night(day, at), 0.02, "%s on %v", text, day)
		}
	}
}

func TestPolarDayAndNight(t *testing.T) {
	for _, text := range []string{"75°N 5°E", "90°N 0°E"} {
		y := months(t, place(t, text), Reference())
		summer, winter := y.Months[5], y.Months[11]
		assert.Zero(t, summer.Night, text)
		assert.Equal(t, units.Hours(24), winter.Night, text)
		assert.Zero(t, winter.Expected, text)
		assert.Zero(t, winter.Array, text)
		assert.Greater(t, float64(summer.Clear), 5000.0, text)
		assert.NotZero(t, summer.Quality&climate.Beyond, text)
		for _, m := range y.Months {
			assert.False(t, math.IsNaN(float64(m.Wind+units.Knots(m.From))+float64(m.Clear)+float64(m.Array)), text)
		}
	}
}

// The weather of a month is the table's in the middle of it; the year is the mean
// of the days.
func TestMonthsAreTheTables(t *testing.T) {
	at := place(t, "45°N 20°W")
	y := months(t, at, Reference())
	cell, err := climate.Ocean().At(time.Date(year, 1, 16, 12, 0, 0, 0, time.UTC), at)
	require.NoError(t, err)
	m := y.Months[0]
	assert.InDelta(t, float64(cell.WindSpeed), float64(m.Wind), 1e-9)
	assert.InDelta(t, float64(cell.WindFrom()), float64(m.From), 1e-9)
	assert.InDelta(t, float64(cell.Steadiness()), float64(m.Steadiness), 1e-9)
	assert.InDelta(t, float64(cell.Cloud), float64(m.Cloud), 1e-9)
	assert.InDelta(t, float64(cell.Air), float64(m.Air), 1e-9)
	assert.InDelta(t, float64(cell.Sea), float64(m.Sea), 1e-9)
	assert.InDelta(t, float64(cell.Under(4)), float64(m.Calm), 1e-9)
	assert.InDelta(t, 1-float64(cell.Under(34)), float64(m.Gale), 1e-9)

	wind, sun := 0.0, 0.0
	for _, m := range y.Months {
		first, next := span(m.Month)
		days := next.Sub(first).Hours() / 24
		wind += float64(m.Wind) * days / 365
		sun += float64(m.Expected) * days / 365
	}
	assert.InDelta(t, wind, float64(y.Mean.Wind), 1e-9)
	assert.InDelta(t, sun, float64(y.Mean.Expected), 1e-6)
}

func TestInland(t *testing.T) {
	for _, text := range []string{"48°N 10°E", "28°N 86°E", "40°N 100°W", "0°N 60°W", "23°N 10°E", "25°S 133°E", "90°S 0°E"} {
		_, err := Months(place(t, text), Reference())
		require.ErrorIs(t, err, climate.ErrInland, text)
		assert.Contains(t, err.Error(), place(t, text).String())
		_, err = InMonth(place(t, text), time.May, Reference())
		require.ErrorIs(t, err, climate.ErrInland, text)
	}
	// Harbours and enclosed seas have a climate, and the doubts that go with it.
	for text, filled := range map[string]bool{
		"16°53'N 25°W": false, "43°05'S 147°30'E": false, "50°22'N 4°09'W": false, "38°34'N 28°43'W": false,
		"33°02'S 17°57'E": true, "38°N 18°E": true, "44°N 9°E": true, "58°N 20°E": true, "43°N 35°E": true,
	} {
		assert.Equal(t, filled, months(t, place(t, text), Reference()).Months[6].Quality&climate.FilledCloud != 0, text)
	}
	assert.True(t, months(t, place(t, "44°30'N 9°30'E"), Reference()).Ashore)
	assert.False(t, months(t, place(t, "40°N 20°W"), Reference()).Ashore)
}

func BenchmarkMonths(b *testing.B) {
	at := place(b, "40°N 20°W")
	p := Reference()
	p.Tilt = 30
	for b.Loop() {
		if _, err := Months(at, p); err != nil {
			b.Fatal(err)
		}
	}
}
