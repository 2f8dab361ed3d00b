package form

import (
	"fmt"
	"strconv"
	"strings"
)

// step is one part of a path: a key, an item by its name, or an item by index.
type step struct {
	name   string
	index  int
	item   bool // written in brackets
	number bool // index holds
}

// String returns the step as it stands in a path, without a leading dot.
func (s step) String() string {
	switch {
	case s.number:
		return fmt.Sprintf("[%d]", s.index)
	case s.item || s.name == "" || strings.ContainsAny(s.name, `.[]="\`) || strings.TrimSpace(s.name) != s.name || strconv.Quote(s.name) != `"`+s.name+`"`:
		return "[" + strconv.Quote(s.name) + "]"
	}
	return s.name
}

// join prints a path below another.
func join(path string, steps []step) string {
	var b strings.Builder
	b.WriteString(path)
	for _, s := range steps {
		text := s.String()
		if b.Len() > 0 && !strings.HasPrefix(text, "[") {
			b.WriteByte('.')
		}
		b.WriteString(text)
	}
	return b.String()
}

// parsePath reads a path, or the part of an assignment before its "=": it
// returns what follows.
func parsePath(text string) (steps []step, rest string, err error) {
	i := 0
	expectStep := true
	for i < len(text) && text[i] != '=' {
		switch text[i] {
		case '.':
			if expectStep {
				return nil, "", fmt.Errorf("a key is missing before a dot")
			}
			expectStep = true
			i++
		case '[':
			s, n, err := parseBracket(text[i:])
			if err != nil {
				return nil, "", err
			}
			steps, i, expectStep = append(steps, s), i+n, false
			if i < len(text) && strings.IndexByte(".[=", text[i]) < 0 {
				return nil, "", fmt.Errorf("want a dot after %q", text[:i])
			}
		case ']', '"':
			return nil, "", fmt.Errorf("%q cannot stand in a key; a name with signs goes in [\"…\"]", text[i])
		default:
			n := strings.IndexAny(text[i:], `.[]="`)
			if n < 0 {
				n = len(text) - i
			}
			name := strings.TrimSpace(text[i : i+n])
			if name == "" && i+n < len(text) && text[i+n] != '=' {
				return nil, "", fmt.Errorf("a key is missing")
			}
			if name != "" {
				steps, expectStep = append(steps, step{name: name}), false
			}
			i += n
		}
	}
	if expectStep && len(steps) > 0 {
		return nil, "", fmt.Errorf("a key is missing after the last dot")
	}
	return steps, text[i:], nil
}

// parseBracket reads "[2]", "[HF radio]" or `["VHF 25.5 W"]`.
func parseBracket(text string) (s step, n int, err error) {
	if strings.HasPrefix(text, `["`) {
		quoted, err := strconv.QuotedPrefix(text[1:])
		if err != nil || !strings.HasPrefix(text[1+len(quoted):], "]") {
			return s, 0, fmt.Errorf("the quote in brackets is not closed")
		}
		name, _ := strconv.Unquote(quoted)
		return step{name: name, item: true}, len(quoted) + 2, nil
	}
	end := strings.IndexByte(text, ']')
	if end < 0 {
		return s, 0, fmt.Errorf("the bracket [ is not closed")
	}
	name := strings.TrimSpace(text[1:end])
	if name == "" {
		return s, 0, fmt.Errorf("the brackets are empty")
	}
	if i, err := strconv.ParseUint(name, 10, 31); err == nil {
		return step{index: int(i), item: true, number: true}, end + 1, nil
	}
	return step{name: name, item: true}, end + 1, nil
}
