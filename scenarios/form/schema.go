package form

import (
	"fmt"
	"reflect"
	"slices"

	"go.yaml.in/yaml/v4"
)

// Schema returns a JSON Schema (draft 2020-12) of the form, for editors that
// check and complete while one types. It is indented and always the same for
// the same structs.
//
// It cannot say all that Load checks: the range of a quantity stands in its
// description only, and a quantity without a pattern of its own in the glossary
// is only checked for its number.
func (f *Form) Schema(title, description string) []byte {
	b := &schemaBuilder{names: map[*shape]string{}, taken: map[string]bool{}}
	root := object{
		{"$schema", "https://json-schema.org/draft/2020-12/schema"},
		{"title", title},
	}
	if description != "" {
		root = append(root, member{"description", description})
	}
	root = append(root, b.mapping(f.root)...)
	if len(b.defs) > 0 {
		root = append(root, member{"$defs", b.defs})
	}
	return root.indented()
}

// schemaBuilder gathers one definition for each named struct.
type schemaBuilder struct {
	names map[*shape]string
	taken map[string]bool
	defs  object
}

// of returns the schema of a shape as a field uses it.
func (b *schemaBuilder) of(s *shape, f *field) object {
	switch s.kind {
	case structKind:
		return object{{"$ref", "#/$defs/" + b.define(s)}}
	case listKind:
		list := object{{"type", "array"}, {"items", b.of(s.elem, f.each())}}
		switch {
		case s.length > 0:
			list = append(list, member{"minItems", s.length}, member{"maxItems", s.length})
		case f != nil:
			if f.least > 0 {
				list = append(list, member{"minItems", f.least})
			}
			if f.most > 0 {
				list = append(list, member{"maxItems", f.most})
			}
		}
		if f == nil || !f.one {
			return list
		}
		// A list given for a list of one is the list, never its item.
		single := object{{"allOf", []object{b.of(s.elem, f.each()), {{"not", object{{"type", "array"}}}}}}}
		return object{{"oneOf", []object{list, single}}}
	case mapKind:
		o := object{{"type", "object"}, {"additionalProperties", b.of(s.elem, f.each())}}
		if f != nil && f.least > 0 {
			o = append(o, member{"minProperties", f.least})
		}
		if f != nil && f.most > 0 {
			o = append(o, member{"maxProperties", f.most})
		}
		return o
	}
	return b.scalar(s, f)
}

// scalar returns the schema of a plain value.
func (b *schemaBuilder) scalar(s *shape, f *field) object {
	if len(s.choices) > 0 {
		return object{{"enum", s.choices}}
	}
	var o object
	bounded := true
	switch s.kind {
	case boolKind:
		return object{{"enum", []any{true, false, "yes", "no"}}}
	case intKind, uintKind:
		o = object{{"type", "integer"}}
		if s.kind == uintKind && (f == nil || !f.limits.low.set) {
			o = append(o, member{"minimum", 0})
		}
	case floatKind:
		o = object{{"type", "number"}}
	case stringKind:
		o = object{{"type", []string{"string", "number", "boolean", "null"}}}
		if f != nil && f.required {
			o = object{{"type", []string{"string", "number", "boolean"}}, {"minLength", 1}}
		}
	case textKind:
		o, bounded = b.text(s)
	}
	if f == nil || !bounded {
		return o
	}
	for _, end := range []struct {
		bound
		closed, open string
	}{{f.limits.low, "minimum", "exclusiveMinimum"}, {f.limits.high, "maximum", "exclusiveMaximum"}} {
		switch {
		case end.set && end.bound.open:
			o = append(o, member{end.open, end.value})
		case end.set:
			o = append(o, member{end.closed, end.value})
		}
	}
	return o
}

// text returns the schema of a type that reads itself, and whether a number in
// it counts in the base unit, so that a range can be given.
func (b *schemaBuilder) text(s *shape) (o object, bounded bool) {
	v := reflect.New(s.typ).Elem()
	x := 0.0
	if s.read("1", v) == nil { // a bare number may be written without quotes
		x, bounded = number(v)
		o = object{{"type", []string{"string", "number"}}}
	} else {
		o = object{{"type", "string"}}
	}
	if s.words.Pattern != "" {
		o = append(o, member{"pattern", s.words.Pattern})
	}
	if e := s.words.Example; e != "" && tryText(s.typ, e) == nil {
		o = append(o, member{"examples", []string{e}})
	}
	return o, bounded && x == 1
}

