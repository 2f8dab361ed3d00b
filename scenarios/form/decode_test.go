package form_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios/form"
)

// whole is what a voyage needs, in three lines, so that a table row can add
// its own mistake from line 4 on.
const whole = `name: Horta
route: [1 2, 3 4]
bank: {capacity: 440 Ah}
`

func TestMistakes(t *testing.T) {
	for _, row := range []struct {
		src     string // after whole
		at      string // line:column
		kind    form.Kind
		path    string
		message string
		hint    string
	}{
		// keys
		{"sede: 1", "4:1", form.UnknownKey, "sede", `unknown key "sede"`, `did you mean "seed"?`},
		{"albdeo: 1", "4:1", form.UnknownKey, "albdeo", `unknown key "albdeo"`, `did you mean "albedo"?`},
		{"Seed: 1", "4:1", form.UnknownKey, "Seed", `unknown key "Seed"`, `did you mean "seed"?`},
		{"chemistry: agm", "4:1", form.UnknownKey, "chemistry", `unknown key "chemistry"`, `"chemistry" belongs under bank`},
		{"cut_off: 1 V", "4:1", form.UnknownKey, "cut_off", `unknown key "cut_off"`, `"cut_off" belongs under bank`},
		{"lift below: 3 kn", "4:1", form.UnknownKey, "lift below", `unknown key "lift below"`, `"lift below" belongs under sources.hydro`},
		{"works above: 3 V", "4:1", form.UnknownKey, "works above", `unknown key "works above"`, `"works above" belongs under loads`},
		{"cover: 1", "4:1", form.UnknownKey, "cover", `unknown key "cover"`, `"cover" belongs under an item of cloud.table`},
		{"sources: {hydro: {lift_below: 3 kn}}", "4:19", form.UnknownKey, "sources.hydro.lift_below", `unknown key "lift_below"`, `did you mean "lift below"?`},
		{"sources: {seed: 3}", "4:11", form.UnknownKey, "sources.seed", `unknown key "seed"`, `"seed" belongs at the top level`},
		{"sources: {zzz: 3}", "4:11", form.UnknownKey, "sources.zzz", `unknown key "zzz"`, `known here: hydro, solar`},
		{"sources: {[a]: 3}", "4:11", form.WrongKind, `sources[""]`, "a key must be a text", ""},
		{"sources:\n  solar:\n    - name: rail", "6:7", form.MissingKey, `sources.solar["rail"].power`, `the key "power" is missing`, "rated power; write something like power: 85 W"},
		{"sources: {hydro: {table: []}}", "4:11", form.MissingKey, "sources.hydro.lift below", `the key "lift below" is missing`, "it comes up under this speed; write something like lift below: 5.2 kn"},
		{"seed: 1\nseed: 2", "5:1", form.DuplicateKey, "seed", `duplicate key "seed", first given in line 4`, "keep one of them"},
		{"labels: {a: 1, a: 2}", "4:16", form.DuplicateKey, "labels.a", `duplicate key "a", first given in line 4`, "keep one of them"},
		// kinds
		{"loads: x", "4:8", form.WrongKind, "loads", "must be a mapping with keys (name, draws, works above, when, duty); this is the text \"x\"", ""},
		{"places: [a]", "4:9", form.WrongKind, "places", "must be a mapping, each value a place, like 38.5 -28.6; this is a list", ""},
		{"places: 5", "4:9", form.WrongKind, "places", `must be a mapping, each value a place, like 38.5 -28.6; this is the text "5"`, ""},
		{"notes: [a]", "4:8", form.WrongKind, "notes", "must be text; this is a list", ""},
		{"notes:\n  a: b", "4:1", form.WrongKind, "notes", "must be text; this is a mapping", ""},
		{"step:\n  - 10 min", "4:1", form.WrongKind, "step", "", ""},
		{"sources: [a]", "4:10", form.WrongKind, "sources", "must be a mapping with keys (hydro, solar); this is a list", ""},
		{"sub: {a: [[1 kn]]}", "4:11", form.MissingKey, "sub.a[0].current", `the key "current" is missing`, "into the bank; write something like current: 2.5 A"},
		{"sub: {a: [[1 kn, 2 A, x, y]]}", "4:11", form.WrongKind, "sub.a[0]", "has 4 values; it must be a list [speed, current, note], or a mapping with keys (speed, current, note)", ""},
		{"sub: {a: [1 kn]}", "4:11", form.WrongKind, "sub.a[0]", "must be a list [speed, current, note], or a mapping with keys (speed, current, note); this is the text \"1 kn\"", ""},
		{"months: [0.1, 0.2]", "4:9", form.OutOfRange, "months", "has 2 items; it must be a list of 3 items", ""},
		{"watches: [a, b, c, d, e]", "4:10", form.OutOfRange, "watches", "has 5 items; want at most 4 items", ""},
		{"notes: !!str 5", "4:8", form.WrongKind, "notes", `the tag "!!str" is not used here`, "remove it"},
		{"sources: !boat {}", "4:10", form.WrongKind, "sources", `the tag "!boat" is not used here`, "remove it"},
		// nothing
		{"notes:", "4:7", form.WrongKind, "notes", "has no value", "it must be text"},
		{"seed: ~", "4:7", form.WrongKind, "seed", "has no value", "leave the key out for the default, 1"},
		{"cloud: null", "4:8", form.WrongKind, "cloud", "has no value", "leave the key out for the default, 0.4"},
		{"sources:\nseed: 1", "4:9", form.WrongKind, "sources", "has no value", "it must be a mapping with keys (hydro, solar)"},
		{"loads:\n  -", "5:4", form.WrongKind, "loads[0]", "has no value", "it must be a mapping with keys (name, draws, works above, when, duty)"},
		// texts that read themselves
		{"loads: {name: a, draws: 1 W, when: dawn}", "4:36", form.BadText, "loads.when", `"dawn" is no window`, ""},
		{"loads: {name: a, draws: 1 W, when: [08:00 to 09:00, 8]}", "4:53", form.BadText, "loads.when[1]", `"8" is no window`, ""},
		{"cloud: 1_0 %", "4:8", form.BadText, "cloud", "", `did you mean "10 %"?`},
		{"cloud: .inf", "4:8", form.BadText, "cloud", "", ""},
		{"cloud: .nan", "4:8", form.BadText, "cloud", "", ""},
		{"cloud: 0x1", "4:8", form.BadText, "cloud", "", ""},
		{"places: {b: 1}", "4:13", form.BadText, "places.b", `"1" is no place`, ""},
		// numbers
		{"seed: 1.5", "4:7", form.BadText, "seed", `"1.5" is not a whole number, like 12`, ""},
		{"seed: 1_000", "4:7", form.BadText, "seed", `"1_000" is not a whole number, like 12`, `did you mean "1000"?`},
		{"seed: 0x10", "4:7", form.BadText, "seed", `"0x10" is not a whole number, like 12`, ""},
		{"seed: 0o7", "4:7", form.BadText, "seed", `"0o7" is not a whole number, like 12`, ""},
		{"seed: 007", "4:7", form.BadText, "seed", `"007" is not a whole number, like 12`, ""},
		{"seed: -1", "4:7", form.OutOfRange, "seed", `"-1" is out of range: it must be at least 0`, ""},
		{"seed: 99999999999999999999", "4:7", form.OutOfRange, "seed", `"99999999999999999999" is too large`, ""},
		{"crew: 256", "4:7", form.OutOfRange, "crew", `"256" is negative or too large`, ""},
		{"crew: -1", "4:7", form.OutOfRange, "crew", `"-1" is negative or too large`, ""},
		{"albedo: .nan", "4:9", form.BadText, "albedo", `".nan" is not a number, like 0.5`, ""},
		{"albedo: .inf", "4:9", form.BadText, "albedo", `".inf" is not a number, like 0.5`, ""},
		{"albedo: 1e999", "4:9", form.OutOfRange, "albedo", `"1e999" is too large`, ""},
		{"albedo: 0x1p-2", "4:9", form.BadText, "albedo", `"0x1p-2" is not a number, like 0.5`, ""},
		{"albedo: 0,06", "4:9", form.BadText, "albedo", `"0,06" is not a number, like 0.5`, `did you mean "0.06"?`},
		{"albedo: 1", "4:9", form.OutOfRange, "albedo", `"1" is out of range: it must be at least 0 and less than 1`, ""},
		{"heeled: on", "4:9", form.BadText, "heeled", `"on" is not yes or no`, ""},
		// ranges of quantities
		{"step: 0 min", "4:7", form.OutOfRange, "step", `"0 min" is out of range: it must be more than 0 h and at most 1 h`, ""},
		{"months: [0.1, 0.2, 110 %]", "4:20", form.OutOfRange, "months[2]", "", ""},
		{"cloud: {table: [[May, 110 %]]}", "4:23", form.OutOfRange, "cloud.table[0].cover", "", ""},
	} {
		t.Run(row.src, func(t *testing.T) {
			all := problemsOf(t, whole+row.src+"\n")
			require.Len(t, all, 1, "%v", all)
			p := all[0]
			assert.Equal(t, row.at, fmt.Sprintf("%d:%d", p.Line, p.Column))
			assert.Equal(t, row.kind, p.Kind)
			assert.Equal(t, row.path, p.Path)
			if row.message != "" {
				assert.Equal(t, row.message, p.Message)
			}
			if row.hint != "" || row.message != "" {
				assert.Equal(t, row.hint, p.Hint)
			}
		})
	}
}

