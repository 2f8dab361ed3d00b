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

// Reference: a public solar library (named in the file). Relative 1e-6.
func TestAirMass(t *testing.T) {
	l := newLedger(t)
	l.tell(refdata.Check{
		Model: refdata.Light, Quantity: "air mass, of 1",
		Source: "Kasten & Young 1989, by a public PV library", Status: refdata.Library, Tolerance: 1e-6,
	}, "air mass, relative")
	for _, r := range refdata.Read(t, "solar/airmass.csv") {
		want := r.Float("am_kasten_young_1989")
		l.within(r.Where(), "air mass, relative", AirMass(units.Degrees(r.Float("zenith_apparent_deg")))/want, 1, 1e-6)
	}
	require.True(t, math.IsInf(AirMass(90.01), 1))
}

// Given inputs: 0.01 W/m². The zenith is printed to 1e-5°, which is worth more
// than that only below 1° of sun, where the row's own digits decide.
func TestClearSkyGiven(t *testing.T) {
	l := newLedger(t)
	l.tell(refdata.Check{
		Model: refdata.Light, Quantity: "clear sky: Haurwitz 1945; Ineichen & Perez 2002",
		Source: "a public PV library", Status: refdata.Library, Tolerance: 0.01, Unit: "W/m²",
	}, "Haurwitz (W/m²)", "Ineichen global (W/m²)", "Ineichen beam (W/m²)", "Ineichen diffuse (W/m²)")
	for _, r := range refdata.Read(t, "solar/clear_sky.csv") {
		z, e0 := r.Float("zenith_apparent_deg"), units.WattsPerSquareMetre(r.Float("e0n_spa_wm2"))
		cosZ := math.Cos(z * rad)
		l.within(r.Where(), "Haurwitz (W/m²)", float64(Haurwitz(cosZ)), r.Float("ghi_haurwitz"), 0.01)
		l.within(r.Where(), "Smithsonian (W/m²)", float64(Smithsonian(e0, cosZ)), r.Float("ghi_smithsonian"), 0.01)
		for turbidity, n := range map[float64]string{2.5: "25", 3: "30", 3.5: "35"} {
			i := IneichenPerez(e0, units.Degrees(z), turbidity)
			l.within(r.Where(), "Ineichen global (W/m²)", float64(i.Global), r.Float("ghi_ineichen_tl"+n), 0.01)
			l.within(r.Where(), "Ineichen beam (W/m²)", float64(i.Beam), r.Float("dni_ineichen_tl"+n), 0.01)
			l.within(r.Where(), "Ineichen diffuse (W/m²)", float64(i.Diffuse), r.Float("dhi_ineichen_tl"+n), 0.01)
		}
	}
}

// End to end from the instant and the place with our own sun: 0.5 W/m², beam 1.
func TestClearSkyEndToEnd(t *testing.T) {
	l := newLedger(t)
	l.tell(refdata.Check{
		Model: refdata.Light, Quantity: "clear sky from instant and place",
		Source: "a public PV library", Status: refdata.Library, Tolerance: 0.5, Unit: "W/m²",
	}, "Haurwitz (W/m²)", "Light: Haurwitz (W/m²)", "default over plain", "Ineichen global (W/m²)", "Ineichen diffuse (W/m²)", "Model: Ineichen (W/m²)")
	var a Almanac
	for _, r := range refdata.Read(t, "solar/clear_sky.csv") {
		s := a.Sun(r.Time("utc"), units.Degrees(r.Float("lat_deg")), units.Degrees(r.Float("lon_deg")))
		plain := Model{Clear: ClearHaurwitzPlain}
		l.within(r.Where(), "Haurwitz (W/m²)", float64(plain.ClearGlobal(&s)), r.Float("ghi_haurwitz"), 0.5)
		light := plain.Light(&s, 1)
		l.within(r.Where(), "E0n (W/m²)", float64(Extraterrestrial(SolarConstant, s.Distance)), r.Float("e0n_spa_wm2"), 0.3)
		l.within(r.Where(), "Light: Haurwitz (W/m²)", float64(light.Global), r.Float("ghi_haurwitz"), 0.5)
		smithsonian := Model{Clear: ClearSmithsonian}
		l.within(r.Where(), "Smithsonian (W/m²)", float64(smithsonian.ClearGlobal(&s)), r.Float("ghi_smithsonian"), 0.5)
		distant := Model{}
		l.within(r.Where(), "default over plain", float64(distant.ClearGlobal(&s))*s.Distance*s.Distance, r.Float("ghi_haurwitz"), 0.5)
		for turbidity, n := range map[float64]string{2.5: "25", 3: "30", 3.5: "35"} {
			i := IneichenPerez(Extraterrestrial(SolarConstant, s.Distance), s.Zenith(), turbidity)
			l.within(r.Where(), "Ineichen global (W/m²)", float64(i.Global), r.Float("ghi_ineichen_tl"+n), 0.5)
			l.within(r.Where(), "Ineichen beam (W/m²)", float64(i.Beam), r.Float("dni_ineichen_tl"+n), 1)
			l.within(r.Where(), "Ineichen diffuse (W/m²)", float64(i.Diffuse), r.Float("dhi_ineichen_tl"+n), 0.5)
			m := Model{Clear: ClearIneichen, Turbidity: turbidity}
			l.within(r.Where(), "Model: Ineichen (W/m²)", float64(m.ClearGlobal(&s)), r.Float("ghi_ineichen_tl"+n), 0.5)
		}
	}
}

