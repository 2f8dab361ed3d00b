package form

import (
	"errors"
	"fmt"
	"reflect"
)

// Form is what a struct type says about its document. It never changes after
// Of, so it can be shared.
type Form struct {
	root     *shape
	glossary Glossary
	places   map[string][]string // folded key: the places it belongs to, in words
}

// Of compiles the struct type T and those below it. It panics when their tags
// contradict themselves; see CheckTags for a test of them. The glossary may be
// nil.
func Of[T any](g Glossary) *Form {
	f, err := compile(reflect.TypeFor[T](), g)
	if err != nil {
		panic("form: " + err.Error())
	}
	return f
}

func compile(t reflect.Type, g Glossary) (*Form, error) {
	c := &compiler{glossary: g, done: map[reflect.Type]*shape{}}
	f := &Form{glossary: g, places: map[string][]string{}}
	f.root = c.shape(t, t.String())
	if f.root.kind != structKind {
		c.fail(t.String(), "a form needs a struct")
		return f, errors.Join(c.errs...)
	}
	if f.root.scalar != nil || f.root.list != nil || len(f.root.row) > 0 {
		c.fail(t.String(), "the outermost struct has no short forms")
	}
	if len(c.errs) == 0 {
		c.checkValues(f)
	}
	f.settle(f.root, "", nil)
	return f, errors.Join(c.errs...)
}

// settle notes where each key belongs, for hints about misplaced ones.
func (f *Form) settle(s *shape, under string, above []*shape) {
	for _, a := range above {
		if a == s {
			return
		}
	}
	above = append(above, s)
	place := "at the top level"
	if under != "" {
		place = "under " + under
	}
	for _, one := range s.fields {
		path := under
		if one.key != "" {
			f.places[fold(one.key)] = append(f.places[fold(one.key)], place)
			path = one.key
			if under != "" {
				path = under + "." + one.key
			}
		}
		inner := one.shape
		for inner.kind == listKind || inner.kind == mapKind {
			if inner.kind == listKind && !one.one {
				path = "an item of " + path
			} else if inner.kind == mapKind {
				path = "a value of " + path
			}
			inner = inner.elem
		}
		if inner.kind == structKind {
			f.settle(inner, path, above)
		}
	}
}

// Load reads one document into the struct that into points to, after applying
// the overrides, and returns it for later checks. The error is a *Problems
// with all that is wrong; the document is never nil, so that more can be
// added to the same list with Doc.Problem, but after an error into is only
// partly filled. The name stands in front of each message.
//
// What the document does not mention takes its default, or is left as it was
// in into.
func (f *Form) Load(name string, src []byte, overrides []Override, into any) (*Doc, error) {
	v := reflect.ValueOf(into)
	if v.Kind() != reflect.Pointer || v.IsNil() || v.Elem().Type() != f.root.typ {
		panic(fmt.Sprintf("form: Load into %T, want a *%v", into, f.root.typ))
	}
	doc := read(f, name, src)
	if doc.root == nil {
		return doc, doc.Err()
	}
	for i, o := range overrides {
		doc.overrides = append(doc.overrides, o)
		doc.set(i, o)
	}
	if len(overrides) > 0 && !doc.checkAliases() {
		doc.root = nil
		return doc, doc.Err()
	}
	d := &decoder{doc: doc}
	d.value(&frame{node: doc.root}, f.root, nil, v.Elem())
	return doc, doc.Err()
}

// Load compiles the type of into and reads one document into it, with
// overrides from the flag --set. See Form.Load.
func Load(name string, src []byte, overrides []string, into any) (*Doc, error) {
	t := reflect.TypeOf(into)
	if t == nil || t.Kind() != reflect.Pointer {
		panic(fmt.Sprintf("form: Load into %T, want a pointer to a struct", into))
	}
	f, err := compile(t.Elem(), nil)
	if err != nil {
		panic("form: " + err.Error())
	}
	return f.Load(name, src, Sets(overrides), into)
}
