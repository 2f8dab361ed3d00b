package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/scenarios/breakeven"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// even is maps of three latitudes and the dates of two months.
func even(change func(*breakeven.Maps)) *breakeven.Maps {
	day := func(net units.AmpHours) breakeven.Balance {
		return breakeven.Balance{Made: 50 + net, Used: 50, Lost: 1.2}
	}
	m := &breakeven.Maps{
		Title: "A passage", Place: track.Position{Lat: 12.2, Lon: -26.4}, Date: time.Date(2027, 1, 20, 0, 0, 0, 0, time.UTC),
		Cloud: 0.625, Speed: 5, YearSpeed: 4.7, Average: true,
		Speeds: []units.Knots{0, 0.5, 1, 8}, Clouds: []units.Fraction{0, 0.125, 1},
		Even: []breakeven.Crossing{{Speed: 4.104, Gains: true}}, Here: day(12), Still: [3]breakeven.Balance{day(-3), day(-18), day(-31.4)},
		Dates:     []time.Time{time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC), time.Date(2027, 1, 16, 0, 0, 0, 0, time.UTC), time.Date(2027, 2, 1, 0, 0, 0, 0, time.UTC)},
		Latitudes: []units.Degrees{-60, 0, 60},
		YearCloud: [][]units.Fraction{{0.8, 0.8, 0.8}, {0.5, 0.5, 0.5}, {0.8, 0.8, 0.8}},
	}
	for range 3 {
		m.BySpeed = append(m.BySpeed, []breakeven.Balance{day(-18), day(-18), day(-17), day(200)})
	}
	for _, net := range []units.AmpHours{10, 20, -31} {
		m.ByYear = append(m.ByYear, []breakeven.Balance{day(net), day(net), day(net)})
	}
	if change != nil {
		change(m)
	}
	return m
}

func TestBreakEvenAnswer(t *testing.T) {
	lines := func(change func(*breakeven.Maps)) []string {
		return strings.Split(strings.TrimSpace(BreakEvenAnswer(even(change))), "\n")
	}
	got := lines(nil)
	require.Equal(t, []string{
		"Even    at 4.1 kn under 5 oktas at 12°N 26°W in January; at her 5 kn she gains 12 Ah a day",
		"Still   without way she loses 18 Ah a day there; −3 Ah under a clear sky, −31 Ah overcast",
		"Year    at 4.7 kn she gains in every month from 60°S to the equator; worst −31 Ah a day at 60°N in January",
	}, got)
	for want, change := range map[string]func(*breakeven.Maps){
		"Even    at any speed, even none, under 5 oktas at 12°N 26°W in January; at her 5 kn she gains 12 Ah a day": func(m *breakeven.Maps) { m.Even = nil },
		"Even    at no speed up to 8 kn under 5 oktas at 12°N 26°W in January; at her 5 kn she loses 7 Ah a day": func(m *breakeven.Maps) {
			m.Even, m.Here.Made = nil, 43
		},
		"Even    at 3.0 kn, as a source comes into use, under 0.5 oktas at 12°N 26°W in January; at her 5 kn she gains 12 Ah a day": func(m *breakeven.Maps) {
			m.Cloud = 0.07
			m.Even = []breakeven.Crossing{{Speed: 3, Gains: true, Leaps: true}}
		},
		"Even    at 3.0 kn, then at 6.5 kn, as a source goes out of use, she begins to lose under 1 okta at 12°N 26°W in January": func(m *breakeven.Maps) {
			m.Cloud, m.Speed = 0.125, 0
			m.Even = []breakeven.Crossing{{Speed: 3, Gains: true}, {Speed: 6.5, Leaps: true}}
		},
	} {
		assert.Equal(t, want, lines(change)[0])
	}
	for want, change := range map[string]func(*breakeven.Maps){
		"Year    at 4.7 kn she gains in every month from 60°S to 60°N; least +1 Ah a day at 60°N in January": func(m *breakeven.Maps) {
			for i := range m.ByYear[2] {
				m.ByYear[2][i].Made = 51
			}
		},
		"Year    at 4.7 kn she gains nowhere all year round; best +20 Ah a day at the equator in January, worst −31 Ah a day at 60°N in January": func(m *breakeven.Maps) {
			for _, row := range m.ByYear {
				row[1].Made = 20
			}
			m.ByYear[2][1].Made = 19
		},
		"Year    at 4.7 kn she loses in every month from 60°S to 60°N; at best −30 Ah a day at the equator in January, at worst −81 Ah a day at 60°N in January": func(m *breakeven.Maps) {
			for _, row := range m.ByYear {
				for i := range row {
					row[i].Made -= 50
				}
			}
		},
		"Year    at 4.7 kn she gains in every month only about the equator; worst −31 Ah a day at 60°N in January": func(m *breakeven.Maps) {
			m.ByYear[0][1].Made = 30
		},
	} {
		assert.Equal(t, want, lines(change)[2])
	}
}

