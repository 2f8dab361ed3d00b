package form

import (
	"fmt"
	"slices"

	"go.yaml.in/yaml/v4"
)

// edit is one change of the tree.
type edit struct {
	doc  *Doc
	line int // for nodes it makes
}

// assign sets the value that the steps lead to from the node in a slot, or
// removes it if value is nil. The done steps are for messages.
func (e *edit) assign(slot **yaml.Node, s *shape, done, steps []step, value *yaml.Node) *fault {
	if len(steps) == 0 {
		e.replace(slot, value)
		return nil
	}
	e.own(slot)
	n := *slot
	switch s.kind {
	case structKind:
		return e.inStruct(slot, n, s, done, steps, value)
	case mapKind:
		to := steps[0]
		if to.number {
			return e.unknown(done, to, "it has names, not items", nil)
		}
		if !e.asMapping(n) {
			return e.blocked(done, n)
		}
		return e.inMapping(n, s.elem, nil, done, steps, value)
	case listKind:
		return e.inList(slot, n, s, done, steps, value)
	}
	return e.unknown(done, steps[0], "it is a plain value", nil)
}

// inStruct goes into a key of a struct.
func (e *edit) inStruct(slot **yaml.Node, n *yaml.Node, s *shape, done, steps []step, value *yaml.Node) *fault {
	to := steps[0]
	// Short forms without a key of their own are seen through.
	for _, short := range []*field{s.scalar, s.list} {
		if short != nil && short.key == "" && (s.keys[to.name] == nil || to.number) && short.shape.kind != textKind {
			return e.assign(slot, short.shape, done, steps, value)
		}
	}
	f := s.keys[to.name]
	if to.number || f == nil {
		if to.number {
			return e.unknown(done, to, "it has keys, not items", s.names())
		}
		hint, _ := e.doc.form.keyHint(s, to.name)
		bad := e.unknown(done, to, "", s.names())
		bad.hint = hint
		return bad
	}
	if i := slices.Index(s.row, f); i >= 0 && n.Kind == yaml.SequenceNode && e.inRow(n, i, steps, value) {
		if value == nil && len(steps) == 1 {
			return nil
		}
		return e.assign(&n.Content[i], f.shape, deeper(done, to), steps[1:], value)
	}
	if !e.asMapping(n) && !e.spread(n, s) {
		return e.blocked(done, n)
	}
	return e.inMapping(n, f.shape, f, done, steps, value)
}

// inRow tells whether place i of a row can be changed as it stands, after
// making room for it at the end or removing it from there.
func (e *edit) inRow(n *yaml.Node, i int, steps []step, value *yaml.Node) bool {
	removal := value == nil && len(steps) == 1
	switch {
	case removal && i == len(n.Content)-1:
		e.release(n.Content[i])
		n.Content = n.Content[:i:i]
	case removal:
		return i >= len(n.Content) // nothing to remove
	case i == len(n.Content):
		n.Content = append(n.Content, &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!null", Line: e.line})
	}
	return i <= len(n.Content)
}

// asMapping makes a key without a value an empty mapping, and tells whether
// the node is one now.
func (e *edit) asMapping(n *yaml.Node) bool {
	if blank(n) {
		n.Kind, n.Tag, n.Style = yaml.MappingNode, "!!map", yaml.FlowStyle
	}
	return n.Kind == yaml.MappingNode
}

// spread turns the short form of a struct into a mapping, so that a further
// key can be set beside it.
func (e *edit) spread(n *yaml.Node, s *shape) bool {
	var fields []*field
	values := []*yaml.Node{copyNode(n)}
	switch {
	case n.Kind == yaml.ScalarNode && s.scalar != nil:
		fields = []*field{s.scalar}
	case n.Kind == yaml.SequenceNode && s.list != nil:
		fields = []*field{s.list}
	case n.Kind == yaml.SequenceNode && len(n.Content) <= len(s.row):
		fields, values = s.row, n.Content
	default:
		return false
	}
	var content []*yaml.Node
	for i, v := range values {
		if fields[i].key == "" {
			return false
		}
		content = append(content, e.text(fields[i].key), v)
	}
	for _, v := range values {
		v.HeadComment, v.LineComment, v.FootComment = "", "", ""
	}
	*n = yaml.Node{
		Kind: yaml.MappingNode, Tag: "!!map", Style: yaml.FlowStyle, Content: content, Line: n.Line, Column: n.Column,
		HeadComment: n.HeadComment, LineComment: n.LineComment, FootComment: n.FootComment,
	}
	return true
}

func (e *edit) text(value string) *yaml.Node {
	return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: value, Line: e.line}
}

