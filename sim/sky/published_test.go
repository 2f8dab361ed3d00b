package sky

import (
	"fmt"
	"math"
	"testing"
	"time"

	"ampwake/sim/units"

	"github.com/stretchr/testify/require"
)

// [Meeus 1998] example 25.a: 13 October 1992 at 0 h dynamical time. The apparent
// longitude prints as 199.90895 in the book, which rounds on the way.
func Example_meeus25a() {
	const T = (2448908.5 - 2451545) / 36525.0
	m := meeusAt(T)
	fmt.Printf("T  %.9f\n", T)
	fmt.Printf("L0 %.5f\n", m.meanLongitude*deg)
	fmt.Printf("M  %.5f\n", m.meanAnomaly*deg)
	fmt.Printf("e  %.8f\n", m.eccentricity)
	fmt.Printf("C  %.5f\n", m.centre*deg)
	fmt.Printf("R  %.5f\n", m.distance)
	fmt.Printf("λ  %.4f\n", m.longitude*deg)
	fmt.Printf("ε  %.5f\n", m.obliquity*deg)
	fmt.Printf("α  %.5f\n", m.rightAscension()*deg)
	fmt.Printf("δ  %.5f\n", m.declination()*deg)
	// Output:
	// T  -0.072183436
	// L0 201.80720
	// M  278.99397
	// e  0.01671167
	// C  -1.89732
	// R  0.99766
	// λ  199.9089
	// ε  23.43999
	// α  198.38083
	// δ  -7.78507
}

// [Meeus 1998] example 28.b, the equation of time at the same instant (published
// figure from memory: 13 min 42.7 s).
func Example_meeus28b() {
	m := meeusAt((2448908.5 - 2451545) / 36525.0)
	minutes := m.equation * deg * 4
	fmt.Printf("%d min %.1f s\n", int(minutes), 60*(minutes-math.Floor(minutes)))
	// Output: 13 min 42.7 s
}

// The worked example of [Reda 2004]: 17 October 2003, 12:30:30 at zone -7 h.
// Published figures read in transcriptions. Tolerances: that of the low-precision sun.
func TestReportExample(t *testing.T) {
	at := utc(2003, 10, 17, 19, 30, 30)
	const lat, lon = 39.742476, -105.1786
	s := At(at, lat, lon)
	l := newLedger(t)
	l.within("report", "declination (°)", float64(s.Declination), -9.31434, 0.004)
	l.within("report", "distance (au)", s.Distance, 0.9965422974, 0.0001)
	l.within("report", "hour angle (°)", float64(s.Hour), 11.1059, 0.02)
	l.within("report", "true elevation (°)", float64(s.Elevation), 39.872046, 0.02)
	// Zenith with the refraction of 820 hPa and 11 °C.
	l.within("report", "zenith (°)", 90-float64(s.Elevation+Refraction(s.Elevation, 820, 11)), 50.11162, 0.02)
	l.within("report", "azimuth (°)", float64(s.Azimuth()), 194.34024, 0.02)
	apparent := SunTowards(s.Azimuth(), s.Elevation+Refraction(s.Elevation, 820, 11), 1)
	m := NewMount(30, 170)
	level := NewAttitude(0, 0, 0)
	n := level.Normal(m)
	cos := n.North*apparent.North + n.East*apparent.East + n.Up*apparent.Up
	l.within("report", "incidence on slope 30° facing 170° (°)", math.Acos(cos)*deg, 25.18700, 0.02)

	d, err := RiseSet(at, lat, lon, Limb)
	require.NoError(t, err)
	l.at("report", "sunrise", d.Rise, utc(2003, 10, 17, 13, 12, 43), 10*time.Second)
	// The report prints a sunset of 17:20:19, when the sun stands at -1.11°: its
	// recipe takes the declination of the wrong UTC date. 17:18:51 by three ephemerides.
	l.at("report", "sunset", d.Set, utc(2003, 10, 18, 0, 18, 51), 10*time.Second)
}

// Seasons of 2025 in UTC, as usually quoted (memory) and recomputed by [Reda 2004].
// The declination is good to 0.0034°, which is 12 min of an equinox at 0.0165°
// an hour; at a solstice its value is compared.
func TestSeasons(t *testing.T) {
	l := newLedger(t)
	for _, at := range []time.Time{utc(2025, 3, 20, 9, 1, 29), utc(2025, 9, 22, 18, 19, 19)} {
		l.within(at.String(), "declination at an equinox (°)", float64(TermsAt(at).Declination), 0, 0.0034)
	}
	l.within("June", "declination at a solstice (°)", float64(TermsAt(utc(2025, 6, 21, 2, 42, 15)).Declination), 23.4384, 0.0034)
	l.within("December", "declination at a solstice (°)", float64(TermsAt(utc(2025, 12, 21, 15, 2, 59)).Declination), -23.4383, 0.0034)
	near, far := 2.0, 0.0
	for h := range 365 * 24 {
		R := TermsAt(utc(2025, 1, 1, h, 0, 0)).Distance
		near, far = min(near, R), max(far, R)
	}
	l.within("perihelion", "distance (au)", near, 0.983327, 0.0001)
	l.within("aphelion", "distance (au)", far, 1.016644, 0.0001)
}

