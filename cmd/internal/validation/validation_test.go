package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/testdata/refdata"
)

// attr is the line in which go test -json tells an attribute.
func attr(t *testing.T, key string, value any) string {
	t.Helper()
	text, err := json.Marshal(value)
	require.NoError(t, err)
	line, err := json.Marshal(map[string]string{"Action": "attr", "Package": "p", "Test": "T", "Key": key, "Value": string(text)})
	require.NoError(t, err)
	return string(line) + "\n"
}

func record(quantity string, tolerance, reached float64) refdata.Record {
	return refdata.Record{
		Check: refdata.Check{
			Model: refdata.Sun, Quantity: quantity, Source: "a book",
			Status: refdata.Published, Tolerance: tolerance, Unit: "°",
		},
		Error: reached, Values: 3,
	}
}

const step = `{"Scenario":"a","Minutes":10,"Off":0.341,"Plain":0.0031,"Lowest":71.812,"Made":55586.8,"Used":8274.6,"Missed":1,"Due":9}`

// documents makes both documents with empty tables in a folder and goes there.
func documents(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, k := range tables {
		text := fmt.Sprintf("# Head\n<!-- %s: written by cmd/internal/validation -->\n<!-- end of %s -->\nTail\n", k.name, k.name)
		require.NoError(t, os.WriteFile(k.file, []byte(text), 0o644))
	}
}

func TestWriteThenCheck(t *testing.T) {
	documents(t)
	told := func(error float64, steps string) string {
		return attr(t, refdata.Attribute, record("place", 0.02, 0.005)) + attr(t, refdata.Attribute, record("place", 0.02, error)) +
			attr(t, refdata.Attribute, record("noon", 0.02, 1e-9)) + attr(t, refdata.StepAttribute, json.RawMessage(steps))
	}
	var out bytes.Buffer
	require.ErrorContains(t, keep(strings.NewReader(told(0.0123, step)), &out, true), "stale")
	require.NoError(t, keep(strings.NewReader(told(0.0123, step)), &out, false))
	text, err := os.ReadFile("README.md")
	require.NoError(t, err)
	assert.Equal(t, `# Head
<!-- checked: written by cmd/internal/validation -->

**Sun**

| quantity | checked against | kind | values | tolerance | worst error |
|---|---|---|--:|--:|--:|
| noon | a book | published | 3 | 0.02° | under 0.0002° |
| place | a book | published | 6 | 0.02° | 0.012° |
<!-- end of checked -->
Tail
`, string(text))
	text, err = os.ReadFile("DEVELOPERS.md")
	require.NoError(t, err)
	assert.Contains(t, string(text), "| a | 10 | 0.3 | 0.003 | 71.81 | 55587 | 8275 | 1 of 9 |\n")

	require.NoError(t, keep(strings.NewReader(told(0.0123, step)), &out, true))
	require.NoError(t, keep(strings.NewReader(told(0.0128, step)), &out, true), "another machine's last digit")
	require.ErrorContains(t, keep(strings.NewReader(told(0.015, step)), &out, true), "| 0.015° |")
	require.NoError(t, keep(strings.NewReader(told(0.0123, strings.Replace(step, "55586.8", "55587.6", 1))), &out, true))
	for _, change := range []string{`"Missed":2`, `"Due":10`} {
		key, _, _ := strings.Cut(change, ":")
		old := step[strings.Index(step, key):]
		old = old[:strings.IndexAny(old, ",}")]
		require.ErrorContains(t, keep(strings.NewReader(told(0.0123, strings.Replace(step, old, change, 1))), &out, true), "DEVELOPERS.md", change)
	}
	require.ErrorContains(t, keep(strings.NewReader(told(0.0123, strings.Replace(step, "0.341", "0.61", 1))), &out, true), "DEVELOPERS.md")
}

