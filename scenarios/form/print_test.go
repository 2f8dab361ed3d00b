package form_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios/form"
)

func printed(t *testing.T, src string, sets ...string) string {
	t.Helper()
	var v voyage
	_, err := sample().Load("horta.yaml", []byte(src), form.Sets(sets), &v)
	var all *form.Problems
	require.ErrorAs(t, err, &all)
	var b strings.Builder
	require.NoError(t, all.Print(&b))
	return b.String()
}

func TestPrint(t *testing.T) {
	assert.Equal(t, `horta.yaml:3:21: bank.chemistry: "agn" is not one of agm, gel, flooded, lithium
    bank: {"chemistry": agn, capacity: 1 Ah}
                        ^
  hint: did you mean "agm"?
horta.yaml:4:19: labels: duplicate key "°", first given in line 4
    labels: {°: 20 °, °: 21 °}
                      ^
  hint: keep one of them
horta.yaml:5:14: places.東京: "x" is no place
    places: {東京: x}
                   ^
--set crew=ten: "ten" is not a whole number, like 12
--set sed=1: the file has no key "sed"
  hint: did you mean "seed"?
`, printed(t, "name: a\nroute: [1 2, 3 4]\nbank: {\"chemistry\": agn, capacity: 1 Ah}\nlabels: {°: 20 °, °: 21 °}\nplaces: {東京: x}\n", "crew=ten", "sed=1"))
}

func TestPrintWholeFile(t *testing.T) {
	assert.Equal(t, "horta.yaml: the file is empty\n", printed(t, ""))
}

func TestPrintCutsLongLinesAndTabs(t *testing.T) {
	got := printed(t, whole+"labels: {"+strings.Repeat("x", 200)+": a,\t\tb: [1], "+strings.Repeat("c", 500)+": d}\n")
	lines := strings.Split(got, "\n")
	require.Len(t, lines, 4)
	assert.Regexp(t, `^    …x{40,60}: a,  b: \[1\], c{20,40}…$`, lines[1])
	assert.Equal(t, strings.Index(strings.ReplaceAll(lines[1], "…", "."), "[1]"), strings.Index(lines[2], "^"))
}

func TestPrintReportsItsWriter(t *testing.T) {
	var v voyage
	_, err := sample().Load("x", nil, nil, &v)
	var all *form.Problems
	require.ErrorAs(t, err, &all)
	broken := errors.New("no paper")
	assert.ErrorIs(t, all.Print(writer{broken}), broken)
}

type writer struct{ err error }

func (w writer) Write([]byte) (int, error) { return 0, w.err }

// What a message repeats from the file cannot upset a terminal or fill it.
func TestMessagesAreSafeAndShort(t *testing.T) {
	got := printed(t, whole+`"\e[31m": 1`+"\nheeled: "+strings.Repeat("°", 100_000)+"\n", "crew=\x1b[31m", strings.Repeat("x", 70_000))
	assert.NotContains(t, got, "\x1b")
	assert.Less(t, len(got), 2000)
}
