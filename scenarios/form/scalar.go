package form

import (
	"encoding"
	"errors"
	"fmt"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"

	"ampwake/sim/units"
)

// scalar reads a plain value, and holds it against the range of its field.
func (d *decoder) scalar(at *frame, n *yaml.Node, s *shape, f *field, v reflect.Value) {
	bad := s.read(n.Value, v)
	if bad == nil && f != nil {
		bad = f.check(n.Value, v)
	}
	if bad != nil {
		d.report(at, *bad)
	}
}

// check holds a value against the range of the field.
func (f *field) check(text string, v reflect.Value) *fault {
	if f.required && text == "" && v.Kind() == reflect.String {
		return &fault{kind: OutOfRange, message: "must not be empty", want: "a text"}
	}
	if x, ok := number(v); ok && !f.limits.hold(x) {
		want := f.limits.String()
		return &fault{kind: OutOfRange, message: quote(text) + " is out of range: it must be " + want, want: want}
	}
	return nil
}

var (
	wholeNumber   = regexp.MustCompile(`^[-+]?(0|[1-9][0-9]*)$`)
	decimalNumber = regexp.MustCompile(`^[-+]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+]?[0-9]+)?$`)
)

// read parses a text, as written in the file, into a value.
func (s *shape) read(text string, v reflect.Value) *fault {
	wanted := func() *fault {
		return &fault{kind: BadText, message: quote(text) + " is not " + s.brief(), want: s.brief()}
	}
	if s.kind != textKind && len(s.choices) > 0 && !slices.Contains(s.choices, text) {
		return s.noChoice(text)
	}
	switch s.kind {
	case stringKind:
		v.SetString(text)
	case boolKind:
		switch text {
		case "yes", "true":
			v.SetBool(true)
		case "no", "false":
			v.SetBool(false)
		default:
			return wanted()
		}
	case intKind:
		x, err := strconv.ParseInt(text, 10, v.Type().Bits())
		if !wholeNumber.MatchString(text) {
			return s.hinted(text, wanted())
		} else if err != nil {
			return &fault{kind: OutOfRange, message: quote(text) + " is too large", want: s.brief()}
		}
		v.SetInt(x)
	case uintKind:
		x, err := strconv.ParseUint(strings.TrimPrefix(text, "+"), 10, v.Type().Bits())
		if !wholeNumber.MatchString(text) {
			return s.hinted(text, wanted())
		} else if err != nil {
			return &fault{kind: OutOfRange, message: quote(text) + " is negative or too large", want: s.brief()}
		}
		v.SetUint(x)
	case floatKind:
		x, err := strconv.ParseFloat(text, v.Type().Bits())
		if !decimalNumber.MatchString(text) {
			return s.hinted(text, wanted())
		} else if err != nil {
			return &fault{kind: OutOfRange, message: quote(text) + " is too large", want: s.brief()}
		}
		v.SetFloat(x)
	case textKind:
		return s.readText(text, v)
	}
	return nil
}

// readText lets a type read itself.
func (s *shape) readText(text string, v reflect.Value) *fault {
	err := v.Addr().Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(text))
	if err == nil {
		if x, ok := number(v); ok && (math.IsNaN(x) || math.IsInf(x, 0)) {
			return &fault{kind: BadText, message: quote(text) + " is not " + s.brief(), want: s.brief()}
		}
		return nil
	}
	if len(s.choices) > 0 {
		return s.noChoice(text)
	}
	bad := &fault{kind: BadText, message: shorten(err.Error()), want: s.brief()}
	var syntax *units.SyntaxError
	if errors.As(err, &syntax) {
		bad.want = syntax.Want
		bad.message = quote(syntax.Text) + " is not " + syntax.Want
		if syntax.Hint != "" {
			bad.message += ": " + shorten(syntax.Hint)
		}
	}
	return s.hinted(text, bad)
}

// noChoice refuses a text that is not among the words allowed.
func (s *shape) noChoice(text string) *fault {
	bad := &fault{kind: NotAChoice, message: quote(text) + " is not " + s.brief(), want: s.brief()}
	if word, _ := nearest(text, s.choices); word != "" {
		bad.hint = fmt.Sprintf("did you mean %q?", word)
	}
	return bad
}

// hinted adds a corrected text where one is at hand and does read.
func (s *shape) hinted(text string, bad *fault) *fault {
	var tries []string
	plain := strings.ReplaceAll(text, "_", "")
	if plain != text {
		tries = append(tries, plain)
	}
	if s.words.Unit != "" && decimalNumber.MatchString(plain) {
		tries = append(tries, spaced(plain, s.words.Unit))
	}
	if comma := strings.Replace(text, ",", ".", 1); comma != text {
		tries = append(tries, comma)
	}
	if joined := strings.ReplaceAll(text, " ", ""); joined != text {
		tries = append(tries, joined)
	}
	for _, t := range tries {
		if len(t) < 40 && s.reads(t) {
			if !strings.Contains(bad.message, strconv.Quote(t)) { // else it says so already
				bad.hint = fmt.Sprintf("did you mean %q?", t)
			}
			break
		}
	}
	return bad
}

// spaced writes a number with its unit.
func spaced(number, unit string) string {
	if unit == "°" {
		return number + unit
	}
	return number + " " + unit
}

// reads tells whether a text can be read at all.
func (s *shape) reads(text string) bool {
	switch s.kind {
	case textKind:
		return tryText(s.typ, text) == nil
	case intKind, uintKind:
		return wholeNumber.MatchString(text)
	case floatKind:
		return decimalNumber.MatchString(text)
	}
	return false
}

// shorten cuts a message that repeats a long text.
func shorten(message string) string {
	const most = 300 // characters
	n := 0
	for i := range message {
		if n++; n > most {
			return message[:i] + "…"
		}
	}
	return message
}

// valueNode parses a value given outside the file: the text of a default tag
// or of an override. What starts with [ or {, or stands in quotes, is YAML;
// all else is one scalar, literally.
func valueNode(text string) (*yaml.Node, *syntaxError) {
	text = strings.TrimSpace(text)
	structured := strings.HasPrefix(text, "[") || strings.HasPrefix(text, "{")
	quoted := len(text) >= 2 && strings.ContainsAny(text[:1], `"'`) && text[len(text)-1] == text[0]
	if structured || quoted {
		tree, err := parse(text)
		if err != nil {
			return nil, err
		}
		return tree.Content[0], nil
	}
	// Let YAML say whether the text may stand without quotes when saved.
	n := &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: text}
	if tree, err := parse(text); err == nil {
		if alike := tree.Content[0]; alike.Kind == yaml.ScalarNode && alike.Value == text && alike.Style == 0 && alike.Anchor == "" {
			n.Tag = alike.Tag
		}
	}
	return n, nil
}
