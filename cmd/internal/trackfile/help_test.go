package trackfile

import (
	"testing"

	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/sim"
)

// sailed sails a built-in scenario, with overrides.
func sailed(t testing.TB, name string, set ...string) Voyage {
	t.Helper()
	label, src, err := scenarios.Source(name)
	require.NoError(t, err)
	s, err := scenarios.Read(label, src, set, "")
	require.NoError(t, err)
	res, err := s.Voyage().Sail(t.Context(), sim.Options{Trace: true})
	require.NoError(t, err)
	return Voyage{Result: res, Route: s.Voyage().Route, Maker: "ampwake test"}
}

// voyages are the built-in scenarios and what is odd: across the date line and
// back, no way on, an hour, a year.
func voyages(t testing.TB) map[string]Voyage {
	all := map[string]Voyage{}
	for _, b := range scenarios.Builtin() {
		all[b.Name] = sailed(t, b.Name)
	}
	short := func(route, pace string, more ...string) Voyage {
		return sailed(t, "doldrums-week", append([]string{"voyage.route=" + route, "voyage.pace=" + pace, "voyage.zones="}, more...)...)
	}
	all["westward over the line"] = short(`[{name: Apia, at: 13°50'S 171°45'W}, {name: Suva, at: 18°10'S 178°30'E, by: rhumb line}]`, `[{speed: 5 kn}]`)
	all["on the line"] = short(`[{name: A, at: 10°S 180°E}, {name: B, at: 12°S 180°W, by: rhumb line}]`, `[{speed: 5 kn}]`)
	all["to the line"] = short(`[{name: A, at: 10°S 178°W}, {name: B, at: 12°S 180°W, by: rhumb line}]`, `[{speed: 5 kn}]`)
	all["there and back"] = short(`[{name: A, at: 10°S 179°E}, {name: B, at: 12°S 179°W}, {name: C, at: 14°S 179°E}]`, `[{speed: 5 kn}]`)
	all["goes nowhere"] = short(`[{name: A & <b>, at: 10°S 178°W}, {name: B, at: 12°S 180°W}]`, `[{speed: 0 kn, state: drifting}]`, "voyage.for=30 h")
	all["an hour"] = short(`[{name: A, at: 10°S 178°W}, {name: B, at: 10°05'S 178°W}]`, `[{speed: 5 kn}]`)
	if testing.Short() {
		return all
	}
	all["a year"] = short(`[{name: A, at: 40°S 10°W}, {name: B, at: 45°S 110°E, by: rhumb line}, {name: C, at: 50°S 120°W, by: rhumb line},
		{name: D, at: 40°S 10°W, by: rhumb line, stay: 100 d at anchor}, {name: E, at: 40°S 20°W}]`, `[{speed: 3.5 kn}]`)
	return all
}
