package scenarios_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
)

func TestParseAxis(t *testing.T) {
	for _, c := range []struct {
		text, path string
		values     []string
	}{
		{"bank.capacity=115Ah,230Ah, 460 Ah", "bank.capacity", []string{"115Ah", "230Ah", "460 Ah"}},
		{"bank.capacity=115Ah", "bank.capacity", []string{"115Ah"}},
		{"sources.hydro.down below=,60 %", "sources.hydro.down below", []string{"", "60 %"}},
		{`loads["VHF, 25=W"].draws=1 A,2 A`, `loads["VHF, 25=W"].draws`, []string{"1 A", "2 A"}},
		{`loads[a=b].draws=1 A`, `loads[a=b].draws`, []string{"1 A"}},
		{`loads[HF radio].when=[08:00 UTC, 20:00 UTC],[20:00 UTC]`, "loads[HF radio].when", []string{"[08:00 UTC, 20:00 UTC]", "[20:00 UTC]"}},
		{`sources.hydro={rotor: {diameter: 0.2 m}, limit: 20 A},{limit: 10 A}`, "sources.hydro", []string{"{rotor: {diameter: 0.2 m}, limit: 20 A}", "{limit: 10 A}"}},
		{`faults="rail panel: lost, day 12",'hydro: lost, day 3'`, "faults", []string{`"rail panel: lost, day 12"`, `'hydro: lost, day 3'`}},
		{`x=["a, ]",b],"c\",",d`, "x", []string{`["a, ]",b]`, `"c\","`, "d"}},
		{`x='it''s, so',y`, "x", []string{`'it''s, so'`, "y"}},
		{"loads[tablet].when=13:00-14:00 ship's time,19:00-21:00 ship's time", "loads[tablet].when", []string{"13:00-14:00 ship's time", "19:00-21:00 ship's time"}},
		{"x=a]b,c}", "x", []string{"a]b", "c}"}},
	} {
		a, err := scenarios.ParseAxis(c.text)
		require.NoError(t, err, c.text)
		assert.Equal(t, scenarios.Axis{Path: c.path, Values: c.values}, a, c.text)
	}
}

func TestParseAxisRefuses(t *testing.T) {
	for text, why := range map[string]string{
		"":                           `there is no "="`,
		"bank.capacity":              `there is no "="`,
		"=1,2":                       "there is no path",
		"loads[a=1,2":                "the bracket [ is not closed",
		`loads["a=1,2`:               "the quote in brackets is not closed",
		"x=[1,2":                     "not closed with ]",
		"x={a: 1,2":                  "not closed with }",
		`x="a,b`:                     `the quote " is not closed`,
		"bank.capacity=115Ah,115 Ah": "115 Ah twice",
	} {
		_, err := scenarios.ParseAxis(text)
		assert.ErrorContains(t, err, why, text)
	}
}

// Whatever is read is written so that it reads the same.
func FuzzParseAxis(f *testing.F) {
	for _, seed := range []string{"bank.capacity=115Ah,230Ah", `loads["a,b"].x=[1,2],'c',"d\""`, "a=,b", "x={a: [b, 'c,']},d's,e", "0=\f\""} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		a, err := scenarios.ParseAxis(text)
		if err != nil {
			return
		}
		b, err := scenarios.ParseAxis(a.String())
		require.NoError(t, err, "%q reads as %q", text, a)
		require.Equal(t, a, b)
	})
}

func axes(t testing.TB, texts ...string) []scenarios.Axis {
	var all []scenarios.Axis
	for _, text := range texts {
		a, err := scenarios.ParseAxis(text)
		require.NoError(t, err)
		all = append(all, a)
	}
	return all
}

func kitNames(t testing.TB, kits []scenarios.Choice, err error) string {
	t.Helper()
	require.NoError(t, err)
	var names []string
	for _, k := range kits {
		names = append(names, k.Name)
	}
	return strings.Join(names, "; ")
}

func TestChoiceNames(t *testing.T) {
	for want, texts := range map[string][]string{
		"115 Ah; 2 x 115 Ah": {"bank.capacity=115Ah,2 x 115Ah"},
		"115 Ah, 50 W; 115 Ah, 85 W; 230 Ah, 50 W; 230 Ah, 85 W": {"bank.capacity=115Ah,230Ah", "sources.panels[deck panel].rated=50W,85 W"},
		"down below not set; down below 60 %":                    {"sources.hydro.down below=,60%"},
		"receive 2 A, peak 20 A; receive 2 A, peak 25 A; receive 3 A, peak 20 A; receive 3 A, peak 25 A": {
			"loads[HF radio].receive=2A,3A", "loads[HF radio].transmit.peak=20 A,25 A",
		},
		"a.x 1, b.x 1; a.x 1, b.x 2; a.x 2, b.x 1; a.x 2, b.x 2": {"a.x=1,2", "b.x=1,2"},
		"goes first true; goes first false":                      {"loads[x].goes first=true,false"},
		"faults rail panel: lost, day 12; faults not set":        {`faults="rail panel: lost, day 12",`},
		"20 mm²; 35 mm²":                 {"loads[x].cable.area=20mm²,35 mm²"},
		"18 °C; 20 °C":                   {"weather.sea=18°C,20 °C"},
		"when 08:00 UTC; when 20:00 UTC": {"loads[x].when=08:00 UTC,20:00 UTC"},
	} {
		kits, err := scenarios.Choices("x", nil, axes(t, texts...))
		assert.Equal(t, want, kitNames(t, kits, err))
	}
}

