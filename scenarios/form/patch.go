package form

import (
	"strings"

	"go.yaml.in/yaml/v4"
)

// change is one replacement in the source.
type change struct {
	from, to int // bytes
	text     string
}

// patcher finds the changes that turn the source into the document.
type patcher struct {
	text    string
	starts  []int // of each line
	eol     string
	changes []change
}

// patch rewrites only what differs between the source and the tree.
func (doc *Doc) patch() ([]byte, bool) {
	mark, text := "", string(doc.source)
	if rest, ok := strings.CutPrefix(text, byteOrderMark); ok {
		mark, text = byteOrderMark, rest
	}
	tree, bad := parse(text)
	if bad != nil {
		return nil, false
	}
	p := &patcher{text: text, starts: lineStarts(text), eol: "\n"}
	if strings.Contains(text, "\r\n") {
		p.eol = "\r\n"
	}
	if !p.compare(tree.Content[0], doc.root) {
		return nil, false
	}
	var b strings.Builder
	b.WriteString(mark)
	last := 0
	for _, c := range p.changes { // in order, as the tree is
		if c.from < last || c.to < c.from {
			return nil, false
		}
		b.WriteString(text[last:c.from])
		b.WriteString(c.text)
		last = c.to
	}
	b.WriteString(text[last:])
	if !doc.reads(b.String()) {
		return nil, false
	}
	return []byte(b.String()), true
}

// compare notes the changes from a node of the source to one of the document;
// false means that they cannot be made in place.
func (p *patcher) compare(old, now *yaml.Node) bool {
	switch {
	case same(old, now):
		return true
	case old.Anchor != "" || now.Anchor != "":
		return false
	case old.Kind == yaml.MappingNode && now.Kind == yaml.MappingNode:
		return p.compareMappings(old, now)
	case old.Kind == yaml.SequenceNode && now.Kind == yaml.SequenceNode && p.compareLists(old, now):
		return true
	}
	from, to := p.span(old)
	text, ok := flow(now)
	if to < 0 || !ok {
		return false
	}
	if from == to { // nothing stood here: "key:"
		text = " " + text
	}
	p.changes = append(p.changes, change{from, to, text})
	return true
}

// compareLists handles changed and removed items.
func (p *patcher) compareLists(old, now *yaml.Node) bool {
	before := len(p.changes)
	j := 0
	for i, item := range old.Content {
		more := len(old.Content)-i > len(now.Content)-j
		switch {
		case j < len(now.Content) && (!more || same(item, now.Content[j]) || nameOf(item) != "" && nameOf(item) == nameOf(now.Content[j])):
			if !p.compare(item, now.Content[j]) {
				p.changes = p.changes[:before]
				return false
			}
			j++
		case !more || !p.removeLines(old, item, item, "-"):
			p.changes = p.changes[:before]
			return false
		}
	}
	return j == len(now.Content)
}

// compareMappings handles changed, removed and added keys.
func (p *patcher) compareMappings(old, now *yaml.Node) bool {
	j := 0
	for i := 0; i+1 < len(old.Content); i += 2 {
		key := old.Content[i]
		if j+1 < len(now.Content) && same(key, now.Content[j]) {
			if !p.compare(old.Content[i+1], now.Content[j+1]) {
				return false
			}
			j += 2
		} else if !p.removeLines(old, key, old.Content[i+1], "") {
			return false
		}
	}
	for ; j+1 < len(now.Content); j += 2 {
		if !p.insert(old, now.Content[j], now.Content[j+1]) {
			return false
		}
	}
	return true
}

// removeLines deletes the lines of an entry of a block mapping or list, from
// its start to the end of its value, with the comment lines right above it.
// Nothing but the lead may stand before it in its first line.
func (p *patcher) removeLines(old, start, value *yaml.Node, lead string) bool {
	last, at := p.lastLine(value), p.offset(start)
	if old.Style&yaml.FlowStyle != 0 || last < 0 || at < 0 {
		return false
	}
	if strings.TrimSpace(p.text[p.starts[start.Line-1]:at]) != lead {
		return false
	}
	first := start.Line
	if c := start.HeadComment; c != "" {
		first -= strings.Count(c, "\n") + 1
	}
	end := len(p.text)
	if last < len(p.starts) {
		end = p.starts[last]
	}
	if first < 1 {
		return false
	}
	p.changes = append(p.changes, change{p.starts[first-1], end, ""})
	return true
}

// insert adds an entry after the last one of a mapping.
func (p *patcher) insert(old, key, value *yaml.Node) bool {
	k, ok := flow(key)
	v, fine := flow(value)
	if !ok || !fine || len(old.Content) == 0 && old.Style&yaml.FlowStyle == 0 {
		return false
	}
	if old.Style&yaml.FlowStyle != 0 {
		_, to := p.span(old)
		if to < 0 {
			return false
		}
		text := k + ": " + v
		if len(old.Content) > 0 {
			text = ", " + text
		}
		p.changes = append(p.changes, change{to - 1, to - 1, text})
		return true
	}
	last := p.lastLine(old)
	if last < 0 {
		return false
	}
	text := strings.Repeat(" ", old.Content[0].Column-1) + k + ": " + v + p.eol
	at := len(p.text)
	if last < len(p.starts) {
		at = p.starts[last]
	} else if !strings.HasSuffix(p.text, p.eol) {
		text = p.eol + text
	}
	p.changes = append(p.changes, change{at, at, text})
	return true
}
