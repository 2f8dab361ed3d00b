package sky

import (
	"math"
	"testing"

	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

// The whole chain from the sun to the watts of a 100 W panel, step by step with
// the row's own sun: 0.01. It uses Haurwitz without the distance, and 0.75.
func TestChainGiven(t *testing.T) {
	l := newLedger(t)
	for _, r := range refdata.Read(t, "solar/chain.csv") {
		z, e0 := r.Float("zenith_apparent_deg"), r.Float("e0n_wm2")
		s := SunTowards(units.Degrees(r.Float("azimuth_deg")), units.Degrees(90-z), math.Sqrt(float64(SolarConstant)/e0))
		checkChain(l, r, &s, 0.01, 0.01)
	}
}

// From the instant and the place with our own sun: plane 0.5 W/m², power 0.05 W.
func TestChainEndToEnd(t *testing.T) {
	l := newLedger(t)
	l.tell(refdata.Check{
		Model: refdata.Panels, Quantity: "from instant and place to the light on a panel",
		Source: "a public PV library", Status: refdata.Library, Tolerance: 0.5, Unit: "W/m²",
	}, "plane (W/m²)")
	l.tell(refdata.Check{
		Model: refdata.Panels, Quantity: "from instant and place to the power of 100 W",
		Source: "a public PV library", Status: refdata.Library, Tolerance: 0.05, Unit: "W",
	}, "power (W)")
	var a Almanac
	for _, r := range refdata.Read(t, "solar/chain.csv") {
		s := a.Sun(r.Time("utc"), units.Degrees(r.Float("lat_deg")), units.Degrees(r.Float("lon_deg")))
		checkChain(l, r, &s, 0.5, 0.05)
	}
}

func checkChain(l *ledger, r refdata.Row, s *Sun, tolLight, tolPower float64) {
	l.t.Helper()
	m := Model{Clear: ClearHaurwitzPlain, Cloud: CloudKastenCzeplak}
	cloud := units.Fraction(r.Float("cloud_oktas") / 8)
	light := m.Light(s, m.Through(s, CloudFactor(cloud, OceanCloud), cloud))
	where := r.Where() + " " + r.Text("id")
	l.within(where, "clear (W/m²)", float64(m.ClearGlobal(s)), r.Float("ghi_clear"), tolLight)
	l.within(where, "global (W/m²)", float64(light.Global), r.Float("ghi"), tolLight)
	l.within(where, "diffuse (W/m²)", float64(light.Diffuse), r.Float("dhi"), tolLight)
	att := NewAttitude(units.Degrees(r.Float("heading_deg")), units.Degrees(r.Float("heel_deg")), 0)
	n := att.Normal(NewMount(units.Degrees(r.Float("mount_tilt_deg")), units.Degrees(r.Float("mount_azimuth_deg"))))
	q := Surroundings{Albedo: SeaAlbedo}
	p := q.On(s, &light, n)
	if tolLight < 0.1 {
		l.within(where, "beam normal (W/m²)", float64(light.Beam), r.Float("dni"), tolLight)
		l.within(where, "tilt (°)", float64(n.Tilt()), r.Float("tilt_deg"), 1e-4)
		if s.Up > 0 {
			l.within(where, "incidence (°)", math.Acos(p.CosIncidence)*deg, r.Float("aoi_deg"), 0.01)
		}
		l.within(where, "glass", float64(ASHRAE(p.CosIncidence, 0.05)), r.Float("iam"), 0.01)
	}
	l.within(where, "beam on the plane (W/m²)", float64(p.Beam), r.Float("poa_beam"), tolLight)
	l.within(where, "sky on the plane (W/m²)", float64(p.Sky), r.Float("poa_sky"), tolLight)
	l.within(where, "sea on the plane (W/m²)", float64(p.Sea), r.Float("poa_ground"), tolLight)
	l.within(where, "plane (W/m²)", float64(p.Total()), r.Float("poa_total"), tolLight)
	effective := p.Beam*units.WattsPerSquareMetre(ASHRAE(p.CosIncidence, 0.05)) + p.Sky + p.Sea
	l.within(where, "effective (W/m²)", float64(effective), r.Float("poa_effective"), tolLight)
	cell := CellNOCT(units.Celsius(r.Float("air_temp_c")), p.Total(), 45)
	l.within(where, "cell (°C)", float64(cell), r.Float("cell_temp_c"), tolLight)
	l.within(where, "power (W)", float64(PanelPower(effective, 100, -0.004, cell)), r.Float("pdc_w"), tolPower)
}
