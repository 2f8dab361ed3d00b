package form

import (
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
)

// Override is one "path=value" to be applied before reading.
type Override struct {
	Text string   // like "bank.capacity=440 Ah"; nothing after "=" removes the key or item
	From string   // who says so, for messages: "--set", or "variant big bank"
	At   Position // where it is written, if in a file

	steps int // of its path, once parsed
}

// Sets makes overrides of the values of the flag --set.
func Sets(texts []string) []Override {
	all := make([]Override, len(texts))
	for i, t := range texts {
		all[i] = Override{Text: t, From: "--set"}
	}
	return all
}

// depth is the number of steps of its path.
func (o Override) depth() int { return o.steps }

// position names the override in messages.
func (o Override) position(file string) Position {
	p := o.At
	text := printable(strings.NewReplacer("\n", " ", "\r", " ", "\t", " ").Replace(o.Text))
	const most = 120 // bytes
	if len(text) > most {
		text = strings.ToValidUTF8(text[:most], "") + "…"
	}
	p.Override = strings.TrimSpace(o.From + " " + text)
	if p.Line > 0 && p.File == "" {
		p.File = file
	}
	return p
}

const maxOverride = 1 << 16 // bytes

// set applies override number i to the tree, or adds a problem.
func (doc *Doc) set(i int, o Override) {
	fail := func(bad *fault) {
		p := &Problem{Kind: bad.kind, Message: bad.message, Want: bad.want, Hint: bad.hint}
		doc.put(p, -i-1, 0)
		doc.add(p)
	}
	if len(o.Text) > maxOverride || !utf8.ValidString(o.Text) {
		fail(&fault{kind: BadPath, message: "an override must be UTF-8 text of at most 64 KiB"})
		return
	}
	steps, rest, err := parsePath(o.Text)
	switch {
	case err != nil:
		fail(&fault{kind: BadPath, message: err.Error(), hint: "write it like bank.capacity=440 Ah or loads[HF radio].receive=2 A"})
		return
	case !strings.HasPrefix(rest, "="):
		fail(&fault{kind: BadPath, message: `want "path=value"`, hint: "write it like bank.capacity=440 Ah; nothing after the = removes the key"})
		return
	case len(steps) == 0:
		fail(&fault{kind: BadPath, message: `there is no path before the "="`, hint: "write it like bank.capacity=440 Ah"})
		return
	}
	doc.overrides[i].steps = len(steps)
	var value *yaml.Node
	if text := strings.TrimSpace(rest[1:]); text != "" {
		if strings.ContainsFunc(text, func(r rune) bool { return printable(string(r)) != string(r) && r != '\n' && r != '\r' }) {
			fail(&fault{kind: BadText, message: "the value holds a control character"})
			return
		}
		node, bad := valueNode(text)
		if bad != nil {
			fail(&fault{kind: bad.kind, message: bad.message, hint: bad.hint})
			return
		}
		mark(node, -i-1)
		value = node
	}
	e := &edit{doc: doc, line: -i - 1}
	if bad := e.assign(&doc.tree.Content[0], doc.form.root, nil, steps, value); bad != nil {
		fail(bad)
	}
	doc.root = doc.tree.Content[0]
}

// mark makes all nodes of a value point to their override.
func mark(n *yaml.Node, line int) {
	n.Line, n.HeadComment, n.LineComment, n.FootComment = line, "", "", ""
	if n.Kind == yaml.AliasNode {
		return
	}
	for _, c := range n.Content {
		mark(c, line)
	}
}
