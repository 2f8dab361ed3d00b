package form_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios/form"
)

func saved(t *testing.T, src string, sets ...string) string {
	t.Helper()
	var v, again voyage
	doc, err := sample().Load("x.yaml", []byte(src), form.Sets(sets), &v)
	require.NoError(t, err)
	text, err := doc.Save()
	require.NoError(t, err)
	_, err = sample().Load("x.yaml", text, nil, &again)
	require.NoError(t, err, "%s", text)
	assert.Equal(t, v, again, "reads back otherwise:\n%s", text)
	return string(text)
}

func TestSaveWithoutOverridesIsTheSource(t *testing.T) {
	assert.Equal(t, good, saved(t, good))
}

// Each override changes its own lines and no others.
func TestSaveKeepsTheRest(t *testing.T) {
	for _, row := range []struct {
		set      string
		old, now string
	}{
		{"bank.start=50 %", "  start:    95 %\n", "  start:    50 %\n"},
		{"bank.capacity=440 Ah", "capacity: 2 x 115 Ah   # two", "capacity: 440 Ah   # two"},
		{"notes=Boat #1: fine", "notes: no\n", "notes: 'Boat #1: fine'\n"},
		{"notes=a, b", "notes: no\n", "notes: 'a, b'\n"},
		{"notes='null'", "notes: no\n", "notes: 'null'\n"},
		{`notes=""`, "notes: no\n", "notes: ''\n"},
		{"seed='8'", "seed: 7\n", "seed: 8\n"},
		{"seed=", "seed: 7\n", ""},
		{"bank.chemistry=gel", "  cut-off:  11.6 V\n", "  cut-off:  11.6 V\n  chemistry: gel\n"},
		{"author=me", "    duty: 0.5\n", "    duty: 0.5\nauthor: me\n"},
		{"sources.hydro.table[1].current=9 A", "[5 kn, 8 A, measured]", "[5 kn, 9 A, measured]"},
		{"sources.hydro.table=[[4 kn, 2 A]]", "[[3 kn, 1 A], [5 kn, 8 A, measured]]", "[[4 kn, 2 A]]"},
		{"sources.solar.flat.power=1 W", "{name: flat, power: 85 W}", "{name: flat, power: 1 W}"},
		{"sources.solar[flat]=", "    - {name: flat, power: 85 W}\n", ""},
		{"route[1].name=Fowey", "{name: Falmouth, at", "{name: Fowey, at"},
		{"route[0].name=Horta", "- 38.5 -28.6\n", "- {at: 38.5 -28.6, name: Horta}\n"},
		{"loads[0].when[0]=00:00 to 01:00", "[08:00 to 08:30, 20", "[00:00 to 01:00, 20"},
		{"loads[HF radio].when=", "    when: [08:00 to 08:30, 20:00 to 20:30]\n", ""},
		{"loads[VHF]=", "  - name: VHF\n    draws: 5 W\n    duty: 0.5\n", ""},
		{"loads[VHF].when=always", "    duty: 0.5\n", "    duty: 0.5\n    when: always\n"},
		{"sources.hydro.stay above=13 V", "measured]]\n", "measured]]\n    stay above: 13 V\n"},
		{"cloud.table=[[May, 0.5]]", "    duty: 0.5\n", "    duty: 0.5\ncloud: {table: [[May, 0.5]]}\n"},
	} {
		t.Run(row.set, func(t *testing.T) {
			require.Equal(t, 1, strings.Count(good, row.old))
			assert.Equal(t, strings.Replace(good, row.old, row.now, 1), saved(t, good, row.set))
		})
	}
}

func TestSaveSeveralAtOnce(t *testing.T) {
	got := saved(t, good, "seed=8", "bank.start=50 %", "loads[VHF]=", "author=me", "sources.hydro=")
	want := strings.NewReplacer("seed: 7", "seed: 8", "95 %", "50 %",
		"  - name: VHF\n    draws: 5 W\n    duty: 0.5\n", "author: me\n",
		"  hydro:\n    lift below: 3 kn\n    table: [[3 kn, 1 A], [5 kn, 8 A, measured]]\n", "").Replace(good)
	assert.Equal(t, want, got)
}

