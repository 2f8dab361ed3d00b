package climate_test

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

// light returns the monthly mean of the clear sky's global irradiance, Haurwitz
// with the factor of the sun's distance, and of what a weather lets through, on
// the horizontal in W/m², at the middle of each hour.
func light(w climate.Weather, at track.Position, year, month int) (clear, through float64) {
	from := time.Date(year, time.Month(month), 1, 0, 30, 0, 0, time.UTC)
	n := 0
	for t := from; t.Month() == from.Month(); t = t.Add(time.Hour) {
		s := sky.At(t, at.Lat, at.Lon)
		g := 0.0
		if s.Up > 0 {
			g = float64(sky.Haurwitz(s.Up)) / (s.Distance * s.Distance)
		}
		clear += g
		through += g * float64(w.At(t, at).Through)
		n++
	}
	return clear / float64(n), through / float64(n)
}

// The bracket of section 4 of the reference: for each checkpoint mid is the mean
// of what the bulk formula behind the heat budget atlas and that of Reed 1977
// give; the modelled insolation over mid must lie in 0.88-1.17 and its mean in
// 1.02-1.11. Once with the climate's mean, once with twelve members (four, when
// short) of the synthetic weather, whose months scatter by 3-9 % each.
func TestInsolationBracket(t *testing.T) {
	point := refdata.Check{
		Model: refdata.Climate, Quantity: "light of a month over two bulk formulae, from 1.025",
		Source: "middle of the heat budget atlas and Reed 1977, 42 points", Status: refdata.Published, Tolerance: 0.145,
	}.Begin(t)
	all := refdata.Check{
		Model: refdata.Climate, Quantity: "light of a month, mean of all points, from 1.065",
		Source: "middle of the heat budget atlas and Reed 1977, 42 points", Status: refdata.Published, Tolerance: 0.045,
	}.Begin(t)
	members := 12
	if testing.Short() {
		members = 4
	}
	points := refdata.Read(t, "climate/checkpoints.csv")
	require.Len(t, points, 42)
	var meanSum, synthSum, recommended float64
	least, most := math.Inf(1), 0.0
	for _, r := range points {
		at := track.Position{Lat: units.Degrees(r.Float("lat")), Lon: units.Degrees(r.Float("lon"))}
		month := int(r.Float("month"))
		mid := (r.Float("ghi_from_fsr") + r.Float("ghi_reed")) / 2

		_, g := light(climate.NewMean(climate.Ocean()), at, 2026, month)
		point.Within(g/mid, 1.025, r.Where()) // 0.88-1.17
		meanSum += g / mid
		least, most = min(least, g/mid), max(most, g/mid)

		held := climate.NewMean(climate.Ocean()).At(time.Date(2026, time.Month(month), 16, 0, 0, 0, 0, time.UTC), at)
		_, g = light(climate.Fixed{Sample: held}, at, 2026, month)
		recommended = max(recommended, math.Abs(g/r.Float("ghi_rec")-1))

		var sum float64
		for member := range members {
			_, g := light(climate.NewSynthetic(climate.Ocean(), 42, member), at, 2026, month)
			sum += g / float64(members)
		}
		point.Within(sum/mid, 1.025, r.Where(), ": synthetic")
		synthSum += sum / mid
	}
	t.Logf("over mid: mean weather %.3f (%.3f-%.3f), synthetic %.3f; worst distance from the reference's own %.1f %%",
		meanSum/42, least, most, synthSum/42, 100*recommended)
	all.Within(meanSum/42, 1.065, "mean weather") // 1.02-1.11
	all.Within(synthSum/42, 1.065, "synthetic weather")
	// With the cloud of mid-month held, the reference's recommended formula from the
	// cloud of the sources: 2 % (ours; other sun, 0.059 for its 0.057).
	assert.Less(t, recommended, 0.02)
}

// Measured insolation, W/m² (section 4 of the reference): ships of 1990-95 in the
// western Pacific, J. Oceanogr. 56 (2000) 717-726. From cloud amount nobody can
// promise better than about 10 % for a month at a place; the reference's own
// formula is off by +2, +8, -6 and +13 %, so the spread allowed is 14 %. Its
// figures for these waters we meet within 5 % (it names only waters; the places in
// them are ours, and along the equator 5° of longitude make 4 %).
func TestMeasuredAnchors(t *testing.T) {
	ships := refdata.Check{
		Model: refdata.Climate, Quantity: "light of the year or of two months",
		Source: "ships of 1990-95, J. Oceanogr. 56 (2000) 717", Status: refdata.Measured, Tolerance: 14, Unit: "%",
	}.Begin(t)
	for _, x := range []struct {
		name                  string
		lat, lon              units.Degrees
		months                []int
		measured, recommended float64
	}{
		{"western Pacific lanes", 17.5, 140, []int{5, 6}, 275, 280},
		{"south of 18°S", -20, 155, []int{11, 12}, 290, 313},
		{"equator, New Guinea to Indonesia", 0, 130, []int{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}, 230, 216},
		{"equator, east of New Guinea", 0, 155, []int{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}, 200, 226},
	} {
		var sum float64
		for _, m := range x.months {
			_, g := light(climate.NewMean(climate.Ocean()), track.Position{Lat: x.lat, Lon: x.lon}, 2026, m)
			sum += g / float64(len(x.months))
		}
		t.Logf("%s: %.1f, measured %.0f, reference's formula %.0f", x.name, sum, x.measured, x.recommended)
		ships.Ratio(sum, x.measured, x.name)
		assert.InEpsilon(t, x.recommended, sum, 0.05, x.name)
	}
}
