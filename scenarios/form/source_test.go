package form_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios/form"
)

// A text that is no document gives a single problem.
func TestNoDocument(t *testing.T) {
	for _, row := range []struct {
		name, src string
		at        string // line:column, 0:0 for the whole file
		kind      form.Kind
		message   string
		hint      string
	}{
		{"empty", "", "0:0", form.Syntax, "the file is empty", ""},
		{"only a comment", "# nothing\n", "0:0", form.Syntax, "the file is empty", ""},
		{"only a mark", "---\n", "0:0", form.Syntax, "the file is empty", ""},
		{"only a byte order mark", "\ufeff", "0:0", form.Syntax, "the file is empty", ""},
		{"huge", strings.Repeat("#", 1<<20+1), "0:0", form.TooLarge, "the file is too large: it may have 1 MiB", ""},
		{"UTF-16", "\xff\xfea\x00", "0:0", form.Syntax, "the file is UTF-16 text", "save it as UTF-8"},
		{"Latin-1", "a: 1\nname: H\xf6rta\n", "2:8", form.Syntax, "byte 0xf6 is no UTF-8 text", "save the file as UTF-8"},
		{"control character", "a: é\x00\n", "1:5", form.Syntax, "control character U+0000", "delete it"},
		{"invisible line break", "a: 1\u2028b: 2\n", "1:5", form.Syntax, "invisible character U+2028", "delete it"},
		{"two documents", "a: 1\n---\nb: 2\n", "2:1", form.Syntax, "a second document starts here", "keep one scenario in a file, and remove the line ---"},
		{"two documents, the second broken", "a: 1\n---\nb: [\n", "3:5", form.Syntax, "want a value here", "check the brackets, braces and commas"},
		{"tab at the start", "a:\n\tb: 1\n", "2:1", form.Syntax, "a tab cannot indent a line", "use spaces"},
		{"tab below spaces", "a:\n  b: 1\n\tc: 2\n", "3:1", form.Syntax, "a tab cannot indent a line", "use spaces"},
		{"open bracket", "a: [1, 2\nb: 3\n", "1:4", form.Syntax, `the list opened with "[" is not closed properly`, `put commas between its items and "]" at its end`},
		{"open brace", "a: {b: 2\n", "1:4", form.Syntax, `the mapping opened with "{" is not closed properly`, `put commas between its entries and "}" at its end`},
		{"open quote", "a: 'x\nb: 3\n", "1:4", form.Syntax, "this quote is never closed", "end the text with the same quote"},
		{"unknown escape", "a: \"\\q\"\n", "1:5", form.Syntax, `a backslash in "double quotes" starts an escape that is unknown`, `use 'single quotes', or write \\`},
		{"colon in a text", "a: 20°: x\n", "1:7", form.Syntax, `": " cannot stand here`, `check the indentation; a text that holds ": " goes in quotes`},
		{"dash in a value", "x: - y\n", "1:4", form.Syntax, `"- " cannot stand here`, "start each item on its own line"},
		{"per cent first", "a: %x\n", "1:4", form.Syntax, `a value cannot start with "%"`, "put the value in quotes"},
		{"at first", "a: @x\n", "1:4", form.Syntax, "a value cannot start with \"@\"", "put the value in quotes"},
		{"unknown anchor", "a: *nope\n", "1:4", form.Syntax, "no anchor &nope stands before *nope", "a text that starts with * goes in quotes"},
		{"text after quotes", "a: \"b\" c\n", "1:8", form.Syntax, "want a key or the end of the mapping here", "check the indentation, and the quotes in the line"},
		{"key without colon", "a: 1\nb\nc: 2\n", "2:1", form.Syntax, `a key without ":"`, `write "key: value"`},
		{"brackets", strings.Repeat("[", 100_000), "1:33", form.TooLarge, "nested more than 32 levels deep", ""},
		{"dashes", strings.Repeat("- ", 50_000), "1:65", form.TooLarge, "nested more than 32 levels deep", ""},
		{"brackets in dashes", strings.Repeat("- ", 30) + strings.Repeat("[", 30) + strings.Repeat("]", 30), "1:63", form.TooLarge, "nested more than 32 levels deep", ""},
		{"alias in itself", "a: &a [*a]\n", "1:8", form.TooLarge, "the alias *a refers to itself", ""},
		{
			"alias deep", "a: &a " + strings.Repeat("[", 20) + "x" + strings.Repeat("]", 20) + "\nb: " + strings.Repeat("[", 20) + "*a" + strings.Repeat("]", 20),
			"2:24", form.TooLarge, "the alias *a nests more than 32 levels deep", "",
		},
	} {
		t.Run(row.name, func(t *testing.T) {
			begin := time.Now()
			all := problemsOf(t, row.src)
			require.Len(t, all, 1)
			p := all[0]
			assert.Equal(t, row.at, fmt.Sprintf("%d:%d", p.Line, p.Column))
			assert.Equal(t, row.kind, p.Kind)
			assert.Equal(t, row.message, p.Message)
			assert.Equal(t, row.hint, p.Hint)
			assert.Less(t, time.Since(begin), 5*time.Second, "hangs")
		})
	}
}

