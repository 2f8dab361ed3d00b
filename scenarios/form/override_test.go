package form_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios/form"
	"ampwake/sim/units"
)

func loaded(t *testing.T, src string, sets ...string) voyage {
	t.Helper()
	var v voyage
	_, err := sample().Load("x.yaml", []byte(src), form.Sets(sets), &v)
	require.NoError(t, err)
	return v
}

func TestOverridesSet(t *testing.T) {
	for _, row := range []struct {
		set  string
		want func(*voyage)
	}{
		{"bank.capacity=440Ah", func(v *voyage) { v.Bank.Capacity = 440 }},
		{" bank . capacity = 440 Ah ", func(v *voyage) { v.Bank.Capacity = 440 }},
		{"bank.chemistry=gel", func(v *voyage) { v.Bank.Chemistry = "gel" }},
		{"bank.cut-off=", func(v *voyage) { v.Bank.CutOff = nil }},
		{"bank.start=", func(v *voyage) { v.Bank.Start = 1 }},
		{"bank.chemistry=", func(*voyage) {}}, // not there anyway
		{"bank={capacity: 1 Ah, start: 50 %}", func(v *voyage) { v.Bank = bank{Chemistry: "agm", Capacity: 1, Start: 0.5} }},
		{"sources.hydro.lift below=2 kn", func(v *voyage) { v.Sources.Hydro.LiftBelow = 2 }},
		{"sources.hydro=", func(v *voyage) { v.Sources.Hydro = nil }},
		{"sources.hydro.table[1].current=9 A", func(v *voyage) { v.Sources.Hydro.Table[1].Draw = 9 }},
		{"sources.hydro.table[0].note=by hand", func(v *voyage) { v.Sources.Hydro.Table[0].Note = "by hand" }},
		{"sources.hydro.table=[[4 kn, 2 A]]", func(v *voyage) { v.Sources.Hydro.Table = []point{{4, 2, ""}} }},
		{"sources.solar[rail].power=60 W", func(v *voyage) { v.Sources.Solar[1].Power = 60 }},
		{"sources.solar.rail.power=60 W", func(v *voyage) { v.Sources.Solar[1].Power = 60 }},
		{`sources.solar["rail"].power=60 W`, func(v *voyage) { v.Sources.Solar[1].Power = 60 }},
		{"sources.solar[1].power=60 W", func(v *voyage) { v.Sources.Solar[1].Power = 60 }},
		{"sources.solar[1]={power: 1 W}", func(v *voyage) { v.Sources.Solar[1] = panel{Power: 1} }},
		{"sources.solar[flat]=", func(v *voyage) { v.Sources.Solar = v.Sources.Solar[1:] }},
		{"sources.solar={power: 1 W}", func(v *voyage) { v.Sources.Solar = []panel{{Power: 1}} }},
		{"loads[HF radio].works above=12 V", func(v *voyage) { v.Loads[0].Works = ptr(units.Volts(12)) }},
		{"loads.HF radio.draws=90 W", func(v *voyage) { v.Loads[0].Draws = 90 }},
		{"loads.HF radio.when=06:00 to 06:30", func(v *voyage) { v.Loads[0].When.Windows = []window{{360, 390}} }},
		{"loads.HF radio.when[1]=06:00 to 06:30", func(v *voyage) { v.Loads[0].When.Windows[1] = window{360, 390} }},
		{"loads.HF radio.when[0]=", func(v *voyage) { v.Loads[0].When.Windows = v.Loads[0].When.Windows[1:] }},
		{"loads.HF radio.when=", func(v *voyage) { v.Loads[0].When.Windows = []window{{0, 1440}} }},
		{"loads[1]=", func(v *voyage) { v.Loads = v.Loads[:1] }},
		{"loads=", func(v *voyage) { v.Loads = nil }},
		{"cloud=50 %", func(v *voyage) { v.Cloud = &cloud{Mean: 0.5} }},
		{"cloud.mean=50 %", func(v *voyage) { v.Cloud = &cloud{Mean: 0.5} }},
		{"cloud.table=[[May, 0.5]]", func(v *voyage) { v.Cloud = &cloud{Table: []month{{"May", 0.5}}} }},
		{"route[0].name=Horta", func(v *voyage) { v.Route[0].Name = "Horta" }},
		{"route[0]=1 2", func(v *voyage) { v.Route[0].At = place{1, 2} }},
		{"route[1].at=1 2", func(v *voyage) { v.Route[1].At = place{1, 2} }},
		{"places.home=1 2", func(v *voyage) { v.Places = map[string]place{"home": {1, 2}} }},
		{`places["c. d"]=1 2`, func(v *voyage) { v.Places = map[string]place{"c. d": {1, 2}} }},
		{"notes=Boat #1: it's = [fine]", func(v *voyage) { v.Notes = "Boat #1: it's = [fine]" }},
		{"notes='t Schip", func(v *voyage) { v.Notes = "'t Schip" }},
		{"notes='a b'", func(v *voyage) { v.Notes = "a b" }},
		{`notes=""`, func(v *voyage) { v.Notes = "" }},
		{"notes=no", func(v *voyage) { v.Notes = "no" }},
		{"notes=*x", func(v *voyage) { v.Notes = "*x" }},
		{"notes=", func(v *voyage) { v.Notes = "" }},
		{"watches=Anna", func(v *voyage) { v.Watches = []string{"Anna"} }},
		{"watches=[Anna, 'no']", func(v *voyage) { v.Watches = []string{"Anna", "no"} }},
		{"author=me", func(v *voyage) { v.Author = "me" }},
		{"months[2]=5 %", nil},
	} {
		t.Run(row.set, func(t *testing.T) {
			if row.want == nil {
				t.Skip("the list is only a default: see TestOverridePathsThatLeadNowhere")
			}
			want := loaded(t, good)
			row.want(&want)
			assert.Equal(t, want, loaded(t, good, row.set))
		})
	}
}

