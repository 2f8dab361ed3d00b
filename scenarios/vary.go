package scenarios

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// Axis is one value of the file and what to try for it.
type Axis struct {
	Path   string
	Values []string // an empty one leaves the key out, so that its default holds
}

const axisWant = `a path and values to try, like bank.capacity=115Ah,230Ah,460Ah`

// ParseAxis reads "path=value,value,…". A comma inside brackets, braces or quotes
// belongs to the value; in the path, "=" inside brackets or quotes to the name.
func ParseAxis(text string) (Axis, error) {
	n, err := pathEnd(text)
	if err != nil {
		return Axis{}, fmt.Errorf("%q is not %s: %w", text, axisWant, err)
	}
	a := Axis{Path: strings.Trim(text[:n], " ")}
	if a.Path == "" {
		return Axis{}, fmt.Errorf("%q is not %s: there is no path", text, axisWant)
	}
	a.Values, err = cutValues(text[n+1:])
	if err != nil {
		return Axis{}, fmt.Errorf("%q is not %s: %w", text, axisWant, err)
	}
	seen := map[string]bool{}
	for _, v := range a.Values {
		if seen[neat(v)] {
			return Axis{}, fmt.Errorf("%q has %s twice", text, neat(v))
		}
		seen[neat(v)] = true
	}
	return a, nil
}

// String writes the axis so that ParseAxis reads it back.
func (a Axis) String() string { return a.Path + "=" + strings.Join(a.Values, ",") }

// pathEnd finds the "=" behind a path: see form about names in brackets and
// quotes.
func pathEnd(text string) (int, error) {
	for i := 0; i < len(text); i++ {
		switch text[i] {
		case '=':
			return i, nil
		case '[':
			inside := text[i+1:]
			if strings.HasPrefix(inside, `"`) {
				quoted, err := strconv.QuotedPrefix(inside)
				if err != nil {
					return 0, errors.New("the quote in brackets is not closed")
				}
				i += len(quoted)
				continue
			}
			end := strings.IndexByte(inside, ']')
			if end < 0 {
				return 0, errors.New("the bracket [ is not closed")
			}
			i += end
		}
	}
	return 0, errors.New(`there is no "="`)
}

// cutValues splits at commas outside brackets, braces and quotes. A quote counts
// where a value begins, as in YAML: that of "ship's time" does not.
func cutValues(text string) ([]string, error) {
	var values []string
	var open []byte // brackets that are to be closed
	begins := true  // a value may begin here
	from := 0
	for i := 0; i < len(text); i++ {
		c := text[i]
		switch {
		case c == ' ':
			continue
		case begins && (c == '"' || c == '\''):
			n := quoteEnd(text[i:])
			if n < 0 {
				return nil, fmt.Errorf("the quote %c is not closed", c)
			}
			i += n
			begins = false
			continue
		case c == '[' && (begins || len(open) > 0):
			open = append(open, ']')
		case c == '{' && (begins || len(open) > 0):
			open = append(open, '}')
		case len(open) > 0 && c == open[len(open)-1]:
			open = open[:len(open)-1]
		case c == ',' && len(open) == 0:
			values = append(values, strings.Trim(text[from:i], " "))
			from = i + 1
		}
		begins = c == ',' || len(open) > 0 && (c == '[' || c == '{' || c == ':')
	}
	if len(open) > 0 {
		return nil, fmt.Errorf("a bracket is not closed with %c", open[len(open)-1])
	}
	return append(values, strings.Trim(text[from:], " ")), nil
}

// quoteEnd finds the quote that closes the one that text begins with, or -1. As
// in YAML a backslash escapes between double quotes, and two single ones stand
// for one.
func quoteEnd(text string) int {
	q := text[0]
	for i := 1; i < len(text); i++ {
		switch {
		case q == '"' && text[i] == '\\':
			i++
		case text[i] == q && q == '\'' && i+1 < len(text) && text[i+1] == q:
			i++
		case text[i] == q:
			return i
		}
	}
	return -1
}

// typed matches a number with its unit, as people type it.
var typed = regexp.MustCompile(`^([0-9]+ ?[x×] ?)?([0-9][0-9.]*) ?(\p{L}[\p{L}/²]*|°C?|%)$`)

// neat returns a value as it stands in a name: without its quotes, and with a
// blank before the unit.
func neat(value string) string {
	if n := len(value); n > 1 && (value[0] == '"' || value[0] == '\'') && value[n-1] == value[0] {
		value = value[1 : n-1]
	}
	if m := typed.FindStringSubmatch(value); m != nil {
		return m[1] + m[2] + " " + m[3]
	}
	return strings.Join(strings.Fields(value), " ")
}

// unit returns the unit that a value shows, or "".
func unit(value string) string {
	if m := typed.FindStringSubmatch(value); m != nil {
		return m[3]
	}
	return ""
}

// key is the last part of the path.
func (a Axis) key() string {
	path := strings.TrimSuffix(a.Path, "]")
	if i := strings.LastIndexAny(path, ".["); i >= 0 {
		path = path[i+1:]
	}
	return strings.Trim(path, `"`)
}

// names returns what to call each value: itself where it has a unit that tells
// what it is, else with its key, or with its path where another axis has that key
// too. A share tells nothing alone, and no unit does that another axis has.
func (a Axis) names(others []Axis) []string {
	bare, key := true, a.key()
	for _, b := range others {
		if b.key() == key {
			key = a.Path
		}
	}
	for _, v := range a.Values {
		u := unit(v)
		bare = bare && u != "" && u != "%"
		for _, b := range others {
			for _, w := range b.Values {
				bare = bare && unit(w) != u
			}
		}
	}
	names := make([]string, len(a.Values))
	for i, v := range a.Values {
		switch {
		case v == "":
			names[i] = key + " not set"
		case bare:
			names[i] = neat(v)
		default:
			names[i] = key + " " + neat(v)
		}
	}
	return names
}
