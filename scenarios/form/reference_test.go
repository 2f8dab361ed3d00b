package form_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios/form"
)

func TestReferenceStaysAsItIs(t *testing.T) {
	var b strings.Builder
	for _, k := range sample().Reference() {
		fmt.Fprintf(&b, "%s | %s | %s | %s | %s | %s | %s | %v | %v | %s\n",
			k.Path, k.Words, k.Unit, k.Default, k.Range, k.Items, k.Example, k.Choices, k.Required, k.Doc)
	}
	golden(t, "testdata/reference.txt", []byte(b.String()))
}

func TestReferenceOfAQuantity(t *testing.T) {
	for _, k := range sample().Reference() {
		if k.Path == "bank.capacity" {
			assert.Equal(t, form.Key{
				Path: "bank.capacity", Words: "a charge, like 2 x 115 Ah", Unit: "Ah", Range: "from 1 Ah to 10000 Ah",
				Example: "2 x 115 Ah", Doc: "rated 20-hour capacity", Required: true,
			}, k)
			return
		}
	}
	t.Fatal("bank.capacity is not in the reference")
}

// A struct may hold itself: reader, schema and reference all end.
func TestRecursiveStructs(t *testing.T) {
	type node struct {
		Name string  `key:"name" doc:"x"`
		Kids []*node `key:"kids" doc:"x"`
	}
	f := form.Of[node](nil)
	assert.Len(t, f.Reference(), 2)
	assert.Contains(t, string(f.Schema("", "")), `"$ref": "#/$defs/node"`)
	var n node
	_, err := f.Load("x", []byte("kids: [{name: a, kids: [{name: b}]}]"), nil, &n)
	require.NoError(t, err)
	assert.Equal(t, "b", n.Kids[0].Kids[0].Name)
}
