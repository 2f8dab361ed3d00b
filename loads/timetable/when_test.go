package timetable

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim/units"
)

func TestParse(t *testing.T) {
	jan5 := DateOf(time.Date(2027, 1, 5, 0, 0, 0, 0, time.UTC))
	feb1 := DateOf(time.Date(2027, 2, 1, 0, 0, 0, 0, time.UTC))
	monThu := Weekdays(0).With(time.Monday).With(time.Thursday)
	for text, want := range map[string]When{
		"always":                         {Kind: Always},
		"Dusk to dawn":                   {Kind: Dark, Below: Sunset},
		"sun below −6°":                  {Kind: Dark, Below: -6},
		"4 h a day":                      {Kind: Spread, Hours: 4},
		"90 min per day":                 {Kind: Spread, Hours: 1.5},
		"19:00-21:00 ship's time":        {Kind: Window, From: 1140, To: 1260, Clock: Ship},
		"19:00–21:00 ship’s time":        {Kind: Window, From: 1140, To: 1260, Clock: Ship},
		"1900 to 2100 ship time":         {Kind: Window, From: 1140, To: 1260, Clock: Ship},
		"23:30 - 00:30 utc":              {Kind: Window, From: 1410, To: 30},
		"00:00-24:00 UTC":                {Kind: Window, From: 0, To: 1440},
		"08:00 UTC":                      {Kind: Moment, From: 480},
		"daily 08:00 UTC":                {Kind: Moment, From: 480},
		"08:00 UTC for 15 min":           {Kind: Window, From: 480, To: 495},
		"23:50 UTC for 15 min":           {Kind: Window, From: 1430, To: 5},
		"00:00 UTC for 24 h":             {Kind: Window, From: 0, To: 1440},
		"Mon,Thu 08:00-08:15 UTC":        {Kind: Window, From: 480, To: 495, Days: monThu},
		"monday, thursday 0800-0815 UTC": {Kind: Window, From: 480, To: 495, Days: monThu},
		"Fri-Mon 08:00 UTC":              {Kind: Moment, From: 480, Days: 0b1100011},
		"Mon-Sun 08:00 UTC":              {Kind: Moment, From: 480},
		"every day 08:00 UTC":            {Kind: Moment, From: 480},
		"every 1 day 08:00 UTC":          {Kind: Moment, From: 480},
		"every 3 days 12:00-13:00 UTC":   {Kind: Window, From: 720, To: 780, Every: 3},
		"always until 2027-02-01":        {Kind: Always, Dates: Dates{Until: feb1}},
		"dusk to dawn from 2027-01-05":   {Kind: Dark, Below: Sunset, Dates: Dates{From: jan5}},
		"08:00 UTC until 2027-02-01":     {Kind: Moment, From: 480, Dates: Dates{Until: feb1}},
		"every 3 days 12:00-13:00 ship's time from 2027-01-05 until 2027-02-01": {
			Kind: Window, From: 720, To: 780,
			Clock: Ship, Every: 3, Dates: Dates{From: jan5, Until: feb1},
		},
	} {
		got, err := Parse(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
}

// Each refusal names the forms, and says what is wrong where that is plain.
func TestParseRefuses(t *testing.T) {
	for text, say := range map[string]string{
		"":                                      "empty",
		"sometimes":                             "",
		"08:00-09:00":                           "clock is missing",
		"08:00-09:00 CET":                       "UTC or ship's time",
		"08:00-08:00 UTC":                       "00:00-24:00",
		"24:00-08:00 UTC":                       "24:00 is only an end",
		"08:60 UTC":                             "minutes go to 59",
		"25:00 UTC":                             "hours go to 24:00",
		"8:0 UTC":                               "time of day",
		"08:00-09:00-10:00 UTC":                 "time of day",
		"25 h a day":                            "a day has 24 h",
		"0 h a day":                             "a day has 24 h",
		"4 a day":                               "unit is missing",
		"sun below 6":                           "unit is missing",
		"sun below 95°":                         "between -90° and 90°",
		"every 0 days 08:00 UTC":                "from 1 to 366",
		"every 367 days 08:00 UTC":              "from 1 to 366",
		"every other day 08:00 UTC":             "every 3 days",
		"Mon,Thx 08:00 UTC":                     "",
		"08:00 UTC for 90 s":                    "whole number of minutes",
		"08:00 UTC for 25 h":                    "whole number of minutes",
		"08:00-09:00 UTC for 15 min":            "leave out the length",
		"08:00 UTC sharp":                       "too much at the end",
		"always from tomorrow":                  "2027-01-05",
		"always from 2027-02-30":                "2027-01-05",
		"always from 2027-02-02 until 2027-2-1": "2027-01-05",
		"always from 2027-02-02 until 2027-02-01":               "ends before it begins",
		"always from 2027-02-02 from 2027-02-01":                "two dates after from",
		"08:00 UTC from 2027-01-05 for 15 min until 2027-02-01": "too much at the end",
		"every 3 days every 2 days 08:00 UTC":                   "",
		strings.Repeat("Mon ", 50) + "08:00":                    "clock is missing",
	} {
		_, err := Parse(text)
		require.Error(t, err, text)
		assert.ErrorContains(t, err, say, text)
		assert.ErrorContains(t, err, Forms)
		var se *units.SyntaxError
		assert.ErrorAs(t, err, &se)
	}
}

// Every form listed in messages is one that is read.
func TestFormsAreRead(t *testing.T) {
	list, _, _ := strings.Cut(Forms, ";")
	for form := range strings.SplitSeq(list, ", ") {
		_, err := Parse(form + " from 2027-01-05 until 2027-02-01")
		assert.NoError(t, err, form)
	}
}

func TestParseList(t *testing.T) {
	l, err := ParseList("08:00 UTC", "always")
	require.NoError(t, err)
	assert.Equal(t, List{{Kind: Moment, From: 480}, {}}, l)
	_, err = ParseList("08:00 UTC", "noon")
	assert.ErrorContains(t, err, `"noon" is not a time to be on`)
}

// The texts of a file come back as they are written.
func TestMarshal(t *testing.T) {
	type file struct {
		When []When
		From TimeOfDay
		Day  Date
	}
	const text = `{"When":["dusk to dawn","08:00-24:00 ship's time"],"From":"07:05","Day":"2027-01-05"}`
	var f file
	require.NoError(t, json.Unmarshal([]byte(text), &f))
	raw, err := json.Marshal(f)
	require.NoError(t, err)
	assert.Equal(t, text, string(raw))
	for _, bad := range []string{`{"When":["noon"]}`, `{"From":"7"}`, `{"Day":"5 Jan"}`} {
		assert.Error(t, json.Unmarshal([]byte(bad), &f), bad)
	}
}

func TestLasting(t *testing.T) {
	m := When{Kind: Moment, From: 1430}
	for _, bad := range []units.Hours{0, -1, 25, 1.0 / 3600, units.Hours(1e300)} {
		_, err := m.Lasting(bad)
		assert.Error(t, err, bad)
	}
	w, err := m.Lasting(0.25)
	require.NoError(t, err)
	assert.Equal(t, 15, w.Minutes())
	same, err := w.Lasting(5) // a window keeps its own
	require.NoError(t, err)
	assert.Equal(t, w, same)
	assert.Panics(t, func() { Daily(1440, 1, UTC) })
	assert.Panics(t, func() { Daily(0, 1441, UTC) })
}

func TestDatesEdge(t *testing.T) {
	d := Dates{From: DateOfDay(100), Until: DateOfDay(101)}
	at := func(day int) time.Time { return time.Unix(int64(day)*86400, 0).UTC() }
	assert.Equal(t, at(100), d.Edge(at(99)))
	assert.Equal(t, at(102), d.Edge(at(100)))
	assert.Equal(t, time.Time{}, d.Edge(at(102)))
	assert.Equal(t, time.Time{}, (&Dates{}).Edge(at(1)))
	assert.False(t, d.Holds(99) || d.Holds(102))
	assert.True(t, d.Holds(100) && d.Holds(101))
	assert.Equal(t, "", Date{}.String())
}

func ExampleParse() {
	for _, text := range []string{"dusk to dawn", "1930-0030 ship's time", "Mon,Thu 08:00 UTC for 15 min"} {
		w, err := Parse(text)
		fmt.Println(w, err)
	}
	_, err := Parse("08:00-09:00")
	fmt.Println(strings.Contains(err.Error(), "the clock is missing"))
	// Output:
	// dusk to dawn <nil>
	// 19:30-00:30 ship's time <nil>
	// Mon,Thu 08:00-08:15 UTC <nil>
	// true
}

// What parses prints as a text that means the same.
func FuzzParse(f *testing.F) {
	list, _, _ := strings.Cut(Forms, ";")
	for form := range strings.SplitSeq(list, ", ") {
		f.Add(form)
	}
	f.Add("every 3 days 12:00-13:00 ship's time from 2027-01-05 until 2027-02-01")
	f.Fuzz(func(t *testing.T, text string) {
		w, err := Parse(text)
		if err != nil {
			return
		}
		again, err := Parse(w.String())
		if err != nil {
			t.Fatalf("Parse(%q) prints %q, which is refused: %v", text, w, err)
		}
		if again.String() != w.String() {
			t.Fatalf("Parse(%q) prints %q, then %q", text, w, again)
		}
		if w.Kind == Window || w.Kind == Moment {
			w, err = w.Lasting(0.25)
			if err != nil || w.Minutes() < 1 || w.Minutes() > 1440 {
				t.Fatalf("Parse(%q) lasts %d min, %v", text, w.Minutes(), err)
			}
			if _, err := Compile([]Slot{{When: w}}, DateOfDay(20000)); err != nil {
				t.Fatalf("Parse(%q) does not compile: %v", text, err)
			}
		}
	})
}

func FuzzParseTimeOfDay(f *testing.F) {
	for _, s := range []string{"08:00", "0800", "8:00", "24:00", "23:59", "99:99"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		x, err := ParseTimeOfDay(text)
		if err != nil {
			return
		}
		if x < 0 || x > 1440 {
			t.Fatalf("ParseTimeOfDay(%q) = %d", text, x)
		}
		if again, err := ParseTimeOfDay(x.String()); err != nil || again != x {
			t.Fatalf("ParseTimeOfDay(%q) = %v, again %v, %v", text, x, again, err)
		}
	})
}

func FuzzParseDate(f *testing.F) {
	f.Add("2027-01-05")
	f.Add("0000-12-31")
	f.Fuzz(func(t *testing.T, text string) {
		d, err := ParseDate(text)
		if err != nil {
			return
		}
		if again, err := ParseDate(d.String()); err != nil || again != d {
			t.Fatalf("ParseDate(%q) = %v, again %v, %v", text, d, again, err)
		}
	})
}
