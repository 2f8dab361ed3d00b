package form

import (
	"fmt"
	"reflect"
	"strings"

	"go.yaml.in/yaml/v4"
)

// decoder walks the tree beside the shapes and fills Go values.
type decoder struct{ doc *Doc }

// stopped tells that enough problems are known; nothing more is read.
func (d *decoder) stopped() bool { return d.doc.more }

// report adds a fault at the value of a frame, or at another node near it.
func (d *decoder) report(at *frame, bad fault) *Problem {
	p := &Problem{Kind: bad.kind, Message: bad.message, Want: bad.want, Hint: bad.hint, Path: at.path()}
	if n := follow(at.node); n != nil && n.Kind == yaml.ScalarNode {
		p.Text = n.Value
	}
	p.about = p.Path
	line, column := at.where(bad.kind != MissingKey)
	d.place(p, at, line, column)
	return d.doc.add(p)
}

// reportKey adds a fault of a key inside the mapping of a frame.
func (d *decoder) reportKey(at *frame, key *yaml.Node, name string, bad fault) {
	p := &Problem{
		Kind: bad.kind, Message: bad.message, Want: bad.want, Hint: bad.hint,
		Path: join(at.path(), []step{{name: name}}), Text: name, about: at.path(),
	}
	d.place(p, at, key.Line, key.Column)
	d.doc.add(p)
}

// place puts a problem; the path an override names already is not repeated.
func (d *decoder) place(p *Problem, at *frame, line, column int) {
	d.doc.put(p, line, column)
	if line < 0 && at.depth() <= d.doc.overrides[-line-1].depth() {
		p.about = ""
	}
}

// value reads the node of a frame into v. The field holds ranges and options
// and may be nil.
func (d *decoder) value(at *frame, s *shape, f *field, v reflect.Value) {
	if d.stopped() {
		return
	}
	n := follow(at.node)
	if v.Kind() == reflect.Pointer {
		v.Set(reflect.New(v.Type().Elem()))
		v = v.Elem()
	}
	if n.Style&yaml.TaggedStyle != 0 {
		d.report(at, fault{kind: WrongKind, message: fmt.Sprintf("the tag %s is not used here", quote(n.Tag)), hint: "remove it"})
		return
	}
	if blank(n) || s.kind != stringKind && n.Kind == yaml.ScalarNode && n.ShortTag() == "!!null" {
		d.nothing(at, s, f)
		return
	}
	switch s.kind {
	case structKind:
		d.structure(at, n, s, v)
	case listKind:
		d.list(at, n, s, f, v)
	case mapKind:
		d.mapping(at, n, s, f, v)
	default:
		if n.Kind != yaml.ScalarNode {
			d.wrong(at, n, s)
			return
		}
		d.scalar(at, n, s, f, v)
	}
}

// nothing reports a key without a value.
func (d *decoder) nothing(at *frame, s *shape, f *field) {
	bad := fault{kind: WrongKind, message: "has no value", want: s.want()}
	switch {
	case f != nil && f.standby != nil:
		bad.hint = "leave the key out for the default, " + f.fallback
	case f != nil && f.example != "":
		bad.hint = "write something like " + f.example
	default:
		bad.hint = "it must be " + s.want()
	}
	d.report(at, bad)
}

// wrong reports a value of the wrong kind.
func (d *decoder) wrong(at *frame, n *yaml.Node, s *shape) {
	got := "a list"
	switch n.Kind {
	case yaml.MappingNode:
		got = "a mapping"
	case yaml.ScalarNode:
		got = "the text " + quote(n.Value)
	}
	d.report(at, fault{kind: WrongKind, message: "must be " + s.want() + "; this is " + got, want: s.want()})
}

// structure reads a struct from a mapping or from one of its short forms.
func (d *decoder) structure(at *frame, n *yaml.Node, s *shape, v reflect.Value) {
	given := map[*field]bool{}
	switch {
	case n.Kind == yaml.ScalarNode && s.scalar != nil:
		given[s.scalar] = true
		d.value(at, s.scalar.shape, s.scalar.alone(), v.FieldByIndex(s.scalar.index))
	case n.Kind == yaml.SequenceNode && s.list != nil:
		given[s.list] = true
		d.value(at, s.list.shape, s.list, v.FieldByIndex(s.list.index))
	case n.Kind == yaml.SequenceNode && len(s.row) > 0:
		if len(n.Content) > len(s.row) {
			d.report(at, fault{kind: WrongKind, want: s.want(), message: fmt.Sprintf("has %d values; it must be %s", len(n.Content), s.want())})
			return
		}
		for i, item := range n.Content {
			one := s.row[i]
			given[one] = true
			d.value(&frame{up: at, name: one.name(), node: item}, one.shape, one, v.FieldByIndex(one.index))
		}
	case n.Kind == yaml.MappingNode && len(s.keys) > 0:
		d.keys(at, n, s, v, given)
	default:
		d.wrong(at, n, s)
		return
	}
	d.finish(at, s, v, given)
}

// alone is the field as it reads a plain value in place of its struct.
func (f *field) alone() *field {
	one := *f
	one.one = true
	return &one
}

