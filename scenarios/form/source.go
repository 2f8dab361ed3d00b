package form

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
	"go.yaml.in/yaml/v4/plugin/loaderlimits"
)

const (
	maxBytes = 1 << 20 // of a file
	maxDepth = 32      // levels of nesting
)

const byteOrderMark = "\ufeff"

// ReadAll reads a document from r, and no more than is needed to see that it
// is too large, which Load then reports.
func ReadAll(r io.Reader) ([]byte, error) {
	return io.ReadAll(io.LimitReader(r, maxBytes+1))
}

// read turns the text into a tree of nodes. The root is nil when the text is
// no document at all; the document then holds one problem.
func read(f *Form, name string, src []byte) *Doc {
	doc := &Doc{form: f, name: name, source: src}
	if len(src) > maxBytes {
		doc.whole(TooLarge, "the file is too large: it may have 1 MiB")
		return doc
	}
	text := strings.TrimPrefix(string(src), byteOrderMark)
	doc.lines = splitLines(text)
	if bytes.HasPrefix(src, []byte("\xff\xfe")) || bytes.HasPrefix(src, []byte("\xfe\xff")) {
		doc.whole(Syntax, "the file is UTF-16 text").Hint = "save it as UTF-8"
		return doc
	}
	if !doc.clean() {
		return doc
	}
	tree, bad := parse(text)
	if bad != nil {
		line, column := doc.clamp(bad.line, bad.column)
		p := &Problem{Kind: bad.kind, Message: bad.message, Hint: bad.hint}
		doc.put(p, line, column)
		doc.add(p)
		return doc
	}
	doc.tree, doc.root = tree, tree.Content[0]
	if !doc.checkAliases() {
		doc.root = nil
	}
	return doc
}

// clean refuses bytes that are no text: broken UTF-8, control characters, and
// the invisible line breaks that editors and YAML count differently.
func (doc *Doc) clean() bool {
	for i, line := range doc.lines {
		column := 0
		for at, r := range line {
			column++
			what := ""
			switch {
			case r == utf8.RuneError && !strings.HasPrefix(line[at:], "\uFFFD"):
				what = fmt.Sprintf("byte 0x%02x is no UTF-8 text", line[at])
			case r < ' ' && r != '\t', r >= 0x7f && r < 0xa0:
				what = fmt.Sprintf("control character U+%04X", r)
			case r == '\u2028', r == '\u2029', r == '\ufeff':
				what = fmt.Sprintf("invisible character U+%04X", r)
			default:
				continue
			}
			p := doc.add(&Problem{Kind: Syntax, Message: what})
			doc.put(p, i+1, column)
			p.Source = printable(line)
			p.Hint = "delete it"
			if r == utf8.RuneError {
				p.Hint = "save the file as UTF-8"
			}
			return false
		}
	}
	return true
}

// printable replaces what would upset a terminal.
func printable(line string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' && r != '\t' || r >= 0x7f && r < 0xa0 || r == '\u2028' || r == '\u2029' || r == '\ufeff' {
			return '\uFFFD'
		}
		return r
	}, strings.ToValidUTF8(line, "\uFFFD"))
}

// splitLines cuts at \n, \r\n and \r, as YAML does.
func splitLines(text string) []string {
	var lines []string
	for {
		i := strings.IndexAny(text, "\r\n")
		if i < 0 {
			return append(lines, text)
		}
		lines = append(lines, text[:i])
		if text[i] == '\r' && i+1 < len(text) && text[i+1] == '\n' {
			i++
		}
		text = text[i+1:]
	}
}

// syntaxError is what keeps a text from being one document.
type syntaxError struct {
	kind          Kind
	line, column  int // 0 when the whole is meant
	message, hint string
}

// parse returns the document node of the only document in a text.
func parse(text string) (*yaml.Node, *syntaxError) {
	// Aliases are not followed while parsing into nodes; checkAliases counts.
	limits := loaderlimits.New(loaderlimits.DepthValue(maxDepth), loaderlimits.AliasNone())
	loader, err := yaml.NewLoader(strings.NewReader(text), yaml.WithPlugin(limits))
	if err != nil {
		panic("form: " + err.Error()) // the options are ours
	}
	var first, second yaml.Node
	if err := loader.Load(&first); errors.Is(err, io.EOF) {
		return nil, &syntaxError{kind: Syntax, message: "the file is empty"}
	} else if err != nil {
		return nil, explain(text, err)
	}
	if len(first.Content) != 1 || blank(first.Content[0]) {
		return nil, &syntaxError{kind: Syntax, message: "the file is empty"}
	}
	if err := loader.Load(&second); err == nil {
		return nil, &syntaxError{
			kind: Syntax, line: second.Line, column: second.Column,
			message: "a second document starts here", hint: "keep one scenario in a file, and remove the line ---",
		}
	} else if !errors.Is(err, io.EOF) {
		return nil, explain(text, err)
	}
	return &first, nil
}

