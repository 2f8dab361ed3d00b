package trial

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios/logbook"
	"ampwake/sim"
)

func utc(t testing.TB, s string) time.Time {
	t.Helper()
	at, err := time.Parse("2006-01-02 15:04", s)
	require.NoError(t, err)
	return at
}

func sailed(t testing.TB, l *Logged) *sim.Result {
	t.Helper()
	r, err := l.Voyage.Sail(t.Context(), sim.Options{Trace: true})
	require.NoError(t, err)
	return r
}

func at(t testing.TB, r *sim.Result, when string) int {
	t.Helper()
	want := utc(t, when)
	for i, x := range r.Trace.Time {
		if !x.Before(want) {
			return i
		}
	}
	t.Fatalf("the voyage ends before %s", when)
	return 0
}

const twoDays = `time [UTC], position, cloud [oktas], speed [kn], generator [h], sea [C], volts rested [V]
2027-01-10 09:00, 16°53'N 25°00'W, 2, , , 24, 12.7
2027-01-10 19:00, , 6, 5.0, 4, , 12.6
2027-01-11 09:00, 15°03'N 25°00'W, 6, 4.0, 0, 25, 12.6
2027-01-11 21:00, , 1, 6.0, 12, , 12.7
2027-01-12 09:00, 12°43'N 25°00'W, 1, 6.0, , , 12.7
`

// The voyage of a log has its places, speeds, weather and decisions.
func TestLogged(t *testing.T) {
	s := open(t, "radio-cover")
	l := readLog(t, s, twoDays)
	assert.True(t, l.Own)
	assert.True(t, l.Beside())
	assert.Empty(t, l.Warnings)
	r := sailed(t, l)
	assert.Equal(t, utc(t, "2027-01-10 09:00"), r.Depart)
	assert.Equal(t, utc(t, "2027-01-12 09:00"), r.End)
	tr := r.Trace
	for when, lat := range map[string]float64{"2027-01-10 09:00": 16.883, "2027-01-11 09:00": 15.05, "2027-01-12 09:00": 12.717} {
		assert.InDelta(t, lat, float64(tr.Lat[at(t, r, when)]), 0.002, when)
	}
	// Between the fixes by the speeds: 50 miles of 106, which made 110 good.
	assert.InDelta(t, 16.883-110./60*50/106, float64(tr.Lat[at(t, r, "2027-01-10 19:00")]), 0.002)
	for when, kn := range map[string]float64{"2027-01-10 12:00": 5, "2027-01-11 00:00": 4, "2027-01-11 12:00": 6} {
		assert.InDelta(t, kn, float64(tr.Speed[at(t, r, when)]), 1e-9, when)
	}
	// A reading of the cloud holds from half way before it to half way after.
	for when, oktas := range map[string]float64{"2027-01-10 09:00": 2, "2027-01-10 13:50": 2, "2027-01-10 14:00": 6, "2027-01-11 14:50": 6, "2027-01-11 15:00": 1} {
		assert.InDelta(t, oktas/8, float64(tr.Cloud[at(t, r, when)]), 1e-9, when)
	}
	assert.InDelta(t, 24.5, float64(tr.Sea[at(t, r, "2027-01-10 21:00")]), 0.02, "straight from reading to reading")
	// The generator was down for four hours about the middle of the first ten, then
	// not, then all the time; of the last line nothing is known: it is the
	// scenario's rule, down at 6 kn.
	hydro := tr.Sources[2]
	for when, down := range map[string]bool{
		"2027-01-10 11:50": false, "2027-01-10 12:00": true, "2027-01-10 15:50": true, "2027-01-10 16:00": false,
		"2027-01-11 03:00": false, "2027-01-11 09:00": true, "2027-01-11 20:50": true, "2027-01-12 03:00": true,
	} {
		assert.Equal(t, down, hydro[at(t, r, when)] > 0, when)
	}
	assert.Contains(t, strings.Join(l.Notes, "\n"), "hours of the generator are missing in 1 of 4 lines")
}

