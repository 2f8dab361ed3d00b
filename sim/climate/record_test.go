package climate

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim/units"
)

const log = `# from the deck log
Time, Cloud [oktas], Wind speed [m/s], Wind from (deg), air [°C], Sea temperature [C], remarks
2027-01-05T10:00Z, 4, 5, 350, 25.0, 26, fair
2027-01-05 14:00, 9, , 10, 26.0, 26, fog

2027-01-05T16:00:00+02:00,,15,30,,,  
2027-01-06T10:00Z, 0, 5, 40, 22.0, 25,
`

func TestReadRecord(t *testing.T) {
	_, err := ReadRecord(strings.NewReader(log))
	// The fifth line is 14:00 UTC, the same as the line before.
	require.EqualError(t, err, "line 6: time 2027-01-05T14:00:00Z is not later than that of the line before")

	r, err := ReadRecord(strings.NewReader(strings.Replace(log, "16:00:00+02:00", "20:00:00+02:00", 1)))
	require.NoError(t, err)
	assert.Equal(t, []string{
		`column "remarks" is none of time, cloud, wind speed, wind from, air, sea: it was left out`,
		"cloud: 9 oktas (sky not seen) counts as 8: 1 reading",
		"cloud: 1 empty cell: the reading before holds",
		"cloud: 1 gap above 12 h, the longest 20 h from 2027-01-05 14:00 on: the reading before holds",
		"wind speed: 1 empty cell: bridged by straight lines",
		"wind speed: 1 gap above 12 h, the longest 16 h from 2027-01-05 18:00 on: bridged by straight lines",
		"wind from: 1 gap above 12 h, the longest 16 h from 2027-01-05 18:00 on: bridged by straight lines",
		"air: 1 empty cell: bridged by straight lines",
		"air: 1 gap above 12 h, the longest 20 h from 2027-01-05 14:00 on: bridged by straight lines",
		"sea: 1 empty cell: bridged by straight lines",
		"sea: 1 gap above 12 h, the longest 20 h from 2027-01-05 14:00 on: bridged by straight lines",
	}, r.Notes)

	d, err := NewDated(r.Timetable, nil)
	require.NoError(t, err)
	s := d.At(hours(2), place(0, 0)) // 12:00
	assert.Equal(t, units.Fraction(0.5), s.Cloud, "held")
	assert.InDelta(t, 0, float64(s.WindFrom), 1e-9)
	assert.InDelta(t, 25.5, float64(s.Air), 1e-9)
	s = d.At(hours(4), place(0, 0)) // 14:00: no wind speed, half way from 10:00 to 18:00
	assert.InDelta(t, 10*3600/1852.0, float64(s.WindSpeed), 1e-9)
	assert.Equal(t, units.Fraction(1), s.Cloud)
	assert.Equal(t, units.Fraction(1), d.At(hours(23.9), place(0, 0)).Cloud)
	assert.Equal(t, hours(4), d.Edge(hours(0)))
	assert.Equal(t, hours(24), d.Edge(hours(4)))
}

// Everything wrong is told at once, each with its line.
func TestRecordErrors(t *testing.T) {
	_, err := ReadRecord(strings.NewReader(`time,cloud [%],wind [kn],sea [C]
yesterday,50,10,20
2027-01-05T10:00Z,120,10,20
2027-01-05T10:00Z,50,ten,20
2027-01-05T11:00Z,50,NaN,99
2027-01-05T12:00Z,50
2500-01-05T12:00Z,50,10,20
2027-01-05T13:00Z,50,"10,20
`))
	require.Error(t, err)
	assert.Equal(t, []string{
		`line 2: time "yesterday" is not like 2027-01-05T10:00Z, within 1900..2199`,
		"line 3: cloud: 120 is out of range",
		"line 4: time 2027-01-05T10:00:00Z is not later than that of the line before",
		`line 5: wind speed: "NaN" is not a number`,
		"line 5: sea: 99 is out of range",
		"line 6: 2 columns, the header has 4",
		`line 7: time "2500-01-05T12:00Z" is not like 2027-01-05T10:00Z, within 1900..2199`,
		`line 8: extraneous or missing " in quoted-field`,
	}, strings.Split(err.Error(), "\n"))
	first, ok := errors.AsType[*RecordError](err)
	require.True(t, ok)
	assert.Equal(t, 2, first.Line)
}