func TestRowsThatCannotBe(t *testing.T) {
	documents(t)
	other := record("place", 0.03, 0.005)
	nowhere := record("place", 0.02, 0.005)
	nowhere.Model = "Moon"
	hearsay := record("place", 0.02, 0.005)
	hearsay.Status = "heard"
	for want, told := range map[string]string{
		"two tests tell":         attr(t, refdata.Attribute, record("place", 0.02, 0.005)) + attr(t, refdata.Attribute, other),
		"of no model known":      attr(t, refdata.Attribute, nowhere),
		"of no kind known":       attr(t, refdata.Attribute, hearsay),
		"two tests tell a at 10": attr(t, refdata.StepAttribute, json.RawMessage(step)) + attr(t, refdata.StepAttribute, json.RawMessage(step)),
		"not the output of":      "ok\n",
	} {
		require.ErrorContains(t, keep(strings.NewReader(told), new(bytes.Buffer), false), want)
	}
	require.NoError(t, os.WriteFile("README.md", []byte("no marks"), 0o644))
	require.ErrorContains(t, keep(strings.NewReader(""), new(bytes.Buffer), true), "README.md: no mark")
}

// What failing tests say is printed, what the others say is not.
func TestFailuresAreReadable(t *testing.T) {
	var out bytes.Buffer
	err := keep(strings.NewReader(`{"Action":"build-output","ImportPath":"q","Output":"q.go:1: no\n"}
{"Action":"build-fail","ImportPath":"q"}
{"Action":"output","Package":"p","Test":"Good","Output":"chatter\n"}
{"Action":"pass","Package":"p","Test":"Good"}
{"Action":"output","Package":"p","Test":"Bad","Output":"--- FAIL: Bad\n"}
{"Action":"output","Package":"p","Test":"Bad","Output":"   is 3, want 4\n"}
{"Action":"fail","Package":"p","Test":"Bad"}
{"Action":"output","Package":"p","Output":"FAIL\tp\t0.1s\n"}
{"Action":"output","Package":"r","Output":"PASS\n"}
{"Action":"output","Package":"r","Output":"ok  \tr\t0.1s\n"}
`), &out, true)
	require.ErrorContains(t, err, "tests failed")
	assert.Equal(t, "q.go:1: no\n--- FAIL: Bad\n   is 3, want 4\nFAIL\tp\t0.1s\nok  \tr\t0.1s\n", out.String())
}

func TestNumbers(t *testing.T) {
	for x, want := range map[float64]string{0.02: "0.02", 1e-6: "1e-6", 0.5e-6 + 1e-9: "5.01e-7", 120: "120", 0.5e-5 + 1e-9: "5e-6", 2: "2"} {
		assert.Equal(t, want, number(x))
	}
	for x, want := range map[float64]string{0: "0", 0.0123: "0.012", 3.4e-9: "3.4e-9", 1.25: "1.2", 12.6: "13", 112: "112", 0.05: "0.050"} {
		assert.Equal(t, want, digits(x))
	}
	all := func(x float64) func(int) float64 { return func(int) float64 { return x } }
	assert.True(t, near("| a | 1.0e-6 |", "| a | under 1e-6 |", all(1e-8)))
	assert.False(t, near("| a | 10 |", "| a | 11 |", all(5)), "a count")
	assert.False(t, near("| a1.2 | 1.0 |", "| b1.2 | 1.0 |", all(5)))
	loose := line{slack: 0.1, loose: map[int]float64{1: 2}}.slackOf
	assert.True(t, near("| a | 1.0 | 1.0 |", "| a | 3.0 | 1.1 |", loose))
	assert.False(t, near("| a | 1.0 | 1.0 |", "| a | 1.0 | 3.0 |", loose))
	assert.False(t, near("| a |", "| a | b |", all(5)))
}

// The marks stand in the real documents, and each kind is explained.
func TestDocumentsHaveTheirMarks(t *testing.T) {
	for _, k := range tables {
		text, err := os.ReadFile(filepath.Join("..", "..", "..", k.file))
		require.NoError(t, err)
		_, table, _, err := cut(string(text), k.name)
		require.NoError(t, err)
		assert.Greater(t, strings.Count(table, "\n"), 30, k.file)
	}
	text, err := os.ReadFile("../../../README.md")
	require.NoError(t, err)
	for _, s := range refdata.Statuses() {
		assert.Contains(t, string(text), "*"+string(s)+"*")
	}
}
