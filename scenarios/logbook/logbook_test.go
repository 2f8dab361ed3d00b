package logbook

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func read(t *testing.T, text string) *Log {
	t.Helper()
	l, err := Read("log.csv", []byte(text), Options{})
	require.NoError(t, err)
	return l
}

func problems(l *Log) string {
	var b strings.Builder
	for _, p := range l.Problems {
		b.WriteString(p.String() + "\n")
	}
	return b.String()
}

func utc(s string) time.Time {
	t, err := time.Parse("2006-01-02 15:04", s)
	if err != nil {
		panic(err)
	}
	return t
}

func TestEveryColumn(t *testing.T) {
	l := read(t, `# kept by hand
Date, Time [UTC], Position, Run [nm], Volts rested [V], Volts under load [V], Load [A], Counter [Ah], Cloud [oktas], Speed [kn], Generator [h], Engine [h], Air [C], Sea [C], Remark

2027-01-10, 09:00, 16°53'N 025°00'W, , 12.6, , , , 3, , , , , , off
, 1200, , 15, , 12.31, 4.5, -11.5, 9, 5.2, 2.5, 0.5, 24, 25, "noon, all well"
11 Jan 2027, 12:00:30, "14 50.0 N, 25 10.0 W", 124, 12.5, , , , , , , , , ,
`)
	assert.Empty(t, problems(l))
	assert.Empty(t, l.Warnings)
	assert.Empty(t, l.Notes)
	require.Len(t, l.Rows, 3)
	assert.Equal(t, Clock{}, l.Clock)
	r := l.Rows[1]
	assert.Equal(t, utc("2027-01-10 12:00"), r.Time)
	assert.Equal(t, 5, l.Rows[1].Line)
	assert.InDelta(t, 15, float64(*r.Run), 0)
	assert.InDelta(t, 12.31, float64(*r.Loaded), 0)
	assert.InDelta(t, 4.5, float64(*r.Load), 0)
	assert.InDelta(t, -11.5, float64(*r.Counter), 0)
	assert.InDelta(t, 1, float64(*r.Cloud), 0, "9 oktas: the sky is not seen")
	assert.InDelta(t, 5.2, float64(*r.Speed), 0)
	assert.InDelta(t, 2.5, float64(*r.Generator), 0)
	assert.InDelta(t, 24, float64(*r.Air), 0)
	assert.InDelta(t, 25, float64(*r.Sea), 0)
	assert.Equal(t, "noon, all well", r.Remark)
	assert.Nil(t, r.Rested)
	assert.Nil(t, r.Place)
	assert.InDelta(t, -25.1667, float64(l.Rows[2].Place.Lon), 1e-4)
	assert.Equal(t, utc("2027-01-11 12:00").Add(30*time.Second), l.Rows[2].Time)
}

// Hours beyond those since the line before are named; the row stays.
func TestLongerThanThereIs(t *testing.T) {
	l := read(t, `time [UTC], engine [h], generator [min], volts rested [V]
2027-01-10 09:00, , , 12.6
2027-01-10 12:00, 30, 180, 12.5
2027-01-10 16:00, 4.2, 30, 12.5
`)
	assert.Equal(t, "line 3: engine: 30.0 h in the 3.0 h since line 2: it was left out\n", problems(l))
	assert.Nil(t, l.Rows[1].Engine)
	assert.InDelta(t, 3, float64(*l.Rows[1].Generator), 0)
	assert.InDelta(t, 4, float64(*l.Rows[2].Engine), 0, "read to the quarter hour")
	assert.InDelta(t, 0.5, float64(*l.Rows[2].Generator), 1e-12)
}

