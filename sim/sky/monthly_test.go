package sky

import (
	"math"
	"testing"
	"time"

	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

func TestMonthlyExtraterrestrial(t *testing.T) {
	l := newLedger(t)
	for _, r := range refdata.Read(t, "solar/h0_monthly.csv") {
		n, lat := int(r.Float("day_of_year")), units.Degrees(r.Float("lat_deg"))
		l.within(r.Where(), "H0 (MJ/m²)", DailyExtraterrestrial(n, lat, 1367)*0.0036, r.Float("h0_mj"), 0.001)
		l.within(r.Where(), "sunset hour angle (°)", float64(SunsetHour(lat, CooperDeclination(n))), r.Float("sunset_ha_deg"), 5.1e-4)

		// The day's sum of our own sun, true zenith, against [Reda 2004]: 2025.
		var a Almanac
		start := utc(2025, 1, 1, 0, 0, 0).AddDate(0, 0, n-1)
		sum := 0.0
		for i := range 24 * 30 {
			at := start.Add(time.Duration(i)*2*time.Minute + time.Minute)
			s := a.Sun(at, lat, 0)
			sum += max(0, a.SinElevation(at, lat, 0)) * 1367 / (s.Distance * s.Distance) * 120e-6
		}
		want := r.Float("h0_spa_mj")
		l.within(r.Where(), "daily sum (MJ/m²)", sum, want, max(0.01, 0.001*want))
	}
}

// [Duffie 2013] table 1.10.1 (secondary), which is the mean over the days of a
// month: 0.05 MJ/m², half its last digit.
func TestPublishedMonthlyMeans(t *testing.T) {
	l := newLedger(t)
	l.tell(refdata.Check{
		Model: refdata.Light, Quantity: "monthly sun beyond the atmosphere",
		Source: "Duffie & Beckman 2013 table 1.10.1 (secondary)", Status: refdata.Published, Tolerance: 0.05, Unit: "MJ/m²",
	}, "monthly mean (MJ/m²)")
	months := map[string]time.Month{}
	for m := time.January; m <= time.December; m++ {
		months[m.String()[:3]] = m
	}
	for _, r := range refdata.Read(t, "solar/h0_published_compare.csv") {
		m, lat := months[r.Text("month")], units.Degrees(r.Float("lat_deg"))
		sum, days := 0.0, 0
		for d := utc(2025, m, 1, 0, 0, 0); d.Month() == m; d = d.AddDate(0, 0, 1) {
			sum += DailyExtraterrestrial(d.YearDay(), lat, 1367) * 0.0036
			days++
		}
		l.within(r.Where(), "monthly mean (MJ/m²)", sum/float64(days), r.Float("published_mj"), 0.05)
	}
}

// [Duffie 2013] example 2.19.1 (secondary): 0.05 MJ/m²; intermediate values by the
// reference's own script.
func TestMonthlyTilted(t *testing.T) {
	l := newLedger(t)
	l.tell(refdata.Check{
		Model: refdata.Panels, Quantity: "monthly light on a tilted plane",
		Source: "Duffie & Beckman 2013 example 2.19.1 (secondary)", Status: refdata.Published, Tolerance: 0.05, Unit: "MJ/m²",
	}, "tilted, published (MJ/m²)")
	for _, r := range refdata.Read(t, "solar/monthly_tilt.csv") {
		n, lat, tilt := int(r.Float("day_of_year")), units.Degrees(r.Float("lat_deg")), units.Degrees(r.Float("tilt_deg"))
		h, h0 := r.Float("h_mj"), DailyExtraterrestrial(n, lat, 1367)*0.0036
		δ := CooperDeclination(n)
		l.within(r.Where(), "H0 (MJ/m²)", h0, r.Float("h0_mj"), 0.001)
		l.within(r.Where(), "diffuse fraction", float64(MonthlyDiffuseFraction(h/h0, SunsetHour(lat, δ))), r.Float("diffuse_fraction"), 1e-4)
		l.within(r.Where(), "beam ratio", monthlyBeamRatio(lat, tilt, δ), r.Float("rb"), 1e-4)
		got := MonthlyTilted(h, h0, n, lat, tilt, units.Fraction(r.Float("albedo")))
		l.within(r.Where(), "tilted (MJ/m²)", got, r.Float("ht_mj"), 0.001)
		if r.Has("ht_published_mj") {
			l.within(r.Where(), "tilted, published (MJ/m²)", got, r.Float("ht_published_mj"), 0.05)
		}
	}
}

// The closed beam ratio against its definition, by sums over the day.
func TestMonthlyBeamRatioByNumbers(t *testing.T) {
	l := newLedger(t)
	for _, r := range refdata.Read(t, "solar/monthly_tilt.csv") {
		n, lat := int(r.Float("day_of_year")), r.Float("lat_deg")
		δ := float64(CooperDeclination(n)) * rad
		normal := facing(r.Float("tilt_deg"), r.Float("surface_azimuth_deg"))
		var on, flat float64
		for i := range 20000 {
			f := fast{greenwich: (float64(i) + 0.5 - 10000) / 10000 * math.Pi, sinDec: math.Sin(δ), dec: δ, distance: 1}
			if up, _, _ := f.height(lat*rad, 0); up > 0 {
				s := f.sun(lat*rad, 0)
				s = SunTowards(s.Azimuth(), s.Elevation, 1)
				on += max(0, normal.North*s.North+normal.East*s.East+normal.Up*s.Up)
				flat += up
			}
		}
		l.within(r.Where(), "beam ratio", on/flat, r.Float("rb_numeric"), 2e-4)
	}
}
