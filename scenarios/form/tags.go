package form

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
)

// CheckTags verifies the definitions below a struct type: every tag is known,
// every default, min, max, above, below and example reads as its field does
// and lies in its range, and every key has a line of doc. It is meant for one
// test beside the structs.
func CheckTags(t reflect.Type, g Glossary) error {
	f, err := compile(t, g)
	var errs []error
	if err != nil {
		errs = append(errs, err)
	}
	f.eachStruct(func(s *shape) {
		for _, one := range s.fields {
			if one.doc == "" && one.key != "" {
				errs = append(errs, fmt.Errorf("%s: has no doc", one.goName))
			}
		}
	})
	return errors.Join(errs...)
}

// eachStruct visits each struct shape once.
func (f *Form) eachStruct(visit func(*shape)) {
	seen := map[*shape]bool{}
	var walk func(*shape)
	walk = func(s *shape) {
		if s == nil || seen[s] {
			return
		}
		seen[s] = true
		if s.kind == structKind {
			visit(s)
		}
		walk(s.elem)
		for _, one := range s.fields {
			walk(one.shape)
		}
	}
	walk(f.root)
}

// tags reads the tags beside the key. Values are checked later, when all
// shapes are there, by checkValues.
func (c *compiler) tags(f *field, tag reflect.StructTag) {
	for _, name := range tagNames(string(tag)) {
		if !slices.Contains([]string{"key", "doc", "default", "status", "example", "min", "max", "above", "below", "items", "json"}, name) {
			c.fail(f.goName, "unknown tag %q", name)
		}
	}
	c.bound(f, tag, "min", &f.limits.low, false)
	c.bound(f, tag, "above", &f.limits.low, true)
	c.bound(f, tag, "max", &f.limits.high, false)
	c.bound(f, tag, "below", &f.limits.high, true)
	if l := f.limits; l.low.set && l.high.set && (l.low.value > l.high.value || l.low.value == l.high.value && (l.low.open || l.high.open)) {
		c.fail(f.goName, "its range %s is empty", l)
	}
	c.items(f, tag)
	if text, ok := tag.Lookup("default"); ok {
		node, err := valueNode(text)
		if err != nil {
			c.fail(f.goName, "default: %s", err.message)
			return
		}
		f.fallback, f.standby = text, node
		if f.required {
			c.fail(f.goName, "is required, so its default is never used")
		}
	}
}

// bound reads one end of a range, in the type's own text or as a bare number.
func (c *compiler) bound(f *field, tag reflect.StructTag, name string, b *bound, open bool) {
	text, ok := tag.Lookup(name)
	if !ok {
		return
	}
	if b.set {
		c.fail(f.goName, "%s: this end of the range is set already", name)
	}
	s := f.shape.plain()
	v := reflect.New(s.typ).Elem()
	if _, ok := number(v); !ok {
		c.fail(f.goName, "%s is for numbers and quantities", name)
		return
	}
	words := text
	if err := s.read(text, v); err != nil {
		x, err := strconv.ParseFloat(text, 64)
		if err != nil {
			c.fail(f.goName, "%s: %q is neither %s nor a number", name, text, s.brief())
			return
		}
		if !v.CanFloat() {
			c.fail(f.goName, "%s: %q does not fit %v", name, text, s.typ)
			return
		}
		v.SetFloat(x)
		if str, ok := v.Interface().(fmt.Stringer); ok {
			words = str.String()
		}
	}
	x, _ := number(v)
	*b = bound{value: x, words: words, set: true, open: open}
}

// items reads "2..40", "2..", "..40" or "12".
func (c *compiler) items(f *field, tag reflect.StructTag) {
	text, ok := tag.Lookup("items")
	if !ok {
		return
	}
	if f.shape.kind != listKind && f.shape.kind != mapKind {
		c.fail(f.goName, "items is for lists and maps")
	}
	low, high, ranged := strings.Cut(text, "..")
	if !ranged {
		high = low
	}
	for _, end := range []struct {
		text string
		into *int
	}{{low, &f.least}, {high, &f.most}} {
		n, err := strconv.ParseUint(end.text, 10, 16)
		if err != nil && end.text != "" {
			c.fail(f.goName, "items: %q is no count", text)
		}
		*end.into = int(n)
	}
	if text == ".." || text == "" || f.most > 0 && f.least > f.most {
		c.fail(f.goName, "items: %q is no range of counts", text)
	}
}