// What a log does not say is taken from the scenario, and the notes say so.
func TestLittleIsSaid(t *testing.T) {
	s := open(t, "radio-cover")
	for _, tt := range []struct{ what, log, notes string }{
		{"volts alone", "time [UTC], volts [V]\n2027-01-10 09:00, 12.7\n2027-01-13 09:00, 12.6\n", "no positions, runs or speeds: she sails as planned"},
		{"speeds", "time [UTC], volts [V], speed [kn]\n2027-01-10 09:00, 12.7,\n2027-01-12 09:00, 12.6, 5\n", "the way is that of the scenario"},
		{"no cloud", "time [UTC], volts [V], run [nm]\n2027-01-10 09:00, 12.7,\n2027-01-12 09:00, 12.6, 240\n", "the log has no cloud"},
		{"no generator", "time [UTC], volts [V], speed [kn]\n2027-01-10 09:00, 12.7,\n2027-01-12 09:00, 12.6, 5\n", "does not say when the generator was in use"},
	} {
		l := readLog(t, s, tt.log)
		assert.Contains(t, strings.Join(l.Notes, "\n"), tt.notes, tt.what)
		r := sailed(t, l)
		assert.Equal(t, l.Log.Rows[1].Time, r.End, tt.what)
		assert.False(t, l.Own)
	}
	l := readLog(t, s, "time [UTC], volts [V], speed [kn]\n2027-01-10 09:00, 12.7,\n2027-01-12 09:00, 12.6, 5\n")
	assert.InDelta(t, 240, float64(sailed(t, l).Sailed), 0.1)
}

// A trial sail elsewhere takes its way from the log and the rest of the weather
// from the climate there.
func TestElsewhere(t *testing.T) {
	s := open(t, "southern-ocean")
	l := readLog(t, s, "time [UTC], position, volts [V], speed [kn], engine [h]\n2026-09-01 09:00, 45°N 20°W, 12.7, ,\n2026-09-03 09:00, 42°N 20°W, 12.6, 4, 1.5\n")
	assert.True(t, l.Own)
	assert.False(t, l.Beside())
	assert.Contains(t, strings.Join(l.Notes, "\n"), "mean of the ocean climate there")
	assert.Contains(t, strings.Join(l.Warnings, "\n"), "the log has hours of the engine, the scenario has none")
	r := sailed(t, l)
	assert.InDelta(t, 18, float64(r.Trace.Sea[10]), 3, "Biscay in September")
	assert.InDelta(t, 42, float64(r.Trace.Lat[len(r.Trace.Lat)-1]), 0.01)
	// Without positions the way of the scenario is a guess, and a warning says so.
	l = readLog(t, s, "time [UTC], volts [V], speed [kn]\n2026-09-01 09:00, 12.7,\n2026-09-03 09:00, 12.6, 4\n")
	assert.Contains(t, strings.Join(l.Warnings, "\n"), "give positions")
}

// At anchor she does not move, and a fair current carries her on.
func TestStill(t *testing.T) {
	s := open(t, "radio-cover")
	l := readLog(t, s, "time [UTC], position, volts [V], speed [kn]\n2027-01-10 09:00, 16°53'N 25°W, 12.7,\n2027-01-11 09:00, 16°53'N 25°W, 12.6, 0\n2027-01-12 09:00, 14°53'N 25°W, 12.6, 4\n")
	r := sailed(t, l)
	assert.InDelta(t, 16.883, float64(r.Trace.Lat[at(t, r, "2027-01-11 08:00")]), 0.02)
	assert.InDelta(t, 14.883, float64(r.Trace.Lat[len(r.Trace.Lat)-1]), 0.02)
	assert.InDelta(t, 4, float64(r.Trace.Speed[at(t, r, "2027-01-11 12:00")]), 1e-9, "through the water")
}

// A log that begins at the departure by the other clock is doubted.
func TestClockBesideTheDeparture(t *testing.T) {
	s := open(t, "radio-cover") // departs 09:00 UTC, 07:00 by the ship's clock
	rows := "\n2027-01-10 %s, 16°53'N 25°W, 12.7\n2027-01-12 12:00, 14°N 25°W, 12.6\n"
	for _, tt := range []struct{ head, begins, say string }{
		{"time [UTC]", "07:00", "if the clock was the ship's, head the column time [ship]"},
		{"time [ship]", "09:00", "if the clock showed UTC, head the column time [UTC]"},
		{"time [UTC]", "09:00", ""},
		{"time [ship]", "07:00", ""},
		{"time [UTC]", "08:00", ""},
	} {
		l := readLog(t, s, tt.head+", position, volts [V]"+strings.Replace(rows, "%s", tt.begins, 1))
		if tt.say == "" {
			assert.Empty(t, l.Warnings, "%s %s", tt.head, tt.begins)
		} else {
			assert.Contains(t, strings.Join(l.Warnings, "\n"), tt.say)
		}
	}
}

