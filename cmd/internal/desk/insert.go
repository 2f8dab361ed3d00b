package desk

import (
	"fmt"
	"strings"

	"ampwake/scenarios"
)

// insert puts one item more into a list of the file, on a line of its own, so that
// nothing else in the text moves. Overrides cannot: they would write the whole
// list anew and lose its comments.
type insert struct {
	List  string `json:"list"`
	After int    `json:"after"` // index of the item before it
	Item  string `json:"item"`  // YAML in one line
}

// into returns the text with the item in it. The list must be written with a line
// for each item, as lists usually are.
func (in *insert) into(text []byte, open func([]byte, ...string) (*scenarios.Scenario, error)) ([]byte, error) {
	if strings.ContainsAny(in.Item, "\r\n") || in.After < 0 {
		return nil, fmt.Errorf("this cannot be put into %s", in.List)
	}
	s, err := open(text)
	if err != nil {
		return nil, err
	}
	at := fmt.Sprintf("%s[%d]", in.List, in.After)
	line := s.Doc.At(at).Line
	lines := strings.SplitAfter(string(text), "\n")
	if !s.Doc.Given(at) || line < 1 || line > len(lines) {
		return nil, fmt.Errorf("there is no %s", at)
	}
	first := lines[line-1]
	indent := first[:len(first)-len(strings.TrimLeft(first, " "))]
	if !strings.HasPrefix(first[len(indent):], "- ") {
		return nil, fmt.Errorf("%s is written in one line: add to it in the text", in.List)
	}
	last := line // number of the last line of the item
	for n := line + 1; n <= len(lines); n++ {
		l := strings.TrimRight(lines[n-1], " \r\n")
		bare := strings.TrimLeft(l, " ")
		if bare == "" || strings.HasPrefix(bare, "#") {
			continue // belongs to the item only if more of it follows
		}
		if len(l)-len(bare) <= len(indent) {
			break
		}
		last = n
	}
	eol := "\n"
	if strings.HasSuffix(first, "\r\n") {
		eol = "\r\n"
	}
	before := strings.Join(lines[:last], "")
	if !strings.HasSuffix(before, "\n") {
		before += eol
	}
	return []byte(before + indent + "- " + in.Item + eol + strings.Join(lines[last:], "")), nil
}