// inMapping sets, removes or enters a key of a mapping node. The field is nil
// in a map.
func (e *edit) inMapping(n *yaml.Node, inner *shape, f *field, done, steps []step, value *yaml.Node) *fault {
	name := steps[0].name
	if value == nil && len(steps) == 1 {
		e.remove(n, name)
		return nil
	}
	if len(steps) > 1 {
		e.unmerge(n, name) // so that the key itself can be changed
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		if key := follow(n.Content[i]); key.Kind == yaml.ScalarNode && key.Value == name && !isMerge(key) {
			return e.below(&n.Content[i+1], inner, done, steps, value)
		}
	}
	// The key is not there: make it, unless there is nothing to remove.
	made := &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map", Line: e.line}
	switch {
	case len(steps) == 1:
		made = value
	case inner.kind == listKind && (f == nil || !f.one || steps[1].item):
		return e.unknown(deeper(done, steps[0]), steps[1], "the list is empty", nil)
	}
	if n.Style&yaml.FlowStyle != 0 && made.Kind == yaml.MappingNode {
		made.Style |= yaml.FlowStyle
	}
	if bad := e.below(&made, inner, done, steps, value); bad != nil {
		return bad
	}
	if made.Kind == yaml.MappingNode && len(made.Content) == 0 && value == nil {
		return nil
	}
	n.Content = append(n.Content, e.text(name), made)
	return nil
}

// below goes on in the value of a key.
func (e *edit) below(slot **yaml.Node, inner *shape, done, steps []step, value *yaml.Node) *fault {
	if value != nil && len(steps) == 1 && *slot == value {
		return nil // freshly made
	}
	return e.assign(slot, inner, deeper(done, steps[0]), steps[1:], value)
}

func deeper(done []step, to step) []step {
	return append(done[:len(done):len(done)], to)
}

// inList goes into an item of a list.
func (e *edit) inList(slot **yaml.Node, n *yaml.Node, s *shape, done, steps []step, value *yaml.Node) *fault {
	to := steps[0]
	if n.Kind != yaml.SequenceNode {
		// One item in place of the list: [0], its name, or straight to a key.
		first := to.number && to.index == 0 || to.item && !to.number && nameOf(n) == to.name
		switch {
		case first && value == nil && len(steps) == 1:
			*n = yaml.Node{Kind: yaml.SequenceNode, Tag: "!!seq", Style: yaml.FlowStyle, Line: n.Line, Column: n.Column}
			return nil
		case first:
			return e.assign(slot, s.elem, deeper(done, to), steps[1:], value)
		case !to.item:
			return e.assign(slot, s.elem, done, steps, value)
		}
		return e.unknown(done, to, "it has one item", nil)
	}
	i, skip := pick(n, s, to)
	switch {
	case skip:
		return e.assign(&n.Content[i], s.elem, deeper(done, step{item: true, number: true}), steps, value)
	case i < 0:
		return e.noItem(done, n, to)
	case value == nil && len(steps) == 1:
		e.release(n.Content[i])
		n.Content = append(n.Content[:i:i], n.Content[i+1:]...)
		return nil
	}
	to.item = true // however it was written
	return e.assign(&n.Content[i], s.elem, deeper(done, to), steps[1:], value)
}

// noItem says which items there are.
func (e *edit) noItem(done []step, n *yaml.Node, to step) *fault {
	var names []string
	alike := 0
	for _, item := range n.Content {
		if name := nameOf(item); name != "" {
			names = append(names, name)
			if name == to.name && !to.number {
				alike++
			}
		}
	}
	why := fmt.Sprintf("it has %s", plural(len(n.Content)))
	switch {
	case alike > 1:
		return e.unknown(done, to, fmt.Sprintf("%d items have that name; use their index from 0", alike), nil)
	case to.number && len(n.Content) > 0:
		why += fmt.Sprintf(", [0] to [%d]", len(n.Content)-1)
	}
	bad := e.unknown(done, to, why, nil)
	if word, _ := nearest(to.name, names); word != "" && !to.number {
		bad.hint = fmt.Sprintf("did you mean [%s]?", word)
	} else if len(names) > 0 {
		bad.hint = "there are " + enumerate(names)
	}
	return bad
}

// unknown says that a step leads nowhere.
func (e *edit) unknown(done []step, to step, why string, known []string) *fault {
	bad := &fault{kind: BadPath, want: enumerate(known)}
	where := join("", done)
	if where == "" {
		where = "the file"
	}
	bad.message = fmt.Sprintf("%s has no %s", where, to)
	if !to.item {
		bad.message = fmt.Sprintf("%s has no key %s", where, quote(to.name))
	}
	if why != "" {
		bad.message += ": " + why
	}
	return bad
}

// blocked says that the file holds something else where a step should go.
func (e *edit) blocked(done []step, n *yaml.Node) *fault {
	what := "a list"
	if n.Kind == yaml.ScalarNode {
		what = "the plain value " + quote(n.Value)
	}
	return &fault{
		kind: BadPath, message: fmt.Sprintf("%s is %s in the file, so a key in it cannot be set", join("", done), what),
		hint: "set it as a whole",
	}
}