// Each kind of trouble is named with its line and the reason; what is sound of
// the line is kept.
func TestTrouble(t *testing.T) {
	const head = "time [UTC], position, volts rested [V], cloud [oktas], speed [kn], generator [h]\n2027-01-10 09:00, 16°53'N 25°W, 12.6, 3, 5, \n"
	for _, tt := range []struct{ name, rows, say string }{
		{"no number", "2027-01-10 12:00, , about 12, 3, 5, 3\n", `line 3: volts rested: "about 12" is not a number: it was left out`},
		{"230 volts", "2027-01-10 12:00, , 230, 3, 5, 3\n", "line 3: volts rested: 230 is no voltage of a 12 V bank: want 8 to 17 V: it was left out"},
		{"12.6 oktas", "2027-01-10 12:00, , , 12.6, 5, 3\n", "line 3: cloud: 12.6 is no cloud amount: want 0 to 8 oktas: it was left out"},
		{"swapped in a line", "2027-01-10 12:00, , 3, 12.6, 5, 3\n", "line 3: volts rested: 3 is no voltage of a 12 V bank: want 8 to 17 V; it changed places with cloud, by the look of it: it was left out\n" +
			"line 3: cloud: 12.6 is no cloud amount: want 0 to 8 oktas; it changed places with volts rested, by the look of it: it was left out"},
		{"repeated", "2027-01-10 12:00, , 12.6, 3, 5, 3\n2027-01-10 12:00, , 12.6, 3, 5, 3\n", "line 4: it repeats line 3: it was left out"},
		{"same time", "2027-01-10 12:00, , 12.6, 3, 5, 3\n2027-01-10 12:00, , 12.5, 3, 5, 3\n", "line 4: it has the time of line 3 (10 Jan 12:00) and other values: it was left out"},
		{"going back", "2027-01-11 12:00, , 12.6, 3, 5, 3\n2027-01-10 20:00, , 12.5, 3, 5, 3\n2027-01-12 12:00, , 12.6, 3, 5, 3\n", "line 4: its time, 10 Jan 2027 20:00, is not later than that of line 3, 11 Jan 2027 12:00: it was left out"},
		{"mistyped month", "2027-10-10 12:00, , 12.6, 3, 5, 3\n2027-01-11 12:00, , 12.5, 3, 5, 3\n2027-01-12 12:00, , 12.5, 3, 5, 3\n", "line 3: its time, 10 Oct 2027 12:00, is later than that of the lines after it: it was left out"},
		{"no time", "yesterday, , 12.6, 3, 5, 3\n", `line 3: "yesterday" is no time: want one like 2027-01-10 12:00: it was left out`},
		{"american date", "01/10/2027 12:00, , 12.6, 3, 5, 3\n", `line 3: "01/10/2027" is no date: want one like 2027-01-10 or 10 Jan 2027: it was left out`},
		{"year", "1927-01-10 12:00, , 12.6, 3, 5, 3\n", "line 3: the year 1927 is outside 1971 to 2100: it was left out"},
		{"position", "2027-01-10 12:00, 95°N 25°W, 12.6, 3, 5, 3\n", `line 3: position: "95°N 25°W" is not a position, like 16°53.0'N 025°00.0'W: the latitude is beyond 90°: it was left out`},
		{"wrong side", "2027-01-11 09:00, 14°53'N 25°E, 12.6, 3, 5, 3\n2027-01-12 09:00, 12°53'N 25°W, 12.6, 3, 5, 3\n", "line 3: position: 2880 miles from that of line 2 in 24.0 h would be 120 kn: it was left out"},
		{"comma in a remark", "2027-01-10 12:00, , 12.6, 3, 5, 3, fine, fresh\n", "line 3: 8 cells, the header has 6: it was left out (put quotes about a text with a comma in it)"},
		{"first hours", "2027-01-09 09:00, , 12.6, 3, 5, 3\n2027-01-10 12:00, , 12.6, 3, 5, 3\n2027-01-10 14:00, , 12.6, 3, 5, 2\n", "line 3: its time, 9 Jan 2027 09:00, is not later than that of line 2, 10 Jan 2027 09:00: it was left out\n"},
	} {
		l := read(t, head+tt.rows)
		assert.Equal(t, strings.TrimSuffix(tt.say, "\n")+"\n", problems(l), tt.name)
		assert.NotEmpty(t, l.Rows, tt.name)
	}
}

// Columns that are swapped all the way down are told of once more, for the header.
func TestSwappedColumns(t *testing.T) {
	l := read(t, `time [UTC], cloud [oktas], volts rested [V], speed [kn]
2027-01-10 09:00, 12.6, 3, 5
2027-01-10 12:00, 12.5, 4, 5
2027-01-10 16:00, 12.5, 6, 5
2027-01-10 20:00, 12.4, 7, 5
`)
	require.Len(t, l.Warnings, 1)
	assert.Equal(t, "the columns cloud and volts rested look swapped: in 4 lines each holds what the other should: see the header", l.Warnings[0])
	assert.Len(t, l.Problems, 8)
	assert.Len(t, l.Rows, 4)
}

