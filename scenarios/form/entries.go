package form

import (
	"fmt"

	"go.yaml.in/yaml/v4"
)

// entry is a key of a mapping with its value.
type entry struct {
	key   *yaml.Node
	name  string
	value *yaml.Node
}

// isMerge tells whether a key is the merge key <<, which quotes make an
// ordinary text.
func isMerge(key *yaml.Node) bool { return key.ShortTag() == "!!merge" }

// entries returns the entries of a mapping in their order, then those merged
// into it that it does not give itself. The complaint is called for each key
// that cannot count.
func entries(n *yaml.Node, complain func(at *yaml.Node, bad fault)) []entry {
	var all []entry
	first := map[string]*yaml.Node{}
	var merges []*yaml.Node
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		plain := follow(key)
		if plain.Kind != yaml.ScalarNode || plain.Style&yaml.TaggedStyle != 0 {
			complain(key, fault{kind: WrongKind, message: "a key must be a text", want: "a text"})
			continue
		}
		name := plain.Value
		if earlier := first[name]; earlier != nil {
			message := fmt.Sprintf("duplicate key %s", quote(name))
			if earlier.Line > 0 {
				message += fmt.Sprintf(", first given in line %d", earlier.Line)
			}
			complain(key, fault{kind: DuplicateKey, message: message, hint: "keep one of them"})
			continue
		}
		first[name] = key
		if isMerge(plain) {
			merges = append(merges, value)
			continue
		}
		all = append(all, entry{key, name, value})
	}
	for _, m := range merges {
		for _, e := range merged(m, complain) {
			if first[e.name] == nil {
				first[e.name] = e.key
				all = append(all, e)
			}
		}
	}
	return all
}

// merged returns what a merge key brings in: a mapping, or a list of them of
// which earlier ones prevail.
func merged(value *yaml.Node, complain func(*yaml.Node, fault)) []entry {
	n := follow(value)
	switch n.Kind {
	case yaml.MappingNode:
		return entries(n, complain)
	case yaml.SequenceNode:
		var all []entry
		for _, item := range n.Content {
			if follow(item).Kind != yaml.MappingNode {
				complain(item, fault{kind: WrongKind, message: "a merge << takes mappings only", want: "a mapping"})
				continue
			}
			all = append(all, entries(follow(item), complain)...)
		}
		return all
	}
	complain(value, fault{kind: WrongKind, message: "a merge << takes a mapping or a list of mappings", want: "a mapping"})
	return nil
}

func silent(*yaml.Node, fault) {}

// lookup returns the value of a key in a mapping, merged ones included, or nil.
func lookup(n *yaml.Node, name string) *yaml.Node {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if key := follow(n.Content[i]); key.Kind == yaml.ScalarNode && key.Value == name && !isMerge(key) {
			return n.Content[i+1]
		}
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		if isMerge(follow(n.Content[i])) {
			for _, e := range merged(n.Content[i+1], silent) {
				if e.name == name {
					return e.value
				}
			}
		}
	}
	return nil
}
