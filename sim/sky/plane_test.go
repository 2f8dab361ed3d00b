package sky

import (
	"math"
	"testing"

	"ampwake/sim/units"
	"ampwake/testdata/refdata"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// facing returns the normal of a plane by its tilt and compass direction.
func facing(tilt, azimuth float64) Vector {
	level := NewAttitude(0, 0, 0)
	return level.Normal(NewMount(units.Degrees(tilt), units.Degrees(azimuth)))
}

// Reference: a rotation library, independent of the formula.
func TestPanelAttitude(t *testing.T) {
	l := newLedger(t)
	l.tell(refdata.Check{
		Model: refdata.Panels, Quantity: "normal of a panel on a heeled deck",
		Source: "a rotation library", Status: refdata.Library, Tolerance: 1e-6,
	}, "north", "east", "up")
	for _, r := range refdata.Read(t, "solar/panel_attitude.csv") {
		a := NewAttitude(units.Degrees(r.Float("heading_deg")), units.Degrees(r.Float("heel_deg")), units.Degrees(r.Float("pitch_deg")))
		m := NewMount(units.Degrees(r.Float("mount_tilt_deg")), units.Degrees(r.Float("mount_azimuth_deg")))
		n := a.Normal(m)
		l.within(r.Where(), "north", n.North, r.Float("normal_north"), 1e-6)
		l.within(r.Where(), "east", n.East, r.Float("normal_east"), 1e-6)
		l.within(r.Where(), "up", n.Up, r.Float("normal_up"), 1e-6)
		l.within(r.Where(), "tilt (°)", float64(n.Tilt()), r.Float("tilt_deg"), 1e-4)
		if r.Has("surface_azimuth_deg") {
			l.within(r.Where(), "facing (°)", float64(n.Facing()), r.Float("surface_azimuth_deg"), 1e-4)
		}
		back := a.Mount(n)
		l.within(r.Where(), "there and back", math.Abs(back.Forward-m.Forward)+math.Abs(back.Starboard-m.Starboard)+math.Abs(back.Up-m.Up), 0, 1e-12)
	}
}

func TestTransposition(t *testing.T) {
	l := newLedger(t)
	l.tell(refdata.Check{
		Model: refdata.Panels, Quantity: "light on a plane: isotropic; Hay & Davies 1980; Perez 1990",
		Source: "a public PV library", Status: refdata.Library, Tolerance: 0.001, Unit: "W/m²",
	}, "beam (W/m²)", "sea (W/m²)", "sky isotropic (W/m²)", "sky haydavies (W/m²)", "sky perez1990 (W/m²)")
	for _, r := range refdata.Read(t, "solar/transposition.csv") {
		s := SunTowards(units.Degrees(r.Float("azimuth_deg")), 90-units.Degrees(r.Float("zenith_deg")), 1)
		light := Irradiance{
			Global: units.WattsPerSquareMetre(r.Float("ghi")), Beam: units.WattsPerSquareMetre(r.Float("dni")),
			Diffuse: units.WattsPerSquareMetre(r.Float("dhi")), Beyond: units.WattsPerSquareMetre(r.Float("dni_extra")),
		}
		n := facing(r.Float("tilt_deg"), r.Float("surface_azimuth_deg"))
		for model, name := range map[Transposition]string{Isotropic: "isotropic", HayDavies: "haydavies", Perez: "perez1990"} {
			q := Surroundings{Sky: model, Albedo: units.Fraction(r.Float("albedo"))}
			p := q.On(&s, &light, n)
			l.within(r.Where(), "incidence (°)", math.Acos(max(-1, min(1, p.CosIncidence)))*deg, r.Float("aoi_deg"), 1e-4)
			if s.Up <= 0 {
				// Our night is dark; the file carries on with its diffuse light.
				require.Zero(t, p.Total())
				continue
			}
			l.within(r.Where(), "beam (W/m²)", float64(p.Beam), r.Float("poa_beam"), 0.001)
			l.within(r.Where(), "sky "+name+" (W/m²)", float64(p.Sky), r.Float("sky_"+name), 0.001)
			l.within(r.Where(), "sea (W/m²)", float64(p.Sea), r.Float("poa_ground"), 0.001)
			l.within(r.Where(), "total "+name+" (W/m²)", float64(p.Total()), r.Float("total_"+name), 0.001)
		}
	}
}

func TestSeaAlbedo(t *testing.T) {
	l := newLedger(t)
	for _, r := range refdata.Read(t, "solar/sea_albedo.csv") {
		sin := math.Sin(r.Float("elevation_deg") * rad)
		l.within(r.Where(), "Taylor", float64(TaylorAlbedo(sin)), r.Float("taylor1996"), 1e-5)
		if sin <= 0 {
			continue
		}
		// Glitter on a vertical plane: half the sphere is sea.
		s := SunTowards(0, units.Degrees(r.Float("elevation_deg")), 1)
		q := Surroundings{Albedo: SeaAlbedo, Glitter: true}
		p := q.On(&s, &Irradiance{Global: 1000, Diffuse: 1000, Beyond: 1361}, facing(90, 180))
		l.within(r.Where(), "glitter", float64(p.Sea)/500, r.Float("taylor1996"), 1e-5)
	}
}

// A flat plane catches the global irradiance, but for the guards below 1° of sun.
func TestFlatPlaneCatchesGlobal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySun(t)
		var m Model
		l := m.Light(&s, units.Fraction(rapid.Float64Range(0, 1).Draw(t, "through")))
		q := Surroundings{Sky: Transposition(rapid.IntRange(0, 1).Draw(t, "sky")), Albedo: SeaAlbedo}
		p := q.On(&s, &l, Vector{Up: 1})
		if d := math.Abs(float64(p.Total() - l.Global)); d > 1e-9*float64(l.Global)+1e-12 {
			t.Fatalf("flat plane %v, global %v", p.Total(), l.Global)
		}
	})
}

