package form

import (
	"fmt"

	"go.yaml.in/yaml/v4"
)

// maxUnfold is how many values all aliases together may stand for. A long text
// counts as one more value for each 64 bytes.
const maxUnfold = 10_000

// unfolding measures what the aliases of a tree stand for.
type unfolding struct {
	size, depth map[*yaml.Node]int // of anchored nodes; size -1 while inside
	total       int
	bad         *yaml.Node // where it goes too far
	message     string
}

// checkAliases refuses aliases that refer to themselves or unfold to far more
// than the file, and nesting too deep, before anything follows them. It visits
// each node once.
func (doc *Doc) checkAliases() bool {
	u := &unfolding{size: map[*yaml.Node]int{}, depth: map[*yaml.Node]int{}}
	u.measure(doc.root, 0)
	if u.bad == nil {
		return true
	}
	p := &Problem{Kind: TooLarge, Message: u.message}
	doc.put(p, u.bad.Line, u.bad.Column)
	doc.add(p)
	return false
}

// measure returns the size of a node and how many levels it has, aliases
// unfolded. The level is how many stand above it.
func (u *unfolding) measure(n *yaml.Node, level int) (size, depth int) {
	if n.Kind == yaml.AliasNode {
		size, seen := u.size[n.Alias]
		u.total += size
		switch {
		case !seen || size < 0:
			// The anchor stands before the alias, so it is measured already
			// unless the alias stands inside it.
			u.fail(n, "the alias *%s refers to itself", n.Value)
			return 1, 0
		case u.total > maxUnfold:
			u.fail(n, "the aliases up to *%s unfold to more than %d values", n.Value, maxUnfold)
		case level+u.depth[n.Alias] > maxDepth:
			u.fail(n, "the alias *%s nests more than %d levels deep", n.Value, maxDepth)
		}
		return size, u.depth[n.Alias]
	}
	if n.Anchor != "" {
		u.size[n] = -1
	}
	size = 1 + len(n.Value)/64
	if n.Kind != yaml.ScalarNode {
		if level++; level > maxDepth {
			u.fail(n, "nested more than %d levels deep", maxDepth)
		}
		for _, c := range n.Content {
			s, d := u.measure(c, level)
			size, depth = size+s, max(depth, d)
		}
		depth++
	}
	if n.Anchor != "" {
		u.size[n], u.depth[n] = size, depth
	}
	return size, depth
}

func (u *unfolding) fail(n *yaml.Node, format string, args ...any) {
	if u.bad == nil {
		u.bad, u.message = n, fmt.Sprintf(format, args...)
	}
}
