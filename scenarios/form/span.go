package form

import (
	"strings"

	"go.yaml.in/yaml/v4"
)

// lineStarts returns the offset of each line.
func lineStarts(text string) []int {
	starts := []int{0}
	for i := 0; i < len(text); i++ {
		if text[i] == '\n' || text[i] == '\r' && (i+1 == len(text) || text[i+1] != '\n') {
			starts = append(starts, i+1)
		}
	}
	return starts
}

// offset returns where a node starts in the text.
func (p *patcher) offset(n *yaml.Node) int {
	if n.Line < 1 || n.Line > len(p.starts) {
		return -1
	}
	at := p.starts[n.Line-1]
	for range n.Column - 1 {
		if at >= len(p.text) {
			return -1
		}
		at += runeLen(p.text[at:])
	}
	return at
}

func runeLen(s string) int {
	for i := range s {
		if i > 0 {
			return i
		}
	}
	return len(s)
}

// lastLine returns the line a node ends in, -1 if that is not certain.
func (p *patcher) lastLine(n *yaml.Node) int {
	if n.Kind == yaml.ScalarNode || n.Kind == yaml.AliasNode || n.Style&yaml.FlowStyle != 0 {
		_, to := p.span(n)
		if to < 0 {
			return -1
		}
		line := n.Line
		for line < len(p.starts) && p.starts[line] < to {
			line++
		}
		return line
	}
	if len(n.Content) == 0 {
		return -1
	}
	return p.lastLine(n.Content[len(n.Content)-1])
}

// span returns where a node starts and ends in the text; to is -1 for what
// spans lines in other ways than brackets.
func (p *patcher) span(n *yaml.Node) (from, to int) {
	from = p.offset(n)
	if from < 0 || n.Style&yaml.TaggedStyle != 0 || n.Anchor != "" {
		return from, -1
	}
	rest := p.text[from:]
	value := n.Value
	switch {
	case n.Kind == yaml.AliasNode:
		value = "*" + n.Value
	case n.Kind != yaml.ScalarNode && n.Style&yaml.FlowStyle != 0:
		return from, closing(p.text, from)
	case n.Kind != yaml.ScalarNode, n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		return from, -1
	case n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0:
		return from, closing(p.text, from)
	}
	if !strings.HasPrefix(rest, value) {
		return from, -1
	}
	return from, from + len(value)
}

// closing returns the offset after the quote or bracket that matches the one
// at the start, -1 for none. What it takes for one is checked by reading the
// result again.
func closing(text string, from int) int {
	depth := 0
	for i := from; i < len(text); i++ {
		switch c := text[i]; c {
		case '"', '\'':
			if i > from && strings.IndexByte(" ,[{:\n", text[i-1]) < 0 {
				continue // inside a plain text
			}
			end := closingQuote(text, i)
			if end < 0 || depth == 0 {
				return end
			}
			i = end - 1
		case '#':
			if i > from && strings.IndexByte(" \t\n", text[i-1]) >= 0 {
				for i < len(text) && text[i] != '\n' {
					i++
				}
			}
		case '[', '{':
			depth++
		case ']', '}':
			if depth--; depth == 0 {
				return i + 1
			}
		}
	}
	return -1
}

// closingQuote returns the offset after the quote that ends a quoted text.
func closingQuote(text string, from int) int {
	for i := from + 1; i < len(text); i++ {
		switch {
		case text[i] == '\\' && text[from] == '"':
			i++
		case text[i] != text[from]:
		case text[from] == '\'' && i+1 < len(text) && text[i+1] == '\'':
			i++
		default:
			return i + 1
		}
	}
	return -1
}
