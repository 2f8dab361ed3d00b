package scenarios_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/scenarios/form"
)

// sections are those of a small sound scenario, in order.
var sections = []struct{ key, text string }{
	{"title", "title: a test"},
	{"voyage", `voyage:
  depart: 2027-01-10 09:00 UTC
  route: [{name: Here, at: 16°53.0'N 025°00.0'W}, {name: Between, at: 10°00.0'N 025°00.0'W}, {name: There, at: 02°00.0'N 025°00.0'W}]
  pace: [{speed: 5 kn}]`},
	{"weather", "weather: {cloud: 4 oktas}"},
	{"boat", ""},
	{"bank", "bank: {capacity: 100 Ah}"},
	{"sources", ""},
	{"loads", "loads:\n  - {name: lamp, draws: 1 A}"},
	{"faults", ""},
	{"goals", ""},
	{"variants", ""},
	{"model", ""},
}

// scenario returns the small scenario with the sections given in place of its
// own.
func scenario(t testing.TB, changed ...string) string {
	t.Helper()
	var parts []string
	for _, s := range sections {
		text := s.text
		for _, c := range changed {
			if strings.HasPrefix(c, s.key+":") {
				text = c
			}
		}
		if text != "" {
			parts = append(parts, text)
		}
	}
	for _, c := range changed {
		require.Contains(t, strings.Join(parts, "\n"), c, "not a section")
	}
	return strings.Join(parts, "\n") + "\n"
}

func problems(t testing.TB, err error) []*form.Problem {
	t.Helper()
	var all *form.Problems
	require.True(t, errors.As(err, &all), "want problems, have %v", err)
	return all.List
}

const (
	sail = `voyage:
  depart: 2027-01-10 09:00 UTC
  route: [{name: Here, at: 16°53.0'N 025°00.0'W}, {name: Between, at: 10°00.0'N 025°00.0'W}, {name: There, at: 02°00.0'N 025°00.0'W}]
  `
	route = `voyage:
  depart: 2027-01-10 09:00 UTC
  pace: [{speed: 5 kn}]
  `
)

