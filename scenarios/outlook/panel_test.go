package outlook

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/sky"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// anchored is a scenario of a boat that lies still for ten days, with one panel.
func anchored(t testing.TB, panel string) *scenarios.Scenario {
	t.Helper()
	s, err := scenarios.Read("anchored.yaml", []byte(`
title: At anchor
voyage:
  depart: 2027-06-11 12:00 UTC
  for: 10 d
  route:
    - {name: A, at: 40°N 20°W, stay: 30 d at anchor}
    - {name: B, at: 41°N 20°W}
  pace: [{speed: 5 kn}]
weather: climate
bank: {capacity: 200 Ah, start: 60 %}
sources: {panels: [`+panel+`]}
loads: [{name: light, draws: 1 A}]
`), nil, "")
	require.NoError(t, err)
	return s
}

// The reference panel is what a scenario file makes of a panel of which it says
// the power alone.
func TestReferenceIsTheFilesDefault(t *testing.T) {
	src := anchored(t, "{name: panel, rated: 100 W}").Voyage().Sources[0].Source
	p := Reference()
	own, err := p.array()
	require.NoError(t, err)
	place := track.Position{Lat: 40, Lon: -20}
	w := climate.Sample{Cloud: 0.5, Through: 0.8, Air: 20, Sea: 19, WindSpeed: 12}
	var model sky.Model
	n := 0
	from := time.Date(2027, 6, 11, 0, 0, 0, 0, time.UTC)
	daylight(from, from.Add(24*time.Hour), place, w, &model, func(c *sim.Conditions, _ float64) {
		assert.Equal(t, src.Offer(c), own.panel.Offer(c))
		n++
	})
	assert.Greater(t, n, 80)
}

// The mean over eight headings is that over 360 within 0.3 %, at the steepest tilt
// and the lowest sun.
func TestHeadings(t *testing.T) {
	place := track.Position{Lat: 50, Lon: -20}
	p := Reference()
	p.Tilt = 60
	few, err := p.array()
	require.NoError(t, err)
	require.Len(t, few.turns, headings)
	many := array{panel: few.panel}
	for i := range 360 {
		many.turns = append(many.turns, units.Degrees(i))
	}
	var model sky.Model
	one := skies{1, 1, 1, 1, 1, 1, 1, 1, 1, 1}
	for _, month := range []time.Month{1, 6} {
		a, b := 0.0, 0.0
		from := time.Date(2027, month, 11, 0, 0, 0, 0, time.UTC)
		daylight(from, from.Add(24*time.Hour), place, climate.Sample{Through: 1, Air: 15}, &model, func(c *sim.Conditions, _ float64) {
			a += few.offer(c, &model, &one)
			b += many.offer(c, &model, &one)
		})
		assert.InEpsilon(t, b, a, 0.003, month)
		t.Logf("%s: %.3f %%", month, 100*(a/b-1))
	}
}

// The skies let through what they should on average; in ten of them the mean of
// the bare distribution is within 1.5 % already, so that scaling them changes
// little.
func TestSkies(t *testing.T) {
	for _, lat := range []units.Degrees{0, 30, 50} {
		for cloud := 0.05; cloud < 0.98; cloud += 0.05 {
			nu := climate.Concentration(lat)
			w := climate.Sample{Cloud: units.Fraction(cloud), Through: climate.MeanThrough(units.Fraction(cloud), nu)}
			mean := units.Fraction(0)
			s := skiesOf(&w, lat)
			for i, x := range s {
				mean += x / units.Fraction(len(s))
				assert.True(t, x > 0 && x <= 1, "%v", x)
				assert.True(t, i == 0 || x <= s[i-1]+1e-9, "thicker and thicker")
			}
			assert.InEpsilon(t, float64(w.Through), float64(mean), 0.015, "%v cloud %.2f", lat, cloud)
		}
	}
}

