package sources_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/sky"
	"ampwake/sim/units"
	"ampwake/sources"
)

// trimCrew is a crew with hands and a memory, for comparison with the panel that
// has none: it watches the sun rise, divides the time to sunset, and at the start
// of each part tries every direction for the one that looks best at the sun where
// it will stand.
type trimCrew struct {
	trims       int
	tilt        units.Degrees
	free        bool
	ahead       float64 // of a part: 0.5 aims at its middle, 0 at the sun as it stands
	rise        time.Time
	part        time.Duration
	done        int
	panel       *sources.SolarPanel
	t           testing.TB
	wasUp, once bool
}

// tend points the panel if it is time.
func (w *trimCrew) tend(c *sim.Conditions, where func(time.Time) (units.Degrees, units.Degrees)) {
	up := c.Sun.Elevation > sky.Limb
	if up && !w.wasUp {
		w.once = true
		var a sky.Almanac
		set, found := sky.NextCrossing(&a, c.Time, 24*time.Hour, sky.Limb, where)
		require.True(w.t, found)
		w.rise, w.part, w.done = c.Time, set.Sub(c.Time)/time.Duration(w.trims), 0
	}
	w.wasUp = up
	if !up || !w.once || w.done >= w.trims || c.Time.Before(w.rise.Add(time.Duration(w.done)*w.part)) {
		return
	}
	then := w.rise.Add(time.Duration((float64(w.done) + w.ahead) * float64(w.part)))
	w.done++
	s := sky.At(then, c.Place.Lat, c.Place.Lon)
	a := sky.NewAttitude(c.Heading, c.Heel, 0)
	best := math.Inf(-1)
	tilts := []units.Degrees{w.tilt}
	if w.free {
		tilts = nil
		for tilt := units.Degrees(0); tilt <= 90; tilt++ {
			tilts = append(tilts, tilt)
		}
	}
	var at, to units.Degrees
	for _, tilt := range tilts {
		for facing := units.Degrees(0); facing < 360; facing++ {
			n := a.Normal(sky.NewMount(tilt, facing))
			if cos := n.North*s.North + n.East*s.East + n.Up*s.Up; cos > best {
				best, at, to = cos, tilt, facing
			}
		}
	}
	w.panel = solar(w.t, func(p *sources.Panel) { p.Tilt, p.Facing = at, to })
}

// trimDays sails three clear days in steps of four minutes with both and returns
// their watt-hours. The first sunrise finds the crew's panel as it was left.
func trimDays(t testing.TB, w *trimCrew, panel *sources.SolarPanel, lat, lon, course, knots, heel float64) (crew, model float64) {
	t.Helper()
	w.t = t
	start := time.Date(2027, 3, 10, 0, 0, 0, 0, time.UTC)
	sin, cos := math.Sincos(course * math.Pi / 180)
	where := func(at time.Time) (units.Degrees, units.Degrees) {
		d := knots / 60 * at.Sub(start).Hours()
		return units.Degrees(lat + d*cos), units.Degrees(lon + d*sin/math.Cos(lat*math.Pi/180))
	}
	const step = 4 * time.Minute
	for i := range 3 * 24 * 15 {
		at := start.Add(time.Duration(i) * step)
		la, lo := where(at)
		c := solarAt(at, la, lo)
		c.Heading, c.Heel = units.Degrees(course), units.Degrees(heel)
		w.tend(c, where)
		if w.panel == nil {
			continue // not yet trimmed
		}
		crew += float64(w.panel.Offer(c).Power) / 15
		model += float64(panel.Offer(c).Power) / 15
	}
	return crew, model
}