// keys reads the entries of a mapping into a struct.
func (d *decoder) keys(at *frame, n *yaml.Node, s *shape, v reflect.Value, given map[*field]bool) {
	complain := func(key *yaml.Node, bad fault) { d.reportKey(at, key, follow(key).Value, bad) }
	for _, e := range entries(n, complain) {
		if d.stopped() {
			return
		}
		f := s.keys[e.name]
		if f == nil {
			hint, meant := d.doc.form.keyHint(s, e.name)
			if meant != nil {
				given[meant] = true // its absence is the same mistake
			}
			d.reportKey(at, e.key, e.name, fault{kind: UnknownKey, message: "unknown key " + quote(e.name), hint: hint})
			continue
		}
		given[f] = true
		d.value(&frame{up: at, key: e.key, name: e.name, node: e.value}, f.shape, f, v.FieldByIndex(f.index))
	}
}

// finish gives the fields not mentioned their defaults and misses the required.
func (d *decoder) finish(at *frame, s *shape, v reflect.Value, given map[*field]bool) {
	for _, f := range s.fields {
		if given[f] || d.stopped() {
			continue
		}
		switch {
		case f.required:
			bad := fault{kind: MissingKey, message: fmt.Sprintf("the key %q is missing", f.key), want: f.shape.want()}
			if f.key == "" {
				bad.message = "has no " + f.name()
			} else if bad.hint = f.doc; f.specimen() != "" {
				bad.hint = strings.TrimPrefix(fmt.Sprintf("%s; write something like %s: %s", f.doc, f.key, f.specimen()), "; ")
			}
			p := d.report(at, bad)
			p.Path, p.Text = join(at.path(), []step{{name: f.name()}}), ""
		case f.standby != nil:
			d.value(&frame{up: at, name: f.key, node: f.standby}, f.shape, f, v.FieldByIndex(f.index))
		case f.shape.kind == structKind && !f.pointer:
			d.finish(&frame{up: at, name: f.key, key: at.key, node: at.node}, f.shape, v.FieldByIndex(f.index), map[*field]bool{})
		}
	}
}

// specimen is an example of the field's value, or "".
func (f *field) specimen() string {
	if f.example != "" {
		return f.example
	}
	if s := f.shape; s.kind == textKind && tryText(s.typ, s.words.Example) == nil {
		return s.words.Example
	}
	return ""
}

// list reads a slice or an array.
func (d *decoder) list(at *frame, n *yaml.Node, s *shape, f *field, v reflect.Value) {
	single := n.Kind != yaml.SequenceNode
	if single && (f == nil || !f.one) {
		d.wrong(at, n, s)
		return
	}
	items := []*yaml.Node{at.node}
	if !single {
		items = n.Content
	}
	if s.length > 0 && len(items) != s.length {
		want := fmt.Sprintf("a list of %d items", s.length)
		d.report(at, fault{kind: OutOfRange, message: fmt.Sprintf("has %d items; it must be %s", len(items), want), want: want})
		return
	}
	d.count(at, f, len(items))
	into := v
	if s.length == 0 {
		into = reflect.MakeSlice(s.typ, 0, min(len(items), 64))
	}
	for i, item := range items {
		if d.stopped() {
			return
		}
		if s.length == 0 {
			into = reflect.Append(into, reflect.Zero(s.typ.Elem()))
		}
		below := at
		if !single {
			below = &frame{up: at, list: n, index: i, node: item}
		}
		d.value(below, s.elem, f.each(), into.Index(i))
	}
	if s.length == 0 {
		v.Set(into)
	}
}

// each is the field as it applies to the items of its list: ranges hold, the
// options of the list do not.
func (f *field) each() *field {
	if f == nil {
		return nil
	}
	return &field{limits: f.limits}
}

// count checks the number of items.
func (d *decoder) count(at *frame, f *field, n int) {
	if f == nil || n >= f.least && (f.most == 0 || n <= f.most) {
		return
	}
	want := f.counts()
	d.report(at, fault{kind: OutOfRange, message: fmt.Sprintf("has %s; want %s", plural(n), want), want: want})
}

// counts says how many items are due, "" for any number.
func (f *field) counts() string {
	switch {
	case f.least == f.most && f.most > 0:
		return plural(f.most)
	case f.least > 0 && f.most > 0:
		return fmt.Sprintf("%d to %s", f.least, plural(f.most))
	case f.least > 0:
		return "at least " + plural(f.least)
	case f.most > 0:
		return "at most " + plural(f.most)
	}
	return ""
}

func plural(n int) string {
	if n == 1 {
		return "1 item"
	}
	return fmt.Sprintf("%d items", n)
}

// mapping reads a map from text.
func (d *decoder) mapping(at *frame, n *yaml.Node, s *shape, f *field, v reflect.Value) {
	if n.Kind != yaml.MappingNode {
		d.wrong(at, n, s)
		return
	}
	complain := func(key *yaml.Node, bad fault) { d.reportKey(at, key, follow(key).Value, bad) }
	all := entries(n, complain)
	d.count(at, f, len(all))
	into := reflect.MakeMap(s.typ)
	for _, e := range all {
		if d.stopped() {
			return
		}
		one := reflect.New(s.typ.Elem()).Elem()
		d.value(&frame{up: at, key: e.key, name: e.name, node: e.value}, s.elem, f.each(), one)
		into.SetMapIndex(reflect.ValueOf(e.name).Convert(s.typ.Key()), one)
	}
	v.Set(into)
}
