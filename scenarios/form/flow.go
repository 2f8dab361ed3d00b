package form

import (
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"
)

// flow writes a value on one line, as it may stand in a list in brackets and
// so everywhere. It cannot write anchors and aliases.
func flow(n *yaml.Node) (text string, ok bool) {
	if n.Anchor != "" || n.Kind == yaml.AliasNode {
		return "", false
	}
	if n.Kind == yaml.ScalarNode {
		return flowScalar(n), true
	}
	parts := make([]string, len(n.Content))
	for i, c := range n.Content {
		if parts[i], ok = flow(c); !ok {
			return "", false
		}
	}
	if n.Kind == yaml.SequenceNode {
		return "[" + strings.Join(parts, ", ") + "]", true
	}
	var entries []string
	for i := 0; i+1 < len(parts); i += 2 {
		entries = append(entries, parts[i]+": "+parts[i+1])
	}
	return "{" + strings.Join(entries, ", ") + "}", true
}

// flowScalar writes a text without quotes where it reads back the same.
func flowScalar(n *yaml.Node) string {
	tree, bad := parse("[" + n.Value + "]")
	if bad == nil && len(tree.Content[0].Content) == 1 && same(tree.Content[0].Content[0], n) && !strings.ContainsAny(n.Value, "\r\n\t") {
		return n.Value
	}
	if !strings.ContainsFunc(n.Value, func(r rune) bool { return !strconv.IsPrint(r) }) {
		return "'" + strings.ReplaceAll(n.Value, "'", "''") + "'"
	}
	return strconv.Quote(n.Value) // its escapes are among those of YAML
}
