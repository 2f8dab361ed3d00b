package timetable

import (
	"fmt"
	"strings"

	"ampwake/sim/units"
)

// TimeOfDay is a time on a 24 h clock in whole minutes since midnight,
// 0..1439; 1440 is 24:00 and stands only at the end of a window.
type TimeOfDay int

const (
	minutesADay = 1440
	secondsADay = 86400
)

// ParseTimeOfDay reads "08:00", "8:00" or "0800"; 24:00 is read as 1440. The
// error is a *units.SyntaxError.
func ParseTimeOfDay(text string) (TimeOfDay, error) {
	fail := func(hint string) (TimeOfDay, error) {
		return 0, &units.SyntaxError{Text: text, Want: "a time of day, like 08:00 or 0800", Hint: hint}
	}
	s := strings.TrimSpace(text)
	hour, minute, colon := strings.Cut(s, ":")
	if !colon && len(s) == 4 {
		hour, minute = s[:2], s[2:]
	}
	h, okH := number(hour)
	m, okM := number(minute)
	switch {
	case !okH || !okM || len(minute) != 2:
		return fail("")
	case m > 59:
		return fail("minutes go to 59")
	case h > 24 || h == 24 && m > 0:
		return fail("hours go to 24:00")
	}
	return TimeOfDay(60*h + m), nil
}

// number reads one or two decimal digits.
func number(s string) (int, bool) {
	if len(s) == 0 || len(s) > 2 {
		return 0, false
	}
	n := 0
	for _, c := range []byte(s) {
		if c < '0' || c > '9' {
			return 0, false
		}
		n = 10*n + int(c-'0')
	}
	return n, true
}

// UnmarshalText reads "08:00" or "0800"; the error is a *units.SyntaxError.
func (t *TimeOfDay) UnmarshalText(text []byte) error {
	x, err := ParseTimeOfDay(string(text))
	if err == nil {
		*t = x
	}
	return err
}

// MarshalText prints the time as "08:00".
func (t TimeOfDay) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

// String prints the time as "08:00".
func (t TimeOfDay) String() string { return fmt.Sprintf("%02d:%02d", int(t)/60, int(t)%60) }

// Add returns the time d minutes later on the 24 h clock, in 0..1439.
func (t TimeOfDay) Add(d int) TimeOfDay {
	return TimeOfDay(((int(t)+d)%minutesADay + minutesADay) % minutesADay)
}
