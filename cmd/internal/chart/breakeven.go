package chart

import (
	"fmt"
	"math"
	"strings"
	"time"

	"gonum.org/v1/plot/vg"

	"ampwake/scenarios/breakeven"
)

// BreakEvenOptions go with both maps of the break-even.
type BreakEvenOptions struct {
	Facts   []string // sentences under the title
	Version string
}

const (
	breakEvenName = "Net charge, Ah a day"
	breakEvenZero = "breaks even"
	breakEvenRead = "Light: she makes more than she uses. Dark: less."
)

// NewBreakEven makes the map of the balance of a day by boat speed and cloud.
func NewBreakEven(m *breakeven.Maps, opt BreakEvenOptions) *Field {
	p := &Field{
		Title: clean(m.Title), Facts: opt.Facts, Name: breakEvenName, Zero: breakEvenZero,
		About: fmt.Sprintf("made less used, by boat speed and cloud, %s %s in %s",
			parallel(float64(m.Place.Lat), false), meridian(float64(m.Place.Lon)), m.Date.Month()),
		Remarks: []string{breakEvenRead},
		Caption: breakEvenCaption(m, opt),
		X:       FieldAxis{Min: float64(m.Speeds[0]), Max: float64(m.Speeds[len(m.Speeds)-1]), Name: "Boat speed through the water, kn"},
		Y:       FieldAxis{Min: 0, Max: 8, Name: "Cloud, oktas", Ticks: oktaTicks()},
		Values:  nets(m.BySpeed),
		Width:   8 * vg.Inch, Height: 6 * vg.Inch,
	}
	p.X.Ticks = ticks(p.X.Min, p.X.Max, 1)
	p.Levels = fieldLevels(p.Values)
	if m.Speed >= 0 && float64(m.Speed) <= p.X.Max {
		p.Points = []FieldPoint{{
			X: float64(m.Speed), Y: 8 * float64(m.Cloud),
			Label: "as planned: " + signed(math.Round(float64(m.Here.Net()))) + " Ah",
		}}
	}
	return p
}

// NewBreakEvenYear makes the map of the balance of a day by latitude and month,
// with the passage on it.
func NewBreakEvenYear(m *breakeven.Maps, opt BreakEvenOptions) *Field {
	first := m.Dates[0]
	last := m.Dates[len(m.Dates)-1]
	days := last.Sub(first).Hours() / 24
	p := &Field{
		Title: clean(m.Title), Facts: opt.Facts, Name: breakEvenName, Zero: breakEvenZero,
		About:   fmt.Sprintf("made less used, by latitude and month, at %s kn under the climate’s cloud", short(float64(m.YearSpeed))),
		Remarks: []string{breakEvenRead, "Cloud: the mean over the sea around the globe."},
		Caption: breakEvenCaption(m, opt),
		X:       FieldAxis{Min: 0, Max: days, Bare: true},
		Y:       FieldAxis{Min: float64(m.Latitudes[0]), Max: float64(m.Latitudes[len(m.Latitudes)-1]), Name: "Latitude"},
		Values:  nets(m.ByYear),
		Smooth:  true,
		Width:   8 * vg.Inch, Height: 6 * vg.Inch,
	}
	at := func(t time.Time) float64 { return t.Sub(first).Hours() / 24 }
	for month := time.January; month <= time.December; month++ {
		from := time.Date(m.Year, month, 1, 0, 0, 0, 0, time.UTC)
		to := from.AddDate(0, 1, 0)
		p.X.Lines = append(p.X.Lines, at(from))
		p.X.Ticks = append(p.X.Ticks, Tick{At: (at(from) + at(to)) / 2, Label: month.String()[:3]})
	}
	for lat := math.Ceil(p.Y.Min/20) * 20; lat <= p.Y.Max; lat += 20 {
		p.Y.Ticks = append(p.Y.Ticks, Tick{At: lat, Label: parallel(lat, false)})
	}
	p.Levels = fieldLevels(p.Values)
	path := FieldPath{Label: "this passage"}
	for _, step := range m.Passage {
		year := time.Date(step.Time.Year(), 1, 1, 0, 0, 0, 0, time.UTC)
		path.X = append(path.X, min(days, step.Time.Sub(year).Hours()/24))
		path.Y = append(path.Y, held(float64(step.Lat), p.Y.Min, p.Y.Max))
	}
	p.Paths = []FieldPath{path}
	return p
}

// nets are the balances of a map, row by row.
func nets(rows [][]breakeven.Balance) [][]float64 {
	out := make([][]float64, len(rows))
	for j, row := range rows {
		out[j] = make([]float64, len(row))
		for i, b := range row {
			out[j][i] = float64(b.Net())
		}
	}
	return out
}

func breakEvenCaption(m *breakeven.Maps, opt BreakEvenOptions) string {
	parts := []string{clean(m.Title)}
	if opt.Version != "" {
		parts = append(parts, clean(opt.Version))
	}
	return strings.Join(append(parts, fmt.Sprintf("course %.0f°", float64(m.Course))), " · ")
}

// meridian writes a longitude in whole degrees.
func meridian(lon float64) string { return degreesText(math.Round(lon), "E", "W") }

// oktaTicks are the oktas of cloud.
func oktaTicks() []Tick {
	var out []Tick
	for k := range 9 {
		out = append(out, Tick{At: float64(k), Label: fmt.Sprint(k)})
	}
	return out
}
