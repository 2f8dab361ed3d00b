package scenarios_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
)

func TestParseRange(t *testing.T) {
	for text, want := range map[string]struct {
		name   string
		values []string
		rises  bool
	}{
		"bank.capacity=100Ah..600Ah step 250Ah":                   {"bank", []string{"100 Ah", "350 Ah", "600 Ah"}, true},
		"bank.capacity=100..220 step 50 Ah":                       {"bank", []string{"100 Ah", "150 Ah", "200 Ah"}, true},
		"bank.capacity = 115Ah, 2 x 115 Ah, 460Ah":                {"bank", []string{"115 Ah", "2 x 115 Ah", "460 Ah"}, true},
		"sources.panels[deck panel].rated=0..170W step 85W":       {"deck panel", []string{"none", "85 W", "170 W"}, true},
		`sources.panels["a=b"].rated=50 W`:                        {"a=b", []string{"50 W"}, true},
		"sources.panels[1].rated=50 W":                            {"panel 2", []string{"50 W"}, true},
		"sources.engine.fuel=0 L..0.3 L step 0.1 L":               {"fuel", []string{"0 L", "0.1 L", "0.2 L", "0.3 L"}, true},
		"sources.engine.alternator=0A, 60A":                       {"alternator", []string{"none", "60 A"}, true},
		"sources.hydro.limit=5A..10A step 5A":                     {"hydro limit", []string{"5 A", "10 A"}, true},
		"sources.hydro.rotor.diameter=0.2 m..0.3 m step 0.05 m":   {"rotor diameter", []string{"0.2 m", "0.25 m", "0.3 m"}, false},
		"bank.chemistry=agm, lfp":                                 {"bank chemistry", []string{"agm", "lfp"}, false},
		"loads[HF radio].for=20 min, 10 min":                      {"HF radio for", []string{"20 min", "10 min"}, false},
		"sources.panels[rail panel].tilt=-10°..10° step 10°":      {"rail panel tilt", []string{"-10 °", "0 °", "10 °"}, false},
		"voyage.depart=2027-01-10 09:00 UTC,2027-02-10 09:00 UTC": {"voyage depart", []string{"2027-01-10 09:00 UTC", "2027-02-10 09:00 UTC"}, false},
	} {
		r, err := scenarios.ParseRange(text)
		require.NoError(t, err, text)
		var values []string
		for i := range r.Values {
			values = append(values, r.Value(i))
		}
		assert.Equal(t, want.values, values, text)
		assert.Equal(t, want.rises, r.Rises, text)
		assert.Equal(t, want.name, r.Name(), text)
	}
}

func TestParseRangeRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"bank.capacity":                           `there is no "="`,
		"=1 Ah":                                   "there is no path",
		"bank.capacity=":                          "a value is missing",
		"bank.capacity=100Ah..200Ah":              "the step is missing",
		"bank.capacity=100Ah..200Ah step":         "the step is missing",
		"bank.capacity=100Ah..200Ah step 0Ah":     "above 0",
		"bank.capacity=100Ah..200Ah step -5Ah":    "above 0",
		"bank.capacity=200Ah..100Ah step 5Ah":     "ends before it begins",
		"bank.capacity=100Ah..200W step 5Ah":      `"Ah" and "W" differ`,
		"bank.capacity=much..more step 5Ah":       `"much" is no number`,
		"bank.capacity=0Ah..1000Ah step 0.001 Ah": "more than 1000",
		"bank.capacity=200Ah,100Ah":               "must ascend",
		"bank.capacity=100Ah,,200Ah":              "a value is missing",
	} {
		_, err := scenarios.ParseRange(text)
		require.ErrorContains(t, err, want, text)
		require.ErrorContains(t, err, "like", text)
	}
}

// Whatever reads as a range gives overrides of its path, or of what it takes out.
func FuzzParseRange(f *testing.F) {
	for _, s := range []string{"bank.capacity=100Ah..600Ah step 50Ah", "a=1,2 x 3 W", `sources.panels["x=y"].rated=0..1 step 1`, "=..", "a=1..2 step 1e9", "a=−1..2 step 1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r, err := scenarios.ParseRange(text)
		if err != nil {
			return
		}
		require.NotEmpty(t, r.Values)
		require.LessOrEqual(t, len(r.Values), scenarios.MostValues)
		for i := range r.Values {
			path, _, found := strings.Cut(r.Override(i), "=")
			require.True(t, found)
			require.True(t, strings.HasPrefix(r.Path, strings.TrimSuffix(path, "]")), "%q is no part of %q", path, r.Path)
			if i > 0 && r.Rises {
				require.Greater(t, r.Numbers[i], r.Numbers[i-1])
			}
		}
	})
}