func TestSaveKeepsLineEndsAndMark(t *testing.T) {
	src := "\ufeff" + strings.ReplaceAll(strings.TrimSuffix(good, "\n"), "\n", "\r\n")
	got := saved(t, src, "seed=8", "author=me")
	assert.Equal(t, strings.Replace(src, "seed: 7", "seed: 8", 1)+"\r\nauthor: me\r\n", got)
}

// Where the text cannot be changed in place, the whole is written anew:
// comments stay, blank lines and alignment go.
func TestSaveAnew(t *testing.T) {
	src := `# the head
name: >-
  a long
  name   # no comment

route:      # the way
  - 1 2
  - 3 4     # the end
bank: &b
  capacity: 440 Ah # two

# panels
sources:
  solar:
    - &p
      name: flat
      power: 85 W
    - *p
`
	got := saved(t, src, "name=x", "sources.solar[0].power=1 W")
	assert.Equal(t, `# the head
name: x
route: # the way
  - 1 2
  - 3 4 # the end
bank: &b
  capacity: 440 Ah # two
# panels
sources:
  solar:
    - name: flat
      power: 1 W
    - name: flat
      power: 85 W
`, got)
}

// Flow collections may span lines and hold quotes, brackets and comments.
func TestSaveChangesWithinBrackets(t *testing.T) {
	src := `{name: Horta, route: [ 1 2, # the [start]
    {name: "Fal]mouth\"", at: 3 4}, 5 6 ], 'notes': 'it''s [', bank: {
  capacity: 440 Ah,
}}
`
	for _, row := range []struct{ set, old, now string }{
		{"route[1].name=x", `"Fal]mouth\""`, "x"},
		{"notes=y", "'it''s ['", "y"},
		{"notes=it's: \"so\"", "'it''s ['", `'it''s: "so"'`},
		{"route[2]=7 8", "5 6", "7 8"},
		{"route=[7 8, 9 0]", `[ 1 2, # the [start]
    {name: "Fal]mouth\"", at: 3 4}, 5 6 ]`, "[7 8, 9 0]"},
		{"bank={capacity: 1 Ah}", "440 Ah", "1 Ah"},
		{"seed=8", "\n}}\n", "\n}, seed: 8}\n"},
		{"labels.a=\"x\\ty\"", "\n}}\n", "\n}, labels: {a: \"x\\ty\"}}\n"},
	} {
		t.Run(row.set, func(t *testing.T) {
			require.Equal(t, 1, strings.Count(src, row.old))
			assert.Equal(t, strings.Replace(src, row.old, row.now, 1), saved(t, src, row.set))
		})
	}
	// A comma behind the last entry is beyond a change in place.
	assert.Contains(t, saved(t, src, "bank.start=50 %"), "{capacity: 440 Ah, start: 50 %}")
}

func TestSaveFillsAKeyWithoutValue(t *testing.T) {
	src := "name: a\nroute: [1 2, 3 4]\nbank:   # to do\n"
	assert.Equal(t, "name: a\nroute: [1 2, 3 4]\nbank: {capacity: 1 Ah}   # to do\n", saved(t, src, "bank.capacity=1 Ah"))
}

func TestSaveWithAnchorsKeepsThem(t *testing.T) {
	src := whole + "sources:\n  solar:\n    - &p {name: a, power: 1 W}   # first\n\n    - {<<: *p, name: b}\n"
	assert.Equal(t, strings.Replace(src, "440 Ah", "1 Ah", 1), saved(t, src, "bank.capacity=1 Ah"))
	assert.Equal(t, strings.Replace(src, "name: b", "name: c", 1), saved(t, src, "sources.solar[1].name=c"))
}

func TestSaveOfNothing(t *testing.T) {
	var v voyage
	doc, err := sample().Load("x.yaml", nil, nil, &v)
	require.Error(t, err)
	_, err = doc.Save()
	assert.EqualError(t, err, "there is no document to save")
}
