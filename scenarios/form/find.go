package form

import (
	"go.yaml.in/yaml/v4"
)

// find follows a path as far as the document goes. It returns the frame it
// reached and the steps that are left, none if the value is there.
func (doc *Doc) find(path string) (*frame, []step) {
	at := &frame{node: doc.root}
	steps, _, err := parsePath(path)
	if err != nil {
		return at, []step{{name: path}}
	}
	if doc.root == nil {
		return at, steps
	}
	s := doc.form.root
	for len(steps) > 0 {
		next, shape, used := below(at, s, steps[0])
		if next == nil {
			break
		}
		at, s = next, shape
		if used {
			steps = steps[1:]
		}
	}
	return at, steps
}

// below goes one step down. It returns nil where there is no such value. The
// step is not used up when only a short form was seen through: the value
// stands in place of the struct, or of a list of one.
func below(at *frame, s *shape, to step) (next *frame, inner *shape, used bool) {
	n := follow(at.node)
	switch {
	case n == nil:
		return nil, nil, false
	case n.Kind == yaml.MappingNode && (s.kind == structKind || s.kind == mapKind) && !to.number:
		inner := s.elem
		if f := s.keys[to.name]; f != nil {
			inner = f.shape
		}
		if value := lookup(n, to.name); value != nil && inner != nil {
			return &frame{up: at, key: keyOf(n, value), name: to.name, node: value}, inner, true
		}
	case s.kind == structKind && n.Kind == yaml.ScalarNode && s.scalar != nil:
		return throughShort(at, s.scalar, to)
	case s.kind == structKind && n.Kind == yaml.SequenceNode && s.list != nil:
		return throughShort(at, s.list, to)
	case s.kind == structKind && n.Kind == yaml.SequenceNode:
		for i, f := range s.row {
			if f.name() == to.name && i < len(n.Content) {
				return &frame{up: at, name: to.name, node: n.Content[i]}, f.shape, true
			}
		}
	case s.kind == listKind && n.Kind == yaml.SequenceNode:
		i, skip := pick(n, s, to)
		if i < 0 {
			return nil, nil, false
		}
		return &frame{up: at, list: n, index: i, node: n.Content[i]}, s.elem, !skip
	case s.kind == listKind: // a list of one, written as its item
		return &frame{up: at.up, key: at.key, name: at.name, list: at.list, index: at.index, node: at.node}, s.elem,
			to.number && to.index == 0 || to.item && !to.number && nameOf(n) == to.name
	}
	return nil, nil, false
}

// throughShort goes into the field that a short form fills.
func throughShort(at *frame, f *field, to step) (*frame, *shape, bool) {
	same := &frame{up: at.up, key: at.key, name: at.name, list: at.list, index: at.index, node: at.node}
	if f.key != "" && f.key == to.name && !to.number {
		return same, f.shape, true
	}
	if f.key == "" {
		return same, f.shape, false
	}
	return nil, nil, false
}

// keyOf returns the key node that stands before a value, nil if it is merged.
func keyOf(n, value *yaml.Node) *yaml.Node {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i+1] == value {
			return n.Content[i]
		}
	}
	return nil
}

// pick chooses the item of a list that a step names, -1 for none. With skip
// the step was no item but a key inside the only item.
func pick(n *yaml.Node, s *shape, to step) (index int, skip bool) {
	if to.number {
		if to.index < len(n.Content) {
			return to.index, false
		}
		return -1, false
	}
	found := -1
	for i, item := range n.Content {
		if nameOf(item) == to.name {
			if found >= 0 {
				return -1, false // two of that name
			}
			found = i
		}
	}
	if found < 0 && !to.item && len(n.Content) == 1 && s.elem.kind == structKind && s.elem.keys[to.name] != nil {
		return 0, true
	}
	return found, false
}