// Turned to the sun, a plane gets all the beam and no plane gets more beam.
func TestBeamIsBestFacingTheSun(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := SunTowards(units.Degrees(rapid.Float64Range(0, 360).Draw(t, "az")), units.Degrees(rapid.Float64Range(5, 90).Draw(t, "el")), 1)
		var m Model
		l := m.Light(&s, 1)
		q := Surroundings{Albedo: SeaAlbedo}
		best := q.On(&s, &l, Vector{s.North, s.East, s.Up})
		p := q.On(&s, &l, facing(rapid.Float64Range(0, 180).Draw(t, "tilt"), rapid.Float64Range(0, 360).Draw(t, "to")))
		if math.Abs(float64(best.Beam-l.Beam)) > 1e-9*float64(l.Beam) || p.Beam > best.Beam+1e-9 {
			t.Fatalf("beam %v, facing it %v, elsewhere %v", l.Beam, best.Beam, p.Beam)
		}
		if p.Beam < 0 || p.Sky < 0 || p.Sea < -1e-12 {
			t.Fatalf("plane %+v", p)
		}
	})
}

func TestGlass(t *testing.T) {
	l := newLedger(t)
	l.tell(refdata.Check{
		Model: refdata.Panels, Quantity: "glass: ASHRAE; Martin & Ruiz 2001",
		Source: "a public PV library", Status: refdata.Library, Tolerance: 1e-5,
	}, "ASHRAE", "Martin-Ruiz", "Martin-Ruiz, sky", "Martin-Ruiz, sea")
	for _, r := range refdata.Read(t, "solar/iam.csv") {
		cos := math.Cos(r.Float("aoi_deg") * rad)
		if r.Float("aoi_deg") == 90 {
			cos = 0
		}
		l.within(r.Where(), "ASHRAE", float64(ASHRAE(cos, 0.05)), r.Float("ashrae_b005"), 1e-5)
		l.within(r.Where(), "Martin-Ruiz", float64(MartinRuiz(cos, 0.16)), r.Float("martin_ruiz_ar016"), 1e-5)
	}
	require.Zero(t, ASHRAE(-0.5, 0.05))
	require.Zero(t, MartinRuiz(-0.5, 0.16))
	for _, r := range refdata.Read(t, "solar/iam_diffuse.csv") {
		sky, sea := MartinRuizDiffuse(units.Degrees(r.Float("tilt_deg")), 0.16)
		l.within(r.Where(), "Martin-Ruiz, sky", float64(sky), r.Float("iam_sky"), 1e-5)
		if r.Has("iam_ground") {
			l.within(r.Where(), "Martin-Ruiz, sea", float64(sea), r.Float("iam_ground"), 1e-5)
		} else {
			require.Zero(t, sea)
		}
	}
	sky, sea := MartinRuizDiffuse(180, 0.16)
	require.Zero(t, sky)
	require.Greater(t, float64(sea), 0.9)
}

func TestCellTemperature(t *testing.T) {
	l := newLedger(t)
	l.tell(refdata.Check{
		Model: refdata.Panels, Quantity: "cell temperature: NOCT; Faiman; Sandia",
		Source: "a public PV library", Status: refdata.Library, Tolerance: 0.001, Unit: "°C",
	}, "NOCT 45 (°C)", "NOCT 48 (°C)", "Faiman (°C)", "Sandia, open (°C)", "Sandia, glued (°C)")
	for _, r := range refdata.Read(t, "solar/cell_temperature.csv") {
		air, poa := units.Celsius(r.Float("air_c")), units.WattsPerSquareMetre(r.Float("poa_wm2"))
		wind := units.Knots(r.Float("wind_ms") * 3600 / 1852)
		l.within(r.Where(), "NOCT 45 (°C)", float64(CellNOCT(air, poa, 45)), r.Float("noct45"), 0.001)
		l.within(r.Where(), "NOCT 48 (°C)", float64(CellNOCT(air, poa, 48)), r.Float("noct48"), 0.001)
		l.within(r.Where(), "Faiman (°C)", float64(CellFaiman(air, poa, wind)), r.Float("faiman"), 0.001)
		l.within(r.Where(), "Sandia, open (°C)", float64(CellSandia(air, poa, wind, SandiaOpen())), r.Float("sapm_open"), 0.001)
		l.within(r.Where(), "Sandia, glued (°C)", float64(CellSandia(air, poa, wind, SandiaGlued())), r.Float("sapm_insulated"), 0.001)
	}
}

func TestPanelPower(t *testing.T) {
	l := newLedger(t)
	for _, r := range refdata.Read(t, "solar/dc_power.csv") {
		got := PanelPower(units.WattsPerSquareMetre(r.Float("eff_wm2")), units.Watts(r.Float("pdc0_w")), r.Float("gamma_per_c"), units.Celsius(r.Float("cell_c")))
		l.within(r.Where(), "power (W)", float64(got), r.Float("pdc_w"), 0.001)
	}
	require.Zero(t, PanelPower(1000, 100, -0.004, 300))
}

func BenchmarkOn(b *testing.B) {
	var m Model
	s := At(utc(2027, 1, 5, 14, 0, 0), 16, -24.5)
	l := m.Light(&s, 0.8)
	q := Surroundings{Albedo: SeaAlbedo}
	n := facing(30, 200)
	b.ReportAllocs()
	for b.Loop() {
		q.On(&s, &l, n)
	}
}