func TestMissingKeysOfTheOutermostMapping(t *testing.T) {
	all := problemsOf(t, "# nothing much\nseed: 1\n")
	require.Len(t, all, 3)
	for i, want := range []string{"name", "route", "bank"} {
		assert.Equal(t, want, all[i].Path)
		assert.Equal(t, 2, all[i].Line)
	}
}

// An unknown key that was taken for a required one is one mistake, not two.
func TestMisspelledRequiredKeyIsOneProblem(t *testing.T) {
	all := problemsOf(t, "name: a\nroute: [1 2, 3 4]\nbank: {capcity: 440 Ah}\n")
	require.Len(t, all, 1)
	assert.Equal(t, `did you mean "capacity"?`, all[0].Hint)
}

func TestItemsAreNamedInPaths(t *testing.T) {
	src := whole + `loads:
  - {name: HF radio, draws: x}
  - {name: twin, draws: x}
  - {name: twin, draws: x}
  - {draws: x, name: [a]}
  - {name: "VHF 25.5 W", draws: x}
  - {name: "12", draws: x}
`
	var got []string
	for _, p := range problemsOf(t, src) {
		got = append(got, p.Path)
	}
	assert.Equal(t, []string{
		`loads["HF radio"].draws`, "loads[1].draws", "loads[2].draws", "loads[3].draws",
		"loads[3].name", `loads["VHF 25.5 W"].draws`, `loads["12"].draws`,
	}, got)
}

