package report_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"io"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/cmd/internal/report"
	"ampwake/scenarios"
	"ampwake/scenarios/outlook"
	"ampwake/sim/climate"
	"ampwake/sim/track"
)

func yearAt(t testing.TB, text string) *outlook.Year {
	t.Helper()
	place, err := track.ParsePosition(text)
	require.NoError(t, err)
	y, err := outlook.Months(place, outlook.Reference())
	require.NoError(t, err)
	return y
}

func tiltsAt(t testing.TB, text string, m time.Month) *outlook.Tilts {
	t.Helper()
	place, err := track.ParsePosition(text)
	require.NoError(t, err)
	tilts, err := outlook.InMonth(place, m, outlook.Reference())
	require.NoError(t, err)
	return tilts
}

func passageOf(t testing.TB, name string, sets ...string) *outlook.Passage {
	t.Helper()
	label, src, err := scenarios.Source(name)
	require.NoError(t, err)
	s, err := scenarios.Read(label, src, sets, "")
	require.NoError(t, err)
	p, err := outlook.Along(context.Background(), s)
	require.NoError(t, err)
	return p
}

// said is what a report prints. Its first three lines are the answer, no line has
// blanks at its end, and no line of the table or below is longer than 100 signs.
func said(t testing.TB, answer string, write func(io.Writer) error) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write(&b))
	text := b.String()
	assert.True(t, strings.HasPrefix(text, answer+"\n"), "the answer comes first")
	assert.Equal(t, 3, strings.Count(answer, "\n"))
	assert.NotContains(t, text, "NaN")
	assert.True(t, strings.HasSuffix(text, report.ClimateCaution+"\n"))
	for i, line := range strings.Split(text, "\n") {
		assert.Equal(t, strings.TrimRight(line, " "), line, "line %d", i+1)
		if i >= 3 {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), 100, line)
		}
	}
	return text
}

func TestYearText(t *testing.T) {
	y := yearAt(t, "16°53'N 25°W")
	text := said(t, report.YearAnswer(y), func(w io.Writer) error { return report.Year(w, y) })
	assert.Contains(t, text, "Sun    best in May")
	assert.Contains(t, text, "Wind   most in Jan, 14 kn steadily from NE")
	for _, want := range []string{"16°53.0'N 025°00.0'W, by month", "\n  Jan ", "\n  Dec ", "\n  Year ", "Rests on", "about 10 %", "1850 to 1990", "13 V", "100 W, flat"} {
		assert.Contains(t, text, want)
	}
	assert.NotContains(t, text, "?", "open ocean with observations")
}

// What is not known stands in words beside the table.
func TestYearTextDoubts(t *testing.T) {
	y := yearAt(t, "38°N 18°E")
	text := said(t, report.YearAnswer(y), func(w io.Writer) error { return report.Year(w, y) })
	assert.Contains(t, strings.SplitN(text, "\n", 2)[0], "doubtful: see below")
	assert.Contains(t, text, "? no cloud was observed here")
	assert.Less(t, strings.Index(text, "? no cloud"), strings.Index(text, "Rests on"))
	assert.Contains(t, text, "\n  Jun  ?")

	y = yearAt(t, "44°30'N 9°30'E")
	assert.Contains(t, said(t, report.YearAnswer(y), func(w io.Writer) error { return report.Year(w, y) }), "mostly land")

	// Some months only: their names are told.
	y = yearAt(t, "16°53'N 25°W")
	y.Months[0].Quality = climate.FilledWind
	y.Months[2].Quality = climate.FilledWind
	text = said(t, report.YearAnswer(y), func(w io.Writer) error { return report.Year(w, y) })
	assert.Contains(t, text, "? Jan, Mar: no wind was observed here")
}

func TestYearTextAtThePole(t *testing.T) {
	y := yearAt(t, "80°N 5°E")
	text := said(t, report.YearAnswer(y), func(w io.Writer) error { return report.Year(w, y) })
	assert.Contains(t, text, "worst in Jan, 0.0: 0.0 Ah")
}

