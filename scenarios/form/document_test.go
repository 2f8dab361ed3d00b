package form_test

import (
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios/form"
)

func doc(t *testing.T, src string, sets ...string) *form.Doc {
	t.Helper()
	var v voyage
	d, err := sample().Load("x.yaml", []byte(src), form.Sets(sets), &v)
	require.NoError(t, err)
	return d
}

func TestAt(t *testing.T) {
	d := doc(t, good)
	for _, row := range []struct {
		path  string
		at    string
		given bool
	}{
		{"name", "2:7", true},
		{"bank", "10:1", true},                 // a mapping below its key: the key
		{"bank.capacity", "11:13", true},       // a value: itself
		{"bank.chemistry", "10:1", false},      // absent: the nearest parent
		{"cloud", "2:1", false},                // absent at the top
		{"cloud.mean", "2:1", false},           //
		{"sources.hydro.table", "18:12", true}, // a list in brackets: itself
		{"sources.hydro.table[1].current", "18:33", true},
		{"sources.hydro.table[0].note", "18:13", false},
		{"sources.solar", "19:3", true},
		{"sources.solar[1]", "21:7", true},
		{"sources.solar[rail].power", "22:14", true},
		{"loads[0].when", "27:11", true},
		{"loads[HF radio].when[1]", "27:28", true},
		{`loads["HF radio"].when[1]`, "27:28", true},
		{"loads.VHF.duty", "32:11", true},
		{"loads[1].when", "30:5", false},
		{"loads[7].when", "24:1", false},
		{"route[0].at", "7:5", true}, // the short form stands for its field
		{"route[0].name", "7:5", false},
		{"route[1].at", "8:26", true},
		{"no.such[", "2:1", false},
	} {
		p := d.At(row.path)
		assert.Equal(t, row.at, fmt.Sprintf("%d:%d", p.Line, p.Column), row.path)
		assert.Equal(t, "x.yaml", p.File)
		assert.Equal(t, row.given, d.Given(row.path), row.path)
	}
}

func TestAtSeesThroughShortForms(t *testing.T) {
	d := doc(t, whole+`cloud: 50 %
sources: {solar: {name: flat, power: 1 W}}
loads: {name: x, draws: 1 W, when: always}
watches: Anna
labels: {a.b: c}
`)
	for path, at := range map[string]string{
		"cloud.mean":             "4:8",
		"cloud.table":            "4:8",
		"sources.solar[0].power": "5:38",
		"sources.solar.power":    "5:38",
		"sources.solar[flat]":    "5:18",
		"loads[0].when[0]":       "6:36",
		"watches[0]":             "7:10",
		`labels["a.b"]`:          "8:15",
	} {
		p := d.At(path)
		assert.Equal(t, at, fmt.Sprintf("%d:%d", p.Line, p.Column), path)
	}
}

func TestLaterProblems(t *testing.T) {
	d := doc(t, good, "bank.start=40 %")
	require.NoError(t, d.Err())
	p := d.Problem("loads[1].draws", "draws more than %d W", 4)
	p.Want, p.Hint = "at most 4 W", "take a smaller one"
	d.Problem("bank.chemistry", "a gel bank cannot take that")
	d.Problem("bank.start", "is too low")
	d.Problem("", "makes no sense")
	d.Problem("", "makes no sense") // told once

	var all *form.Problems
	require.True(t, errors.As(d.Err(), &all))
	assert.EqualError(t, d.Err(), `x.yaml:2:1: makes no sense
x.yaml:10:1: bank.chemistry: a gel bank cannot take that
x.yaml:31:12: loads["VHF"].draws: draws more than 4 W
--set bank.start=40 %: bank.start: is too low`)
	found := all.List[2]
	assert.Equal(t, form.Check, found.Kind)
	assert.Equal(t, "5 W", found.Text)
	assert.Equal(t, "    draws: 5 W", found.Source)
	assert.Equal(t, "at most 4 W", found.Want)
}

func TestLaterProblemsOfNoDocument(t *testing.T) {
	var v voyage
	d, err := sample().Load("x.yaml", nil, nil, &v)
	require.Error(t, err)
	assert.Equal(t, form.Position{File: "x.yaml"}, d.At("bank.capacity"))
	assert.False(t, d.Given("bank"))
	d.Problem("bank", "is missing")
	assert.EqualError(t, d.Err(), "x.yaml: the file is empty\nx.yaml: bank: is missing")
}
