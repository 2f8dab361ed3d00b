package fax

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/testdata/refdata"
)

// The counts are those of the reference pack's account of the table: 12
// stations, 556 rows, each as many as the edition prints.
func TestPublishedCounts(t *testing.T) {
	want := map[string]int{
		"Boston US": 72, "New Orleans US": 60, "Point Reyes US": 85, "Hamburg/Pinneberg DE": 52, "Northwood UK": 102,
		"Charleville AU": 65, "Wiluna AU": 61, "Valparaiso CL": 12, "Punta Arenas CL": 12,
		// Historic: as counted in the table itself.
		"Cape Naval ZA": 9, "Rio de Janeiro BR": 10, "Wellington NZ": 16,
	}
	got := map[string]int{}
	sum := 0
	s := Published()
	for _, st := range s.Stations() {
		got[st.Name] = st.Charts
		sum += st.Charts
		charts, err := s.Charts(st.Name)
		require.NoError(t, err)
		assert.Len(t, charts, st.Charts)
		historic := st.Name == "Cape Naval ZA" || st.Name == "Rio de Janeiro BR" || st.Name == "Wellington NZ"
		for _, c := range charts {
			assert.Equal(t, historic, c.Historic(), c)
		}
	}
	assert.Equal(t, want, got)
	assert.Equal(t, 556, sum)
}

// No chart of the built-in table runs into the next of its station, and the
// corrections named in its head are in it.
func TestPublishedTimes(t *testing.T) {
	s := Published()
	for i, c := range s.charts[1:] {
		if before := s.charts[i]; before.Station == c.Station {
			assert.LessOrEqual(t, int(before.Start)+before.Minutes, int(c.Start), "%v and %v", before, c)
		}
	}
	for station, starts := range map[string][]string{
		"Northwood": {"1512", "1800", "2112"}, "New Orleans": {"1255"}, "Charleville": {"0000", "0345", "0500", "0515"},
	} {
		charts, err := s.Choose(station, starts...)
		require.NoError(t, err)
		require.Len(t, charts, len(starts))
		for _, c := range charts {
			assert.NotEmpty(t, c.Note, c)
		}
	}
}

func TestChoose(t *testing.T) {
	s := Published()
	for _, c := range []struct {
		station string
		picks   []string
		want    int // counted by hand in the table
	}{
		{"Boston", []string{"surface forecast"}, 6},
		{"boston", []string{"FORECAST surface", "24 h surface forecast"}, 6}, // once, though picked twice
		{"NMF", []string{"0233", "03:25"}, 2},
		{"Boston US", []string{"satellite image"}, 4},
		{"Boston US", []string{"test"}, 4},
		{"Northwood", []string{"surface analysis"}, 26},
		{"Pinneberg", []string{"surface analysis N Atlantic"}, 4},
		{"DDK", []string{"0430", "surface analysis"}, 6},
		{"Boston", []string{"all"}, 61},  // 72 less 4 tests and 7 pages of the office
		{"Hamburg", []string{"all"}, 46}, // 52 less 4 of voice and 2 pages of the office
	} {
		got, err := s.Choose(c.station, c.picks...)
		require.NoError(t, err)
		assert.Len(t, got, c.want, "%s %v", c.station, c.picks)
		for i := 1; i < len(got); i++ {
			assert.Less(t, got[i-1].Start, got[i].Start)
		}
	}
	for _, c := range []struct {
		station, pick, say string
	}{
		{"Bosten", "all", `did you mean "boston"`},
		{"NMX", "all", `did you mean "nm`},
		{"Atlantis", "all", "known are Boston US (NMF)"},
		{"US", "all", "known are"},
		{"", "all", "known are"},
		{"Boston", "0234", "nearest starts at 02:33"},
		{"Boston", "surfase analysis", `did you mean "surface"`},
		{"Boston", "", "empty text"},
		{"Hamburg", "voice", "sends no chart"},
		{"Hamburg", "voice broadcast", "sends no chart"},
	} {
		_, err := s.Choose(c.station, c.pick)
		assert.ErrorContains(t, err, c.say, "%s %s", c.station, c.pick)
	}
	_, err := s.Choose("Boston")
	assert.ErrorContains(t, err, "no charts are named")
	two, err := Parse(strings.NewReader("station,start_utc,product\nPort A,0000,x\nPort B,0000,x\n"))
	require.NoError(t, err)
	_, err = two.Station("port")
	assert.EqualError(t, err, `fax station "port" may be Port A, Port B`)
}

