package scenarios_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"

	"ampwake/scenarios"
)

func schema(t testing.TB) *jsonschema.Schema {
	t.Helper()
	content, err := jsonschema.UnmarshalJSON(bytes.NewReader(scenarios.Schema()))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("scenario.json", content))
	s, err := c.Compile("scenario.json")
	require.NoError(t, err)
	return s
}

// asEditorSees turns a text into JSON values as an editor does.
func asEditorSees(t testing.TB, src []byte) any {
	t.Helper()
	var v any
	require.NoError(t, yaml.Load(src, &v))
	raw, err := json.Marshal(v)
	require.NoError(t, err)
	v, err = jsonschema.UnmarshalJSON(bytes.NewReader(raw))
	require.NoError(t, err)
	return v
}

// What the reader takes an editor takes too.
func TestSchemaTakesTheBuiltinScenarios(t *testing.T) {
	s := schema(t)
	for _, info := range scenarios.Builtin() {
		assert.NoError(t, s.Validate(asEditorSees(t, source(t, info.Name))), info.Name)
	}
}

// And it marks what is wrong while one types.
func TestSchemaRefuses(t *testing.T) {
	s := schema(t)
	require.NoError(t, s.Validate(asEditorSees(t, []byte(scenario(t)))))
	for _, changed := range []string{
		"bank: {capacity: 100}",                      // no unit
		"bank: {capacity: 100 W}",                    // the wrong unit
		"bank: {capcity: 100 Ah}",                    // no such key
		"bank: {start: 50 %}",                        // required key missing
		"bank: {capacity: 100 Ah, chemistry: nicad}", // no such choice
		"loads: {name: lamp, draws: 1 A}",            // a list is due
		"loads:\n  - {draws: 1 A}",                   // without a name
		"weather: rainy",                             // no such origin
		"sources: {panels: [85 W]}",                  // a panel is a mapping
	} {
		assert.Error(t, s.Validate(asEditorSees(t, []byte(scenario(t, changed)))), changed)
		_, err := scenarios.Read("test.yaml", []byte(scenario(t, changed)), nil, "")
		assert.Error(t, err, "the reader refuses it too: %s", changed)
	}
}

// The reference names every key of the built-in scenarios.
func TestReferenceNamesAllKeys(t *testing.T) {
	text := scenarios.Reference()
	var walk func(path string, v any)
	walk = func(path string, v any) {
		switch v := v.(type) {
		case map[string]any:
			if strings.HasPrefix(path, "variants[].set") {
				return
			}
			for k, x := range v {
				next := strings.TrimPrefix(path+"."+k, ".")
				assert.Contains(t, "\n"+text, "\n"+next+"\n", "key of a built-in scenario")
				walk(next, x)
			}
		case []any:
			for _, x := range v {
				if m, ok := x.(map[string]any); ok {
					walk(path+"[]", m)
				}
			}
		}
	}
	for _, info := range scenarios.Builtin() {
		walk("", asEditorSees(t, source(t, info.Name)))
	}
}
