package units

import (
	"encoding"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Parse reads a quantity, as in Parse[units.Watts]("85 W"). The error is a
// *SyntaxError.
func Parse[Q any, P interface {
	*Q
	encoding.TextUnmarshaler
}](text string) (Q, error) {
	var q Q
	err := P(&q).UnmarshalText([]byte(text))
	return q, err
}

// SyntaxError says that a text is no quantity of the wanted kind.
type SyntaxError struct {
	Text string // what was written
	Want string // what was expected, in words
	Hint string // a way out, or ""
}

func (e *SyntaxError) Error() string {
	s := fmt.Sprintf("%q is not %s", e.Text, e.Want)
	if e.Hint != "" {
		s += ": " + e.Hint
	}
	return s
}

// parse reads "number unit", optionally multiplied by a whole number
// ("2 x 115 Ah"); a span of time may have several terms, the largest unit
// first ("2 h 30 min"). A sign in front holds for all terms.
func (q *quantity) parse(text string) (float64, error) {
	fail := func(hint string) (float64, error) {
		return 0, &SyntaxError{Text: text, Want: q.name + ", like " + q.specimen, Hint: hint}
	}
	rest := strings.TrimSpace(tidy.Replace(text))
	if rest == "" {
		return fail("it is empty")
	}
	times, rest := cutTimes(rest)
	if strings.HasPrefix(rest, "-") {
		times, rest = -times, rest[1:]
	} else {
		rest = strings.TrimPrefix(rest, "+")
	}
	if rest == "" {
		return fail("the number is missing")
	}

	var sum float64
	last := math.Inf(1) // size of the unit before
	for terms := 1; rest != ""; terms++ {
		number, tail := cutNumber(rest)
		if number == "" && terms == 1 {
			return fail("it does not begin with a number")
		} else if number == "" {
			return fail(fmt.Sprintf("%q is not understood", rest))
		}
		name, next := cutUnit(tail)
		u, ok := q.find(name)
		switch {
		case name == "" && !ok:
			return fail(fmt.Sprintf("the unit is missing, write %q", number+" "+q.base().name))
		case strings.HasPrefix(name, ","):
			return fail("write a decimal point, not a comma")
		case !ok:
			return fail(q.wrongUnit(name))
		case terms > 1 && !q.adds:
			return fail("there is something behind the unit")
		case terms > 1 && u.num/u.den >= last:
			return fail("the larger unit comes first")
		}
		last = u.num / u.den

		x, err := scaled(number, u.shift)
		switch {
		case errors.Is(err, strconv.ErrRange):
			return fail("the number is too large")
		case err != nil:
			return fail("the number cannot be read")
		case q == &fraction && name == "" && x > 1:
			return fail(fmt.Sprintf("write %q for hundredths", number+" %"))
		}
		if terms == 1 && next == "" {
			sum = x * u.num / u.den
			break
		}
		// Whole units add up to whole seconds, and one division at the end
		// rounds once: 2 h 20 min is the nearest number to 7/3.
		sum += float64(x * (u.num * 3600 / u.den))
		if rest = next; rest == "" {
			sum /= 3600
		}
	}
	sum *= times
	if math.IsInf(sum, 0) {
		return fail("the number is too large")
	}
	return sum, nil
}

// wrongUnit returns the hint about a unit that is not one of q.
func (q *quantity) wrongUnit(name string) string {
	for i := range q.units {
		if u := q.units[i].name; strings.EqualFold(u, name) {
			return fmt.Sprintf("write the unit %q", u)
		}
	}
	return fmt.Sprintf("the unit %q does not fit", name)
}

// tidy folds typographic signs to the plain ones.
var tidy = strings.NewReplacer(
	"−", "-", "×", "x", "º", "°", "℃", "°C",
	"\u2126", "Ω", // ohm sign to the Greek letter
	"\u00a0", " ", "\u2009", " ", "\u202f", " ", "\t", " ", // spaces
)

// cutTimes splits "2 x 115 Ah" into 2 and "115 Ah"; the number is 1 where
// there is none.
func cutTimes(s string) (times float64, rest string) {
	head, tail, found := strings.Cut(s, "x")
	k, err := strconv.ParseUint(strings.TrimSpace(head), 10, 16)
	if !found || err != nil || k == 0 {
		return 1, s
	}
	return float64(k), strings.TrimSpace(tail)
}

// cutNumber splits off a leading decimal number without a sign.
func cutNumber(s string) (number, rest string) {
	i, digits := 0, false
	for i < len(s) && (isDigit(s[i]) || s[i] == '.') {
		digits = digits || s[i] != '.'
		i++
	}
	if !digits {
		return "", s
	}
	if i < len(s) && (s[i] == 'e' || s[i] == 'E') {
		j := i + 1
		if j < len(s) && (s[j] == '-' || s[j] == '+') {
			j++
		}
		k := j
		for k < len(s) && isDigit(s[k]) {
			k++
		}
		if k > j {
			i = k
		}
	}
	return s[:i], strings.TrimLeft(s[i:], " ")
}

// cutUnit splits off the unit: all up to a space, or up to a digit behind a
// letter ("2h30min"), but the digit in mm2 and W/m2 is part of the unit.
func cutUnit(s string) (unit, rest string) {
	i := 0
	for i < len(s) && s[i] != ' ' {
		if i > 0 && isDigit(s[i]) && s[i-1] != 'm' && s[0] != ',' {
			break
		}
		i++
	}
	return s[:i], strings.TrimLeft(s[i:], " ")
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// scaled reads a decimal number times ten to the power of shift, rounded once:
// 0.3 mA is the nearest number to 0.0003, and prints as such.
func scaled(number string, shift int) (float64, error) {
	mantissa, exponent, found := strings.Cut(strings.ToLower(number), "e")
	if found {
		e, err := strconv.Atoi(exponent)
		if err != nil {
			return 0, err
		}
		shift += e
	}
	return strconv.ParseFloat(mantissa+"e"+strconv.Itoa(shift), 64)
}