func TestParseOwnTable(t *testing.T) {
	s, err := Parse(strings.NewReader("\ufeff# mine\nStart_UTC, station,product,kind\n" +
		"2350,Here,late,\n0010,Here,early,fax\n0000,There,\"a, b\",Satellite Image\n1200,Here,noon,voice\n12:11,Here,past noon,\n"))
	require.Error(t, err) // a byte-order mark hides the first comment line
	require.Nil(t, s)
	s, err = Parse(strings.NewReader("# mine\nStart_UTC, station,product,kind\n" +
		"2350,Here,late,\n0010,Here,early,fax\n0000,There,\"a, b\",Satellite Image\n1200,Here,noon,voice\n12:11,Here,past noon,\n"))
	require.NoError(t, err)
	var got []string
	for _, st := range s.Stations() {
		charts, err := s.Charts(st.Name)
		require.NoError(t, err)
		for _, c := range charts {
			got = append(got, fmt.Sprintf("%v, %v for %d min", c, c.Kind, c.Minutes))
		}
	}
	assert.Equal(t, []string{
		"chart 00:10 Here, early, fax for 16 min", // a square picture: 15.08 min
		"chart 12:00 Here, noon, voice for 11 min",
		"chart 12:11 Here, past noon, fax for 16 min",
		"chart 23:50 Here, late, fax for 20 min", // until 00:10
		"chart 00:00 There, a, b, satellite image for 16 min",
	}, got)
}

func TestParseRefuses(t *testing.T) {
	const head = "station,start_utc,product,kind,lpm_ioc,suggested_receive_min\n"
	for text, say := range map[string]string{
		"":                                       "line 1: no header",
		"# only a comment\n":                     "no header",
		head:                                     "no rows",
		"station,start_utc\n":                    `line 1: no column "product"`,
		"station,start_utc,produkt\n":            `line 1: unknown column "produkt", did you mean "product"?`,
		"station,station,product\n":              `line 1: column "station" stands twice`,
		head + "# x\nA,0000,x,,,\nA,9999,x,,,\n": `line 4: "9999" is not a time of day`,
		head + "A,2400,x,,,\n":                   "line 2: start_utc: midnight is 0000",
		head + ",0000,x,,,\n":                    "line 2: the station is missing",
		head + "A,0000,,,,\n":                    "line 2: the product is missing",
		head + "A,0000,x,chart,,\n":              `line 2: kind "chart": want fax, satellite image`,
		head + "A,0000,x,,120,\n":                `line 2: "120" is no format`,
		head + "A,0000,x,,,0\n":                  "line 2: suggested_receive_min",
		head + "A,0000,x,,,121\n":                "line 2: suggested_receive_min",
		head + "A,0000,x\n":                      "line 2: 3 cells, but the header has 6",
		head + "A,0000,\"x,,,\n":                 "line 2", // the quote never ends
		head + "A,0000,x,,,\nA,00:00,y,,,\n":     "A: two items at 00:00",
	} {
		_, err := Parse(strings.NewReader(text))
		assert.ErrorContains(t, err, say, "%q", text)
	}
	// Several problems are told at once.
	_, err := Parse(strings.NewReader(head + "A,1,x,,,\nA,2,x,,,\n"))
	assert.ErrorContains(t, err, "line 2:")
	assert.ErrorContains(t, err, "line 3:")
}

