package scenarios_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/sim"
	"ampwake/sim/units"
)

// sound reads the small scenario with some sections changed.
func sound(t testing.TB, sets []string, changed ...string) *scenarios.Scenario {
	t.Helper()
	s, err := scenarios.Read("test.yaml", []byte(scenario(t, changed...)), sets, "")
	require.NoError(t, err)
	return s
}

func sailOf(t testing.TB, s *scenarios.Scenario) *sim.Result {
	t.Helper()
	res, err := s.Voyage().Sail(t.Context(), sim.Options{Trace: true})
	require.NoError(t, err)
	closed(t, res)
	return res
}

// The last stretch lasts to the end; if it is given another, the report says so.
func TestLastStretchGoesOn(t *testing.T) {
	goesOn := func(pace string) bool {
		return slices.ContainsFunc(sound(t, nil, sail+"pace: "+pace).Voyage().Notes, func(n sim.Note) bool {
			return strings.Contains(n.Text, "the last stretch goes on")
		})
	}
	assert.False(t, goesOn("[{for: 1 d, speed: 6 kn}, {speed: 4 kn}]"))
	assert.True(t, goesOn("[{for: 1 d, speed: 6 kn}, {for: 2 d, speed: 4 kn}]"))
	assert.True(t, goesOn("[{for: 1 d, speed: 6 kn}, {until: 5°N, speed: 4 kn}]"))
	assert.True(t, goesOn("[{to date: 2027-01-12 00:00 UTC, speed: 6 kn}]"))
}

// The small scenario goes due south from 16°53'N by 10°N to 2°N.
func TestUntilAWaypointOrALatitude(t *testing.T) {
	for until, miles := range map[string]float64{
		"Between": (16*60 + 53) - 600, "between": (16*60 + 53) - 600, "10°N": (16*60 + 53) - 600, "5°N": (16*60 + 53) - 300, "12°30'N": (16*60 + 53) - 750,
	} {
		s := sound(t, nil, sail+"pace: [{until: "+until+", speed: 6 kn}, {speed: 4 kn}]")
		assert.InDelta(t, miles, float64(s.Voyage().Plan[0].Until), 1e-3, until)
		tr := sailOf(t, s).Trace
		for i := 1; i < len(tr.Plan)-1; i++ {
			if tr.Plan[i] != tr.Plan[i-1] {
				assert.InDelta(t, miles/6, tr.Time[i].Sub(tr.Time[0]).Hours(), 1e-3, until)
			}
		}
	}
}

// On a way that comes back, a latitude is where it is first reached.
func TestUntilALatitudePassedTwice(t *testing.T) {
	s := sound(t, nil, `voyage:
  depart: 2027-01-10 09:00 UTC
  route: [{name: a, at: 10°N 25°W}, {name: b, at: 5°S 25°W, by: rhumb line}, {name: c, at: 3°N 25°W, by: rhumb line}]
  pace: [{until: 2°N, speed: 6 kn}, {speed: 4 kn}]`)
	assert.InDelta(t, 480, float64(s.Voyage().Plan[0].Until), 1e-3)
}

// Times by the ship's clock are those of the zone of departure.
func TestShipsTimeOfDeparture(t *testing.T) {
	s := sound(t, nil, `voyage:
  depart: 2027-01-10 07:00 ship's time
  route: [{name: a, at: 10°N 25°W}, {name: b, at: 5°N 25°W}]
  pace: [{to date: 2027-01-11 00:00 ship's time, speed: 5 kn}, {speed: 4 kn}]`)
	assert.Equal(t, time.Date(2027, 1, 10, 9, 0, 0, 0, time.UTC), s.Voyage().Depart)
	assert.Equal(t, time.Date(2027, 1, 11, 2, 0, 0, 0, time.UTC), s.Voyage().Plan[0].By)
}

func TestStays(t *testing.T) {
	s := sound(t, nil, `voyage:
  depart: 2027-01-10 09:00 UTC
  route: [{name: a, at: 10°N 25°W, stay: 6 h alongside}, {name: b, at: 5°N 25°W, stay: 5 d at anchor}, {name: c, at: 4°N 25°W}]
  pace: [{speed: 5 kn}]`, "sources: {shore: {power: 300 W}}")
	res := sailOf(t, s)
	assert.InDelta(t, 360.0/5+6+120, res.End.Sub(res.Depart).Hours(), 1e-6)
	assert.InDelta(t, 6, float64(res.Sources[0].InUse), 1e-9)
	assert.Zero(t, res.Books.Spilled)
}

