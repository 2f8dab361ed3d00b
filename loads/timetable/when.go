package timetable

import (
	"fmt"
	"math"
	"strings"
	"time"

	"ampwake/sim/units"
)

// Kind is the way in which a When is given.
type Kind uint8

// The kinds of When.
const (
	Always Kind = iota // day and night
	Spread             // some hours a day, evenly spread over it
	Dark               // while the sun is below an altitude
	Window             // from one time of day to another
	Moment             // a start only: how long is said elsewhere
)

// Clock is one of the two clocks of the boat.
type Clock uint8

// The clocks of the boat.
const (
	UTC Clock = iota
	Ship
)

// String names the clock as it is written in a file.
func (c Clock) String() string {
	if c == Ship {
		return "ship's time"
	}
	return "UTC"
}

// Sunset is the true altitude of the centre of the sun's disc at sunrise and
// sunset: 34' of refraction and 16' of semidiameter below the horizon, the
// limits of COLREGS Rule 20(b).
const Sunset units.Degrees = -0.8333

// When says at what times a load is on. The zero value is "always".
type When struct {
	Kind  Kind
	Hours units.Hours   // Spread: a day, in (0, 24]
	Below units.Degrees // Dark: true altitude of the centre of the sun, [-90°, 90°]
	From  TimeOfDay     // Window and Moment
	To    TimeOfDay     // Window; not after From: it ends on the next day
	Clock Clock         // of From, To, the weekday and, for a Window, the dates
	// Days limits a Window or Moment to weekdays; 0 is every day. The day is
	// that on which the window starts.
	Days Weekdays
	// Every is n for "every n days", 2..366; 0 is every day. Days are counted
	// from Dates.From or, if that is not given, from the day of departure.
	Every int
	// Dates limits the whole: by the day on which a Window starts, on its own
	// clock; at midnight UTC for the other kinds.
	Dates Dates
}

// Weekdays is a set of days of the week, bit n for time.Weekday(n).
type Weekdays uint8

// Holds reports whether d is in the set; the empty set holds all.
func (w Weekdays) Holds(d time.Weekday) bool { return w == 0 || w&(1<<d) != 0 }

// With returns the set with d added.
func (w Weekdays) With(d time.Weekday) Weekdays { return w | 1<<d }

// String prints the set as "Mon,Thu", Monday first.
func (w Weekdays) String() string {
	var names []string
	for i := range 7 {
		if d := time.Weekday((i + 1) % 7); w&(1<<d) != 0 {
			names = append(names, d.String()[:3])
		}
	}
	return strings.Join(names, ",")
}

// Minutes returns the length of a Window, in [1, 1440], and 0 for other kinds.
func (w When) Minutes() int {
	if w.Kind != Window {
		return 0
	}
	n := int(w.To - w.From)
	if n <= 0 {
		n += minutesADay
	}
	return n
}

// Lasting returns a Window of the given length for a Moment and anything else
// as it is. The length must be a whole number of minutes, at most 24 h.
func (w When) Lasting(length units.Hours) (When, error) {
	if w.Kind != Moment {
		return w, nil
	}
	n, err := wholeMinutes(length)
	if err != nil {
		return When{}, err
	}
	w.Kind, w.To = Window, w.From.Add(n)
	if n == minutesADay && w.From == 0 {
		w.To = minutesADay
	}
	return w, nil
}

// wholeMinutes reads a length of 1 min to 24 h.
func wholeMinutes(length units.Hours) (int, error) {
	n := math.Round(float64(length) * 60)
	if !(n >= 1 && n <= minutesADay) || math.Abs(n-float64(length)*60) > 1e-6 {
		return 0, fmt.Errorf("length %v is not a whole number of minutes from 1 min to 24 h", length)
	}
	return int(n), nil
}

// Daily returns the Window of the given minutes, 1..1440, that starts at from
// every day on the clock.
func Daily(from TimeOfDay, minutes int, clock Clock) When {
	if from < 0 || from >= minutesADay || minutes < 1 || minutes > minutesADay {
		panic("timetable: a window starts within the day and lasts 1..1440 minutes")
	}
	w, err := When{Kind: Moment, From: from, Clock: clock}.Lasting(units.Hours(minutes) / 60)
	if err != nil {
		panic("timetable: " + err.Error())
	}
	return w
}

// String prints w in the form that Parse reads.
func (w When) String() string {
	var b strings.Builder
	switch w.Kind {
	case Always:
		b.WriteString("always")
	case Spread:
		fmt.Fprintf(&b, "%v a day", w.Hours)
	case Dark:
		if w.Below == Sunset {
			b.WriteString("dusk to dawn")
		} else {
			fmt.Fprintf(&b, "sun below %v", w.Below)
		}
	case Window, Moment:
		if w.Every > 0 {
			fmt.Fprintf(&b, "every %d days ", w.Every)
		} else if w.Days != 0 {
			fmt.Fprintf(&b, "%v ", w.Days)
		}
		b.WriteString(w.From.String())
		if w.Kind == Window {
			b.WriteString("-" + w.To.String())
		}
		b.WriteString(" " + w.Clock.String())
	}
	if w.Dates.From.given {
		b.WriteString(" from " + w.Dates.From.String())
	}
	if w.Dates.Until.given {
		b.WriteString(" until " + w.Dates.Until.String())
	}
	return b.String()
}
