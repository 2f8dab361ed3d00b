package timetable

import (
	"math"
	"strings"
	"time"

	"ampwake/sim/units"
)

// Date is a day of the calendar without a clock. The zero value is "not given".
type Date struct {
	day   int // since 1970-01-01
	given bool
}

// DateOf returns the date of t in UTC.
func DateOf(t time.Time) Date { return DateOfDay(floorDiv(t.Unix(), secondsADay)) }

// DateOfDay returns the date that is the given number of days after 1970-01-01.
func DateOfDay(day int) Date { return Date{day, true} }

// Day returns the days since 1970-01-01 and whether the date is given.
func (d Date) Day() (int, bool) { return d.day, d.given }

// ParseDate reads "2027-01-05". The error is a *units.SyntaxError.
func ParseDate(text string) (Date, error) {
	t, err := time.Parse(time.DateOnly, strings.TrimSpace(text))
	if err != nil {
		return Date{}, &units.SyntaxError{Text: text, Want: "a date, like 2027-01-05"}
	}
	return DateOf(t), nil
}

// UnmarshalText reads "2027-01-05"; the error is a *units.SyntaxError.
func (d *Date) UnmarshalText(text []byte) error {
	x, err := ParseDate(string(text))
	if err == nil {
		*d = x
	}
	return err
}

// MarshalText prints the date as "2027-01-05", or "" when it is not given.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// String prints the date as "2027-01-05", or "" when it is not given.
func (d Date) String() string {
	if !d.given {
		return ""
	}
	return time.Unix(int64(d.day)*secondsADay, 0).UTC().Format(time.DateOnly)
}

// Dates is a span of days, both ends included; an end not given is open.
type Dates struct{ From, Until Date }

// Limited reports whether the span leaves out any day.
func (d Dates) Limited() bool { return d.From.given || d.Until.given }

// Holds reports whether the day, counted from 1970-01-01, lies in the span.
func (d *Dates) Holds(day int) bool {
	return (!d.From.given || day >= d.From.day) && (!d.Until.given || day <= d.Until.day)
}

// Edge returns the first midnight UTC strictly after t at which the span
// begins or ends, or the zero time.
func (d *Dates) Edge(t time.Time) time.Time {
	now := t.Unix()
	if d.From.given {
		if x := int64(d.From.day) * secondsADay; x > now && (!d.Until.given || d.From.day <= d.Until.day) {
			return time.Unix(x, 0).UTC()
		}
	}
	if d.Until.given {
		if x := int64(d.Until.day+1) * secondsADay; x > now && (!d.From.given || d.From.day <= d.Until.day) {
			return time.Unix(x, 0).UTC()
		}
	}
	return time.Time{}
}

// bounds returns the first and the last day as numbers.
func (d *Dates) bounds() (first, last int) {
	first, last = math.MinInt32, math.MaxInt32
	if d.From.given {
		first = d.From.day
	}
	if d.Until.given {
		last = d.Until.day
	}
	return first, last
}

// floorDiv returns the quotient rounded towards minus infinity.
func floorDiv(a int64, b int64) int {
	q := a / b
	if a%b < 0 {
		q--
	}
	return int(q)
}

// floorMod returns a modulo b in [0, b).
func floorMod(a, b int) int {
	r := a % b
	if r < 0 {
		r += b
	}
	return r
}