const noons = `time [UTC], position, run [nm], volts rested [V]
2027-01-10 07:00, 16°53'N 25°W, , 12.6
2027-01-10 12:00, 16°30'N 25°W, 27, 12.6
2027-01-11 12:00, 14°20'N 25°W, 130, 12.6
2027-01-12 12:00, 12°10'N 25°W, 130, 12.6
2027-01-13 12:00, 10°00'N 25°W, 130, 12.6
`

// Noon is entered at 12:00 by the ship's clock: a header that says UTC is doubted.
func TestShipsClockUnderAHeaderOfUTC(t *testing.T) {
	l := read(t, noons)
	require.Len(t, l.Warnings, 1)
	assert.Contains(t, l.Warnings[0], "if the clock was the ship's, head the column time [ship]")
	assert.Empty(t, read(t, strings.Replace(noons, "[UTC]", "[ship]", 1)).Warnings)
	assert.Empty(t, read(t, strings.Replace(noons, "[UTC]", "[UTC-2]", 1)).Warnings)
	assert.Empty(t, read(t, strings.ReplaceAll(noons, "12:00", "14:00")).Warnings)
	assert.Empty(t, read(t, strings.ReplaceAll(noons, "25°W", "1°W")).Warnings, "noon is at 12:00 UTC there")
}

func TestClocks(t *testing.T) {
	for head, want := range map[string]string{
		"time [UTC]": "2027-01-10 12:00", "utc": "2027-01-10 12:00", "time [ship]": "2027-01-10 14:00", "time [ship's time]": "2027-01-10 14:00",
		"time [UTC-3]": "2027-01-10 15:00", "time [utc+1]": "2027-01-10 11:00", "Time (GMT)": "2027-01-10 12:00",
	} {
		l := read(t, head+", position\n2027-01-10 12:00, 10°N 25°W\n")
		assert.Equal(t, utc(want), l.Rows[0].Time, head)
	}
	// Ship's time follows the last position above, else the first below, else what
	// the caller knows.
	l := read(t, "time [ship], position, speed [kn]\n2027-01-10 12:00, , 5\n2027-01-10 18:00, 10°N 21°W,\n2027-01-11 18:00, 10°N 24°W,\n2027-01-11 20:00, , 5\n")
	assert.Equal(t, []time.Time{utc("2027-01-10 13:00"), utc("2027-01-10 19:00"), utc("2027-01-11 20:00"), utc("2027-01-11 22:00")},
		[]time.Time{l.Rows[0].Time, l.Rows[1].Time, l.Rows[2].Time, l.Rows[3].Time})
	l, err := Read("x", []byte("time [ship], speed [kn]\n2027-01-10 12:00, 5\n"), Options{Zone: func(time.Time) int { return 10 }})
	require.NoError(t, err)
	assert.Equal(t, utc("2027-01-10 02:00"), l.Rows[0].Time)
	// A line may say UTC itself, if the header does not say otherwise.
	l = read(t, "time [UTC], speed [kn]\n2027-01-10T12:00Z, 5\n2027-01-10 13:00 UTC, 5\n")
	assert.Len(t, l.Rows, 2)
	l = read(t, "time [ship], speed [kn]\n2027-01-10T12:00Z, 5\n2027-01-10 13:00, 5\n")
	assert.Equal(t, "line 2: the time says UTC, but the header says ship: it was left out\n", problems(l))
}

func TestOtherSeparators(t *testing.T) {
	l := read(t, "time [UTC];volts rested [V];speed [m/s];cloud [%]\n2027-01-10 12:00;12,62;2,5;40\n")
	assert.InDelta(t, 12.62, float64(*l.Rows[0].Rested), 1e-12)
	assert.InDelta(t, 4.8596, float64(*l.Rows[0].Speed), 1e-4)
	assert.InDelta(t, 0.4, float64(*l.Rows[0].Cloud), 1e-12)
	l = read(t, "date\ttime [UTC]\tlat\tlon\tvolts [V]\n2027-01-10\t12:00\t-33.5\t17.9\t12.6\n2027-01-10\t13:00\t33°31'S\t\t12.6\n")
	assert.InDelta(t, -33.5, float64(l.Rows[0].Place.Lat), 0)
	assert.Equal(t, "line 3: position: latitude and longitude belong together: it was left out\n", problems(l))
}

// A log of noons needs no column of times.
func TestOnlyDates(t *testing.T) {
	l := read(t, "date [ship], position, volts rested [V]\n2027-01-10, 10°N 25°W, 12.6\n2027-01-11, 8°N 25°W, 12.6\n")
	assert.Equal(t, utc("2027-01-10 14:00"), l.Rows[0].Time)
}