func kits(t *testing.T, set []string, by scenarios.By, texts ...string) (*scenarios.Kits, error) {
	t.Helper()
	var ranges []scenarios.Range
	for _, text := range texts {
		r, err := scenarios.ParseRange(text)
		require.NoError(t, err)
		ranges = append(ranges, r)
	}
	label, src, err := scenarios.Source("radio-cover")
	require.NoError(t, err)
	s, err := scenarios.Read(label, src, set, "")
	require.NoError(t, err)
	return scenarios.ReadKits(s, ranges, by)
}

var heavy = []string{"bank.weighs per Ah=0.3 kg", "sources.panels[deck panel].weighs per W=0.1 kg", "sources.panels[rail panel].weighs=9 kg", "sources.panels[rail panel].costs=300"}

func TestKits(t *testing.T) {
	k, err := kits(t, heavy, "", "bank.capacity=100Ah..300Ah step 100Ah", "sources.panels[deck panel].rated=0W..170W step 85W")
	require.NoError(t, err)
	assert.Equal(t, scenarios.ByWeight, k.By)
	assert.Equal(t, 9, k.Box.Len())
	assert.InDeltaSlice(t, []float64{39, 47.5, 56, 69, 77.5, 86, 99, 107.5, 116}, k.Box.Cost, 1e-9)
	assert.Empty(t, k.Lacks)
	assert.Equal(t, "bank 200 Ah, no deck panel", k.Name(3))
	assert.Equal(t, "bank 300 Ah, deck panel 170 W", k.Name(8))
	assert.Equal(t, "300 Ah, 170 W", k.Short(8))
	assert.Equal(t, "200 Ah, no deck panel", k.Short(3))
	s, err := k.Read(3)
	require.NoError(t, err)
	assert.Len(t, s.File.Sources.Panels, 1)
	assert.Equal(t, 200.0, float64(s.File.Bank.Capacity))
	s, err = k.Read(8)
	require.NoError(t, err)
	assert.Equal(t, 170.0, float64(s.File.Sources.Panels[1].Rated))

	k, err = kits(t, heavy, scenarios.ByPrice, "bank.capacity=100Ah..300Ah step 100Ah", "sources.panels[rail panel].rated=0W, 85W")
	require.NoError(t, err)
	assert.Equal(t, []string{"bank"}, k.Lacks)
	assert.Equal(t, []float64{0, 300, 0, 300, 0, 300}, k.Box.Cost)

	k, err = kits(t, nil, "", "bank.capacity=100Ah, 200Ah", "sources.hydro.limit=0A, 20A")
	require.NoError(t, err)
	assert.Equal(t, scenarios.ByOrder, k.By)
	assert.Nil(t, k.Box.Cost)
	assert.Equal(t, 200.0, k.Cost(3))
	s, err = k.Read(2)
	require.NoError(t, err)
	assert.Nil(t, s.File.Sources.Hydro)
}

// Items of a list that are named by their number are taken out from the end.
func TestKitsTakeOutBoth(t *testing.T) {
	k, err := kits(t, nil, "", "sources.panels[0].rated=0W, 50W", "sources.panels[1].rated=0W, 60W")
	require.NoError(t, err)
	for i, want := range []int{0, 1, 1, 2} {
		s, err := k.Read(i)
		require.NoError(t, err)
		require.Len(t, s.File.Sources.Panels, want)
	}
	s, err := k.Read(1)
	require.NoError(t, err)
	assert.Equal(t, "deck panel", s.File.Sources.Panels[0].Name)
	assert.Equal(t, "no panel 1, panel 2 60 W", k.Name(1))
	assert.Equal(t, "panel 1 50 W, panel 2 60 W", k.Short(3), "both are watts")
}

func TestKitsRefuses(t *testing.T) {
	const bank = "bank.capacity=100Ah..300Ah step 100Ah"
	_, err := kits(t, nil, scenarios.ByWeight, bank)
	assert.ErrorContains(t, err, "gives no weights")
	_, err = kits(t, nil, scenarios.ByPrice, bank)
	assert.ErrorContains(t, err, "gives no prices")
	_, err = kits(t, nil, "", bank, bank)
	assert.ErrorContains(t, err, "two ranges of bank.capacity")
	_, err = kits(t, nil, "")
	assert.ErrorContains(t, err, "1 to 4 ranges")
	_, err = kits(t, nil, "", "bank.capacity=100Ah..1000Ah step 1Ah", "sources.hydro.limit=1A..10A step 1A")
	assert.ErrorContains(t, err, "more than 5000 kits")
	_, err = kits(t, nil, "", "bank.capcity=100Ah, 200Ah")
	assert.ErrorContains(t, err, "--range bank.capcity=100Ah")
	_, err = kits(t, nil, "", "bank.capacity=0Ah, 200Ah")
	assert.Error(t, err)
}