func TestMonthText(t *testing.T) {
	y, tilts := yearAt(t, "50°N 20°W"), tiltsAt(t, "50°N 20°W", time.December)
	text := said(t, report.MonthAnswer(y, tilts), func(w io.Writer) error { return report.Month(w, y, tilts) })
	for _, want := range []string{"50°00.0'N 020°00.0'W in December", "heading by chance", "facing south", "turned 3 times a day", "\n   90°  ", "\n  free  ", "60° facing south"} {
		assert.Contains(t, text, want)
	}
	tilts = tiltsAt(t, "10°N 30°W", time.June)
	text = said(t, report.MonthAnswer(yearAt(t, "10°N 30°W"), tilts), func(w io.Writer) error { return report.Month(w, yearAt(t, "10°N 30°W"), tilts) })
	assert.Contains(t, text, "facing north")
}

func TestPassageText(t *testing.T) {
	p := passageOf(t, "southern-ocean")
	text := said(t, report.PassageAnswer(p), func(w io.Writer) error { return report.Passage(w, p) })
	for _, want := range []string{
		"Sun    the panels make least", "most gales", "Hobart to Valdivia", "12 Jun", "? from 16 Jun: the climate south of 46°S",
		"rail panel, deck panel", "polar", "A line is 4 days", "The last 1.2 hours",
	} {
		assert.Contains(t, text, want)
	}
	assert.NotContains(t, text, "in place of what the file says")

	p = passageOf(t, "radio-cover")
	text = said(t, report.PassageAnswer(p), func(w io.Writer) error { return report.Passage(w, p) })
	assert.Contains(t, text, "Wind   fails most")
	assert.Contains(t, text, "in place of what the file says")

	p = passageOf(t, "radio-cover", "voyage.for=7 h")
	text = said(t, report.PassageAnswer(p), func(w io.Writer) error { return report.Passage(w, p) })
	assert.Contains(t, text, "Ah in 7.0 hours")
	assert.Contains(t, text, "The passage takes 7.0 hours")

	// No panels: no column of them, and the answer says so.
	p.Panels = nil
	text = said(t, report.PassageAnswer(p), func(w io.Writer) error { return report.Passage(w, p) })
	assert.Contains(t, text, "there are no panels")
	assert.NotContains(t, text, "panels  drawn")
}

// keys returns the paths of all keys of a JSON document, the elements of a list
// counting as one.
func keys(x any, at string, into map[string]bool) {
	switch x := x.(type) {
	case map[string]any:
		for k, v := range x {
			into[at+k] = true
			keys(v, at+k+".", into)
		}
	case []any:
		for _, v := range x {
			keys(v, at, into)
		}
	}
}

func keysOf(t testing.TB, write func(io.Writer) error) (map[string]any, []string) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write(&b))
	var d map[string]any
	require.NoError(t, json.Unmarshal(b.Bytes(), &d))
	into := map[string]bool{}
	keys(d, "", into)
	return d, slices.Sorted(maps.Keys(into))
}