// Through ten skies a panel makes what it does in a long seeded weather of the
// climate, hour by hour, within 2 % (twenty Junes scatter by about 1 %), and in
// the light of the mean cloud clearly less where it is turned to the sun.
func TestSkiesAreTheSyntheticWeather(t *testing.T) {
	at := track.Position{Lat: 50, Lon: -20}
	p := Reference()
	p.Swings, p.Trims, p.FreeTilt = false, 3, true
	a, err := p.array()
	require.NoError(t, err)
	first, next := span(time.June)
	var model sky.Model
	var almanac sky.Almanac
	members := 20
	if testing.Short() {
		members = 8
	}
	perDay := 24 / next.Sub(first).Hours()
	changing, even := 0.0, 0.0
	mean := climate.NewMean(climate.Ocean())
	for member := range members {
		w := climate.NewSynthetic(climate.Ocean(), 7, member)
		for x := first; x.Before(next); x = x.Add(time.Hour) {
			c := sim.Conditions{Time: x.Add(30 * time.Minute), Place: at, Bus: BusVolts}
			c.Sun = almanac.Sun(c.Time, at.Lat, at.Lon)
			c.Weather = w.At(c.Time, at)
			c.Light = model.Light(&c.Sun, c.Weather.Through)
			changing += float64(a.panel.Offer(&c).Power) * perDay / float64(BusVolts) / float64(members)
			if member == 0 {
				c.Weather = mean.At(c.Time, at)
				c.Light = model.Light(&c.Sun, c.Weather.Through)
				even += float64(a.panel.Offer(&c).Power) * perDay / float64(BusVolts)
			}
		}
	}
	y, err := Months(at, p)
	require.NoError(t, err)
	ours := float64(y.Months[5].Array)
	t.Logf("seeded %.2f Ah, through ten skies %.2f, in the light of the mean cloud %.2f", changing, ours, even)
	if !testing.Short() {
		assert.InEpsilon(t, changing, ours, 0.02)
	}
	assert.Less(t, even, 0.93*ours)
}

// Steps of ten minutes are fine enough.
func TestInstants(t *testing.T) {
	at := track.Position{Lat: 55, Lon: 3}
	y, err := Months(at, Reference())
	require.NoError(t, err)
	var model sky.Model
	var almanac sky.Almanac
	for _, m := range []time.Month{1, 6} {
		first, next := span(m)
		sum, days := 0.0, next.Sub(first).Hours()/24
		for x := first; x.Before(next); x = x.Add(time.Minute) {
			s := almanac.Sun(x.Add(30*time.Second), at.Lat, at.Lon)
			sum += float64(model.ClearGlobal(&s)) / 60 / days
		}
		assert.InEpsilon(t, sum, float64(y.Months[m-1].Clear), 0.001, m)
	}
}

func TestTilts(t *testing.T) {
	at := track.Position{Lat: 50, Lon: -20}
	p := Reference()
	tilts, err := InMonth(at, time.December, p)
	require.NoError(t, err)
	assert.Equal(t, units.Degrees(180), tilts.Towards)
	flat := tilts.Rows[0]
	assert.Equal(t, flat.Swings, flat.Towards)
	assert.InDelta(t, float64(flat.Swings), float64(flat.Trimmed), 1e-9)

	// The rows are what Months makes of such panels.
	y, err := Months(at, p)
	require.NoError(t, err)
	assert.InDelta(t, float64(y.Months[11].Array), float64(flat.Swings), 1e-9)
	p.Tilt = 45
	y, err = Months(at, p)
	require.NoError(t, err)
	assert.InDelta(t, float64(y.Months[11].Array), float64(tilts.Rows[3].Swings), 1e-9)
	p.Swings, p.Facing = false, 180
	y, err = Months(at, p)
	require.NoError(t, err)
	assert.InDelta(t, float64(y.Months[11].Array), float64(tilts.Rows[3].Towards), 1e-9)

	// A low sun: steep and towards it is best, and turning tilt and all beats all.
	assert.Greater(t, tilts.Rows[4].Towards, 1.5*flat.Swings)
	for _, r := range tilts.Rows {
		assert.LessOrEqual(t, r.Trimmed, 1.01*tilts.Free)
		assert.LessOrEqual(t, r.Swings, r.Towards)
	}
	south, err := InMonth(track.Position{Lat: -50, Lon: -20}, time.June, Reference())
	require.NoError(t, err)
	assert.Equal(t, units.Degrees(0), south.Towards)
	// In June the noon sun of 10°N stands in the north.
	tropic, err := InMonth(track.Position{Lat: 10, Lon: -30}, time.June, Reference())
	require.NoError(t, err)
	assert.Equal(t, units.Degrees(0), tropic.Towards)
}

func TestBadPanel(t *testing.T) {
	p := Reference()
	p.Rated = units.Watts(math.NaN())
	_, err := Months(track.Position{Lat: 40, Lon: -20}, p)
	assert.ErrorContains(t, err, "rated power")
	_, err = InMonth(track.Position{Lat: 40, Lon: -20}, time.May, p)
	assert.ErrorContains(t, err, "rated power")
}
