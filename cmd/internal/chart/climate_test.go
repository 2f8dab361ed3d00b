package chart

import (
	"bytes"
	"context"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"

	"ampwake/scenarios"
	"ampwake/scenarios/outlook"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// yearAt is the climate of a place that a test names rightly.
func yearAt(lat, lon units.Degrees) *outlook.Year {
	y, err := outlook.Months(track.Position{Lat: lat, Lon: lon}, outlook.Reference())
	if err != nil {
		panic(err)
	}
	return y
}

func climateAlong(name string, sets ...string) *outlook.Passage {
	label, src, err := scenarios.Source(name)
	if err != nil {
		panic(err)
	}
	s, err := scenarios.Read(label, src, sets, "")
	if err != nil {
		panic(err)
	}
	p, err := outlook.Along(context.Background(), s)
	if err != nil {
		panic(err)
	}
	return p
}

// climates are the pictures of the climate, at the edges of what must draw.
func climates() map[string]laidOut {
	about := ClimateOptions{
		Title: "The climate somewhere", Caption: "ampwake 0.1",
		Facts: []string{"Sun: best in May.", "Wind: most in January.", "Year: " + strings.Repeat("a long answer ", 20)},
	}
	bare := climateAlong("southern-ocean")
	bare.Panels = nil
	long := climateAlong("radio-cover")
	for len(long.Days) < 300 {
		d := long.Days[len(long.Days)-40]
		d.From = long.Days[len(long.Days)-1].Until()
		long.Days = append(long.Days, d)
	}
	return map[string]laidOut{
		"climate trades":      NewClimateYear(yearAt(16.9, -25), about),
		"climate north":       NewClimateYear(yearAt(60, -20), about),
		"climate polar":       NewClimateYear(yearAt(80, 5), about),
		"climate south":       NewClimateYear(yearAt(-56, -67), ClimateOptions{}),
		"climate doubtful":    NewClimateYear(yearAt(38, 18), about),
		"climate southern":    NewClimatePassage(climateAlong("southern-ocean"), about),
		"climate radio":       NewClimatePassage(climateAlong("radio-cover"), about),
		"climate no panels":   NewClimatePassage(bare, about),
		"climate two days":    NewClimatePassage(climateAlong("radio-cover", "voyage.for=2 d"), about),
		"climate a few hours": NewClimatePassage(climateAlong("radio-cover", "voyage.for=7 h"), about),
		"climate 300 days":    NewClimatePassage(long, about),
	}
}

func TestClimateYearModel(t *testing.T) {
	y := yearAt(60, -20)
	c := NewClimateYear(y, ClimateOptions{Title: "Here"})
	require.True(t, c.Months)
	var titles []string
	for _, p := range c.Panels {
		titles = append(titles, p.Title)
		require.Greater(t, p.Max, p.Min, p.Title)
		for _, l := range p.Lines {
			require.Equal(t, len(l.X), len(l.Y), p.Title)
			require.Equal(t, [2]float64{0, 12}, [2]float64{l.X[0], l.X[len(l.X)-1]}, p.Title)
			require.True(t, slices.IsSorted(l.X), p.Title)
			require.LessOrEqual(t, slices.Max(l.Y), p.Max, p.Title)
			require.GreaterOrEqual(t, slices.Min(l.Y), p.Min, p.Title)
		}
	}
	require.Equal(t, []string{"Wind, kn", "Time in calm and gale, %", "Cloud, oktas", "Air and sea, °C", "Night, hours", "Sun on the level, kWh/m² a day", "Panels, Ah a day"}, titles)

	wind, blow, sun, array := c.Panels[0], c.Panels[1], c.Panels[5], c.Panels[6]
	june := &y.Months[5]
	require.Equal(t, 5.5, wind.Lines[0].X[6])
	require.InDelta(t, float64(june.Wind), wind.Lines[0].Y[6], 1e-9)
	require.InDelta(t, float64(june.Light), wind.Bands[0].Low[6], 1e-9)
	require.InDelta(t, float64(june.Hard), wind.Bands[0].High[6], 1e-9)
	require.Equal(t, wind.Lines[0].Y[0], wind.Lines[0].Y[13], "December goes over into January")
	require.InDelta(t, 100*float64(y.Months[0].Calm), blow.Stack.Layers[0].Values[0], 1e-9)
	require.InDelta(t, 100*float64(y.Months[0].Gale), blow.Stack.Layers[1].Values[0], 1e-9)
	require.InDelta(t, float64(june.Expected)/1000, sun.Lines[0].Y[6], 1e-9)
	require.InDelta(t, float64(june.Clear)/1000, sun.Lines[1].Y[6], 1e-9)
	require.InDelta(t, float64(june.Array), array.Stack.Layers[0].Values[5], 1e-9)
	require.Equal(t, "28 Ah, Jun", array.Points[0].Label)
	require.Contains(t, array.Points[1].Label, "Dec")
	require.Len(t, c.Arrows, 12)
	for i, a := range c.Arrows {
		require.InDelta(t, 180, math.Abs(float64(a.To-y.Months[i].From)), 1e-9, "to where it does not come from")
		require.Equal(t, float64(i)+0.5, a.X)
	}
}

func TestClimatePassageModel(t *testing.T) {
	p := climateAlong("southern-ocean")
	c := NewClimatePassage(p, ClimateOptions{Title: p.Title})
	require.False(t, c.Months)
	require.Equal(t, p.Days[0].From, c.From)
	require.Equal(t, p.Days[len(p.Days)-1].Until(), c.To)
	require.Equal(t, 1, c.Wind)
	lat := c.Panels[0]
	require.Equal(t, "Latitude", lat.Title)
	require.InDelta(t, float64(p.Days[3].Place.Lat), lat.Lines[0].Y[4], 1e-9)
	require.Equal(t, seconds(p.Days[3].From.Add(12*time.Hour)), lat.Lines[0].X[4])
	array := c.Panels[len(c.Panels)-1]
	require.InDelta(t, float64(p.Days[3].Array), array.Stack.Layers[0].Values[3], 1e-9)
	require.InDelta(t, float64(p.Days[3].Drawn), array.Lines[1].Y[4], 1e-9)

	p.Panels = nil
	c = NewClimatePassage(p, ClimateOptions{})
	require.Equal(t, "Sun on the level, kWh/m² a day", c.Panels[len(c.Panels)-1].Title)
	p.Days = nil
	require.Panics(t, func() { NewClimatePassage(p, ClimateOptions{}) })
}

// The cloud that was not observed is marked as doubtful.
func TestClimateDoubt(t *testing.T) {
	require.Contains(t, NewClimateYear(yearAt(38, 18), ClimateOptions{}).Panels[2].About, "doubtful")
	require.NotContains(t, NewClimateYear(yearAt(40, -20), ClimateOptions{}).Panels[2].About, "doubtful")
}

// Each direct label once, and each month once.
func TestClimateWords(t *testing.T) {
	var svg bytes.Buffer
	require.NoError(t, NewClimateYear(yearAt(60, -20), ClimateOptions{Title: "Here"}).Encode(&svg, "svg"))
	all := texts(t, svg.Bytes())
	for _, want := range []string{"Here", "mean", "1 h in 10 over", "1 h in 10 under", "calm, < 4 kn", "gale, > 34 kn", "sea", "air (dashed)", "night", "expected", "clear sky", "panels", "Jan", "Jun", "Dec"} {
		n := 0
		for _, s := range all {
			if s == want {
				n++
			}
		}
		if want == "mean" {
			require.Equal(t, 3, n, "the wind's line, and the statistic of cloud and temperatures")
			continue
		}
		require.Equal(t, 1, n, want)
	}
}

// An arrow points to where the wind blows: a north-easter's to the south-west.
func TestClimateArrows(t *testing.T) {
	c := &Climate{
		Months: true, Page: Page{Panels: []Panel{{Max: 1, Share: 1, Rows: make([]EventRow, arrowRows)}}},
		Arrows: []Arrow{{X: 6, To: 225, Steadiness: 1}},
	}
	s := c.layout(500, 300)
	for _, sh := range s.shapes {
		if len(sh.ring) == 3 {
			tip, tail := sh.ring[0], vg.Point{X: (sh.ring[1].X + sh.ring[2].X) / 2, Y: (sh.ring[1].Y + sh.ring[2].Y) / 2}
			require.Less(t, tip.X, tail.X)
			require.Less(t, tip.Y, tail.Y)
			require.InDelta(t, float64(tail.X-tip.X), float64(tail.Y-tip.Y), 1e-9)
			return
		}
	}
	t.Fatal("no arrow is drawn")
}