// The names of the JSON form are a promise: one that goes or changes breaks the
// programs of others and needs another number in ClimateSchema.
func TestClimateJSONForm(t *testing.T) {
	means := func(at string, more ...string) (out []string) {
		for _, k := range append(strings.Fields(`wind_kn wind_from_deg wind_steadiness calm_under_4kn gale_over_34kn wind_p10_kn wind_p90_kn
			cloud air_c sea_c night_h clear_kwh_m2_day expected_kwh_m2_day array_ah_day doubts`), more...) {
			out = append(out, at+"."+k)
		}
		return append(out, at)
	}
	common := []string{"schema", "kind", "answer", "doubts", "rests_on", "rests_on.about", "rests_on.text", "caution"}
	position := append(slices.Clone(common), "place", "place.lat_deg", "place.lon_deg", "mostly_land", "panel", "panel.rated_w", "panel.tilt_deg",
		"panel.facing_true_deg", "panel.turned_to_the_sun_a_day", "panel.shaded", "panel.dirt", "panel.bus_v")
	position = append(position, means("months", "month", "name")...)

	y := yearAt(t, "16°53'N 25°W")
	d, got := keysOf(t, func(w io.Writer) error { return report.YearJSON(w, y, nil) })
	assert.ElementsMatch(t, append(slices.Clone(position), means("year")...), got)
	assert.Equal(t, "ampwake.climate/1", d["schema"])
	assert.Equal(t, "position", d["kind"])
	require.Len(t, d["months"], 12)
	may := d["months"].([]any)[4].(map[string]any)
	assert.Equal(t, "May", may["name"])
	assert.InDelta(t, float64(y.Months[4].Array), may["array_ah_day"], 1e-4)
	assert.InDelta(t, float64(y.Months[4].Expected)/1000, may["expected_kwh_m2_day"], 1e-4)
	assert.Nil(t, d["panel"].(map[string]any)["facing_true_deg"])

	tilts := tiltsAt(t, "16°53'N 25°W", time.June)
	d, got = keysOf(t, func(w io.Writer) error { return report.YearJSON(w, y, tilts) })
	assert.ElementsMatch(t, append(slices.Clone(position), "tilts", "tilts.noon_sun_true_deg", "tilts.turned_to_the_sun_a_day", "tilts.turned_tilt_and_all_ah_day",
		"tilts.rows", "tilts.rows.tilt_deg", "tilts.rows.any_heading_ah_day", "tilts.rows.facing_noon_sun_ah_day", "tilts.rows.turned_ah_day"), got)
	require.Len(t, d["months"], 1)

	p := passageOf(t, "southern-ocean")
	scenario := append(slices.Clone(common), "title", "depart_utc", "end_utc", "arrived", "sailed_nm", "panels", "left_out_at_the_end_h")
	scenario = append(scenario, means("days", "from_utc", "hours", "lat_deg", "lon_deg", "drawn_ah_day")...)
	scenario = append(scenario, means("passage", "drawn_ah_day")...)
	d, got = keysOf(t, func(w io.Writer) error { return report.PassageJSON(w, p) })
	assert.ElementsMatch(t, scenario, got)
	assert.Equal(t, "scenario", d["kind"])
	require.Len(t, d["days"], len(p.Days))
	p.Panels = nil
	d, _ = keysOf(t, func(w io.Writer) error { return report.PassageJSON(w, p) })
	assert.Nil(t, d["passage"].(map[string]any)["array_ah_day"], "no panels are not panels that make nothing")
}

func TestClimateCSV(t *testing.T) {
	y := yearAt(t, "38°N 18°E")
	var b bytes.Buffer
	require.NoError(t, report.YearCSV(&b, y, 0))
	assert.True(t, strings.HasPrefix(b.String(), "month,wind_kn,wind_from_deg,wind_steadiness,calm_under_4kn,gale_over_34kn,wind_p10_kn,wind_p90_kn,"+
		"cloud,air_c,sea_c,night_h,clear_kwh_m2_day,expected_kwh_m2_day,array_ah_day,doubts\n"))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 13)
	assert.Equal(t, "12", rows[12][0])
	assert.Contains(t, rows[12][15], "no cloud was observed")
	b.Reset()
	require.NoError(t, report.YearCSV(&b, y, time.June))
	assert.Equal(t, 2, strings.Count(b.String(), "\n"))

	p := passageOf(t, "radio-cover", "voyage.for=5 d")
	b.Reset()
	require.NoError(t, report.PassageCSV(&b, p))
	rows, err = csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 6)
	assert.Equal(t, []string{"from_utc", "hours", "lat_deg", "lon_deg", "drawn_ah_day", "wind_kn"}, rows[0][:6])
	assert.Equal(t, []string{"2027-01-10T09:00:00Z", "24.000"}, rows[1][:2])
}