func TestNotes(t *testing.T) {
	l := read(t, "time [UTC], speed [kn], mood\n2027-01-10 12:00, 5, fine\n2027-01-13 12:00, 5, fine\n")
	assert.Equal(t, []string{
		`column "mood" is not known and was left out`,
		"nothing for 3.0 days between lines 2 and 3 (10 Jan 2027 12:00 to 13 Jan 2027 12:00): the values before and after stand in",
	}, l.Notes)
}

func TestNothingToGoBy(t *testing.T) {
	for text, say := range map[string]string{
		"":                               "it is empty",
		"# nothing\n":                    "it is empty",
		"volts rested [V]\n12.6\n":       "no column of times",
		"time [UTC]\n2027-01-10 12:00\n": "no column but the time",
		"time, speed [kn]\n2027-01-10 12:00, 5\n":               "head the column of times with time [UTC]",
		"time [EST], speed [kn]\n2027-01-10 12:00, 5\n":         `"est" is no clock`,
		"time [UTC], speed\n2027-01-10 12:00, 5\n":              `want a unit in brackets, like "speed [kn]", not ""`,
		"time [UTC], speed [kn], speed [kn]\n":                  "a second column of speed",
		"time [UTC], lat, speed [kn]\n":                         "needs one of lon",
		"time [UTC], speed [kn]\n":                              "there is none under the header",
		"time [UTC], speed [kn]\nnever, 5\n":                    `not one line can be used: line 2: "never" is no time`,
		strings.Repeat("#", mostBytes+1):                        "no log kept by hand",
		"time [UTC], speed [kn]\n" + strings.Repeat("x,1\n", 3): "not one line",
	} {
		_, err := Read("log.csv", []byte(text), Options{})
		assert.ErrorContains(t, err, say)
		assert.ErrorContains(t, err, "log.csv: ")
	}
}

func TestBuiltin(t *testing.T) {
	for _, b := range Builtin() {
		src, err := Source(b.Name)
		require.NoError(t, err)
		assert.NotEmpty(t, b.About)
		assert.NotEmpty(t, b.Scenario)
		assert.Contains(t, string(src), "INVENTED")
		l := read(t, string(src))
		assert.Empty(t, l.Problems)
		assert.Empty(t, l.Warnings)
	}
	_, err := Source("trial-sale")
	assert.ErrorContains(t, err, "built in are trial-sail")
	_, err = Source("../source.go/x")
	assert.Error(t, err)
}

// Whatever is read: rows rise in time, hold what their columns can, and every line
// is either a row, a blank or named.
func FuzzRead(f *testing.F) {
	src, err := Source("trial-sail")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(string(src))
	f.Add(noons)
	f.Add("time [UTC];volts rested [V];cloud [oktas]\n2027-01-10 12:00;12,62;9\n2027-01-10 12:00;3;12.6\n")
	f.Add("date, time [ship], lat, lon, engine [h]\n2027-01-10, 1200, 10, -25, 4\n, 1300, 10, 170, 0.5\n")
	f.Fuzz(func(t *testing.T, src string) {
		l, err := Read("log", []byte(src), Options{})
		if err != nil {
			return
		}
		decoded, _ := text([]byte(src)) // in which lines end as the reader knows them
		lines := bytes.Count(decoded, []byte("\n")) + 1
		seen := map[int]bool{}
		for i := range l.Rows {
			r := &l.Rows[i]
			if i > 0 && !r.Time.After(l.Rows[i-1].Time) {
				t.Fatalf("row %d is not later than the one before", i)
			}
			if r.Line < 2 || r.Line > lines || seen[r.Line] {
				t.Fatalf("row %d is of line %d", i, r.Line)
			}
			seen[r.Line] = true
			if r.Rested != nil && !(*r.Rested >= leastVolts && *r.Rested <= mostVolts) || r.Cloud != nil && !(*r.Cloud >= 0 && *r.Cloud <= 1) {
				t.Fatalf("row %d holds what it cannot", i)
			}
			for _, h := range []*float64{(*float64)(r.Generator), (*float64)(r.Engine)} {
				if h != nil && (i == 0 || *h > r.Time.Sub(l.Rows[i-1].Time).Hours()) {
					t.Fatalf("row %d: more hours than there were", i)
				}
			}
		}
		for _, p := range l.Problems {
			if p.Line < 1 || p.Line > lines || p.Text == "" || p.String() == "" {
				t.Fatalf("problem %v", p)
			}
		}
	})
}
