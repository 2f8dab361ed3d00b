package form

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"go.yaml.in/yaml/v4"
)

// Save returns the document as text with its overrides applied. Without any it
// is the source, byte for byte. Otherwise only the values concerned are
// rewritten in the source where that can be done safely, so that comments,
// blank lines and alignment stay; if not, the whole is written anew, which
// keeps comments and the order of keys but neither blank lines nor alignment.
// Either way the text is read again and compared before it is returned.
//
// The error says that there is no document, or that it cannot be written.
func (doc *Doc) Save() ([]byte, error) {
	if doc.root == nil {
		return nil, errors.New("there is no document to save")
	}
	if len(doc.overrides) == 0 {
		return doc.source, nil
	}
	if text, ok := doc.patch(); ok {
		return text, nil
	}
	options := []yaml.Option{yaml.WithIndent(2), yaml.WithLineWidth(-1), yaml.WithCompactSeqIndent(false)}
	if bytes.Contains(doc.source, []byte("\r\n")) {
		options = append(options, yaml.WithLineBreak(yaml.LineBreakCRLN))
	}
	text, err := yaml.Dump(twin(doc.tree, map[*yaml.Node]*yaml.Node{}), options...)
	if err != nil {
		return nil, fmt.Errorf("the document cannot be written: %w", err)
	}
	if !doc.reads(string(text)) {
		return nil, errors.New("the document cannot be written: it reads back otherwise")
	}
	return text, nil
}

// twin copies a tree with its anchors. Writing takes the tags out of the nodes
// it is given, and they are still needed.
func twin(n *yaml.Node, made map[*yaml.Node]*yaml.Node) *yaml.Node {
	c := *n
	made[n] = &c
	c.Content = make([]*yaml.Node, len(n.Content))
	for i, inner := range n.Content {
		c.Content[i] = twin(inner, made)
	}
	if n.Alias != nil {
		c.Alias = made[n.Alias] // the anchor stands before
	}
	return &c
}

// reads tells whether a text holds the document as it stands.
func (doc *Doc) reads(text string) bool {
	tree, bad := parse(strings.TrimPrefix(text, byteOrderMark))
	return bad == nil && same(tree.Content[0], doc.root)
}

// same tells whether two trees say the same, whatever their style.
func same(a, b *yaml.Node) bool {
	if a.Kind != b.Kind || a.Anchor != b.Anchor || len(a.Content) != len(b.Content) || a.ShortTag() != b.ShortTag() && !textual(a, b) {
		return false
	}
	if a.Value != b.Value && a.Kind&(yaml.ScalarNode|yaml.AliasNode) != 0 {
		return false
	}
	for i := range a.Content {
		if !same(a.Content[i], b.Content[i]) {
			return false
		}
	}
	return true
}

// textual tells whether two scalars differ only in what YAML takes a plain
// text for, which is nothing to us unless one of them is no value or a merge.
func textual(a, b *yaml.Node) bool {
	for _, n := range []*yaml.Node{a, b} {
		if tag := n.ShortTag(); n.Kind != yaml.ScalarNode || tag == "!!null" || tag == "!!merge" {
			return false
		}
	}
	return true
}
