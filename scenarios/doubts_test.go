package scenarios_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/sim"
)

func sailed(t *testing.T, v *sim.Voyage) *sim.Result {
	t.Helper()
	r, err := v.Sail(t.Context(), sim.Options{})
	require.NoError(t, err)
	return r
}

func builtin(t *testing.T, name string, set ...string) *scenarios.Scenario {
	t.Helper()
	label, src, err := scenarios.Source(name)
	require.NoError(t, err)
	s, err := scenarios.Read(label, src, set, "")
	require.NoError(t, err)
	return s
}

// Every shift of every built-in scenario can be sailed, and says what it is.
func TestDoubtsOfAll(t *testing.T) {
	seed := uint64(1)
	for _, info := range scenarios.Builtin() {
		s := builtin(t, info.Name)
		for _, by := range []*uint64{nil, &seed} {
			list := s.Doubts(by != nil)
			require.Greater(t, len(list), 15)
			names := map[string]bool{}
			for _, d := range list {
				require.False(t, names[d.Name], "%s is there twice", d.Name)
				names[d.Name] = true
				assert.NotEmpty(t, d.Range, d.Name)
				assert.NotEmpty(t, d.Standing, d.Name)
				for _, x := range []*scenarios.Shift{d.Low, d.High} {
					if x == nil {
						continue
					}
					assert.NotEmpty(t, x.Text, d.Name)
					_, err := s.Shifted(x, by)
					require.NoError(t, err, "%s: %s", info.Name, d.Name)
				}
			}
			assert.Equal(t, by == nil && s.File.Weather.From != "climate" && s.File.Weather.Record == "", names["cloud"], info.Name)
		}
	}
}

// Each shift moves what it names, and the right way.
func TestDoubtsMoveWhatTheyName(t *testing.T) {
	s := builtin(t, "radio-cover", "boat.resistance=[[3 kn, 120 N], [5 kn, 420 N], [7 kn, 1600 N]]",
		"sources.hydro.drag.diameter=0.2 m", "sources.engine.alternator=60 A", "sources.engine.on below=60 %", "bank.start=90 %")
	base := sailed(t, s.Voyage())
	got := map[string][2]*sim.Result{}
	for _, d := range s.Doubts(false) {
		require.NotNil(t, d.Low, d.Name)
		require.NotNil(t, d.High, d.Name)
		low, err := s.Shifted(d.Low, nil)
		require.NoError(t, err, d.Name)
		high, err := s.Shifted(d.High, nil)
		require.NoError(t, err, d.Name)
		got[d.Name] = [2]*sim.Result{sailed(t, low), sailed(t, high)}
	}
	source := func(i int) func(*sim.Result) float64 {
		return func(r *sim.Result) float64 { return float64(r.Sources[i].Energy) }
	}
	load := func(i int) func(*sim.Result) float64 {
		return func(r *sim.Result) float64 { return float64(r.Loads[i].Energy) }
	}
	for name, c := range map[string]struct {
		of        func(*sim.Result) float64
		low, high float64 // over the base, where it is known
		tol       float64
	}{
		"charge at departure":  {of: func(r *sim.Result) float64 { return float64(r.Start) }, low: 0.85 / 0.9, high: 0.95 / 0.9, tol: 1e-9},
		"shade on the panels":  {of: func(r *sim.Result) float64 { return -source(0)(r) }, low: 0.9 / 0.8, high: 0.7 / 0.8, tol: 0.01}, // tol: the cells' temperature follows
		"dirt on the panels":   {of: func(r *sim.Result) float64 { return -source(1)(r) }, low: 1 / 0.95, high: 0.9 / 0.95, tol: 0.01},
		"output of the hydro":  {of: source(2), low: 0.75, high: 1.25, tol: 0.001},
		"drag of the hydro":    {of: func(r *sim.Result) float64 { return float64(r.Drag.Miles) }, low: 0.6, high: 1.4, tol: 0.05}, // tol: what is slowed is slowed less
		"AIS alarm: current":   {of: load(0), low: 0.8, high: 1.2, tol: 0.01},
		"tablet: current":      {of: load(7), low: 0.8, high: 1.2, tol: 0.01},
		"HF radio: current":    {of: load(8), low: 0.8, high: 1.2, tol: 0.05},                                                             // tol: it works at another voltage
		"self-discharge":       {of: func(r *sim.Result) float64 { return float64(r.Books.SelfDischarge) }, low: 0.5, high: 2, tol: 0.01}, // tol: of another charge
		"sea temperature":      {of: func(r *sim.Result) float64 { return float64(r.Days[3].Sea) - float64(base.Days[3].Sea) + 3 }, low: 0, high: 2, tol: 1e-9},
		"cloud":                {of: func(r *sim.Result) float64 { return float64(r.Days[3].Cloud) }, low: 0.75, high: 1.25, tol: 0.001}, // 4 oktas
		"capacity of the bank": {of: func(r *sim.Result) float64 { return -float64(r.Books.Drawn) }},
	} {
		require.Contains(t, got, name)
		low, high, at := c.of(got[name][0]), c.of(got[name][1]), c.of(base)
		if c.tol == 0 {
			assert.NotEqual(t, low, high, name)
			continue
		}
		assert.InEpsilon(t, 1+c.low, 1+low/at, c.tol, "%s, shifted down", name)
		assert.InEpsilon(t, 1+c.high, 1+high/at, c.tol, "%s, shifted up", name)
	}
	// More talk takes more, corroded lugs take none but voltage, a better charge
	// efficiency stores more.
	assert.Less(t, load(8)(got["HF radio: share of talk"][0]), load(8)(got["HF radio: share of talk"][1]))
	// A cloudier sky gives less light.
	for i := range 2 {
		assert.Greater(t, source(i)(got["cloud"][0]), 1.02*source(i)(base), "an okta less")
		assert.Less(t, source(i)(got["cloud"][1]), 0.98*source(i)(base), "an okta more")
	}
	stored := func(r *sim.Result) float64 { return float64(r.Books.Charged / r.Books.Taken) }
	assert.Less(t, stored(got["charge efficiency"][0]), stored(base))
	assert.Greater(t, stored(got["charge efficiency"][1]), stored(base))
	top := func(r *sim.Result) (most float64) {
		for _, d := range r.Days {
			most = max(most, float64(d.High))
		}
		return most
	}
	assert.LessOrEqual(t, top(got["absorption voltage"][0]), top(got["absorption voltage"][1]))
}