// The whole report of a real scenario: its tables hold what the maps do.
func TestBreakEvenText(t *testing.T) {
	label, src, err := scenarios.Source("doldrums-week")
	require.NoError(t, err)
	s, err := scenarios.Read(label, src, nil, "")
	require.NoError(t, err)
	m, err := breakeven.Of(t.Context(), s, breakeven.Options{})
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, BreakEven(&b, m))
	text := b.String()
	require.True(t, strings.HasPrefix(text, BreakEvenAnswer(m)))
	for _, line := range strings.Split(text, "\n") {
		if len([]rune(line)) > 150 {
			t.Errorf("too long: %s", line)
		}
	}
	row := func(head string) []string {
		for line := range strings.Lines(text) {
			if rest, ok := strings.CutPrefix(strings.TrimSpace(line), head+" "); ok {
				return strings.Fields(rest)
			}
		}
		t.Fatalf("no row %q in\n%s", head, text)
		return nil
	}
	oktas := row("4 oktas")
	require.Len(t, oktas, 9)
	for k, cell := range oktas {
		assert.Equal(t, signedText(float64(m.BySpeed[8][10*k].Net())), cell)
	}
	lat := row("30°S")
	require.Len(t, lat, 12)
	for k, cell := range lat {
		assert.Equal(t, signedText(float64(m.ByYear[10][2*k+1].Net())), cell)
	}
	require.Contains(t, text, "Rests on")
	require.Contains(t, text, Caution)

	b.Reset()
	require.NoError(t, BreakEvenJSON(&b, m))
	var j breakEvenJSON
	d := json.NewDecoder(&b)
	d.DisallowUnknownFields()
	require.NoError(t, d.Decode(&j))
	assert.Equal(t, BreakEvenSchema, j.Schema)
	assert.Len(t, j.BySpeed.Net, len(j.BySpeed.Clouds))
	assert.Len(t, j.BySpeed.Net[0], len(j.BySpeed.Speeds))
	assert.Len(t, j.ByYear.Net, len(j.ByYear.Latitudes))
	assert.Len(t, j.ByYear.Net[0], len(j.ByYear.Dates))
	assert.InDelta(t, j.Here.Made-j.Here.Used, j.Here.Net, 2e-4)
	assert.InDelta(t, float64(m.Even[0].Speed), j.Even[0].Speed, 1e-4)

	b.Reset()
	require.NoError(t, BreakEvenCSV(&b, m))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 1+len(m.Clouds)*len(m.Speeds)+len(m.Latitudes)*(len(m.Dates)-1))
	for _, r := range rows[1:] {
		var x [8]float64
		for i, k := range []int{3, 4, 5, 6, 7} {
			x[i], err = strconv.ParseFloat(r[k], 64)
			require.NoError(t, err)
		}
		require.InDelta(t, x[2]-x[3], x[4], 2e-4)
	}
}