// bomb is the classic: ten levels, each ten times the one before.
func bomb() string {
	var b strings.Builder
	b.WriteString("a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n")
	for i := 1; i < 10; i++ {
		fmt.Fprintf(&b, "a%d: &a%d [%s]\n", i, i, strings.TrimSuffix(strings.Repeat(fmt.Sprintf("*a%d, ", i-1), 10), ", "))
	}
	return b.String()
}

func TestAliasBombIsRefusedInWords(t *testing.T) {
	all := problemsOf(t, bomb())
	require.Len(t, all, 1)
	assert.Equal(t, "x.yaml:4:45: the aliases up to *a2 unfold to more than 10000 values", all[0].String())
}

func TestManyAliasesOfALongTextAreRefused(t *testing.T) {
	src := "notes: &n " + strings.Repeat("x", 500_000) + "\nlabels: {" + strings.Repeat("a: *n, ", 50_000) + "}\n"
	all := problemsOf(t, src)
	require.Len(t, all, 1)
	assert.Equal(t, form.TooLarge, all[0].Kind)
}

func TestAnchorsAndMerges(t *testing.T) {
	src := `
name: Horta
route: [&h 1 2, 3 4, *h]
bank: {capacity: 440 Ah, cells: &t [20 °C]}
sources:
  solar:
    - &flat {name: flat, power: 85 W}
    - {<<: *flat, name: rail}
    - <<: [{power: 50 W}, *flat]
    - *flat
`
	var v voyage
	_, err := sample().Load("x.yaml", []byte(src), nil, &v)
	require.NoError(t, err)
	assert.Equal(t, []panel{{"flat", 85}, {"rail", 85}, {"flat", 50}, {"flat", 85}}, v.Sources.Solar)
	assert.Equal(t, v.Route[0], v.Route[2])
}

func TestMistakesInAnchorsAndMerges(t *testing.T) {
	src := whole + `sources:
  solar:
    - &flat {name: flat, powr: 85 W, name: x}
    - {<<: *flat, name: rail}
    - {<<: 5, power: 1 W}
    - {<<: [a], power: 1 W}
    - {<<: *flat, <<: *flat, power: 1 W}
  hydro: *flat
notes: *flat
`
	var got []string
	for _, p := range problemsOf(t, src) {
		got = append(got, p.String())
	}
	assert.Equal(t, []string{
		`x.yaml:6:26: sources.solar[0]: unknown key "powr"`,
		`x.yaml:6:38: sources.solar[0]: duplicate key "name", first given in line 6`,
		`x.yaml:8:12: sources.solar[2]: a merge << takes a mapping or a list of mappings`,
		`x.yaml:9:13: sources.solar[3]: a merge << takes mappings only`,
		`x.yaml:10:19: sources.solar[4]: duplicate key "<<", first given in line 10`,
		`x.yaml:11:3: sources.hydro: the key "lift below" is missing`,
		`x.yaml:12:8: notes: must be text; this is a mapping`,
	}, filter(got, "sources.hydro: unknown"))
}

// filter drops the lines that hold a part.
func filter(lines []string, part string) []string {
	var kept []string
	for _, l := range lines {
		if !strings.Contains(l, part) {
			kept = append(kept, l)
		}
	}
	return kept
}

func TestReadAllStopsEarly(t *testing.T) {
	r := strings.NewReader(strings.Repeat("#", 3<<20))
	src, err := form.ReadAll(r)
	require.NoError(t, err)
	assert.Len(t, src, 1<<20+1)
	assert.Equal(t, 2<<20-1, r.Len())
}
