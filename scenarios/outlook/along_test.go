package outlook

import (
	"context"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

func read(t testing.TB, name string, sets ...string) *scenarios.Scenario {
	t.Helper()
	label, src, err := scenarios.Source(name)
	require.NoError(t, err)
	s, err := scenarios.Read(label, src, sets, "")
	require.NoError(t, err)
	return s
}

func along(t testing.TB, s *scenarios.Scenario) *Passage {
	t.Helper()
	p, err := Along(context.Background(), s)
	require.NoError(t, err)
	return p
}

// A scenario that runs through the climate meets the same here: what its panels
// make, what its loads draw and where it is. Its voyage is cut to whole days, so
// that nothing is left out.
func TestAlongAgreesWithRun(t *testing.T) {
	s := read(t, "southern-ocean", "voyage.for=12 d")
	res, err := s.Voyage().Sail(context.Background(), sim.Options{})
	require.NoError(t, err)
	p := along(t, s)
	require.Len(t, p.Days, 12)
	assert.Zero(t, p.Left)
	assert.Equal(t, []string{"rail panel", "deck panel"}, p.Panels)
	assert.Equal(t, res.Depart, p.Depart)
	assert.Equal(t, res.End, p.End)

	made, drawn := 0.0, 0.0
	for _, x := range res.Sources[:2] {
		made += float64(x.Charge)
	}
	for _, x := range res.Loads {
		drawn += float64(x.Charge)
	}
	assert.InEpsilon(t, made, 12*float64(p.Mean.Array), 1e-9)
	assert.InEpsilon(t, drawn, 12*float64(p.Mean.Drawn), 1e-9)

	// Day by day: she departs at 02:00, so the middles of our days are at 14:00
	// UTC, two hours or about ten miles after the noons of the result.
	for i := range p.Days {
		d, noon := &p.Days[i], res.Days[i].Noon
		assert.Equal(t, p.Depart.Add(time.Duration(i)*24*time.Hour), d.From)
		assert.InDelta(t, float64(noon.Lat), float64(d.Place.Lat), 0.3)
		turn := math.Remainder(float64(d.Place.Lon-noon.Lon), 360)
		assert.True(t, turn > 0 && turn < 0.6, "%v is a little east of %v", d.Place, noon)
		assert.InDelta(t, float64(res.Days[i].Sea), float64(d.Sea), 0.3)
	}
}

// The hours of night of a day are those at its place, and the light is that of the
// daily integration there, within 1.5 %: she departs in the morning, so that a day
// is an afternoon at one place and a morning up to 2° from it, and in 24 hours she
// has up to 0.6 % more or less than a turn of the sun.
func TestDaysAreThoseOfTheirPlaces(t *testing.T) {
	p := along(t, read(t, "radio-cover"))
	require.Greater(t, len(p.Days), 40)
	assert.True(t, p.Arrived)
	assert.True(t, p.Left > 0 && p.Left < 24)
	for i := range p.Days {
		d := &p.Days[i]
		date := d.From.Add(12 * time.Hour)
		assert.InDelta(t, night(date, d.Place), float64(d.Night), 0.15, date)
		clear := ofDay(date, d.Place)
		assert.InEpsilon(t, clear, float64(d.Clear), 0.015, date)
		through := climate.MeanThrough(d.Cloud, climate.Concentration(d.Place.Lat))
		assert.InEpsilon(t, clear*float64(through), float64(d.Expected), 0.015, date)
		cell, err := climate.Ocean().At(date, d.Place)
		require.NoError(t, err)
		assert.InDelta(t, float64(cell.WindSpeed), float64(d.Wind), 0.5, date)
		assert.InDelta(t, float64(cell.Cloud), float64(d.Cloud), 0.02, date)
	}
}

// At anchor a panel makes by the day what it makes at the place in the month.
// The bus is not at 13 V all day and the sky is even; the panel is flat, to which
// that matters little.
func TestAlongMeetsMonths(t *testing.T) {
	p := along(t, anchored(t, "{name: panel, rated: 100 W}"))
	require.Len(t, p.Days, 10)
	y, err := Months(track.Position{Lat: 40, Lon: -20}, Reference())
	require.NoError(t, err)
	june := y.Months[5]
	assert.InEpsilon(t, float64(june.Expected), float64(p.Mean.Expected), 0.02)
	assert.InEpsilon(t, float64(june.Clear), float64(p.Mean.Clear), 0.01)
	assert.InEpsilon(t, float64(june.Wind), float64(p.Mean.Wind), 0.02)
	assert.InDelta(t, float64(june.Night), float64(p.Mean.Night), 0.1)
	assert.InEpsilon(t, float64(june.Array), float64(p.Mean.Array), 0.06)
}

// A run through the climate reckons the panels sky by sky, so that one turned to
// the sun gains as much over a flat one as at a place. The voltage of the bus, not
// 13 V all day, falls out of the comparison but for what the panel itself does to
// it.
func TestChanging(t *testing.T) {
	flat := along(t, anchored(t, "{name: panel, rated: 100 W}"))
	turned := along(t, anchored(t, "{name: panel, rated: 100 W, facing: trimmed to the sun 3 times a day}"))
	tilts, err := InMonth(track.Position{Lat: 40, Lon: -20}, time.June, Reference())
	require.NoError(t, err)
	assert.InEpsilon(t, float64(tilts.Free/tilts.Rows[0].Swings), float64(turned.Mean.Array/flat.Mean.Array), 0.03)
}

// A spell of the file and its own cloud are left out and told; the place and the
// date stay as they are where the pace is given.
func TestAlongTellsWhatIsLeftOut(t *testing.T) {
	about := func(p *Passage) (out []string) {
		for _, n := range p.Notes {
			out = append(out, n.About)
		}
		return out
	}
	assert.Contains(t, about(along(t, read(t, "radio-cover"))), "weather")
	own := along(t, read(t, "southern-ocean", "voyage.for=2 d"))
	assert.NotContains(t, about(own), "weather")
	assert.Contains(t, about(own), "pace")
	other := along(t, read(t, "southern-ocean", "voyage.for=2 d", "weather.cloud.amount=8 oktas"))
	assert.Contains(t, other.Notes[0].Text, "differ from those of run")
	assert.Equal(t, own.Mean.Means, other.Mean.Means)
}

func TestAlongShortVoyage(t *testing.T) {
	p := along(t, read(t, "radio-cover", "voyage.for=7 h"))
	require.Len(t, p.Days, 1)
	assert.Zero(t, p.Left)
	d := p.Days[0]
	assert.Equal(t, units.Hours(7), d.Hours)
	assert.Equal(t, p.Spans(14)[0].Means, d.Means)
	// 09:00 to 16:00 UTC at 25° W: no night, and less light than in the day.
	assert.Zero(t, d.Night)
	assert.Less(t, float64(d.Clear), ofDay(d.From, d.Place))
	assert.Greater(t, float64(d.Clear), 0.5*ofDay(d.From, d.Place))
}

func TestAlongWithoutPanels(t *testing.T) {
	s, err := scenarios.Read("x.yaml", []byte(`
title: No panels
voyage:
  depart: 2027-06-11 12:00 UTC
  route: [{name: A, at: 40°N 20°W}, {name: B, at: 46°N 20°W}]
  pace: [{speed: 5 kn}]
bank: {capacity: 200 Ah}
loads: [{name: light, draws: 1 A}]
`), nil, "")
	require.NoError(t, err)
	p := along(t, s)
	assert.Empty(t, p.Panels)
	assert.Zero(t, p.Mean.Array)
	assert.InDelta(t, 24, float64(p.Mean.Drawn), 0.01)
}

func TestAlongInland(t *testing.T) {
	s, err := scenarios.Read("x.yaml", []byte(`
title: Up the river
voyage:
  depart: 2027-06-11 12:00 UTC
  route: [{name: A, at: 0°N 45°W}, {name: B, at: 0°S 62°W}]
  pace: [{speed: 5 kn}]
bank: {capacity: 200 Ah}
`), nil, "")
	require.NoError(t, err)
	_, err = Along(context.Background(), s)
	require.ErrorIs(t, err, climate.ErrInland)
	assert.Contains(t, err.Error(), "the route lies inland near")
	assert.Contains(t, err.Error(), "Jun 2027")

	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = Along(ctx, read(t, "radio-cover"))
	require.ErrorIs(t, err, context.Canceled)
}

func TestSpans(t *testing.T) {
	p := along(t, read(t, "southern-ocean"))
	for most := 1; most < 60; most += 3 {
		spans := p.Spans(most)
		assert.LessOrEqual(t, len(spans), most)
		hours, ah, night := 0.0, 0.0, 0.0
		var doubts climate.Quality
		for i := range spans {
			d := &spans[i]
			if i > 0 {
				assert.Equal(t, spans[i-1].Until(), d.From)
			}
			hours += float64(d.Hours)
			ah += float64(d.Array) * float64(d.Hours) / 24
			night += float64(d.Night) * float64(d.Hours) / 24
			doubts |= d.Quality
		}
		assert.InDelta(t, 24*float64(len(p.Days)), hours, 1e-6)
		assert.InEpsilon(t, float64(p.Mean.Array), ah/float64(len(p.Days)), 1e-9)
		assert.InEpsilon(t, float64(p.Mean.Night), night/float64(len(p.Days)), 1e-9)
		assert.Equal(t, p.Mean.Quality, doubts)
	}
	// Across the date line: the middle of a span of an even number of days.
	for _, d := range p.Spans(14) {
		assert.True(t, d.Place.Lon > -180 && d.Place.Lon <= 180)
		assert.True(t, d.Place.Lon > 145 || d.Place.Lon < -70, "%v", d.Place)
	}
}

func TestBetween(t *testing.T) {
	a, b := track.Position{Lat: -50, Lon: 179.5}, track.Position{Lat: -49, Lon: -179.5}
	assert.Equal(t, track.Position{Lat: -49.5, Lon: 180}, between(a, b, 0.5))
	assert.InDelta(t, -179.75, float64(between(a, b, 0.75).Lon), 1e-9)
	assert.InDelta(t, 179.75, float64(between(b, a, 0.75).Lon), 1e-9)
	assert.Equal(t, a, between(a, b, 0))
}

func BenchmarkAlong(b *testing.B) {
	s := read(b, "southern-ocean")
	for b.Loop() {
		if _, err := Along(context.Background(), s); err != nil {
			b.Fatal(err)
		}
	}
}