// Every mistake is told once, at the line marked with HERE, in these words. A
// line of --- parts two sections.
func TestMistakesOfAssembly(t *testing.T) {
	for _, c := range []struct{ section, path, words string }{
		// the way
		{route + "route: [{name: Here, at: 16°53.0'N 025°00.0'W}] # HERE", "voyage.route", "two waypoints at least"},
		{route + "route:\n    - {name: Here, at: 1°N 25°W}\n    - {name: Here, at: 2°N 25°W} # HERE", "voyage.route[1].name", `waypoint 1 is called "Here" too`},
		{route + "route: [{name: Here, at: 1°N 25°W}, {name: There, at: 1°N 25°W}] # HERE", "voyage.route", "at the same place"},
		{route + "route: {gpx: no such file.gpx} # HERE", "voyage.route.gpx", "there is no file"},
		{sail + "pace: [] # HERE", "voyage.pace", "one stretch at least"},
		{sail + "pace:\n    - {speed: 5 kn} # HERE\n    - {speed: 4 kn}", "voyage.pace[0]", "want until, for or to date"},
		{sail + "pace: [{speed: 0 kn}] # HERE", "voyage.pace[0].speed", "she never arrives"},
		{sail + "pace:\n    - {until: Between, speed: 0 kn} # HERE\n    - {speed: 4 kn}", "voyage.pace[0].speed", "at 0 kn she never gets there"},
		{sail + "pace: [{speed: 0.01 kn}] # HERE", "voyage.pace[0].speed", "for more than 400 d"},
		{sail + "pace:\n    - {until: Betwen, speed: 4 kn} # HERE\n    - {speed: 4 kn}", "voyage.pace[0].until", `want one of Between, There, or a latitude`},
		{sail + "pace:\n    - {until: Here, speed: 4 kn} # HERE\n    - {speed: 4 kn}", "voyage.pace[0].until", `neither a waypoint ahead`},
		{sail + "pace:\n    - {until: 20°N, speed: 4 kn} # HERE\n    - {speed: 4 kn}", "voyage.pace[0].until", `never reaches the latitude of 20°N`},
		{sail + "pace:\n    - {to date: 2027-01-10 08:59 UTC, speed: 4 kn} # HERE\n    - {speed: 4 kn}", "voyage.pace[0].to date", `2027-01-10 08:59 UTC is not after the departure`},
		{sail + "pace: [{speed: by wind}] # HERE", "voyage.pace[0].speed", "the weather has none"},
		{sail + "pace: [{speed: 5 kn}]\n  zones: [{name: a}, {name: b}] # HERE", `voyage.zones["a"]`, "this zone has no end"},
		{sail + "pace: [{speed: 5 kn}]\n  zones: [{name: a, until: Between}, {name: b, until: 12°N}, {name: c}] # HERE", `voyage.zones["b"].until`, "not beyond the end of the zone before"},
		{"voyage:\n  depart: tomorrow # HERE\n  route: [{name: Here, at: 1°N 25°W}, {name: There, at: 2°N 25°W}]\n  pace: [{speed: 5 kn}]", "voyage.depart", "the clock is missing"},

		// weather
		{"weather:\n  cloud: {amount: 0.4, every: 6 h, values: [0.1]} # HERE", "weather.cloud", "one of amount, values and table"},
		{"weather:\n  cloud: {values: [0.1, 0.2]} # HERE", "weather.cloud.values", "want every, like 6 h"},
		{"weather:\n  cloud:\n    table:\n      - [2027-01-12 00:00 UTC, 0.1]\n      - [2027-01-12 00:00 UTC, 0.2] # HERE", "weather.cloud.table[1]", "is not after the row before it"},
		{"weather:\n  cloud: 0.2\n  air: {value: 20 °C, points: [[0 d, 20 °C]]} # HERE", "weather.air", "one temperature or points"},
		{"weather:\n  sea:\n    points:\n      - [2 d, 20 °C]\n      - [1 d, 20 °C] # HERE", "weather.sea.points[1]", "is not after the point before it"},
		{"weather: {record: no such log.csv} # HERE", "weather.record", "cannot be read"},

		// bank, boat, model
		{"bank: {capacity: 100 Ah, cut-off: 12.3 V, reset: 11 V} # HERE", "bank.reset", "11 V is under the cut-off of 12.3 V"},
		{"bank: {capacity: 100 Ah, absorption: 13 V, float: 13.5 V} # HERE", "bank", "charger: want 0 <= float <= absorption"},
		{"boat: {resistance: [[5 kn, 400 N], [3 kn, 100 N]]} # HERE", "boat.resistance", "rising speeds and forces"},
		{"model: {step: 7 min} # HERE", "model.step", "want 1, 2, 3, 4, 5, 6, 10, 12, 15, 20, 30 or 60 min"},

		// sources
		{"sources:\n  panels:\n    - {name: a, rated: 50 W}\n    - {name: a, rated: 60 W} # HERE", "sources.panels[1]", "names must differ"},
		{"sources:\n  panels: [{name: a, rated: 50 W, tilt: 20°, facing: up}] # HERE", `sources.panels["a"].facing`, "looks somewhere, not up"},
		{"sources:\n  panels: [{name: a, rated: 50 W, from: 2027-02-10 00:00 UTC, to: 2027-02-01 00:00 UTC}] # HERE", `sources.panels["a"].to`, "not after"},
		{"sources:\n  panels: [{name: a, rated: 50 W, spare: {after: hidro}}] # HERE\n  hydro: {rotor: {}}", `sources.panels["a"].spare.after`, `no other source is called "hidro"`},
		{"sources:\n  hydro: {limit: 10 A} # HERE", "sources.hydro", "either a curve or a rotor"},
		{"sources:\n  hydro: {rotor: {}, curve: [[3 kn, 1 A], [4 kn, 2 A]]} # HERE", "sources.hydro", "either a curve or a rotor"},
		{"sources:\n  hydro: {rotor: {}, lift below: 9 kn, lift above: 5 kn} # HERE", "sources.hydro", "never go down again"},
		{"sources:\n  hydro: {rotor: {}, up above: 80 %} # HERE", "sources.hydro.up above", "want down below"},
		{"sources:\n  hydro: {curve: [[4 kn, 1 A], [3 kn, 2 A]]} # HERE", "sources.hydro", "hydro: "},
		{"sources:\n  hydro: {rotor: {power coefficient: 0.55, thrust coefficient: 0.2}} # HERE", "sources.hydro", "thrust coefficient 0.2"},
		{"sources:\n  wind: {} # HERE", "sources.wind", "want weather.wind"},
		{"sources:\n  engine: {alternator: 60 A, runs: 10:00-11:00 UTC} # HERE", "sources.engine.runs", `10:00-11:00 ship's time`},
		{"sources:\n  engine: {alternator: 60 A, runs: \"10:00-11:00 ship's time from 2027-02-01\"} # HERE", "sources.engine.runs", `is not a daily window`},
		{"sources:\n  engine: {alternator: 60 A, on below: 60 %, off above: 50 %} # HERE", "sources.engine", "a higher one"},
		{"sources:\n  engine: {alternator: 60 A, off above: 50 %} # HERE", "sources.engine.off above", "want on below"},

		// loads
		{"loads:\n  - {name: lamp} # HERE", `loads["lamp"]`, "want draws: a current like 0.5 A or a power like 8 W"},
		{"loads:\n  - {name: lamp, draws: 1 A}\n  - {name: lamp, draws: 2 A} # HERE", "loads[1].name", `another load is called "lamp"`},
		{"loads:\n  - {name: radio, draws: 1 A, receive: 2 A} # HERE", `loads["radio"]`, "in place of draws"},
		{"loads:\n  - {name: radio, receive: 2 A, transmit: {peak: 20 A, average: 30 A}, when: 08:00 UTC, for: 15 min} # HERE", `loads["radio"]`, "transmit average"},
		{"loads:\n  - {name: radio, receive: 2 A, when: dusk to dawn} # HERE", `loads["radio"]`, "dusk to dawn"},
		{"loads:\n  - {name: fax, draws: 1 A, when: 08:00 UTC} # HERE", `loads["fax"]`, "has no end"},
		{"loads:\n  - {name: fax, draws: 1 A, station: Bostn} # HERE", `loads["fax"]`, "Bostn"},
		{"loads:\n  - {name: fax, station: Boston US, charts: surface analysis} # HERE", `loads["fax"]`, "draws"},
		{"loads:\n  - {name: fax, draws: 1 A, charts: surface analysis} # HERE", `loads["fax"].charts`, "want station"},
		{"loads:\n  - {name: lamp, draws: 1 A, standby: 10 min} # HERE", `loads["lamp"].standby`, "only a radio"},
		{"loads:\n  - {name: lamp, draws: 1 A, when: [4 h a day, 08:00-09:00 UTC]} # HERE", `loads["lamp"]`, "cannot be one of several"},
		{"loads:\n  - {name: lamp, draws: 1 A, off below: 60 %, back above: 50 %} # HERE", `loads["lamp"]`, ""},

		// goals and faults
		{"goals: {keep: [lmap]} # HERE", "goals.keep[0]", `no load is called "lmap": want one of lamp`},
		{"goals: {stay above: 95 %} # HERE\n---\nbank: {capacity: 100 Ah, start: 90 %}", "goals.stay above", "the bank starts at 90 %, not above 95 %"},
		{"faults:\n  - \"lmap: left on at 1 A, day 2\" # HERE", "faults[0]", `no source and no load is called "lmap"`},
		{"faults:\n  - \"lamp: lost, day 2\" # HERE", "faults[0]", "a load can be left on"},
		{"faults:\n  - \"bank: lost, day 2\" # HERE", "faults[0]", "leave a share of it"},
		{"faults:\n  - \"bank: 50 % left, day 2, for 3 d\" # HERE", "faults[0]", "stays lost"},
		{"faults:\n  - \"lamp: left on at 1 A, at Betwen\" # HERE", "faults[0]", "neither a waypoint ahead"},
		{"faults:\n  - \"lamp: left on at 1 A, south of 40°S\" # HERE", "faults[0]", "the route never lies south of"},
	} {
		src := scenario(t, strings.Split(c.section, "\n---\n")...)
		_, err := scenarios.Read("test.yaml", []byte(src), nil, "")
		if !assert.Error(t, err, c.section) {
			continue
		}
		list := problems(t, err)
		if !assert.Len(t, list, 1, "%s\n%v", c.section, err) {
			continue
		}
		p := list[0]
		assert.Equal(t, c.path, p.Path, c.section)
		assert.Contains(t, p.Message, c.words, c.section)
		assert.NotContains(t, p.Message, c.path+":", "the path is not repeated")
		if assert.Positive(t, p.Line, c.section) {
			assert.Contains(t, strings.Split(src, "\n")[p.Line-1], "HERE", "line %d of\n%s", p.Line, src)
		}
	}
}
