package form

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Kind sorts problems, for callers that treat some apart.
type Kind string

// The kinds of problems.
const (
	Syntax       Kind = "syntax"        // no YAML, no UTF-8, empty, or several documents
	TooLarge     Kind = "too large"     // size, depth, aliases or items beyond the limits
	UnknownKey   Kind = "unknown key"   // no such key in this mapping
	MissingKey   Kind = "missing key"   // a required key is absent
	DuplicateKey Kind = "duplicate key" // a key given twice
	WrongKind    Kind = "wrong kind"    // a list where a mapping is due, and the like
	BadText      Kind = "bad text"      // a text that its type cannot read
	OutOfRange   Kind = "out of range"  // outside min..max, or too many items
	NotAChoice   Kind = "not a choice"  // not among the words allowed
	BadPath      Kind = "bad path"      // an override that names no place
	Check        Kind = "check"         // found later by Doc.Problem
)

// Position is a place in a file, or the override a value came from.
type Position struct {
	File     string `json:"file,omitempty"`
	Line     int    `json:"line,omitempty"`     // from 1; 0 when no line is meant
	Column   int    `json:"column,omitempty"`   // from 1, in characters
	Override string `json:"override,omitempty"` // like "--set bank.capacity=440 Ah"
}

// String returns "file:line:col", the override, or both.
func (p Position) String() string {
	s := p.File
	if p.Line > 0 {
		s += fmt.Sprintf(":%d:%d", p.Line, p.Column)
	}
	switch {
	case p.Override == "":
		return s
	case p.Line == 0:
		return p.Override
	}
	return s + ": " + p.Override
}

// Problem is one mistake in a document.
type Problem struct {
	Position
	Kind    Kind   `json:"kind"`
	Path    string `json:"path,omitempty"`   // like loads["HF radio"].draws; items without a name by index from 0
	Text    string `json:"text,omitempty"`   // what was written
	Source  string `json:"source,omitempty"` // the line it stands in, as written
	Want    string `json:"want,omitempty"`   // what was expected
	Hint    string `json:"hint,omitempty"`   // a way out
	Message string `json:"message"`          // says what is wrong; the path is not repeated in it

	about string // path to print before the message
	order int    // of the override, to sort by
}

// String returns one line: position, path and message.
func (p *Problem) String() string {
	s := p.Position.String()
	if p.about != "" {
		s += ": " + p.about
	}
	return strings.TrimPrefix(s+": "+p.Message, ": ")
}

// Problems are all mistakes of a document, sorted by position.
type Problems struct {
	List []*Problem
	More bool // reading stopped after too many
}

// Error returns one line for each problem.
func (p *Problems) Error() string {
	lines := make([]string, 0, len(p.List)+1)
	for _, one := range p.List {
		lines = append(lines, one.String())
	}
	if p.More {
		lines = append(lines, p.stopped())
	}
	return strings.Join(lines, "\n")
}

func (p *Problems) stopped() string {
	return fmt.Sprintf("reading stopped after %d problems", len(p.List))
}

// sort orders by line and column; what concerns the whole file comes first,
// overrides come last in their own order.
func (p *Problems) sort() {
	slices.SortStableFunc(p.List, func(a, b *Problem) int {
		return cmp.Or(
			cmp.Compare(a.order, b.order),
			cmp.Compare(a.Line, b.Line),
			cmp.Compare(a.Column, b.Column))
	})
}

// fault is a problem before its place is known.
type fault struct {
	kind                Kind
	message, want, hint string
}

// quote shortens a text for a message and makes it safe to print.
func quote(text string) string {
	const most = 60 // characters
	n := 0
	for i := range text {
		if n++; n > most {
			return fmt.Sprintf("%q", text[:i]+"…")
		}
	}
	return fmt.Sprintf("%q", text)
}

// enumerate joins words for a sentence, cutting a long row.
func enumerate(words []string) string {
	const most = 16
	if len(words) > most {
		return strings.Join(words[:most], ", ") + fmt.Sprintf(" and %d more", len(words)-most)
	}
	return strings.Join(words, ", ")
}