// However the file tells its cloud, each amount is shifted by an okta.
func TestDoubtsOfCloud(t *testing.T) {
	for _, set := range []string{"weather.cloud=", "weather.cloud=4 oktas", "weather.cloud={every: 6 h, values: [0.5, 0.5]}", "weather.cloud={table: [[2027-01-10 00:00 UTC, 0.5]]}"} {
		s := builtin(t, "radio-cover", set)
		for _, d := range s.Doubts(false) {
			if d.Name != "cloud" {
				continue
			}
			for x, want := range map[*scenarios.Shift]float64{d.Low: 0.375, d.High: 0.625} {
				v, err := s.Shifted(x, nil)
				require.NoError(t, err, set)
				for _, day := range sailed(t, v).Days {
					require.InDelta(t, want, float64(day.Cloud), 1e-9, set)
				}
			}
		}
	}
	for _, d := range builtin(t, "radio-cover", "weather.cloud=8 oktas").Doubts(false) {
		if d.Name == "cloud" {
			require.Nil(t, d.High)
			require.NotNil(t, d.Low)
		}
	}
}

// Without a drag the boat is as fast as she is said to be, by plan or by wind.
func TestDoubtsOfSpeed(t *testing.T) {
	for _, set := range [][]string{nil, {"weather.wind.speed=14 kn", "weather.wind.from=90°", "voyage.pace[0].speed=by wind", "voyage.pace[1].speed=by wind", "voyage.pace[2].speed=by wind", "voyage.pace[3].speed=by wind"}} {
		s := builtin(t, "radio-cover", set...)
		speed := func(v *sim.Voyage) float64 {
			r := sailed(t, v)
			return float64(r.Sailed) / r.End.Sub(r.Depart).Hours()
		}
		base := speed(s.Voyage())
		for _, d := range s.Doubts(false) {
			if d.Name != "speed of the boat" {
				continue
			}
			for x, want := range map[*scenarios.Shift]float64{d.Low: 0.9, d.High: 1.1} {
				v, err := s.Shifted(x, nil)
				require.NoError(t, err)
				assert.InEpsilon(t, want, speed(v)/base, 2e-4) // tol: by wind, legs begin amid a step
			}
		}
	}
}

// What cannot go further is not shifted that way, and what is not there not at
// all.
func TestDoubtsStayWithinBounds(t *testing.T) {
	s := builtin(t, "radio-cover", "bank.start=100 %", "sources.panels[0].dirt=0 %", "sources.panels[1].dirt=0 %", "sources.hydro=", "bank.chemistry=lfp")
	list := map[string]scenarios.Doubt{}
	for _, d := range s.Doubts(false) {
		list[d.Name] = d
	}
	assert.Nil(t, list["charge at departure"].High)
	require.NotNil(t, list["charge at departure"].Low)
	assert.Equal(t, "95 %", list["charge at departure"].Low.Text)
	assert.Nil(t, list["dirt on the panels"].Low)
	assert.NotContains(t, list, "output of the hydro")
	assert.Equal(t, "97 %", list["charge efficiency"].Low.Text)
	assert.Equal(t, "100 %", list["charge efficiency"].High.Text)
	assert.Equal(t, "184 Ah", list["capacity of the bank"].Low.Text)

	// Near its own floor a voyage begins no lower.
	s = builtin(t, "radio-cover", "bank.start=52 %")
	for _, d := range s.Doubts(false) {
		if d.Name == "charge at departure" {
			assert.Equal(t, "50.1 %", d.Low.Text)
			_, err := s.Shifted(d.Low, nil)
			require.NoError(t, err)
		}
	}
}

// With leaves the scenario as it is, and says where an override is from.
func TestWith(t *testing.T) {
	s := builtin(t, "radio-cover", "bank.capacity=300 Ah")
	again, err := s.With("--range", "bank.age=80 %")
	require.NoError(t, err)
	assert.Equal(t, 300.0, float64(again.File.Bank.Capacity))
	assert.Equal(t, 0.8, float64(again.File.Bank.Age))
	assert.Equal(t, 0.9, float64(s.File.Bank.Age))
	_, err = s.With("--range", "bank.age=lots")
	require.ErrorContains(t, err, "--range bank.age=lots")
}
