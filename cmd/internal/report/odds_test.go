package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/cmd/internal/report"
	"ampwake/scenarios"
	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// tradeSky is a sky in blocks of six hours that differs between members.
type tradeSky int

func (s tradeSky) At(t time.Time, _ track.Position) climate.Sample {
	x := math.Sin(float64(t.Unix()/21600)*12.9898+float64(s)*78.233) * 43758.5453
	cloud := x - math.Floor(x)
	return climate.Sample{
		WindSpeed: 15, WindFrom: 60, Air: 26, Sea: 26,
		Cloud: units.Fraction(cloud), Through: units.Fraction(1 - 0.7*math.Pow(cloud, 3.4)),
	}
}

func (tradeSky) Edge(t time.Time) time.Time { return t.Truncate(6 * time.Hour).Add(6 * time.Hour) }

// becalmed is the built-in week of calm under that sky, with a bank so small
// that some weathers fail and some do not.
func becalmed(t testing.TB) *sim.Voyage {
	t.Helper()
	label, src, err := scenarios.Source("doldrums-week")
	require.NoError(t, err)
	s, err := scenarios.Read(label, src, nil, "")
	require.NoError(t, err)
	v := *s.Voyage()
	v.Weather = func(member int) sim.Weather { return tradeSky(member) }
	return &v
}

func oddsOf(t testing.TB, n, workers int) *sim.Odds {
	t.Helper()
	o, err := becalmed(t).Odds(t.Context(), sim.OddsOptions{Members: n, Workers: workers})
	require.NoError(t, err)
	return o
}

func TestOddsJSONSameForAnyWorkers(t *testing.T) {
	var want bytes.Buffer
	require.NoError(t, report.OddsJSON(&want, oddsOf(t, 20, 1), 1))
	for _, workers := range []int{2, 5} {
		var got bytes.Buffer
		require.NoError(t, report.OddsJSON(&got, oddsOf(t, 20, workers), 1))
		require.Equal(t, want.String(), got.String(), "%d workers", workers)
	}
}

func TestOddsJSONForm(t *testing.T) {
	o := oddsOf(t, 5, 0)
	var b bytes.Buffer
	require.NoError(t, report.OddsJSON(&b, o, 1<<63))
	var d struct {
		Schema string
		Seed   uint64
		Holds  struct{ Low95, High95 float64 }
		Days   []struct {
			Date string
			Low  struct{ P10 float64 } `json:"low_soc"`
		}
		Bins []struct {
			Begins map[string]int `json:"first_failures"`
		}
		Members []struct{ Index int }
		Loads   []struct{ Name string }
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &d))
	assert.Equal(t, report.OddsSchema, d.Schema)
	assert.Equal(t, uint64(1<<63), d.Seed)
	assert.Equal(t, o.Holds.High, d.Holds.High95)
	require.Len(t, d.Days, len(o.Days))
	assert.Equal(t, float64(o.Days[3].Low.P10), d.Days[3].Low.P10)
	assert.Len(t, d.Bins, 20)
	assert.Equal(t, 4, d.Members[4].Index)
	assert.Equal(t, o.Loads[0].Name, d.Loads[0].Name)
}

func TestOddsBand(t *testing.T) {
	o := oddsOf(t, 5, 0)
	var b bytes.Buffer
	require.NoError(t, report.OddsBand(&b, o))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, len(o.Days)+1)
	assert.Equal(t, []string{"date", "day", "at_sea", "noon_p10_soc"}, rows[0][:4])
	assert.Equal(t, o.Days[1].Date.Format("2006-01-02"), rows[2][0])
	assert.Equal(t, []string{"2", "5"}, rows[2][1:3])
}

func TestOddsText(t *testing.T) {
	o := oddsOf(t, 12, 0)
	require.NotZero(t, o.Begins.Total())
	var b bytes.Buffer
	require.NoError(t, report.OddsText(&b, o, 7))
	text := b.String()
	assert.True(t, strings.HasPrefix(text, report.OddsAnswer(o)))
	for _, want := range []string{"12 weathers of seed 7", "Chance of each goal", "State of charge by day", "Where trouble begins", "Missed, all weathers", "days to arrival", "Assumed", "EPIRB"} {
		assert.Contains(t, text, want)
	}
	for i, line := range strings.Split(text, "\n") {
		assert.Equal(t, strings.TrimRight(line, " "), line, "line %d", i+1)
	}
}

