package form_test

import (
	"errors"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios/form"
	"ampwake/sim/units"
)

// load reads a text and returns what is wrong with it.
func problemsOf(t *testing.T, src string, sets ...string) []*form.Problem {
	t.Helper()
	var v voyage
	_, err := sample().Load("x.yaml", []byte(src), form.Sets(sets), &v)
	if err == nil {
		return nil
	}
	var all *form.Problems
	require.True(t, errors.As(err, &all), "error is a %T", err)
	return all.List
}

func ptr[T any](x T) *T { return &x }

func TestLoadFillsEveryKindOfField(t *testing.T) {
	var v voyage
	v.Ignored = "kept"
	_, err := sample().Load("x.yaml", []byte(good), nil, &v)
	require.NoError(t, err)
	want := voyage{
		Name: "Horta to Falmouth", Notes: "no", Step: 1.0 / 6, Seed: 7, Crew: 2, Albedo: 0.06, Heeled: true,
		Route: []waypoint{{At: place{38.5, -28.6}}, {Name: "Falmouth", At: place{50.1, -5}}},
		Cloud: &cloud{Mean: 0.4},
		Bank:  bank{Chemistry: "agm", Capacity: 230, Start: 0.95, CutOff: ptr(units.Volts(11.6))},
		Sources: &sources{
			Hydro: &hydro{LiftBelow: 3, StayAbove: 14, Table: []point{{3, 1, ""}, {5, 8, "measured"}}},
			Solar: []panel{{"flat", 85}, {"rail", 50}},
		},
		Loads: []load{
			{Name: "HF radio", Draws: 100, Works: ptr(units.Volts(11.8)), When: when{[]window{{480, 510}, {1200, 1230}}}},
			{Name: "VHF", Draws: 5, When: when{[]window{{0, 1440}}}, Duty: ptr(units.Fraction(0.5))},
		},
		Months:  [3]units.Fraction{0.1, 0.2, 0.3},
		Ignored: "kept",
	}
	assert.Equal(t, want.Step, v.Step)
	assert.Equal(t, want, v)
}

func TestLoadReadsWhatIsWrittenNotWhatYAMLMeans(t *testing.T) {
	src := `
name: 0x10
notes: null
author: 2026-01-01
labels: {a: no, b: 1_000, c: ~, d: .inf, "<<": 08:00}
watches: on
heeled: no
albedo: "0.25"
cloud: {table: [[May, 0.5], {month: 1, cover: 55 %}]}
places: {home: "1 2"}
sub: {a: [[3 kn, 1 A]], b: []}
route: [1 2, 3 4]
bank: {capacity: 440 Ah, chemistry: lithium, cells: [20 °C, 21C]}
loads: {name: lamp, draws: 5 W, when: 20:00 to 23:00}
`
	var v voyage
	_, err := sample().Load("x.yaml", []byte(src), nil, &v)
	require.NoError(t, err)
	assert.Equal(t, "0x10", v.Name)
	assert.Equal(t, "null", v.Notes)
	assert.Equal(t, "2026-01-01", v.Author)
	assert.Equal(t, map[string]string{"a": "no", "b": "1_000", "c": "~", "d": ".inf", "<<": "08:00"}, v.Labels)
	assert.Equal(t, []string{"on"}, v.Watches)
	assert.False(t, v.Heeled)
	assert.Equal(t, 0.25, v.Albedo)
	assert.Equal(t, []month{{"May", 0.5}, {"1", 0.55}}, v.Cloud.Table)
	assert.Zero(t, v.Cloud.Mean)
	assert.Equal(t, map[string]place{"home": {1, 2}}, v.Places)
	assert.Equal(t, map[string][]point{"a": {{3, 1, ""}}, "b": {}}, v.Sub)
	assert.Equal(t, &[]units.Celsius{20, 21}, v.Bank.Cells)
	assert.Equal(t, []load{{Name: "lamp", Draws: 5, When: when{[]window{{1200, 1380}}}}}, v.Loads)
}

const ten = `name: Horta
sed: 7
route:
  - 38.5 -28.6
bank:
  capacity: 440 Wh
  chemistry: agn
  start: 120 %
  capacity: 2 Ah
sources:
  solar: 85 W
loads:
  - name: HF radio
    drws: 100 W
  - name: Lampe am Niedergang, 20°, gelb
    draws: 5 V
    when: {from: 1}
`

func TestTenMistakesGiveTenMessages(t *testing.T) {
	type row struct {
		line, column     int
		kind             form.Kind
		path, text, hint string
	}
	var got []row
	for _, p := range problemsOf(t, ten) {
		got = append(got, row{p.Line, p.Column, p.Kind, p.Path, p.Text, p.Hint})
		assert.Equal(t, strings.Split(ten, "\n")[p.Line-1], p.Source)
		assert.Equal(t, "x.yaml", p.File)
		assert.NotEmpty(t, p.Message)
	}
	assert.Equal(t, []row{
		{2, 1, form.UnknownKey, "sed", "sed", `did you mean "seed"?`},
		{3, 1, form.OutOfRange, "route", "", ""},
		{6, 13, form.BadText, "bank.capacity", "440 Wh", ""},
		{7, 14, form.NotAChoice, "bank.chemistry", "agn", `did you mean "agm"?`},
		{8, 10, form.OutOfRange, "bank.start", "120 %", ""},
		{9, 3, form.DuplicateKey, "bank.capacity", "capacity", "keep one of them"},
		{11, 10, form.WrongKind, "sources.solar", "85 W", ""},
		{14, 5, form.UnknownKey, `loads["HF radio"].drws`, "drws", `did you mean "draws"?`},
		{16, 12, form.BadText, `loads["Lampe am Niedergang, 20°, gelb"].draws`, "5 V", ""},
		{17, 11, form.WrongKind, `loads["Lampe am Niedergang, 20°, gelb"].when`, "", ""},
	}, got)
}

func TestLoadPanicsOnAForeignStruct(t *testing.T) {
	assert.PanicsWithValue(t, "form: Load into *form_test.bank, want a *form_test.voyage", func() {
		_, _ = sample().Load("x", nil, nil, &bank{})
	})
	assert.Panics(t, func() { _, _ = form.Load("x", nil, nil, bank{}) })
}

func TestPackageLoad(t *testing.T) {
	var b bank
	_, err := form.Load("x.yaml", []byte("capacity: 1 Ah"), []string{"start=50 %"}, &b)
	require.NoError(t, err)
	assert.Equal(t, bank{Chemistry: "agm", Capacity: 1, Start: 0.5}, b)
}

func TestCheckTagsOfTheSample(t *testing.T) {
	require.NoError(t, form.CheckTags(reflect.TypeFor[voyage](), glossary))
}