// checkForms verifies that the short forms of a struct make sense together.
func (c *compiler) checkForms(s *shape) {
	where := s.typ.Name()
	if f := s.list; f != nil && f.shape.kind != listKind {
		c.fail(f.goName, "option list is for slices and arrays")
	}
	if s.list != nil && len(s.row) > 0 {
		c.fail(where, "a list cannot be both its list field and its row")
	}
	optional := false
	for _, f := range s.row {
		if f.required && optional {
			c.fail(f.goName, "a required row field after an optional one")
		}
		optional = optional || !f.required
	}
	for _, f := range s.fields {
		other := f.required && f != s.scalar && f != s.list && !slices.Contains(s.row, f)
		if other && (s.scalar != nil || s.list != nil || len(s.row) > 0) {
			c.fail(f.goName, "is required, so the short form of %s can never be used", where)
		}
	}
	if len(s.fields) == 0 {
		c.fail(where, "has no keys")
	}
}

// checkValues verifies what needs the whole form: defaults and examples
// through the reader itself, and absent structs that would stay half empty.
func (c *compiler) checkValues(f *Form) {
	f.eachStruct(func(s *shape) {
		if s.scalar != nil && !s.takesPlain(nil) {
			c.fail(s.scalar.goName, "option scalar: a plain value cannot be read into it")
		}
	})
	if len(c.errs) > 0 {
		return
	}
	f.eachStruct(func(s *shape) {
		for _, one := range s.fields {
			if one.standby != nil {
				if p := f.trial(one, one.fallback); p != nil {
					c.fail(one.goName, "default: %s", p.Message)
				}
			}
			if one.example != "" {
				if p := f.trial(one, one.example); p != nil {
					c.fail(one.goName, "example: %s", p.Message)
				}
			}
			inner := one.shape
			if inner.kind == structKind && !one.pointer && !one.required && one.standby == nil && inner.demands(nil) {
				c.fail(one.goName, "has required keys inside, so make it required or a pointer")
			}
		}
	})
}

// takesPlain tells whether a plain value can be read into a shape in the end.
func (s *shape) takesPlain(seen []*shape) bool {
	switch s.kind {
	case mapKind:
		return false
	case listKind: // as a list of one
		return s.elem.kind != listKind && s.length <= 1 && s.elem.takesPlain(seen)
	case structKind:
		return s.scalar != nil && !slices.Contains(seen, s) && s.scalar.shape.takesPlain(append(seen, s))
	}
	return true
}

// demands tells whether an absent struct would miss a required key.
func (s *shape) demands(seen []*shape) bool {
	if slices.Contains(seen, s) {
		return false
	}
	for _, f := range s.fields {
		if f.required || f.shape.kind == structKind && !f.pointer && f.standby == nil && f.shape.demands(append(seen, s)) {
			return true
		}
	}
	return false
}

// trial reads a text as the value of a field and returns the first problem.
func (f *Form) trial(one *field, text string) *Problem {
	node, bad := valueNode(text)
	if bad != nil {
		return &Problem{Message: bad.message}
	}
	doc := &Doc{form: f}
	d := &decoder{doc: doc}
	d.value(&frame{node: node}, one.shape, one, reflect.New(one.shape.typ).Elem())
	if len(doc.problems) > 0 {
		return doc.problems[0]
	}
	return nil
}

// tagNames lists the names in a struct tag: name:"value" pairs with spaces
// between, as reflect.StructTag reads them.
func tagNames(tag string) []string {
	var names []string
	for tag != "" {
		name, rest, ok := strings.Cut(strings.TrimLeft(tag, " "), ":")
		if !ok {
			break
		}
		names = append(names, name)
		quoted, err := strconv.QuotedPrefix(rest)
		if err != nil {
			return append(names, tag) // malformed: reported as unknown
		}
		tag = rest[len(quoted):]
	}
	return names
}