// The panel without a memory gets what the crew gets, to 0.1 %: the crew steps by
// 1° and by four minutes, and the day's arc changes a little while she sails.
func TestTrimmedPanelAgainstCrew(t *testing.T) {
	worst := 0.0
	for _, c := range []struct {
		trims                    int
		tilt                     units.Degrees
		free                     bool
		lat, course, knots, heel float64
	}{
		{1, 40, false, 35, 250, 6, 0},
		{3, 30, false, 16, 195, 5.5, 8},
		{4, 55, false, -45, 90, 7, -20},
		{6, 40, false, 50, 240, 6, 15},
		{3, 0, true, 30, 250, 6, 0},
		{4, 0, true, -50, 95, 7, 18},
		{2, 0, true, 5, 180, 4, -10},
		{4, 45, false, 0, 0, 0, 0},
	} {
		name := fmt.Sprintf("%d times, tilt %v free %v, %v° heading %v heel %v", c.trims, c.tilt, c.free, c.lat, c.course, c.heel)
		panel := solar(t, func(p *sources.Panel) { p.Tilt, p.Trims, p.FreeTilt = c.tilt, c.trims, c.free })
		crew, model := trimDays(t, &trimCrew{trims: c.trims, tilt: c.tilt, free: c.free, ahead: 0.5}, panel, c.lat, -30, c.course, c.knots, c.heel)
		require.Greater(t, crew, 500.0)
		assert.InEpsilon(t, crew, model, 0.001, name)
		worst = max(worst, math.Abs(model/crew-1))
	}
	t.Logf("worst difference: %.2f %%", 100*worst)
}

// A crew that aims at the sun as it stands gets what one that aims ahead gets at
// half the count: within 2 %.
func TestTrimmingAheadIsWorthTwice(t *testing.T) {
	for _, trims := range []int{2, 3, 4} {
		panel := solar(t, func(p *sources.Panel) { p.Tilt, p.Trims = 40, trims })
		crew, model := trimDays(t, &trimCrew{trims: 2 * trims, tilt: 40}, panel, 35, -30, 250, 0, 0)
		assert.InEpsilon(t, crew, model, 0.02, "%d trims", trims)
	}
}

// The oftener the better, and often enough is as good as following the sun all
// the time. A panel free in both axes then gets the whole beam.
func TestMoreTrimsMorePower(t *testing.T) {
	day := func(trims int) (wh float64) {
		p := solar(t, func(p *sources.Panel) { p.FreeTilt, p.Trims = true, trims })
		for m := range 24 * 60 {
			wh += float64(p.Offer(solarAt(time.Date(2027, 6, 1, 0, m, 0, 0, time.UTC), 40, 0)).Power) / 60
		}
		return wh
	}
	follows := 0.0
	for m := range 24 * 60 {
		c := solarAt(time.Date(2027, 6, 1, 0, m, 0, 0, time.UTC), 40, 0)
		p := solar(t, func(p *sources.Panel) { p.Tilt, p.Facing = min(90, c.Sun.Zenith()), c.Sun.Azimuth() })
		follows += float64(p.Offer(c).Power) / 60
	}
	last := 0.0
	for _, trims := range []int{1, 2, 3, 4, 6, 8, 12, 24, 96} {
		wh := day(trims)
		assert.Greater(t, wh, last, "%d trims", trims)
		last = wh
	}
	assert.InEpsilon(t, follows, last, 0.002)
}

// In the polar day the light's 24 hours are divided; with the sun overhead of the
// deck any direction will do and nothing breaks.
func TestTrimmedPanelAtTheEdges(t *testing.T) {
	p := solar(t, func(p *sources.Panel) { p.Tilt, p.Trims = 60, 8 })
	for h := range 24 {
		c := solarAt(time.Date(2027, 6, 21, h, 0, 0, 0, time.UTC), 75, 20)
		n := p.Plane(c)
		// 8 parts of 45°: never more than 22.5° of azimuth off (and some of height).
		assert.Greater(t, n.CosIncidence, math.Cos(26*math.Pi/180)*math.Cos(math.Abs(float64(c.Sun.Apparent)-30)*math.Pi/180), "%d h", h)
	}
	noon := sky.Transit(time.Date(2027, 3, 20, 0, 0, 0, 0, time.UTC), 0)
	c := solarAt(noon, units.Degrees(sky.TermsAt(noon).Declination), 0)
	one := solar(t, func(p *sources.Panel) { p.Tilt, p.Trims = 30, 1 })
	got := one.Plane(c)
	assert.InDelta(t, math.Cos(30*math.Pi/180), got.CosIncidence, 1e-3)
	assert.Positive(t, float64(one.Offer(c).Power))
}