// made is odds as a test wants them: n weathers, of which the last fails fail.
func made(n, fails int) *sim.Odds {
	depart := time.Date(2027, 6, 12, 2, 0, 0, 0, time.UTC)
	o := &sim.Odds{
		Depart: depart, Wanted: n, Done: n, Floor: 0.5, Holds: sim.NewShare(n-fails, n), Goals: []sim.OddsGoal{{Name: "HF radio"}},
		Margin:       sim.Spread[units.Fraction]{Count: n, Min: -0.07, P10: 0.124, P50: 0.2},
		MarginCharge: sim.Spread[units.AmpHours]{Count: n, P10: 50.4},
		Zones:        []sim.OddsZone{{Zone: sim.Zone{Name: "a – b"}}, {Zone: sim.Zone{Name: "b – c"}, Begins: sim.Counts{Voltage: fails}}},
		Begins:       sim.Counts{Voltage: fails},
	}
	for i := range n {
		m := &sim.Member{Index: i, Lowest: sim.Moment{Charge: units.Fraction(0.9 - 0.1*float64(i)/float64(n)), Time: depart}}
		if i >= n-fails {
			at := sim.Moment{Time: depart.AddDate(0, 0, i), Place: track.Position{Lat: -47.5, Lon: -100}, Zone: -7}
			m.Goals = []sim.MemberGoal{{First: &sim.Failure{At: at, Cause: sim.UnderVoltage, What: "HF radio", Volts: 11.5}}}
		}
		o.Members = append(o.Members, m)
	}
	return o
}

func TestOddsAnswer(t *testing.T) {
	stopped := made(25, 2)
	stopped.Wanted, stopped.Stopped = 500, errors.New("stopped")
	deep := made(10, 10)
	deep.Margin.P10, deep.MarginCharge.P10 = -0.04, -17
	quiet := made(3, 0)
	quiet.Goals = nil
	for name, c := range map[string]struct {
		o    *sim.Odds
		want []string
	}{
		"most hold": {made(25, 2), []string{
			"HOLDS IN 92 OF 100 WEATHERS   (23 of 25; 95 % interval 75 to 98)",
			"Fails   in 2 weathers: all begin between b and c, all by too little voltage under load; half by 5 Jul",
			"Margin  9 weathers in 10 keep at least 12 points of charge (50 Ah) over the floor of 50 %; median 20, worst -7",
		}},
		"all hold": {made(40, 0), []string{
			"HOLDS IN ALL 40 WEATHERS   (95 % interval 91 to 100 of 100)",
			"Lowest  80 % of charge in the worst weather, on 12 Jun 02:00 UTC (02:00 ship's time), 00°00.0'N 000°00.0'E",
		}},
		"one fails": {made(1000, 1), []string{
			"HOLDS IN 99.9 OF 100 WEATHERS   (999 of 1000; 95 % interval 99.4 to over 99.9)",
			"Fails   in one weather: HF radio on 7 Mar 02:00 UTC (6 Mar 19:00 ship's time), 47°30.0'S 100°00.0'W: voltage under load, 11.50 V at its terminals",
		}},
		"most fail": {made(25, 24), []string{"FAILS IN 96 OF 100 WEATHERS   (24 of 25; 95 % interval 80 to 99.3)"}},
		"all fail": {deep, []string{
			"FAILS IN ALL 10 WEATHERS   (95 % interval 72 to 100 of 100)",
			"Fails   in 10 weathers: all begin between b and c, all by too little voltage under load; half by 16 Jun",
			"Margin  1 weather in 10 falls at least 4 points of charge (17 Ah) short of the floor of 50 %; median 20, worst -7",
		}},
		"stopped": {stopped, []string{"STOPPED AT 25 OF 500: HOLDS IN 92 OF 100 WEATHERS   (23 of 25; 95 % interval 75 to 98)"}},
		"nothing": {quiet, []string{"NOTHING ASKED   no goals are set: 3 weathers sailed"}},
	} {
		t.Run(name, func(t *testing.T) {
			lines := strings.Split(strings.TrimSuffix(report.OddsAnswer(c.o), "\n"), "\n")
			require.Len(t, lines, 3)
			assert.Equal(t, c.want, lines[:len(c.want)])
		})
	}
}