// define makes the definition of a struct once and returns its name.
func (b *schemaBuilder) define(s *shape) string {
	if name, ok := b.names[s]; ok {
		return name
	}
	base := s.typ.Name()
	if base == "" {
		base = "Part"
	}
	name := base
	for i := 2; b.taken[name]; i++ {
		name = fmt.Sprintf("%s%d", base, i)
	}
	b.names[s], b.taken[name] = name, true
	i := len(b.defs)
	b.defs = append(b.defs, member{name, nil}) // keeps its place before the ones inside
	var ways []object
	if f := s.scalar; f != nil {
		ways = append(ways, described(b.of(f.shape.plain(), f.each()), f))
	}
	if f := s.list; f != nil {
		ways = append(ways, described(b.of(f.shape, &field{limits: f.limits, least: f.least, most: f.most}), f))
	}
	if len(s.row) > 0 {
		ways = append(ways, b.row(s))
	}
	if len(s.keys) > 0 {
		ways = append(ways, b.mapping(s))
	}
	if len(ways) == 1 {
		b.defs[i].value = ways[0]
	} else {
		b.defs[i].value = object{{"oneOf", ways}}
	}
	return name
}

// row is the schema of a struct written as a list of values.
func (b *schemaBuilder) row(s *shape) object {
	var places []object
	due := 0
	for _, f := range s.row {
		places = append(places, described(b.of(f.shape, f), f))
		if f.required {
			due++
		}
	}
	return object{{"type", "array"}, {"prefixItems", places}, {"items", false}, {"minItems", due}}
}

// mapping is the schema of a struct written with its keys.
func (b *schemaBuilder) mapping(s *shape) object {
	var keys object
	required := []string{}
	for _, f := range s.fields {
		if f.key == "" {
			continue
		}
		keys = append(keys, member{f.key, described(b.of(f.shape, f), f)})
		if f.required {
			required = append(required, f.key)
		}
	}
	o := object{{"type", "object"}, {"properties", keys}}
	if len(required) > 0 {
		o = append(o, member{"required", required})
	}
	return append(o, member{"additionalProperties", false})
}

// described adds what the tags of a field say.
func described(o object, f *field) object {
	doc := f.doc
	if note := f.limits.String(); note != "" {
		if doc != "" {
			doc += "; "
		}
		doc += note
	}
	if f.status != "" {
		doc += "; default: " + f.status
	}
	if doc != "" {
		o = slices.Insert(o, 0, member{"description", doc})
	}
	if f.standby != nil {
		o = append(o, member{"default", jsonValue(f.shape, f.standby)})
	}
	if f.example != "" {
		if node, bad := valueNode(f.example); bad == nil {
			o = slices.DeleteFunc(o, func(m member) bool { return m.name == "examples" })
			o = append(o, member{"examples", []any{jsonValue(f.shape, node)}})
		}
	}
	return o
}

// jsonValue turns the node of a tag into what an editor would insert: numbers
// and yes or no where the field holds them, text else.
func jsonValue(s *shape, n *yaml.Node) any {
	switch n.Kind {
	case yaml.SequenceNode:
		list := []any{}
		for i, item := range n.Content {
			inner := s
			switch {
			case s.kind == listKind:
				inner = s.elem
			case s.kind == structKind && s.list != nil:
				inner = s.list.shape.elem
			case s.kind == structKind && i < len(s.row):
				inner = s.row[i].shape
			}
			list = append(list, jsonValue(inner, item))
		}
		return list
	case yaml.MappingNode:
		o := object{}
		for _, e := range entries(n, silent) {
			inner := s.elem
			if f := s.keys[e.name]; f != nil {
				inner = f.shape
			}
			if inner != nil {
				o = append(o, member{e.name, jsonValue(inner, e.value)})
			}
		}
		return o
	}
	s = s.plain()
	for s.kind == structKind && s.scalar != nil {
		s = s.scalar.shape.plain()
	}
	v := reflect.New(s.typ).Elem()
	if s.read(n.Value, v) == nil {
		switch s.kind {
		case boolKind:
			return v.Bool()
		case intKind, uintKind, floatKind:
			return v.Interface()
		}
	}
	return n.Value
}
