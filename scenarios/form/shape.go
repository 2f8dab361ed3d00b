package form

import (
	"encoding"
	"fmt"
	"math"
	"reflect"
	"strings"

	"go.yaml.in/yaml/v4"
)

type kind uint8

const (
	textKind   kind = iota + 1 // an encoding.TextUnmarshaler
	stringKind                 // any scalar as written
	boolKind
	intKind
	uintKind
	floatKind
	structKind
	listKind
	mapKind
)

// shape is how one Go type is written in a document. Pointers are seen
// through. Shapes of struct types are shared, so they may be recursive.
type shape struct {
	kind    kind
	typ     reflect.Type
	elem    *shape // of lists and maps
	length  int    // of arrays; 0 for slices
	words   Words  // of texts
	choices []string

	fields []*field // of structs, in order, embedded ones joined in
	keys   map[string]*field
	scalar *field   // takes a plain value given in place of the struct
	list   *field   // takes a list given in place of the struct
	row    []*field // take the items of a list given in place of the struct
}

// field is one key of a struct.
type field struct {
	key      string
	goName   string // like Bank.Capacity
	index    []int
	shape    *shape
	doc      string
	example  string
	status   string     // of the default: where it comes from
	fallback string     // text of the default tag
	standby  *yaml.Node // the same parsed; nil without a default
	pointer  bool
	required bool
	one      bool
	limits   limits
	least    int // items
	most     int // items; 0 means no limit
}

// name is the key, or a word for a nameless field.
func (f *field) name() string {
	if f.key == "" {
		return f.shape.plain().words.What
	}
	return f.key
}

// names returns the keys of a struct in order.
func (s *shape) names() []string {
	var names []string
	for _, f := range s.fields {
		if f.key != "" {
			names = append(names, f.key)
		}
	}
	return names
}

// bound is one end of a range.
type bound struct {
	value float64
	words string
	set   bool
	open  bool // the end itself is outside
}

// limits is the range of a number or quantity in its base unit.
type limits struct{ low, high bound }

func (l limits) hold(x float64) bool {
	if math.IsNaN(x) {
		return false
	}
	under := l.low.set && (x < l.low.value || l.low.open && x == l.low.value)
	over := l.high.set && (x > l.high.value || l.high.open && x == l.high.value)
	return !under && !over
}

// String says the range, "" for none.
func (l limits) String() string {
	low, high := "at least ", "at most "
	if l.low.open {
		low = "more than "
	}
	if l.high.open {
		high = "less than "
	}
	switch {
	case l.low.set && l.high.set && !l.low.open && !l.high.open:
		return "from " + l.low.words + " to " + l.high.words
	case l.low.set && l.high.set:
		return low + l.low.words + " and " + high + l.high.words
	case l.low.set:
		return low + l.low.words
	case l.high.set:
		return high + l.high.words
	}
	return ""
}

// compiler builds shapes and gathers what is wrong with the definitions.
type compiler struct {
	glossary Glossary
	done     map[reflect.Type]*shape
	errs     []error
}

func (c *compiler) fail(where, format string, args ...any) {
	c.errs = append(c.errs, fmt.Errorf("%s: %s", where, fmt.Sprintf(format, args...)))
}

var unmarshaler = reflect.TypeFor[encoding.TextUnmarshaler]()

// shape compiles a type; where names it in complaints.
func (c *compiler) shape(t reflect.Type, where string) *shape {
	if s := c.done[t]; s != nil {
		return s
	}
	s := &shape{typ: t}
	c.done[t] = s
	if own, ok := reflect.New(t).Interface().(chooser); ok {
		s.choices = own.Choices()
	}
	if reflect.PointerTo(t).Implements(unmarshaler) {
		s.kind, s.words = textKind, describe(t, c.glossary)
		if s.choices == nil {
			s.choices = s.words.Choices
		}
		return s
	}
	switch t.Kind() {
	case reflect.String:
		s.kind = stringKind
	case reflect.Bool:
		s.kind = boolKind
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		s.kind = intKind
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		s.kind = uintKind
	case reflect.Float64, reflect.Float32:
		s.kind = floatKind
	case reflect.Struct:
		s.kind = structKind
		c.structure(s, nil, t)
		c.checkForms(s)
	case reflect.Slice, reflect.Array:
		s.kind = listKind
		s.elem = c.shape(pointed(t.Elem()), where)
		if t.Kind() == reflect.Array {
			s.length = t.Len()
		}
	case reflect.Map:
		s.kind = mapKind
		if t.Key().Kind() != reflect.String {
			c.fail(where, "the keys of a map must be strings")
		}
		s.elem = c.shape(pointed(t.Elem()), where)
	default:
		s.kind = stringKind
		c.fail(where, "cannot be read from a document: %v", t)
	}
	return s
}

// pointed strips one pointer; a second one is left for shape to refuse.
func pointed(t reflect.Type) reflect.Type {
	if t.Kind() == reflect.Pointer {
		return t.Elem()
	}
	return t
}

// structure adds the fields of t to s, embedded structs included.
func (c *compiler) structure(s *shape, at []int, t reflect.Type) {
	if s.keys == nil {
		s.keys = map[string]*field{}
	}
	for i := range t.NumField() {
		sf := t.Field(i)
		index := append(append([]int{}, at...), i)
		tag, tagged := sf.Tag.Lookup("key")
		where := t.Name() + "." + sf.Name
		switch {
		case !tagged && sf.Anonymous && sf.Type.Kind() == reflect.Struct && !reflect.PointerTo(sf.Type).Implements(unmarshaler):
			c.structure(s, index, sf.Type)
			continue
		case !tagged || tag == "-":
			continue
		case !sf.IsExported():
			c.fail(where, "has a key but is not exported")
			continue
		}
		f := &field{
			goName: where, index: index, pointer: sf.Type.Kind() == reflect.Pointer,
			doc: sf.Tag.Get("doc"), example: sf.Tag.Get("example"), status: sf.Tag.Get("status"),
		}
		f.shape = c.shape(pointed(sf.Type), where)
		c.options(s, f, tag)
		s.fields = append(s.fields, f)
		if f.key != "" {
			if s.keys[f.key] != nil {
				c.fail(where, "the key %q is taken", f.key)
			}
			s.keys[f.key] = f
		}
		c.tags(f, sf.Tag)
	}
}

// options reads the key tag: the name and what follows it.
func (c *compiler) options(s *shape, f *field, tag string) {
	name, rest, _ := strings.Cut(tag, ",")
	f.key = name
	if strings.ContainsAny(name, `.[]="'#:{}&*!|>%@`) || strings.TrimSpace(name) != name || name == "<<" || name == "-" {
		c.fail(f.goName, "the key %q holds a sign that paths or YAML give a meaning to", name)
	}
	short := false
	for option := range strings.SplitSeq(rest, ",") {
		switch option {
		case "":
		case "required":
			f.required = true
		case "one":
			f.one = true
			if f.shape.kind != listKind || f.shape.length > 0 {
				c.fail(f.goName, "option one is for slices")
			}
		case "scalar":
			if s.scalar != nil {
				c.fail(f.goName, "a second scalar field")
			}
			s.scalar, short = f, true
		case "list":
			if s.list != nil {
				c.fail(f.goName, "a second list field")
			}
			s.list, short = f, true
		case "row":
			s.row, short = append(s.row, f), true
		default:
			c.fail(f.goName, "unknown option %q in its key tag", option)
		}
	}
	if name == "" && !short {
		c.fail(f.goName, "a field without a key name needs the option scalar, list or row")
	}
}