// The published frequency less 1.9 kHz is the dial setting printed beside it.
func TestPublishedChannels(t *testing.T) {
	dial := refdata.Check{
		Model: refdata.Radio, Quantity: "dial settings of weather fax",
		Source: "published beside the frequencies", Status: refdata.Published, Tolerance: 1e-9, Unit: "kHz",
	}.Begin(t)
	channels := PublishedChannels()
	assert.Len(t, channels, 46)
	in, err := newTable(strings.NewReader(string(stationsCSV)), channelColumns)
	require.NoError(t, err)
	s := Published()
	for _, c := range channels {
		require.NoError(t, in.next())
		dial.Within(float64(c.Dial()), parseFloat(t, in.cell("usb_dial_khz")), c)
		_, err := s.Station(c.Station)
		assert.NoError(t, err)
	}
	_, err = ParseChannels(strings.NewReader("call,station,assigned_khz\nA,B,none\n"))
	assert.ErrorContains(t, err, "line 2: assigned_khz")
}

func parseFloat(t *testing.T, s string) float64 {
	t.Helper()
	var x float64
	_, err := fmt.Sscan(s, &x)
	require.NoError(t, err)
	return x
}

// Source: radio/fax_timing_check.csv, calculated from the definition of the
// index of co-operation (WMO facsimile standard).
func TestFormat(t *testing.T) {
	minutes := refdata.Check{
		Model: refdata.Radio, Quantity: "time of a square weather chart",
		Source: "WMO index of co-operation, evaluated", Status: refdata.Calculated, Tolerance: 0.0005, Unit: "min",
	}.Begin(t)
	for _, r := range refdata.Read(t, "radio/fax_timing_check.csv") {
		f := Format{Lines: int(r.Float("lpm")), Index: int(r.Float("ioc"))}
		slot := r.Float("slot_min")
		rows := f.Rows(1.0/60*10, 0)
		assert.Equal(t, 10.0, slot)
		assert.InDelta(t, r.Float("square_pixels_per_line_pi_ioc"), f.Elements(), 0.005, r.Where()) // tol: 2 digits
		minutes.Within(float64(f.Square())*60, r.Float("minutes_for_square_picture"), r.Where())
		assert.InDelta(t, r.Float("lines_in_slot"), float64(rows), 0, r.Where())
		assert.InDelta(t, r.Float("height_to_width"), float64(rows)/f.Elements(), 0.00005, r.Where())
		assert.InDelta(t, r.Float("lines_left_after_50s_start_phasing_stop"), float64(f.Rows(10.0/60, Overhead)), 0, r.Where())
	}
	assert.True(t, math.IsNaN(float64(Format{}.Square())))
	assert.Zero(t, usual.Rows(0.001, Overhead))
}

func ExampleSchedule_Choose() {
	charts, err := Published().Choose("northwood", "00z prog t+48", "0512")
	for _, c := range charts {
		fmt.Println(c, c.Window())
	}
	fmt.Println(err)
	_, err = Published().Choose("Nortwood", "all")
	fmt.Println(strings.SplitN(err.Error(), ":", 2)[0])
	// Output:
	// chart 05:12 Northwood UK, 00Z surface prog T+24 05:12-05:24 UTC
	// chart 05:24 Northwood UK, 00Z surface prog T+48 05:24-05:36 UTC
	// chart 07:24 Northwood UK, 00Z surface prog T+48 07:24-07:36 UTC
	// chart 08:12 Northwood UK, 00Z surface prog T+48 08:12-08:24 UTC
	// <nil>
	// unknown fax station "Nortwood", did you mean "northwood"?
}

// What is read is within bounds, and each chart can be put on the clock.
func FuzzParse(f *testing.F) {
	f.Add("station,start_utc,product\nHere,0000,chart\n")
	f.Add("# x\nstation,start_utc,product,kind,suggested_receive_min,lpm_ioc\nHere,23:59,\"a, b\",test,12,60/288\n")
	f.Add(string(PublishedCSV()[:4000]))
	f.Fuzz(func(t *testing.T, text string) {
		s, err := Parse(strings.NewReader(text))
		if err != nil {
			return
		}
		for _, st := range s.Stations() {
			charts, err := s.Charts(st.Name)
			if err != nil || len(charts) != st.Charts {
				t.Fatalf("%q: %d charts, want %d, %v", st.Name, len(charts), st.Charts, err)
			}
			for _, c := range charts {
				if c.Minutes < 1 || c.Minutes > maxMinutes || c.Window().Minutes() != c.Minutes {
					t.Fatalf("%v lasts %d min", c, c.Minutes)
				}
			}
		}
	})
}