func TestTurbidityDefaultsToThree(t *testing.T) {
	s := SunTowards(180, 40, 1)
	a, b := Model{Clear: ClearIneichen}, Model{Clear: ClearIneichen, Turbidity: 3}
	require.Equal(t, b.ClearGlobal(&s), a.ClearGlobal(&s))
}

func TestErbs(t *testing.T) {
	l := newLedger(t)
	l.tell(refdata.Check{
		Model: refdata.Light, Quantity: "cloud and diffuse share: Kasten & Czeplak 1980; Reed 1977; Erbs et al. 1982",
		Source: "the formulae, evaluated", Status: refdata.Calculated, Tolerance: 1e-5,
	}, "diffuse fraction")
	for _, r := range refdata.Read(t, "solar/erbs.csv") {
		l.within(r.Where(), "diffuse fraction", float64(DiffuseFraction(r.Float("kt"))), r.Float("diffuse_fraction"), 1e-5)
	}
}

// A day's clear-sky energy in steps of ten minutes: 0.1 % or 1 Wh/m².
func TestDailyClearSky(t *testing.T) {
	l := newLedger(t)
	k := refdata.Check{
		Model: refdata.Light, Quantity: "energy of a clear day, 10 min steps (of it, or of 1 kWh/m²)",
		Source: "10 s sums by a public PV library", Status: refdata.Library, Tolerance: 0.1, Unit: "%",
	}.Begin(t)
	for _, r := range refdata.Read(t, "solar/daily_clear_sky.csv") {
		lat, lon := units.Degrees(r.Float("lat_deg")), units.Degrees(r.Float("lon_deg"))
		noon := Transit(r.Time("transit_utc"), lon)
		l.at(r.Where(), "transit", noon, r.Time("transit_utc"), 10*time.Second)
		var a Almanac
		plain, ineichen := Model{Clear: ClearHaurwitzPlain}, Model{Clear: ClearIneichen, Turbidity: 3}
		var h0, h, i float64
		const step = 10 * time.Minute
		for at := noon.Add(-12*time.Hour + step/2); at.Before(noon.Add(12 * time.Hour)); at = at.Add(step) {
			s := a.Sun(at, lat, lon)
			h0 += max(0, math.Sin(float64(s.Elevation)*rad)) * float64(SolarConstant) / (s.Distance * s.Distance) / 6
			h += float64(plain.Light(&s, 1).Global) / 6
			i += float64(ineichen.Light(&s, 1).Global) / 6
		}
		for what, x := range map[string][2]float64{
			"extraterrestrial": {h0, r.Float("h0_wh")},
			"Haurwitz":         {h, r.Float("haurwitz_wh")},
			"Ineichen":         {i, r.Float("ineichen_tl3_wh")},
		} {
			k.Within(100*(x[0]-x[1])/max(1000, x[1]), 0, r.Where(), ": ", what)
		}
	}
}

func TestLightAtNight(t *testing.T) {
	s := SunTowards(180, -0.1, 1)
	var m Model
	require.Equal(t, Irradiance{}, m.Light(&s, 1))
	require.Zero(t, m.ClearGlobal(&s))
	require.Zero(t, Haurwitz(-0.1))
	require.Zero(t, Smithsonian(1361, -0.1))
	require.Equal(t, Irradiance{}, IneichenPerez(1361, 90, 3))
}

// Global is beam and diffuse together, nothing is negative, and a beam is never
// stronger than beyond the atmosphere.
func TestLightAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySun(t)
		m := Model{Clear: ClearSky(rapid.IntRange(0, 3).Draw(t, "clear"))}
		through := units.Fraction(rapid.Float64Range(0, 1).Draw(t, "through"))
		l := m.Light(&s, through)
		if l.Beam < 0 || l.Diffuse < 0 || l.Global < 0 || l.Beam > l.Beyond {
			t.Fatalf("light %+v", l)
		}
		if d := float64(l.Global - l.Diffuse - l.Beam*units.WattsPerSquareMetre(s.Up)); math.Abs(d) > 1e-9 && s.Up > 0 {
			t.Fatalf("global less diffuse less beam is %v in %+v", d, l)
		}
		if s.Apparent > 0 && s.Apparent < 2.999 && l.Beam != 0 {
			t.Fatalf("beam %v at %v", l.Beam, s.Apparent)
		}
		if (s.Apparent <= 0) != (l == Irradiance{}) {
			t.Fatalf("light %+v at %v", l, s.Apparent)
		}
		darker := m.Light(&s, through/2)
		if darker.Global > l.Global || darker.Beam > l.Beam+1e-9 {
			t.Fatalf("more cloud, more light: %+v, %+v", l, darker)
		}
	})
}

func BenchmarkLight(b *testing.B) {
	var m Model
	at := utc(2027, 1, 5, 14, 0, 0)
	s := At(at, 16, -24.5)
	b.ReportAllocs()
	for b.Loop() {
		m.Light(&s, 0.8)
	}
}