func TestColumnsCountCharacters(t *testing.T) {
	all := problemsOf(t, whole+"labels: {\"20° à l'œil\": b, 東京: [1]}\n")
	require.Len(t, all, 1)
	assert.Equal(t, 32, all[0].Column)
	assert.Equal(t, "labels.東京", all[0].Path)
}

func TestLineEndsAndMarks(t *testing.T) {
	for name, change := range map[string]func(string) string{
		"CRLF":            func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") },
		"CR":              func(s string) string { return strings.ReplaceAll(s, "\n", "\r") },
		"byte order mark": func(s string) string { return "\ufeff" + s },
		"no last line":    func(s string) string { return strings.TrimSuffix(s, "\n") },
		"document marks":  func(s string) string { return s + "...\n" },
	} {
		t.Run(name, func(t *testing.T) {
			assert.Empty(t, problemsOf(t, change(good)))
			all := problemsOf(t, change(ten))
			require.Len(t, all, 10)
			assert.Equal(t, "6:13", fmt.Sprintf("%d:%d", all[2].Line, all[2].Column))
			assert.Equal(t, "  capacity: 440 Wh", all[2].Source)
		})
	}
}

func TestReadingStopsAfterAHundredProblems(t *testing.T) {
	var v voyage
	_, err := sample().Load("x.yaml", []byte(strings.Repeat("a: 1\n", 200_000)), nil, &v)
	var all *form.Problems
	require.ErrorAs(t, err, &all)
	assert.Len(t, all.List, 100)
	assert.True(t, all.More)
	assert.Contains(t, err.Error(), "reading stopped after 100 problems")
}