// Overrides reach every kind of place, and mistakes in them are told as theirs.
func TestOverrides(t *testing.T) {
	s := sound(t, []string{"bank.capacity=2 x 115 Ah", "loads.lamp.draws=2 W", "voyage.pace[0].speed=6 kn", "model.charger=plain", "sources.panels=[{name: p, rated: 50 W}]"})
	assert.Equal(t, units.AmpHours(230), s.Voyage().Bank.Setup().Rated)
	assert.Zero(t, s.Voyage().Bank.Setup().Charger.Float)
	assert.Len(t, s.Voyage().Sources, 1)
	assert.Equal(t, units.Knots(6), s.Voyage().Plan[0].Speed)
	_, err := scenarios.Read("test.yaml", []byte(scenario(t)), []string{"bank.capcity=100 Ah", "model.step=7 min"}, "")
	list := problems(t, err)
	require.Len(t, list, 2)
	assert.Equal(t, "--set bank.capcity=100 Ah", list[0].Override)
	assert.Equal(t, "--set model.step=7 min", list[1].Override)
	assert.Contains(t, list[1].Message, "does not divide an hour")
}

func TestVariants(t *testing.T) {
	const variants = `variants:
  - {name: large, set: {bank.capacity: 500 Ah, loads.lamp.draws: 2 A}}
  - {name: wrong, set: {bank.capacity: much}}`
	src := []byte(scenario(t, variants))
	for name, want := range map[string]units.AmpHours{"": 100, "large": 500} {
		s, err := scenarios.Read("test.yaml", src, nil, name)
		require.NoError(t, err)
		assert.Equal(t, want, s.Voyage().Bank.Setup().Rated)
	}
	s, err := scenarios.Read("test.yaml", src, []string{"bank.capacity=300 Ah"}, "large")
	require.NoError(t, err)
	assert.Equal(t, units.AmpHours(300), s.Voyage().Bank.Setup().Rated, "an override comes after the variant")
	_, err = scenarios.Read("test.yaml", src, nil, "wrong")
	assert.ErrorContains(t, err, "variant wrong")
	_, err = scenarios.Read("test.yaml", src, nil, "lrge")
	p := problems(t, err)[0]
	assert.Equal(t, `no variant is called "lrge": want one of large, wrong`, p.Message)
	assert.Equal(t, `did you mean "large"?`, p.Hint)
	_, err = scenarios.Read("test.yaml", []byte(scenario(t)), nil, "large")
	assert.Equal(t, `no variant is called "large"`, problems(t, err)[0].Message)
}

// All mistakes of a file are told in one run, in its order, and none is told
// because of another.
func TestAllMistakesAtOnce(t *testing.T) {
	_, err := scenarios.Read("test.yaml", []byte(scenario(t,
		"voyage:\n  depart: noon\n  route: [{name: a, at: 10°N 25°W}, {name: b, at: 5°N 25°W}]\n  pace: [{until: nowhere, speed: 5 kn}, {speed: 5 kn}]",
		"bank: {capacity: 100 W}", "sources: {hydro: {limit: 10 A}}", "loads: [{name: lamp}, {name: fan, draws: 5 W}]",
		"goals: {keep: [lmap], stay above: 50 %}", "faults: [\"lamp: left on at 1 A, day 2\"]")), nil, "")
	var paths []string
	for _, p := range problems(t, err) {
		paths = append(paths, p.Path)
	}
	assert.Equal(t, []string{"voyage.depart", "voyage.pace[0].until", "bank.capacity", "sources.hydro", `loads["lamp"]`, "goals.keep[0]"}, paths)
}

// What the reference says of keys that are absent.
func TestWhatIsAbsent(t *testing.T) {
	s := sound(t, nil, `loads:
  - {name: VHF, receive: 0.3 A}
  - {name: fax, draws: 8 W, station: Boston US}
  - {name: lamp, draws: 1 A}`)
	res := sailOf(t, s)
	hours := res.End.Sub(res.Depart).Hours()
	assert.InDelta(t, 0.3*hours, float64(res.Loads[0].Charge+units.AmpHours(0.3*float64(res.Loads[0].Off))), 1e-6, "a radio without scheds listens")
	assert.Greater(t, res.Loads[1].Due, 20*int(hours/24), "all charts of the station")
	assert.InDelta(t, hours, float64(res.Loads[2].Charge)+float64(res.Loads[2].Off), 1e-6, "a load without times is on")
	v := s.Voyage()
	assert.Equal(t, units.Fraction(1), v.Charge)
	assert.Equal(t, 10*time.Minute, v.Grid)
	for _, x := range []string{"share: 0 %", "share: 101 %"} {
		_, err := scenarios.Read("test.yaml", []byte(scenario(t, "loads: [{name: lamp, draws: 1 A, "+x+"}]")), nil, "")
		assert.Error(t, err, x)
	}
}

// The goals of the file are those of the voyage.
func TestGoals(t *testing.T) {
	s := sound(t, nil, "goals: {keep: [LAMP], stay above: 40 %}", "bank: {capacity: 100 Ah, floor: 30 %}")
	assert.Equal(t, sim.Goals{Keep: []int{0}, Above: 0.4, Floor: 0.3}, s.Voyage().Goals)
	assert.Equal(t, "a test, 893 miles, 0 sources, 1 loads", s.Summary())
}
