package form

import (
	"slices"
	"strings"
)

// Key is one line of the reference: a key of the document and what it takes.
type Key struct {
	Path     string   // like loads[].draws; <name> stands for the keys of a map
	Words    string   // what is written there: "a charge, like 2 x 115 Ah"
	Unit     string   // base unit of a quantity, or ""
	Default  string   // as in the default tag, or ""
	Status   string   // where the default comes from, or ""
	Range    string   // "from 1 Ah to 10000 Ah", or ""
	Items    string   // how many items of a list, "at least 2 items", or ""
	Example  string   // or ""
	Doc      string   // the doc tag
	Choices  []string // the words allowed, or nil
	Required bool
}

// Facts tells what a key takes, in a few words each: what is written there, the
// default with where it comes from, the range.
func (k *Key) Facts() []string {
	var absent string
	switch {
	case k.Required:
		absent = "required"
	case k.Default != "":
		absent = strings.TrimSuffix("default "+k.Default+": "+k.Status, ": ")
	case k.Status != "":
		absent = "if absent: " + k.Status
	}
	facts := []string{k.Words, absent, k.Range, k.Items}
	return slices.DeleteFunc(facts, func(f string) bool { return f == "" })
}

// Reference lists all keys in the order of the structs, each struct's keys
// below its own. A struct that holds itself is not entered again.
func (f *Form) Reference() []Key {
	var keys []Key
	var walk func(s *shape, under string, above []*shape)
	walk = func(s *shape, under string, above []*shape) {
		if slices.Contains(above, s) {
			return
		}
		above = append(above[:len(above):len(above)], s)
		for _, one := range s.fields {
			path := under
			plain := one.shape.plain()
			if one.key != "" {
				path = join(under, []step{{name: one.key}})
				keys = append(keys, Key{
					Path: path, Words: one.words(), Unit: plain.words.Unit, Default: one.fallback, Status: one.status,
					Range: one.limits.String(), Items: one.counts(), Example: one.specimen(), Doc: one.doc,
					Choices: plain.choices, Required: one.required,
				})
			}
			inner := one.shape
			for inner.kind == listKind || inner.kind == mapKind {
				if inner.kind == listKind {
					path += "[]"
				} else {
					path += ".<name>"
				}
				inner = inner.elem
			}
			if inner.kind == structKind {
				walk(inner, path, above)
			}
		}
	}
	walk(f.root, "", nil)
	return keys
}

// words says what a key takes, including the short form of a list of one.
func (f *field) words() string {
	w := f.shape.want()
	if f.one {
		w = f.shape.elem.brief() + ", or " + w
	}
	return w
}
