package form

import (
	"encoding"
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"strings"

	"ampwake/sim/units"
)

// Words say how a type that reads itself from text is written. Empty fields
// are found out from the type where that is possible.
type Words struct {
	What    string // in a sentence: "a power"; "text" if unknown
	Example string // a specimen: "85 W"
	Pattern string // regular expression of JSON Schema (ECMA 262), or ""
	Unit    string // base unit, "" for none
	// Choices are the words to write, where there are just a few. They serve
	// messages and the schema; the type itself decides what it reads.
	Choices []string
}

// Glossary holds the words for types that cannot carry them themselves,
// because they live in packages below this one.
type Glossary map[reflect.Type]Words

// Worded is implemented by text types that bring their own words.
type Worded interface{ FormWords() Words }

// patterned is the part of Worded a type can offer without importing form.
type patterned interface{ SchemaPattern() string }

// chooser is implemented by types that take only certain texts.
type chooser interface{ Choices() []string }

// QuantityPattern returns a pattern for a number followed by one of the units,
// optionally "2 x" in front, for use in a Glossary. An empty unit allows the
// bare number.
func QuantityPattern(symbols ...string) string {
	bare := ""
	var named []string
	for _, s := range symbols {
		if s == "" {
			bare = "?"
			continue
		}
		named = append(named, regexp.QuoteMeta(s))
	}
	return quantityStart + `(\s*(` + strings.Join(named, "|") + `))` + bare + `\s*$`
}

// quantityStart matches the number of a quantity, as sim/units reads it.
const quantityStart = `^\s*([0-9]+\s*[x×]\s*)?[-+−]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+]?[0-9]+)?`

// describe gathers the words for a text type: from the glossary, from the type
// itself, and for the rest by asking its parser.
func describe(t reflect.Type, g Glossary) Words {
	zero := reflect.New(t)
	w, known := g[t]
	if !known {
		switch own := zero.Interface().(type) {
		case Worded:
			w = own.FormWords()
		case patterned:
			w.Pattern = own.SchemaPattern()
		}
	}
	// A quantity's parser says what it wants when it is given nothing.
	var bad *units.SyntaxError
	if err := tryText(t, ""); errors.As(err, &bad) {
		what, specimen, _ := strings.Cut(bad.Want, ", like ")
		if w.What == "" {
			w.What = what
			if w.Example == "" {
				w.Example = specimen
			}
		}
	}
	if w.What == "" {
		w.What = "text"
	}
	// A float that prints its zero as "0 W" and reads it back is a quantity.
	if own, ok := zero.Elem().Interface().(fmt.Stringer); ok && t.Kind() == reflect.Float64 && tryText(t, own.String()) == nil {
		unit, found := strings.CutPrefix(own.String(), "0")
		if !found || strings.ContainsAny(unit, "0123456789") {
			return w
		}
		if w.Unit == "" {
			w.Unit = strings.TrimSpace(unit)
		}
		if w.Pattern == "" {
			w.Pattern = quantityStart
			if tryText(t, "1") != nil { // a unit is due
				w.Pattern += `\s*[^0-9\s].*$`
			}
		}
	}
	return w
}

// want returns the words as a wish: "a power, like 85 W".
func (w Words) want() string {
	if w.Example == "" {
		return w.What
	}
	return w.What + ", like " + w.Example
}

// tryText tells whether a type reads a text.
func tryText(t reflect.Type, text string) error {
	u, ok := reflect.New(t).Interface().(encoding.TextUnmarshaler)
	if !ok {
		return nil
	}
	return u.UnmarshalText([]byte(text))
}

// number returns the value of a numeric kind, quantities included.
func number(v reflect.Value) (float64, bool) {
	switch {
	case v.CanInt():
		return float64(v.Int()), true
	case v.CanUint():
		return float64(v.Uint()), true
	case v.CanFloat():
		return v.Float(), true
	}
	return 0, false
}

// want returns what a shape is written as, for "must be …".
func (s *shape) want() string {
	switch s.kind {
	case structKind:
		var ways []string
		if s.scalar != nil {
			ways = append(ways, s.scalar.shape.plain().want())
		}
		if s.list != nil {
			ways = append(ways, s.list.shape.want())
		}
		if len(s.row) > 0 {
			names := make([]string, len(s.row))
			for i, f := range s.row {
				names[i] = f.name()
			}
			ways = append(ways, "a list ["+strings.Join(names, ", ")+"]")
		}
		if names := s.names(); len(names) > 0 {
			const few = 6
			if len(names) > few {
				names = append(names[:few:few], "…")
			}
			ways = append(ways, "a mapping with keys ("+strings.Join(names, ", ")+")")
		}
		return strings.Join(ways, ", or ")
	case listKind:
		return "a list, each item " + s.elem.brief()
	case mapKind:
		return "a mapping, each value " + s.elem.brief()
	}
	return s.brief()
}

// brief is want without going inside.
func (s *shape) brief() string {
	if len(s.choices) > 0 {
		return "one of " + enumerate(s.choices)
	}
	switch s.kind {
	case structKind:
		if s.scalar != nil {
			return s.scalar.shape.plain().brief() + ", or a mapping"
		}
		if len(s.row) > 0 {
			return "a row of values"
		}
		return "a mapping"
	case listKind:
		return "a list"
	case mapKind:
		return "a mapping"
	case boolKind:
		return "yes or no"
	case intKind, uintKind:
		return "a whole number, like 12"
	case floatKind:
		return "a number, like 0.5"
	case textKind:
		return s.words.want()
	}
	return "text"
}

// plain is the shape of the scalars in a list, a map or the shape itself.
func (s *shape) plain() *shape {
	for s.kind == listKind || s.kind == mapKind {
		s = s.elem
	}
	return s
}