// Days without a line are told of, and may differ from the log by more.
func TestMissingDays(t *testing.T) {
	s := open(t, "radio-cover")
	text := "time [UTC], position, volts [V], speed [kn], cloud [oktas]\n2027-01-10 09:00, 16°53'N 25°W, 12.7, , 3\n2027-01-11 09:00, 15°N 25°W, 12.6, 5, 3\n" +
		"2027-01-14 09:00, 9°N 25°W, 12.6, 5, 3\n2027-01-15 09:00, 7°N 25°W, 12.6, 5, 3\n"
	l := readLog(t, s, text)
	assert.Contains(t, strings.Join(l.Notes, "\n"), "nothing for 3.0 days between lines 3 and 4")
	m := modelOf(t, l)
	blind := 0
	for i := range m.periods {
		if l.blind(&m.periods[i]) {
			blind++
		}
	}
	assert.GreaterOrEqual(t, blind, 2)
	_, err := New(t.Context(), l)
	require.NoError(t, err)
}

// Volts under load are compared with the bank under that current, or with the bus
// when it is not known; while charging they say nothing.
func TestUnderLoad(t *testing.T) {
	s := open(t, "radio-cover")
	l := readLog(t, s, "time [UTC], position, speed [kn], generator [h], volts under load [V], load [A]\n2027-01-10 09:00, 16°53'N 25°W, , , ,\n"+
		"2027-01-11 03:00, , 5, 0, 12.5, 6\n2027-01-11 04:00, , 5, 0, 12.5,\n2027-01-11 14:00, 15°N 25°W, 5, 10, 13.5,\n2027-01-12 03:00, , 5, 13, 12.6, 6\n2027-01-12 09:00, 13°N 25°W, 5, 0, ,\n")
	m := modelOf(t, l)
	require.Len(t, m.obs, 3)
	assert.InDelta(t, noise(readVolts, loadedVolts), m.obs[0].sigma, 1e-12)
	assert.InDelta(t, noise(readVolts, busVolts), m.obs[1].sigma, 1e-12)
	assert.Greater(t, m.obs[2].sigma, 0.1, "the generator is down: charged within the hour")
	assert.Contains(t, strings.Join(l.Notes, "\n"), "1 voltages under load were read while the bank was being charged")
	p, err := m.predict(t.Context(), make([]float64, len(m.pars)))
	require.NoError(t, err)
	read := newReader(p.result.Trace, s.Voyage().Bank)
	rested := read.volts(l.Log.Rows[1].Time, 0)
	ohm := float64(s.Voyage().Bank.Setup().Discharge.Ohm) / 230
	assert.InDelta(t, rested-6*ohm, p.obs[0], 0.02, "less the drop in the bank")
}

func TestOrderOfTheLongestLog(t *testing.T) {
	// A log of months has no more deviations than the fit can carry.
	s := open(t, "radio-cover")
	var b strings.Builder
	b.WriteString("time [UTC], speed [kn], counter [Ah], volts [V]\n")
	for i := range 400 {
		b.WriteString(utc(t, "2027-01-10 09:00").Add(time.Duration(i)*6*time.Hour).Format("2006-01-02 15:04") + ", 1.9, -20, 12.5\n")
	}
	log, err := logbook.Read("x", []byte(b.String()), OptionsFor(s))
	require.NoError(t, err)
	l, err := NewLogged(s, log)
	require.NoError(t, err)
	m := newModel(l, s.Factors(), priors)
	assert.LessOrEqual(t, len(m.periods), mostPeriods)
	assert.LessOrEqual(t, len(m.grid), mostPoints+len(log.Rows)+2)
	for i := 1; i < len(m.periods); i++ {
		assert.Equal(t, m.periods[i-1].to, m.periods[i].from)
	}
}
