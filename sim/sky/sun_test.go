package sky

import (
	"math"
	"testing"
	"time"

	"ampwake/sim/units"
	"ampwake/testdata/refdata"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Reference: the solar position algorithm [Reda 2004] as published in open
// source, checked there against two more ephemerides to 0.0003°. Tolerances are
// those of the low-precision sun: 0.018° is its error over 2000 to 2050.
func TestSunPosition(t *testing.T) {
	l := newLedger(t)
	l.tell(refdata.Check{
		Model: refdata.Sun, Quantity: "place in the sky",
		Source: "solar position algorithm (Reda & Andreas 2004)", Status: refdata.Library, Tolerance: 0.02, Unit: "°",
	}, "angle on the sky (°)", "angle of the vector (°)")
	l.tell(refdata.Check{
		Model: refdata.Sun, Quantity: "equation of time",
		Source: "solar position algorithm (Reda & Andreas 2004)", Status: refdata.Library, Tolerance: 0.08, Unit: "min",
	}, "equation of time (min)")
	var a Almanac
	for _, r := range refdata.Read(t, "solar/sun_position.csv") {
		at, lat, lon := r.Time("utc"), units.Degrees(r.Float("lat_deg")), units.Degrees(r.Float("lon_deg"))
		for name, s := range map[string]Sun{"At": At(at, lat, lon), "Almanac": a.Sun(at, lat, lon)} {
			where := r.Where() + " " + r.Text("id") + " " + name
			az, el := units.Degrees(r.Float("azimuth_deg")), units.Degrees(r.Float("elevation_true_deg"))
			l.within(where, "angle on the sky (°)", between(s.Azimuth(), s.Elevation, az, el), 0, 0.02)
			l.within(where, "true elevation (°)", float64(s.Elevation), float64(el), 0.02)
			if el > 0 {
				l.within(where, "apparent elevation (°)", float64(s.Apparent), r.Float("elevation_apparent_deg"), 0.02)
				l.within(where, "Up", s.Up, math.Sin(r.Float("elevation_apparent_deg")*rad), 0.02*rad)
				l.within(where, "angle of the vector (°)",
					between(s.Azimuth(), units.Degrees(math.Asin(s.Up)*deg), az, units.Degrees(r.Float("elevation_apparent_deg"))), 0, 0.02)
			}
			l.within(where, "declination (°)", float64(s.Declination), r.Float("declination_deg"), 0.005)
			l.within(where, "distance (au)", s.Distance, r.Float("earth_sun_au"), 0.00015)
			l.within(where, "length of the vector", s.North*s.North+s.East*s.East+s.Up*s.Up, 1, 1e-8)
		}
		terms := TermsAt(at)
		l.within(r.Where(), "equation of time (min)", terms.Equation.Minutes(), r.Float("eot_min"), 0.08)
		l.within(r.Where(), "Terms: declination (°)", float64(terms.Declination), r.Float("declination_deg"), 0.005)
		l.within(r.Where(), "Terms: distance (au)", terms.Distance, r.Float("earth_sun_au"), 0.00015)
	}
}

func TestRiseTransitSet(t *testing.T) {
	l := newLedger(t)
	l.tell(refdata.Check{
		Model: refdata.Sun, Quantity: "sunrise, noon and sunset",
		Source: "solar position algorithm (Reda & Andreas 2004)", Status: refdata.Library, Tolerance: 10, Unit: "s",
	}, "transit (s)", "sunrise (s)", "sunset (s)")
	states := map[string]int{}
	for _, r := range refdata.Read(t, "solar/sun_position.csv") {
		lat, lon := units.Degrees(r.Float("lat_deg")), units.Degrees(r.Float("lon_deg"))
		d, err := RiseSet(r.Time("utc"), lat, lon, Limb)
		states[r.Text("day_state")]++
		l.at(r.Where(), "transit", d.Noon, r.Time("transit_utc"), 10*time.Second)
		switch r.Text("day_state") {
		case "polar_day":
			require.ErrorIs(t, err, ErrPolarDay, r.Where())
		case "polar_night":
			require.ErrorIs(t, err, ErrPolarNight, r.Where())
		default:
			require.NoError(t, err, r.Where())
			l.at(r.Where(), "sunrise", d.Rise, r.Time("sunrise_utc"), 10*time.Second)
			l.at(r.Where(), "sunset", d.Set, r.Time("sunset_utc"), 10*time.Second)
			length, ok := d.Length()
			require.True(t, ok)
			l.within(r.Where(), "day length (h)", float64(length), r.Float("day_length_h"), 20.0/3600)
		}
	}
	require.NotZero(t, states["polar_day"])
	require.NotZero(t, states["polar_night"])
}

// Reference: 1361.1/R² with the distance of [Reda 2004]; the simple series are
// recomputed exactly.
func TestExtraterrestrial(t *testing.T) {
	l := newLedger(t)
	for _, r := range refdata.Read(t, "solar/extraterrestrial.csv") {
		terms := TermsAt(r.Time("utc"))
		n := int(r.Float("day_of_year"))
		l.within(r.Where(), "distance (au)", terms.Distance, r.Float("earth_sun_au"), 0.00015)
		l.within(r.Where(), "E0n (W/m²)", float64(Extraterrestrial(SolarConstant, terms.Distance)), r.Float("e0n_wm2"), 0.3)
		l.within(r.Where(), "declination (°)", float64(terms.Declination), r.Float("dec_spa_deg"), 0.005)
		l.within(r.Where(), "equation of time (min)", terms.Equation.Minutes(), r.Float("eot_spa_min"), 0.08)
		l.within(r.Where(), "simple series", DistanceFactor(n), r.Float("inv_r2_simple"), 5.1e-7)           // 6 digits printed
		l.within(r.Where(), "Cooper (°)", float64(CooperDeclination(n)), r.Float("dec_cooper_deg"), 5.1e-6) // 5 digits printed
	}
}

func TestRefraction(t *testing.T) {
	l := newLedger(t)
	l.tell(refdata.Check{
		Model: refdata.Sun, Quantity: "refraction",
		Source: "Saemundsson, as Meeus and that algorithm have it", Status: refdata.Library, Tolerance: 1e-5, Unit: "°",
	}, "1013 hPa, 15 °C (°)", "1010 hPa, 10 °C (°)")
	for _, r := range refdata.Read(t, "solar/refraction.csv") {
		h := units.Degrees(r.Float("elevation_true_deg"))
		l.within(r.Where(), "1013 hPa, 15 °C (°)", float64(Refraction(h, 1013.25, 15)), r.Float("spa_1013hpa_15c"), 1e-5)
		l.within(r.Where(), "1010 hPa, 10 °C (°)", float64(Refraction(h, 1010, 10)), r.Float("spa_1010hpa_10c"), 1e-5)
	}
	require.Zero(t, Refraction(-0.84, 1013.25, 15))
}

// The sun carries the same refraction, computed by other algebra.
func TestSunIsRefracted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySun(t)
		want := float64(Refraction(s.Elevation, standardPressure, standardWarmth))
		if got := float64(s.Apparent - s.Elevation); math.Abs(got-want) > 1e-9 {
			t.Fatalf("refraction at %v = %v, want %v", s.Elevation, got, want)
		}
		if got := math.Asin(s.Up) * deg; math.Abs(got-float64(s.Apparent)) > 1e-5 && s.Up < 0.9999 {
			t.Fatalf("vector at %v°, apparent elevation %v", got, s.Apparent)
		}
	})
}

