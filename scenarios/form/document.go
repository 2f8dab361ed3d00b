package form

import (
	"fmt"
	"slices"

	"go.yaml.in/yaml/v4"
)

// maxProblems is how many are gathered before reading stops.
const maxProblems = 100

// Doc is a document that has been read: where each value stands, and what is
// wrong with it.
type Doc struct {
	form      *Form
	name      string
	source    []byte
	lines     []string
	tree      *yaml.Node // the document node, nil if there is none
	root      *yaml.Node // its outermost value
	overrides []Override
	problems  []*Problem
	more      bool
	seen      map[string]bool // problems already told, by place and message
}

// Err returns all problems so far, sorted, as a *Problems, or nil.
func (doc *Doc) Err() error {
	if len(doc.problems) == 0 {
		return nil
	}
	all := &Problems{List: append([]*Problem{}, doc.problems...), More: doc.more}
	all.sort()
	return all
}

// Problem adds a problem found by a later check to the value at a path, like
// "loads[3].when". It returns the problem so that Want and Hint can be set.
// The message should not repeat the path.
func (doc *Doc) Problem(path, format string, args ...any) *Problem {
	at, rest := doc.find(path)
	p := &Problem{Kind: Check, Message: fmt.Sprintf(format, args...), Path: join(at.path(), rest)}
	p.about = p.Path
	if n := follow(at.node); n != nil && n.Kind == yaml.ScalarNode && len(rest) == 0 {
		p.Text = n.Value
	}
	line, column := at.where(true)
	doc.put(p, line, column)
	return doc.add(p)
}

// At returns where the value at a path stands. A key that is not in the file
// stands where its nearest parent does.
func (doc *Doc) At(path string) Position {
	at, _ := doc.find(path)
	p := &Problem{}
	line, column := at.where(true)
	doc.put(p, line, column)
	return p.Position
}

// Given tells whether the value at a path stands in the file or was set by an
// override, rather than taken from a default.
func (doc *Doc) Given(path string) bool {
	_, rest := doc.find(path)
	return doc.root != nil && len(rest) == 0
}

// add appends a problem unless the same was told of the same place, as happens
// when an anchored value is used twice.
func (doc *Doc) add(p *Problem) *Problem {
	if doc.seen == nil {
		doc.seen = map[string]bool{}
	}
	id := p.Position.String() + "\n" + p.Message
	if p.Line == 0 {
		id += "\n" + p.Path
	}
	switch {
	case doc.seen[id]:
		return p
	case len(doc.problems) >= maxProblems:
		doc.more = true
		return p
	}
	doc.seen[id] = true
	doc.problems = append(doc.problems, p)
	return p
}

// whole adds a problem of the file as such.
func (doc *Doc) whole(kind Kind, message string) *Problem {
	return doc.add(&Problem{Position: Position{File: doc.name}, Kind: kind, Message: message})
}

// put gives a problem its place. A negative line is the number of an override:
// its values carry that in place of a line.
func (doc *Doc) put(p *Problem, line, column int) {
	switch {
	case line < 0:
		i := -line - 1
		p.Position = doc.overrides[i].position(doc.name)
		p.order = i + 1
		if at := doc.overrides[i].At; at.Line > 0 && at.File == doc.name && at.Line <= len(doc.lines) {
			p.Source = doc.lines[at.Line-1]
		}
	case line == 0:
		p.Position = Position{File: doc.name}
	default:
		p.Position = Position{File: doc.name, Line: line, Column: column}
		if line <= len(doc.lines) {
			p.Source = doc.lines[line-1]
		}
	}
}

// clamp moves a position past the end of the text to its last character.
func (doc *Doc) clamp(line, column int) (int, int) {
	last := len(doc.lines)
	for last > 1 && doc.lines[last-1] == "" {
		last--
	}
	if line > last && last > 0 {
		return last, len([]rune(doc.lines[last-1])) + 1
	}
	return line, column
}

// follow returns what a node stands for: itself, or what its alias points to.
// checkAliases has made sure that this ends.
func follow(n *yaml.Node) *yaml.Node {
	for n != nil && n.Kind == yaml.AliasNode {
		n = n.Alias
	}
	return n
}

// frame is one step on the way from the outermost value to a node.
type frame struct {
	up    *frame
	key   *yaml.Node // of a value in a mapping
	name  string     // its text, or the key of a row's item
	list  *yaml.Node // the list an item stands in
	index int        // of the item
	node  *yaml.Node // the value, an alias if it is written as one
}

// where returns the line and column to point at. A value below its key is
// pointed at by its key; with value, one on the same line by itself.
func (at *frame) where(value bool) (line, column int) {
	n := at.node
	if n == nil {
		return 0, 0
	}
	block := (n.Kind == yaml.MappingNode || n.Kind == yaml.SequenceNode) && n.Style&yaml.FlowStyle == 0
	if at.key != nil && n.Line >= 0 && (block || !value || n.Line == 0) {
		n = at.key
	}
	return n.Line, n.Column
}

// path names the place, items by their name where they have one of their own.
func (at *frame) path() string {
	var steps []step
	for f := at; f != nil && f.up != nil; f = f.up {
		if f.list == nil {
			steps = append(steps, step{name: f.name})
		} else if name := itemName(follow(f.list), f.index); name != "" {
			steps = append(steps, step{name: name, item: true})
		} else {
			steps = append(steps, step{index: f.index, item: true, number: true})
		}
	}
	slices.Reverse(steps)
	return join("", steps)
}

// depth counts the steps of the path.
func (at *frame) depth() int {
	n := 0
	for f := at; f != nil && f.up != nil; f = f.up {
		n++
	}
	return n
}

// itemName returns the value of the key "name" of a list item, if no other
// item of the list has the same.
func itemName(list *yaml.Node, index int) string {
	if list == nil || index >= len(list.Content) {
		return ""
	}
	name := nameOf(list.Content[index])
	if name == "" {
		return ""
	}
	for i, other := range list.Content {
		if i != index && nameOf(other) == name {
			return ""
		}
	}
	return name
}

func nameOf(n *yaml.Node) string {
	n = follow(n)
	if n == nil || n.Kind != yaml.MappingNode {
		return ""
	}
	if value := lookup(n, "name"); value != nil && follow(value).Kind == yaml.ScalarNode {
		return follow(value).Value
	}
	return ""
}
