package timetable

import (
	"strconv"
	"strings"
	"time"

	"ampwake/sim/units"
)

// Forms lists the accepted texts, for error messages and help.
const Forms = "always, dusk to dawn, sun below -6°, 4 h a day, 19:00-21:00 ship's time, " +
	"08:00 UTC, 08:00 UTC for 15 min, Mon,Thu 08:00-08:15 UTC, every 3 days 12:00-13:00 ship's time; " +
	"each may be followed by from 2027-01-05 and until 2027-02-01"

// List is a load's When: on whenever one of them says so.
type List []When

// ParseList reads texts of which each is one of Forms; the error is that of the
// first bad one.
func ParseList(texts ...string) (List, error) {
	list := make(List, len(texts))
	for i, text := range texts {
		var err error
		if list[i], err = Parse(text); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// UnmarshalText reads one of Forms; the error is a *units.SyntaxError.
func (w *When) UnmarshalText(text []byte) error {
	x, err := Parse(string(text))
	if err == nil {
		*w = x
	}
	return err
}

// MarshalText prints w in the form that Parse reads.
func (w When) MarshalText() ([]byte, error) { return []byte(w.String()), nil }

// plain folds typographic signs and spacing to the plain ones.
var plain = strings.NewReplacer("’", "'", "–", "-", "—", "-", "−", "-", "\u00a0", " ", "\u202f", " ")

// Parse reads one of Forms; case does not matter, and the clock of a time must
// be named. A window that ends at or before its start ends on the next day. The
// error is a *units.SyntaxError that lists the forms.
func Parse(text string) (When, error) {
	var w When
	rest, hint := w.dates(strings.Fields(strings.ToLower(plain.Replace(text))))
	if hint == "" {
		hint = w.body(rest)
	}
	if hint != "" {
		if hint == unknown {
			hint = "write one of: " + Forms
		} else {
			hint += "; the forms are: " + Forms
		}
		return When{}, &units.SyntaxError{Text: text, Want: "a time to be on", Hint: hint}
	}
	return w, nil
}

// unknown is the hint of a text that resembles no form.
const unknown = "?"

// dates takes "from DATE" and "until DATE" off the end.
func (w *When) dates(f []string) (rest []string, hint string) {
	for len(f) >= 2 {
		word := f[len(f)-2]
		d := &w.Dates.From
		if word == "until" {
			d = &w.Dates.Until
		} else if word != "from" {
			break
		}
		x, err := ParseDate(f[len(f)-1])
		switch {
		case err != nil:
			return nil, err.Error()
		case d.given:
			return nil, "two dates after " + word
		}
		*d, f = x, f[:len(f)-2]
	}
	if w.Dates.From.given && w.Dates.Until.given && w.Dates.Until.day < w.Dates.From.day {
		return nil, "it ends before it begins"
	}
	return f, ""
}

// body reads what is left when the dates are off.
func (w *When) body(f []string) (hint string) {
	s := strings.Join(f, " ")
	switch {
	case s == "":
		return "it is empty"
	case s == "always":
		w.Kind = Always
		return ""
	case s == "dusk to dawn" || s == "dusk-dawn":
		w.Kind, w.Below = Dark, Sunset
		return ""
	case strings.HasPrefix(s, "sun below "):
		w.Kind = Dark
		if err := w.Below.UnmarshalText([]byte(s[len("sun below "):])); err != nil {
			return err.Error()
		}
		if !(w.Below >= -90 && w.Below <= 90) {
			return "the altitude of the sun lies between -90° and 90°"
		}
		return ""
	}
	for _, end := range []string{" a day", " per day", "/day"} {
		if hours, ok := strings.CutSuffix(s, end); ok {
			return w.spread(hours)
		}
	}
	return w.window(f)
}

// spread reads the hours of "3 h a day".
func (w *When) spread(hours string) (hint string) {
	w.Kind = Spread
	if err := w.Hours.UnmarshalText([]byte(hours)); err != nil {
		return err.Error()
	}
	// Above a second a day, so that its text in hours stays plain.
	if !(w.Hours >= 1.0/3600 && w.Hours <= 24) {
		return "a day has 24 h"
	}
	return ""
}

// window reads [DAYS] TIME[-TIME] CLOCK [for LENGTH].
func (w *When) window(f []string) (hint string) {
	f, hint = w.days(f)
	if hint != "" {
		return hint
	}
	// Up to the clock's name all is time: "08:00 - 08:15" and "08:00 to 08:15"
	// mean what "08:00-08:15" means.
	var times string
	for len(f) > 0 && (f[0][0] >= '0' && f[0][0] <= '9' || f[0] == "-" || f[0] == "to") {
		if f[0] == "to" {
			f[0] = "-"
		}
		times, f = times+f[0], f[1:]
	}
	if times == "" {
		return unknown
	}
	from, to, isWindow := strings.Cut(times, "-")
	var err error
	if w.From, err = ParseTimeOfDay(from); err != nil {
		return err.Error()
	}
	if w.From == minutesADay {
		return "a day begins at 00:00; 24:00 is only an end"
	}
	w.Kind = Moment
	if isWindow {
		w.Kind = Window
		if w.To, err = ParseTimeOfDay(to); err != nil {
			return err.Error()
		}
		if w.To == w.From {
			return "it ends as it begins; the whole day is 00:00-24:00"
		}
	}
	if f, hint = w.clock(f); hint != "" {
		return hint
	}
	return w.lasting(f)
}

// clock reads the name of a clock.
func (w *When) clock(f []string) (rest []string, hint string) {
	switch {
	case len(f) == 0:
		return nil, "the clock is missing: say UTC or ship's time"
	case f[0] == "utc":
		w.Clock = UTC
		return f[1:], ""
	case len(f) > 1 && f[1] == "time" && (f[0] == "ship's" || f[0] == "ships" || f[0] == "ship"):
		w.Clock = Ship
		return f[2:], ""
	}
	return nil, "the clock is UTC or ship's time, not " + strconv.Quote(strings.Join(f, " "))
}

// lasting reads what may follow the clock: "for 15 min".
func (w *When) lasting(f []string) (hint string) {
	switch {
	case len(f) == 0:
		return ""
	case f[0] != "for":
		return "too much at the end: " + strconv.Quote(strings.Join(f, " "))
	case w.Kind == Window:
		return "it has an end already, so leave out the length"
	}
	var length units.Hours
	if err := length.UnmarshalText([]byte(strings.Join(f[1:], " "))); err != nil {
		return err.Error()
	}
	x, err := w.Lasting(length)
	if err != nil {
		return err.Error()
	}
	*w = x
	return ""
}

// days reads "every day", "every 3 days" or "Mon,Thu" or "Mon-Fri".
func (w *When) days(f []string) (rest []string, hint string) {
	if len(f) == 0 {
		return f, ""
	}
	switch {
	case f[0] == "daily":
		return f[1:], ""
	case f[0] == "every" && len(f) > 1 && f[1] == "day":
		return f[2:], ""
	case f[0] == "every":
		if len(f) < 3 || f[2] != "days" && f[2] != "day" {
			return nil, "say every 3 days, or name weekdays"
		}
		n, err := strconv.Atoi(f[1])
		if err != nil || n < 1 || n > 366 {
			return nil, "days are counted in whole numbers from 1 to 366"
		}
		if n > 1 {
			w.Every = n
		}
		return f[3:], ""
	}
	for len(f) > 0 && f[0][0] >= 'a' && f[0][0] <= 'z' {
		for part := range strings.SplitSeq(strings.Trim(f[0], ","), ",") {
			first, last, span := strings.Cut(part, "-")
			a, ok := weekday(first)
			if !ok {
				return nil, unknown
			}
			b := a
			if span {
				if b, ok = weekday(last); !ok {
					return nil, unknown
				}
			}
			for d := a; ; d = (d + 1) % 7 {
				w.Days = w.Days.With(d)
				if d == b {
					break
				}
			}
		}
		f = f[1:]
	}
	if w.Days == 1<<7-1 {
		w.Days = 0
	}
	return f, ""
}

// weekday reads "mon" or "monday".
func weekday(s string) (time.Weekday, bool) {
	for d := range time.Weekday(7) {
		if name := strings.ToLower(d.String()); s == name || s == name[:3] {
			return d, true
		}
	}
	return 0, false
}
