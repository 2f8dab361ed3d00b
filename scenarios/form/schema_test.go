package form_test

import (
	"bytes"
	"encoding/json"
	"os"
	"regexp"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"
	"pgregory.net/rapid"

	"ampwake/scenarios/form"
	"ampwake/sim/units"
)

// The expected file is read by people when it changes; UPDATE=1 rewrites it.
func golden(t *testing.T, path string, got []byte) {
	t.Helper()
	if os.Getenv("UPDATE") != "" {
		require.NoError(t, os.WriteFile(path, got, 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), string(got))
}

func TestSchemaStaysAsItIs(t *testing.T) {
	got := sample().Schema("Voyage", "a small boat")
	golden(t, "testdata/voyage.schema.json", got)
	for range 5 {
		require.Equal(t, got, sample().Schema("Voyage", "a small boat"))
	}
}

func validator(t *testing.T) *jsonschema.Schema {
	t.Helper()
	content, err := jsonschema.UnmarshalJSON(bytes.NewReader(sample().Schema("Voyage", "")))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("voyage.json", content))
	s, err := c.Compile("voyage.json") // checks it against the metaschema, too
	require.NoError(t, err)
	return s
}

// asJSON reads a text as an editor would before validating it.
func asJSON(t *testing.T, src string) any {
	t.Helper()
	var v any
	require.NoError(t, yaml.Load([]byte(src), &v))
	raw, err := json.Marshal(v)
	require.NoError(t, err)
	v, err = jsonschema.UnmarshalJSON(bytes.NewReader(raw))
	require.NoError(t, err)
	return v
}

// The schema and the reader agree on what they can both judge.
func TestSchemaAgreesWithTheReader(t *testing.T) {
	s := validator(t)
	for _, row := range []struct {
		src  string
		fine bool
	}{
		{good, true},
		{whole, true},
		{whole + "cloud: 0.4", true},
		{whole + "cloud: 40 %", true},
		{whole + "cloud: {mean: 0.4, table: [[May, 0.5], {month: June, cover: 5 %}]}", true},
		{whole + "heeled: no", true},
		{whole + "heeled: 'yes'", true},
		{whole + "watches: Anna", true},
		{whole + "watches: [Anna, 4, no]", true},
		{whole + "notes: 0.5", true},
		{whole + "loads: {name: x, draws: 1 W}", true},
		{whole + "loads: [{name: x, draws: 1 W, when: always}, {name: y, draws: 2 x 5 W, when: [08:00 to 09:00]}]", true},
		{whole + "labels: {a: b, c: 4}", true},
		{whole + "sub: {a: [[1 kn, 2 A, x], {speed: 1 kn, current: 2 A}]}", true},
		{whole + "months: [1 %, 2 %, 3 %]", true},
		{whole + "step: 2 h 30 min", false}, // out of range: only the reader knows
		{whole + "places: {a: 1 2}", true},

		{"name: x", false},
		{whole + "sed: 1", false},
		{whole + "sources: {hydro: {table: []}}", false},
		{whole + "cloud: [0.4]", false},
		{whole + "cloud: 1.5", false},
		{whole + "cloud: {means: 0.4}", false},
		{whole + "heeled: on", false},
		{whole + "seed: 1.5", false},
		{whole + "seed: -1", false},
		{whole + "seed: x", false},
		{whole + "crew: -1", false},
		{whole + "albedo: 1", false},
		{whole + "albedo: x", false},
		{whole + "watches: [a, b, c, d, e]", false},
		{whole + "watches: {a: b}", false},
		{whole + "loads: x", false},
		{whole + "loads: [[a, b]]", false},
		{whole + "loads: {name: x, draws: 5}", false},
		{whole + "loads: {name: x, draws: W}", false},
		{whole + "loads: {name: x, draws: 1 W, when: dawn}", false},
		{whole + "loads: {name: '', draws: 1 W}", false},
		{whole + "sub: {a: [[1 kn]]}", false},
		{whole + "sub: {a: [[1 kn, 2 A, x, y]]}", false},
		{whole + "months: [1 %, 2 %]", false},
		{whole + "places: {a: here}", false},
		{"name: x\nroute: [1 2]\nbank: {capacity: 1 Ah}", false},
		{"name: x\nroute: [1 2, 3 4]\nbank: {capacity: 1 Ah, chemistry: agn}", false},
	} {
		assert.Equal(t, row.fine, len(problemsOf(t, row.src)) == 0, "reader: %s", row.src)
		err := s.Validate(asJSON(t, row.src))
		if row.src == whole+"step: 2 h 30 min" {
			assert.NoError(t, err)
			continue
		}
		assert.Equal(t, row.fine, err == nil, "schema: %s\n%v", row.src, err)
	}
}

// The general pattern of a quantity never refuses what its parser reads.
func TestQuantityPatternIsNotStricterThanTheParser(t *testing.T) {
	type all struct {
		Bare units.Fraction `key:"bare"`
		Unit units.Volts    `key:"unit"`
	}
	var schema struct {
		Properties map[string]struct{ Pattern string }
	}
	require.NoError(t, json.Unmarshal(form.Of[all](nil).Schema("", ""), &schema))
	bare := regexp.MustCompile(schema.Properties["bare"].Pattern)
	unit := regexp.MustCompile(schema.Properties["unit"].Pattern)
	narrow := regexp.MustCompile(form.QuantityPattern("V", "mV"))
	share := regexp.MustCompile(form.QuantityPattern("%", ""))
	text := rapid.StringMatching(` ?([1-9] ?[x×] ?)?[-+−]?[0-9]{0,2}\.?[0-9]{0,2}([eE][-+]?[0-9])? ?(V|mV|%|Ah|)[ x]?`)
	read := 0
	rapid.Check(t, func(t *rapid.T) {
		s := text.Draw(t, "text")
		var f units.Fraction
		if f.UnmarshalText([]byte(s)) == nil {
			read++
			if !bare.MatchString(s) || !share.MatchString(s) {
				t.Fatalf("the pattern refuses the share %q", s)
			}
		}
		var v units.Volts
		if v.UnmarshalText([]byte(s)) == nil {
			read++
			if !unit.MatchString(s) || !narrow.MatchString(s) {
				t.Fatalf("the pattern refuses the voltage %q", s)
			}
		}
	})
	assert.Positive(t, read)
	for _, s := range []string{"12", "V", "12 %", "12 A"} {
		assert.False(t, narrow.MatchString(s), s)
	}
}