func TestOverridesApplyInOrder(t *testing.T) {
	v := loaded(t, good, "bank.capacity=1 Ah", "bank.capacity=2 Ah", "loads[0]=", "loads[0].draws=7 W")
	assert.EqualValues(t, 2, v.Bank.Capacity)
	require.Len(t, v.Loads, 1)
	assert.Equal(t, "VHF", v.Loads[0].Name)
	assert.EqualValues(t, 7, v.Loads[0].Draws)
}

func TestOverridesMakeWhatIsAbsent(t *testing.T) {
	v := loaded(t, whole, "sources.hydro.lift below=3 kn", "labels.a=1", "cloud.mean=10 %", "loads={name: x, draws: 1 W}")
	assert.EqualValues(t, 3, v.Sources.Hydro.LiftBelow)
	assert.EqualValues(t, 14, v.Sources.Hydro.StayAbove)
	assert.Equal(t, map[string]string{"a": "1"}, v.Labels)
	assert.Len(t, v.Loads, 1)
}

// Where a list is written as its only item, or holds only one, the index may
// be left out.
func TestOverridesOfAListOfOne(t *testing.T) {
	one := whole + "sources: {solar: {name: flat, power: 85 W}}\n"
	for _, set := range []string{"sources.solar.power=1 W", "sources.solar[0].power=1 W", "sources.solar[flat].power=1 W"} {
		assert.Equal(t, []panel{{"flat", 1}}, loaded(t, one, set).Sources.Solar, set)
	}
	assert.Empty(t, loaded(t, one, "sources.solar[0]=").Sources.Solar)
	listed := whole + "sources: {solar: [{name: flat, power: 85 W}]}\n"
	assert.Equal(t, []panel{{"flat", 1}}, loaded(t, listed, "sources.solar.power=1 W").Sources.Solar)
	assert.Equal(t, []panel{{"", 2}}, loaded(t, whole, "sources.solar.power=2 W").Sources.Solar)
}