func TestRecordHeader(t *testing.T) {
	for text, want := range map[string]string{
		"":                                   "line 1: no readings: want a header and at least one line under it",
		"time,cloud [%]":                     "line 1: no readings: want a header and at least one line under it",
		"date,cloud [%]\n2027,3":             `line 1: no column of times: want a header like "time, cloud [oktas], wind speed [kn]"`,
		"time,cloudy [%]\n2027,3":            "line 1: no column of cloud, wind speed, wind from, air or sea",
		"time,cloud\n2027,3":                 `line 1: cloud: want a unit in brackets, like "cloud [oktas]", not ""`,
		"time,wind [bft]\n2027,3":            `line 1: wind: want a unit in brackets, like "wind speed [kn]", not "bft"`,
		"time,time,air [C]\n2027,3":          "line 1: a second column of times",
		"time,air [C],air [C]\n2027,3":       "line 1: a second column of air",
		"time;cloud [%]\n2027-01-05T10:00;3": "line 1: want commas between the columns, not semicolons",
	} {
		_, err := ReadRecord(strings.NewReader(text))
		assert.EqualError(t, err, want, "%q", text)
	}
	r, err := ReadRecord(strings.NewReader("\ufefftime,wind_speed [km/h],air [C]\n2027-01-05T10:00Z,18.52,\n"))
	require.NoError(t, err)
	assert.InDelta(t, 10, float64(r.WindSpeed.Knots[0].Value), 1e-9)
	assert.Equal(t, []string{"air: the column is empty"}, r.Notes)
	_, err = NewDated(r.Timetable, nil)
	assert.ErrorContains(t, err, "air temperature: no values and no weather under them")

	many := "time,air [C]\n" + strings.Repeat("x,1\n", 1000)
	_, err = ReadRecord(strings.NewReader(many))
	assert.Len(t, strings.Split(err.Error(), "\n"), 50, "reading stops")
}

// Whatever is read makes a weather that stays within its bounds, and says no more
// than the file did.
func FuzzReadRecord(f *testing.F) {
	f.Add(log)
	f.Add(strings.Replace(log, "16:00:00+02:00", "20:00:00+02:00", 1))
	f.Add("time,cloud [1]\n2027-01-05T10:00Z,0.3\n")
	f.Add("time,wind from [°]\n1900-01-01T00:00Z,360\n2199-12-31T23:59Z,0\n")
	f.Fuzz(func(t *testing.T, text string) {
		r, err := ReadRecord(strings.NewReader(text))
		if err != nil {
			return
		}
		d, err := NewDated(r.Timetable, Fixed{})
		if err != nil {
			t.Fatalf("what was read makes no weather: %v", err)
		}
		from, to := r.Span()
		for _, at := range []time.Time{from, from.Add(to.Sub(from) / 3), to, to.AddDate(1, 0, 0)} {
			s := d.At(at, place(0, 0))
			if !(s.Cloud >= 0 && s.Cloud <= 1 && s.WindSpeed >= 0 && s.WindSpeed <= 200 && s.WindFrom >= 0 && s.WindFrom < 360 &&
				s.Air >= -60 && s.Air <= 60 && s.Sea >= -60 && s.Sea <= 60) {
				t.Fatalf("%v at %v", s, at)
			}
			if e := d.Edge(at); !e.IsZero() && !e.After(at) {
				t.Fatalf("edge %v of %v", e, at)
			}
		}
		if n := strings.Count(text, "\n") + 1; len(r.Cloud.Knots) >= n || len(r.Air.Knots) >= n {
			t.Fatalf("more readings than lines")
		}
	})
}