// blank tells whether a node is the value nobody wrote, as after "key:".
func blank(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Value == "" && n.ShortTag() == "!!null"
}

// explain puts a complaint of the YAML parser into our words.
func explain(text string, err error) *syntaxError {
	var load *yaml.LoadError
	if !errors.As(err, &load) {
		return &syntaxError{kind: Syntax, message: err.Error()}
	}
	bad := &syntaxError{kind: Syntax, line: load.Mark.Line, column: load.Mark.Column, message: load.Message}
	lines := splitLines(text)
	rest := ""
	if bad.line >= 1 && bad.line <= len(lines) {
		if runes := []rune(lines[bad.line-1]); bad.column >= 1 && bad.column <= len(runes) {
			rest = string(runes[bad.column-1:])
		}
	}
	opening := func() {
		if load.ContextMark.Line > 0 {
			bad.line, bad.column = load.ContextMark.Line, load.ContextMark.Column
		}
	}
	is := func(part string) bool { return strings.Contains(load.Message, part) }
	context := func(part string) bool { return strings.Contains(load.ContextMsg, part) }
	switch {
	case is("max depth"):
		bad.kind, bad.message = TooLarge, fmt.Sprintf("nested more than %d levels deep", maxDepth)
	case strings.HasPrefix(rest, "\t"), is("tab"):
		bad.message, bad.hint = "a tab cannot indent a line", "use spaces"
	case is("cannot start any token"):
		bad.message = fmt.Sprintf("a value cannot start with %q", firstRune(rest))
		bad.hint = "put the value in quotes"
	case is("mapping values are not allowed"):
		bad.message = `": " cannot stand here`
		bad.hint = `check the indentation; a text that holds ": " goes in quotes`
	case is("block sequence entries are not allowed"):
		bad.message, bad.hint = `"- " cannot stand here`, "start each item on its own line"
	case is("',' or ']'"):
		opening()
		bad.message, bad.hint = `the list opened with "[" is not closed properly`, `put commas between its items and "]" at its end`
	case is("',' or '}'"):
		opening()
		bad.message, bad.hint = `the mapping opened with "{" is not closed properly`, `put commas between its entries and "}" at its end`
	case is("end of stream") && context("quoted"):
		opening()
		bad.message, bad.hint = "this quote is never closed", "end the text with the same quote"
	case is("document indicator") && context("quoted"):
		opening()
		bad.message, bad.hint = "this quote is never closed", "end the text with the same quote"
	case is("escape"), is("hexadecimal"):
		bad.message, bad.hint = `a backslash in "double quotes" starts an escape that is unknown`, `use 'single quotes', or write \\`
	case is("could not find expected ':'"):
		opening()
		bad.message, bad.hint = `a key without ":"`, `write "key: value"`
	case is("expected node content"):
		bad.message, bad.hint = "want a value here", "check the brackets, braces and commas"
	case is("did not find expected key"):
		bad.message, bad.hint = "want a key or the end of the mapping here", "check the indentation, and the quotes in the line"
	case is("did not find expected '-'"):
		bad.message, bad.hint = `want the next "- " of the list here`, "check the indentation"
	case is("expected <document start>"), is("after document-end"):
		bad.message, bad.hint = "nothing may follow the outermost value", "check the indentation"
	case is("unknown anchor"):
		name := strings.TrimSuffix(strings.TrimPrefix(load.Message, "unknown anchor '"), "' referenced")
		bad.message = fmt.Sprintf("no anchor &%s stands before *%s", name, name)
		bad.hint = "a text that starts with * goes in quotes"
	case is("tag"):
		bad.message, bad.hint = "a tag cannot be read", "tags are not used here; a text that starts with ! goes in quotes"
	}
	return bad
}

func firstRune(s string) string {
	for _, r := range s {
		return string(r)
	}
	return ""
}
