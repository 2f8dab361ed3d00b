package track

import (
	"math"
	"strconv"
	"strings"

	"ampwake/sim/units"
)

// ParsePosition reads a position as people write it:
//
//	16°53.0'N 025°00.0'W   degrees and minutes
//	33°02'30"S 17°57'E     and seconds
//	N16°53.0' W025°00.0'   letters first
//	33 02.0 S 017 57.0 E   no signs
//	16.883N 25W            decimal degrees
//	16.883, -25.0          signed, north and east positive, latitude first
//
// A comma between the two is optional, except for signed numbers with minutes
// and no degree sign. With letters the longitude may come first. Typographic
// primes and degree signs are read too; the decimal sign is a point.
// Only the last number of an angle may have decimals, and minutes and seconds
// must be below 60. Latitudes reach to 90°; longitudes to 180°, returned in
// (-180°, 180°].
//
// The error is a *units.SyntaxError that says what is wrong.
func ParsePosition(text string) (Position, error) {
	p, hint := parsePosition(text)
	if hint != "" {
		return Position{}, &units.SyntaxError{Text: text, Want: "a position, like 16°53.0'N 025°00.0'W", Hint: hint}
	}
	return p, nil
}

// UnmarshalText reads what ParsePosition reads.
func (p *Position) UnmarshalText(text []byte) error {
	q, err := ParsePosition(string(text))
	if err == nil {
		*p = q
	}
	return err
}

// plain folds typographic signs and case to the plain ones. Two primes are
// seconds.
var plain = strings.NewReplacer(
	"′", "'", "’", "'", "ʹ", "'", "‘", "'", "″", `"`, "”", `"`, "“", `"`, "ʺ", `"`, "''", `"`,
	"º", "°", "˚", "°", "−", "-", "–", "-", "\u00a0", " ", "\u202f", " ", "\u2009", " ",
	"n", "N", "s", "S", "e", "E", "w", "W")

// token is a number ('0'), a mark (' " or d for °), a letter N S E W or a comma.
type token struct {
	kind byte
	text string // of a number, with its sign
}

func parsePosition(text string) (p Position, hint string) {
	tokens, hint := tokenise(plain.Replace(plain.Replace(text))) // twice: ′′ is '' is "
	if hint != "" {
		return p, hint
	}
	first, second, hint := halves(tokens)
	if hint != "" {
		return p, hint
	}
	a, hint := parseAngle(first)
	if hint != "" {
		return p, hint
	}
	b, hint := parseAngle(second)
	switch {
	case hint != "":
		return p, hint
	case (a.letter == 0) != (b.letter == 0):
		return p, "give both or neither a letter N, S, E or W"
	case a.isLongitude() && b.isLongitude():
		return p, "there are two longitudes"
	case a.letter != 0 && !a.isLongitude() && !b.isLongitude():
		return p, "there are two latitudes"
	case a.isLongitude():
		a, b = b, a
	}
	switch {
	case math.Abs(a.degrees) > 90:
		return p, "the latitude is beyond 90°"
	case math.Abs(b.degrees) > 180:
		return p, "the longitude is beyond 180°"
	}
	return Position{Lat: units.Degrees(a.degrees), Lon: fold(units.Degrees(b.degrees))}, ""
}

func tokenise(s string) (tokens []token, hint string) {
	for i := 0; i < len(s); {
		switch c := s[i]; {
		case c == ' ' || c == '\t':
			i++
		case strings.HasPrefix(s[i:], "°"):
			tokens = append(tokens, token{kind: 'd'})
			i += len("°")
		case strings.IndexByte(`'"NSEW,`, c) >= 0:
			tokens = append(tokens, token{kind: c})
			i++
		case strings.IndexByte("+-.0123456789", c) >= 0:
			j := i + 1
			for j < len(s) && (s[j] == '.' || s[j] >= '0' && s[j] <= '9') {
				j++
			}
			tokens = append(tokens, token{kind: '0', text: s[i:j]})
			i = j
		default:
			return nil, "it may hold numbers, ° ' \", a comma and the letters N, S, E and W"
		}
	}
	if len(tokens) == 0 {
		return nil, "it is empty"
	}
	return tokens, ""
}

// halves splits the tokens into those of the first and of the second angle.
func halves(t []token) (first, second []token, hint string) {
	find := func(kinds string, from int) int {
		for i := from; i < len(t); i++ {
			if strings.IndexByte(kinds, t[i].kind) >= 0 {
				return i
			}
		}
		return -1
	}
	if comma := find(",", 0); comma >= 0 {
		if find(",", comma+1) >= 0 {
			return nil, nil, "write a decimal point, not a comma"
		}
		return t[:comma], t[comma+1:], ""
	}
	switch letter := find("NSEW", 0); {
	case letter == 0: // letters come first
		if next := find("NSEW", 1); next > 0 {
			return t[:next], t[next:], ""
		}
		return nil, nil, "give both or neither a letter N, S, E or W"
	case letter > 0: // letters come last
		return t[:letter+1], t[letter+1:], ""
	}
	if one := find("d", 0); one >= 0 {
		if two := find("d", one+1); two >= 2 {
			return t[:two-1], t[two-1:], ""
		}
		return nil, nil, "give both a degree sign, or a comma between"
	}
	if len(t) == 2 {
		return t[:1], t[1:], ""
	}
	return nil, nil, "give letters N, S, E and W, or a comma between latitude and longitude"
}

// angle is one half of a position.
type angle struct {
	degrees float64
	letter  byte // N, S, E, W or 0
}

func (a angle) isLongitude() bool { return a.letter == 'E' || a.letter == 'W' }

func parseAngle(t []token) (a angle, hint string) {
	if len(t) > 0 && t[0].kind != '0' {
		a.letter, t = t[0].kind, t[1:]
	} else if n := len(t) - 1; n >= 0 && strings.IndexByte("NSEW", t[n].kind) >= 0 {
		a.letter, t = t[n].kind, t[:n]
	}
	if a.letter != 0 && strings.IndexByte("NSEW", a.letter) < 0 {
		return a, "a number must come before each sign"
	}
	const want = "an angle is degrees, or degrees and minutes, or degrees, minutes and seconds"
	if len(t) == 0 {
		return a, want
	}
	signed, negative := false, false
	scale := 1.0
	for k := 0; len(t) > 0; k++ {
		if k == 3 || t[0].kind != '0' {
			return a, want
		}
		text := t[0].text
		t = t[1:]
		if text[0] == '-' || text[0] == '+' {
			if k > 0 {
				return a, "only degrees may have a sign"
			}
			signed, negative, text = true, text[0] == '-', text[1:]
		}
		x, err := strconv.ParseFloat(text, 64)
		switch {
		case err != nil:
			return a, "the number " + strconv.Quote(text) + " cannot be read"
		case k > 0 && x >= 60:
			return a, []string{"", "minutes", "seconds"}[k] + " must be below 60"
		}
		a.degrees += x / scale
		scale *= 60
		if len(t) > 0 && strings.IndexByte(`d'"`, t[0].kind) >= 0 {
			if t[0].kind != `d'"`[k] {
				return a, "° follows degrees, ' minutes and \" seconds"
			}
			t = t[1:]
		}
		if len(t) > 0 && strings.Contains(text, ".") {
			return a, "only the last number of an angle may have decimals"
		}
	}
	switch {
	case signed && a.letter != 0:
		return a, "write a sign or a letter N, S, E or W, not both"
	case negative || a.letter == 'S' || a.letter == 'W':
		a.degrees = -a.degrees
	}
	return a, ""
}