// anySun draws an instant of 1950 to 2050 and a place.
func anySun(t *rapid.T) Sun {
	at := time.Unix(rapid.Int64Range(-631152000, 2524608000).Draw(t, "at"), 0)
	return At(at, units.Degrees(rapid.Float64Range(-90, 90).Draw(t, "lat")), units.Degrees(rapid.Float64Range(-180, 180).Draw(t, "lon")))
}

// Mirrored at the equator with the declination turned over, the sun stands as
// high and is mirrored north to south: a property of the geometry alone.
func TestMirroredHemispheres(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		δ := rapid.Float64Range(-0.41, 0.41).Draw(t, "declination")
		φ := rapid.Float64Range(-math.Pi/2, math.Pi/2).Draw(t, "lat")
		h := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "hour")
		north := fast{h, math.Sin(δ), δ, 1}.sun(φ, 0)
		south := fast{h, math.Sin(-δ), -δ, 1}.sun(-φ, 0)
		for _, d := range []float64{
			north.Up - south.Up, north.East - south.East, north.North + south.North,
			float64(north.Elevation - south.Elevation), float64(north.Noon - south.Noon),
		} {
			if math.Abs(d) > 1e-9 {
				t.Fatalf("north %+v, south %+v", north, south)
			}
		}
	})
}

// An hour later and 15° further west the sun stands where it was, but for the
// hour's change of declination (1') and equation of time (0.02 min).
func TestWestwardWithTheClock(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := time.Unix(rapid.Int64Range(946684800, 2524608000).Draw(t, "at"), 0)
		lat := units.Degrees(rapid.Float64Range(-85, 85).Draw(t, "lat"))
		lon := units.Degrees(rapid.Float64Range(-160, 180).Draw(t, "lon"))
		s, u := At(at, lat, lon), At(at.Add(time.Hour), lat, lon-15)
		if d := math.Abs(float64(s.Elevation - u.Elevation)); d > 0.025 {
			t.Fatalf("elevation %v and %v", s.Elevation, u.Elevation)
		}
	})
}

func TestNoonIsTheHighest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySun(t)
		// The declination moves by 0.2° in half a day at most.
		if s.Elevation > s.Noon+0.2 {
			t.Fatalf("elevation %v over noon's %v", s.Elevation, s.Noon)
		}
		if math.Abs(float64(s.Hour)) < 0.1 && math.Abs(float64(s.Elevation-s.Noon)) > 0.001 {
			t.Fatalf("elevation %v near noon's %v", s.Elevation, s.Noon)
		}
	})
}

func TestSunTowards(t *testing.T) {
	s := SunTowards(123, 45.5, 1)
	require.InDelta(t, 123, float64(s.Azimuth()), 1e-12)
	require.InDelta(t, 44.5, float64(s.Zenith()), 1e-12)
	require.InDelta(t, math.Sin(45.5*rad), s.Up, 1e-15)
	zenith := SunTowards(0, 90, 1)
	require.InDelta(t, 1, zenith.Up, 1e-15)
	require.Equal(t, units.Degrees(0), (&Sun{Up: 1}).Azimuth())
	require.Equal(t, units.Degrees(270), (&Sun{East: -1}).Azimuth())
}