func TestOverridesLeaveAnchorsOfOthersAlone(t *testing.T) {
	src := whole + `sources:
  solar:
    - &flat {name: flat, power: 85 W}
    - {<<: *flat, name: rail}
    - *flat
`
	for _, row := range []struct {
		set  string
		want []panel
	}{
		{"sources.solar[0].power=1 W", []panel{{"flat", 1}, {"rail", 85}, {"flat", 85}}},
		{"sources.solar[1].power=1 W", []panel{{"flat", 85}, {"rail", 1}, {"flat", 85}}},
		{"sources.solar[2].power=1 W", []panel{{"flat", 85}, {"rail", 85}, {"flat", 1}}},
		{"sources.solar[0]={power: 1 W}", []panel{{"", 1}, {"rail", 85}, {"flat", 85}}},
		{"sources.solar[0]=", []panel{{"rail", 85}, {"flat", 85}}},
		{"sources.solar[1].name=", []panel{{"flat", 85}, {"", 85}, {"flat", 85}}},
	} {
		assert.Equal(t, row.want, loaded(t, src, row.set).Sources.Solar, row.set)
	}
	// A merged value is entered through a copy of its own.
	src = whole + `labels: {}
sources: {hydro: {lift below: 3 kn, table: &t [[3 kn, 1 A], [5 kn, 8 A]]}}
sub: {a: *t, b: [[1 kn, 0 A]]}
`
	v := loaded(t, src, "sub.a[0].current=2 A")
	assert.EqualValues(t, 2, v.Sub["a"][0].Draw)
	assert.EqualValues(t, 1, v.Sources.Hydro.Table[0].Draw)
	src = "name: a\nroute: [1 2, 3 4]\nbank: {<<: {capacity: 1 Ah, cells: [1 °C, 2 °C]}}\n"
	assert.Equal(t, &[]units.Celsius{1, 9}, loaded(t, src, "bank.cells[1]=9 °C").Bank.Cells)
	all := problemsOf(t, src, "bank.capacity=")
	require.Len(t, all, 1)
	assert.Equal(t, form.MissingKey, all[0].Kind)
}

func TestOverridePathsThatLeadNowhere(t *testing.T) {
	for _, row := range []struct{ set, message, hint string }{
		{"bank.capcity=1 Ah", `--set bank.capcity=1 Ah: bank has no key "capcity"`, `did you mean "capacity"?`},
		{"capacity=1 Ah", `--set capacity=1 Ah: the file has no key "capacity"`, `"capacity" belongs under bank`},
		{"bank.zzzzz=1", `--set bank.zzzzz=1: bank has no key "zzzzz"`, "known here: chemistry, capacity, start, cut-off, cells"},
		{"bank[0]=1", `--set bank[0]=1: bank has no [0]: it has keys, not items`, ""},
		{"bank.capacity.x=1", `--set bank.capacity.x=1: bank.capacity has no key "x": it is a plain value`, ""},
		{"loads[2].draws=1 W", `--set loads[2].draws=1 W: loads has no [2]: it has 2 items, [0] to [1]`, "there are HF radio, VHF"},
		{"loads[HF raido].draws=1 W", `--set loads[HF raido].draws=1 W: loads has no ["HF raido"]: it has 2 items`, "did you mean [HF radio]?"},
		{"loads.VFH.draws=1 W", `--set loads.VFH.draws=1 W: loads has no key "VFH": it has 2 items`, "did you mean [VHF]?"},
		{"months[2]=5 %", `--set months[2]=5 %: months has no [2]: the list is empty`, ""},
		{"watches[0]=x", `--set watches[0]=x: watches has no [0]: the list is empty`, ""},
		{"labels[0]=x", `--set labels[0]=x: labels has no [0]: it has names, not items`, ""},
		{"loads.HF radio.when[7]=x", `--set loads.HF radio.when[7]=x: loads["HF radio"].when has no [7]: it has 2 items, [0] to [1]`, ""},
		{"bank.capacity", `--set bank.capacity: want "path=value"`, "write it like bank.capacity=440 Ah; nothing after the = removes the key"},
		{"=1", `--set =1: there is no path before the "="`, "write it like bank.capacity=440 Ah"},
		{"bank.=1", `--set bank.=1: a key is missing after the last dot`, "write it like bank.capacity=440 Ah or loads[HF radio].receive=2 A"},
		{".bank=1", `--set .bank=1: a key is missing before a dot`, "write it like bank.capacity=440 Ah or loads[HF radio].receive=2 A"},
		{"loads[=1", `--set loads[=1: the bracket [ is not closed`, "write it like bank.capacity=440 Ah or loads[HF radio].receive=2 A"},
		{"loads[]=1", `--set loads[]=1: the brackets are empty`, "write it like bank.capacity=440 Ah or loads[HF radio].receive=2 A"},
		{"bank=[1", `--set bank=[1: the list opened with "[" is not closed properly`, `put commas between its items and "]" at its end`},
		{"notes=a\x1bb", "--set notes=a\uFFFDb: the value holds a control character", ""},
	} {
		t.Run(row.set, func(t *testing.T) {
			all := problemsOf(t, good, row.set)
			require.Len(t, all, 1)
			assert.Equal(t, row.message, all[0].String())
			assert.Equal(t, row.hint, all[0].Hint)
			assert.Zero(t, all[0].Line)
		})
	}
}