func TestChoicesOfVariants(t *testing.T) {
	label, src, err := scenarios.Source("bank-sizes")
	require.NoError(t, err)
	kits, err := scenarios.Choices(label, src, nil)
	require.Equal(t, "one battery; two batteries; four batteries", kitNames(t, kits, err))
	i, err := scenarios.FindChoice(kits, "Two Batteries")
	require.NoError(t, err)
	require.Equal(t, 1, i)
	_, err = scenarios.FindChoice(kits, "two bateries")
	require.ErrorContains(t, err, "two batteries")
	s, err := kits[2].Read(label, src, []string{"bank.start=90 %"})
	require.NoError(t, err)
	assert.Equal(t, 460.0, float64(s.File.Bank.Capacity))
	assert.Equal(t, 0.9, float64(s.File.Bank.Start))
}

// An override comes after a variant, as in run, and before an axis.
func TestChoicesAndOverrides(t *testing.T) {
	label, src, err := scenarios.Source("bank-sizes")
	require.NoError(t, err)
	variants, err := scenarios.Choices(label, src, nil)
	require.NoError(t, err)
	s, err := variants[0].Read(label, src, []string{"bank.capacity=300 Ah"}, "hydro: lost, day 3")
	require.NoError(t, err)
	assert.Equal(t, 300.0, float64(s.File.Bank.Capacity))
	assert.Len(t, s.File.Faults, 1)
	tried, err := scenarios.Choices(label, src, axes(t, "bank.capacity=115Ah,230Ah"))
	require.NoError(t, err)
	s, err = tried[0].Read(label, src, []string{"bank.capacity=300 Ah"})
	require.NoError(t, err)
	assert.Equal(t, 115.0, float64(s.File.Bank.Capacity))
	_, err = tried[0].Read(label, src, []string{"bank.capacty=300 Ah"})
	assert.ErrorContains(t, err, "capacty")
	wrong, err := scenarios.Choices(label, src, axes(t, "bank.capacity=115Ah,many"))
	require.NoError(t, err)
	_, err = wrong[1].Read(label, src, nil)
	assert.ErrorContains(t, err, "--vary")
}

func TestChoicesRefuses(t *testing.T) {
	label, src, err := scenarios.Source("radio-cover")
	require.NoError(t, err)
	_, err = scenarios.Choices(label, src, nil)
	assert.ErrorContains(t, err, "no variants")
	_, err = scenarios.Choices(label, src, axes(t, "bank.capacity=115Ah"))
	assert.ErrorContains(t, err, "two at least")
	_, err = scenarios.Choices(label, src, axes(t, "a=1,2,3,4,5,6,7,8,9", "b=1,2,3,4,5,6,7,8"))
	assert.ErrorContains(t, err, "more than 64 kits")
	twice := strings.Replace(string(bankSizes(t)), "name: two batteries", "name: One battery", 1)
	_, err = scenarios.Choices(label, []byte(twice), nil)
	assert.ErrorContains(t, err, `two kits are called "One battery"`)
}

func bankSizes(t testing.TB) []byte {
	_, src, err := scenarios.Source("bank-sizes")
	require.NoError(t, err)
	return src
}

// A variant may change nothing.
func TestEmptyVariant(t *testing.T) {
	label, src, err := scenarios.Source("bank-sizes")
	require.NoError(t, err)
	text := strings.Replace(string(src), "{name: one battery, set: {bank.capacity: 115 Ah}}", "{name: as it is, set: {}}", 1)
	text = strings.Replace(text, "{name: two batteries, set: {bank.capacity: 2 x 115 Ah}}", "{name: as ever}", 1)
	kits, err := scenarios.Choices(label, []byte(text), nil)
	require.NoError(t, err)
	for _, k := range kits[:2] {
		s, err := k.Read(label, []byte(text), nil)
		require.NoError(t, err)
		assert.Equal(t, 230.0, float64(s.File.Bank.Capacity))
	}
}
