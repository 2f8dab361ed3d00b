package form

import "go.yaml.in/yaml/v4"

// The functions here change the tree without touching what other places of
// the file share with the changed one through anchors, aliases and merges.

// copyNode copies a tree. Anchors are left out; aliases inside still point to
// theirs.
func copyNode(n *yaml.Node) *yaml.Node {
	c := *n
	c.Anchor = ""
	c.Content = nil
	for _, inner := range n.Content {
		c.Content = append(c.Content, copyNode(inner))
	}
	return &c
}

// own makes the node in a slot safe to change: an alias is replaced with a
// copy, an anchored node leaves copies behind where it was referred to.
func (e *edit) own(slot **yaml.Node) {
	n := *slot
	if n.Kind == yaml.AliasNode {
		c := copyNode(follow(n))
		c.HeadComment, c.LineComment, c.FootComment = n.HeadComment, n.LineComment, n.FootComment
		c.Line, c.Column = n.Line, n.Column
		*slot = c
		return
	}
	if n.Anchor != "" {
		e.detach(n)
	}
}

// detach replaces all aliases to a node with copies of it.
func (e *edit) detach(target *yaml.Node) {
	target.Anchor = ""
	var walk func(*yaml.Node)
	walk = func(n *yaml.Node) {
		if n.Kind == yaml.AliasNode {
			if n.Alias == target {
				c := copyNode(target)
				c.HeadComment, c.LineComment, c.FootComment = n.HeadComment, n.LineComment, n.FootComment
				*n = *c
			}
			return
		}
		for _, c := range n.Content {
			walk(c)
		}
	}
	walk(e.doc.tree)
}

// release detaches every anchor in a tree that is about to go.
func (e *edit) release(n *yaml.Node) {
	if n.Kind == yaml.AliasNode {
		return
	}
	// Inner ones first: copies of the outer must not refer to them.
	for _, c := range n.Content {
		e.release(c)
	}
	if n.Anchor != "" {
		e.detach(n)
	}
}

// replace puts a value into a slot and keeps the comments around it.
func (e *edit) replace(slot **yaml.Node, value *yaml.Node) {
	old := *slot
	e.release(old)
	value.HeadComment, value.LineComment, value.FootComment = old.HeadComment, old.LineComment, old.FootComment
	*slot = value
}

// remove deletes a key from a mapping. If a merge brings it in, the merge is
// written out without it.
func (e *edit) remove(n *yaml.Node, name string) {
	if lookup(n, name) == nil {
		return
	}
	e.writeOut(n, name)
	content := n.Content[:0:0]
	for i := 0; i+1 < len(n.Content); i += 2 {
		if key := follow(n.Content[i]); key.Kind == yaml.ScalarNode && key.Value == name && !isMerge(key) {
			e.release(n.Content[i])
			e.release(n.Content[i+1])
			continue
		}
		content = append(content, n.Content[i], n.Content[i+1])
	}
	n.Content = content
}

// writeOut replaces the merges of a mapping with copies of what they bring in,
// if the named key is among it.
func (e *edit) writeOut(n *yaml.Node, name string) {
	taken, brought := map[string]bool{}, false
	for i := 0; i+1 < len(n.Content); i += 2 {
		taken[follow(n.Content[i]).Value] = true
		if isMerge(follow(n.Content[i])) {
			for _, m := range merged(n.Content[i+1], silent) {
				brought = brought || m.name == name
			}
		}
	}
	if !brought {
		return
	}
	var content []*yaml.Node
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		if !isMerge(follow(key)) {
			content = append(content, key, value)
			continue
		}
		for _, m := range merged(value, silent) {
			if !taken[m.name] {
				taken[m.name] = true
				content = append(content, copyNode(m.key), copyNode(m.value))
			}
		}
		e.release(value)
	}
	n.Content = content
}

// unmerge gives a mapping its own copy of a key that only a merge brings in.
func (e *edit) unmerge(n *yaml.Node, name string) {
	value := lookup(n, name)
	if value == nil || keyOf(n, value) != nil {
		return
	}
	n.Content = append(n.Content, e.text(name), copyNode(follow(value)))
}