// bookSun is the sun of the book's examples at 43° N for a declination and a
// solar time in hours; its Elevation is without refraction.
func bookSun(declination units.Degrees, solar float64) Sun {
	δ := float64(declination) * rad
	return fast{greenwich: (solar - 12) * 15 * rad, sinDec: math.Sin(δ), dec: δ, distance: 1}.sun(43*rad, 0)
}

// [Duffie 2013] examples 1.6.1 to 1.6.3 (1.6.2 and 1.6.3 from memory), with the
// azimuths from south turned to compass. Tolerance: half the last digit printed;
// in 1.6.2a, where the book takes the declination as -14° and rounds the cosines
// to three digits, a whole one.
func TestBookPositions(t *testing.T) {
	l := newLedger(t)
	s := bookSun(CooperDeclination(44), 10.5) // 13 February
	l.within("1.6.1", "declination (°)", float64(s.Declination), -14, 0.5)
	level := NewAttitude(0, 0, 0)
	n := level.Normal(NewMount(45, 180+15))
	v := SunTowards(s.Azimuth(), s.Elevation, 1)
	l.within("1.6.1", "cosine of incidence", n.North*v.North+n.East*v.East+n.Up*v.Up, 0.817, 0.001)

	s = bookSun(-14, 9.5)
	l.within("1.6.2a", "zenith (°)", 90-float64(s.Elevation), 66.5, 0.1)
	l.within("1.6.2a", "azimuth (°)", float64(s.Azimuth()), 180-40.0, 0.1)
	s = bookSun(CooperDeclination(182), 18.5) // 1 July
	l.within("1.6.2b", "declination (°)", float64(s.Declination), 23.1, 0.05)
	l.within("1.6.2b", "zenith (°)", 90-float64(s.Elevation), 79.6, 0.05)
	l.within("1.6.2b", "azimuth (°)", float64(s.Azimuth()), 180+112.0, 0.05)
	s = bookSun(CooperDeclination(75), 16) // 16 March
	l.within("1.6.3", "zenith (°)", 90-float64(s.Elevation), 70.3, 0.05)
	l.within("1.6.3", "azimuth (°)", float64(s.Azimuth()), 180+66.8, 0.05)
	l.within("1.6.3", "sunrise (h)", 12-float64(SunsetHour(43, s.Declination))/15, 6+9.0/60, 0.5/60)
}

// [Duffie 2013] examples 1.10.1 and 1.10.2 (memory): 43° N on 15 April, the day
// and the hour from 10 to 11; and 2.15.1: 40° N, 20 February, 9 to 10 h, slope 60°
// south, albedo 0.60, isotropic sky. MJ/m².
func TestBookIrradiation(t *testing.T) {
	l := newLedger(t)
	l.within("1.10.1", "H0 (MJ/m²)", DailyExtraterrestrial(105, 43, 1367)*0.0036, 33.8, 0.05)

	// The hour's sum of cos Z, by mid-points.
	hour := func(n int, lat, from float64) float64 {
		δ := float64(CooperDeclination(n)) * rad
		sum := 0.0
		for i := range 600 {
			up, _, _ := fast{greenwich: (from + (float64(i)+0.5)/600 - 12) * 15 * rad, sinDec: math.Sin(δ)}.height(lat*rad, 0)
			sum += up / 600
		}
		return 1367 * DistanceFactor(n) * sum * 0.0036
	}
	l.within("1.10.2", "I0 (MJ/m²)", hour(105, 43, 10), 3.79, 0.005)
	I0 := hour(51, 40, 9)
	l.within("2.15.1", "I0 (MJ/m²)", I0, 2.34, 0.0055)
	const I = 1.04
	diffuse := I * float64(DiffuseFraction(I/I0))
	l.within("2.15.1", "Id (MJ/m²)", diffuse, 0.796, 0.001)
	δ := float64(CooperDeclination(51)) * rad
	s := fast{greenwich: -2.5 * 15 * rad, sinDec: math.Sin(δ), dec: δ, distance: 1}.sun(40*rad, 0)
	s = SunTowards(s.Azimuth(), s.Elevation, 1)
	q := Surroundings{Sky: Isotropic, Albedo: 0.60}
	level := NewAttitude(0, 0, 0)
	light := Irradiance{
		Global: I, Diffuse: units.WattsPerSquareMetre(diffuse), Beam: units.WattsPerSquareMetre((I - diffuse) / s.Up), Beyond: 1,
	}
	p := q.On(&s, &light, level.Normal(NewMount(60, 180)))
	l.within("2.15.1", "Rb", float64(p.Beam)/(I-diffuse), 1.71, 0.005)
	l.within("2.15.1", "total (MJ/m²)", float64(p.Total()), 1.17, 0.005)
}

// [Duffie 2013] example 1.5.1: Madison, 89.4° W, 10:30 Central Standard Time on 3
// February is 10:19 solar time: correction -11 min, of which the equation of
// time -13.5. The book's series is 0.43 min off on 31 January (see
// extraterrestrial.csv), so half a minute is allowed, and the print's for 10:19.
func TestBookSolarTime(t *testing.T) {
	at := utc(2025, 2, 3, 16, 30, 0)
	require.InDelta(t, -13.5, TermsAt(at).Equation.Minutes(), 0.5)
	solar := 12 + float64(At(at, 43, -89.4).Hour)/15
	require.InDelta(t, 10+19.0/60, solar, 1.0/60)
}