func TestProblemsInOverriddenValuesNameTheOverride(t *testing.T) {
	for _, row := range []struct {
		set, message string
	}{
		{"bank.chemistry=agn", `--set bank.chemistry=agn: "agn" is not one of agm, gel, flooded, lithium`},
		{"bank={capacity: 1 Ah, stat: 1}", `--set bank={capacity: 1 Ah, stat: 1}: unknown key "stat"`},
		{"bank={start: 1}", `--set bank={start: 1}: the key "capacity" is missing`},
		{"bank={capacity: 1 Ah, start: [1]}", `--set bank={capacity: 1 Ah, start: [1]}: bank.start: must be a share, like 55 % or 0.55; this is a list`},
		{"loads[HF radio].when=[always, 8]", `--set loads[HF radio].when=[always, 8]: loads["HF radio"].when[1]: "8" is no window`},
		{"sources.hydro.stay above=13 V", ``},
		{"seed=0x1", `--set seed=0x1: "0x1" is not a whole number, like 12`},
		{"seed=null", `--set seed=null: has no value`},
		{"labels=[&a [*a], *a]", `--set labels=[&a [*a], *a]: the alias *a refers to itself`},
		{"sources.hydro={}", `--set sources.hydro={}: the key "lift below" is missing`},
	} {
		t.Run(row.set, func(t *testing.T) {
			all := problemsOf(t, good, row.set)
			if row.message == "" {
				assert.Empty(t, all)
				return
			}
			require.Len(t, all, 1)
			assert.Equal(t, row.message, all[0].String())
			assert.Empty(t, all[0].Source)
		})
	}
	// What an override makes incomplete is its problem, not the file's.
	all := problemsOf(t, whole, "sources.hydro.stay above=13 V")
	require.Len(t, all, 1)
	assert.Equal(t, `--set sources.hydro.stay above=13 V: the key "lift below" is missing`, strings.Replace(all[0].String(), "sources.hydro: ", "", 1))
	// Removing a required key leaves the mapping of the file without it.
	all = problemsOf(t, good, "bank.capacity=")
	require.Len(t, all, 1)
	assert.Equal(t, `x.yaml:10:1: bank: the key "capacity" is missing`, all[0].String())
}

func TestOverrideWrittenInAFile(t *testing.T) {
	src := whole + "notes: seed=x\n"
	var v voyage
	o := form.Override{Text: "seed=x", From: "variant big", At: form.Position{File: "x.yaml", Line: 4, Column: 8}}
	_, err := sample().Load("x.yaml", []byte(src), []form.Override{o}, &v)
	var all *form.Problems
	require.ErrorAs(t, err, &all)
	assert.Equal(t, `x.yaml:4:8: variant big seed=x: "x" is not a whole number, like 12`, err.Error())
	assert.Equal(t, "notes: seed=x", all.List[0].Source)
}

func TestProblemsOfOverridesComeLastInTheirOrder(t *testing.T) {
	var got []string
	for _, p := range problemsOf(t, whole+"sed: 1\n", "seed=x", "bnak=1", "crew=y") {
		got = append(got, p.Position.String())
	}
	assert.Equal(t, []string{"x.yaml:4:1", "--set seed=x", "--set bnak=1", "--set crew=y"}, got)
}

func TestOverridesOfShortFormsThatCannotBeEntered(t *testing.T) {
	all := problemsOf(t, whole+"sources: 5\n", "sources.hydro.lift below=1 kn")
	require.Len(t, all, 2)
	assert.Equal(t, `--set sources.hydro.lift below=1 kn: sources is the plain value "5" in the file, so a key in it cannot be set`, all[1].String())
	assert.Equal(t, "set it as a whole", all[1].Hint)
}
