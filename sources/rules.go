// Package sources holds what makes electricity on board, and the rules that
// bring it into use. Each source is one type that satisfies sim.Source, made by
// a constructor that refuses settings no thing can have; figures of practice are
// in the Default functions, with their standing.
//
// Sources of the formulae:
//
//   - panel: light on the plane, glass, cell temperature and power by package sky.
//     Shade and dirt take their share of all light; a tracking controller gives the
//     best power times its efficiency, a switching one the panel's best current at
//     the voltage of the bus (textbook matter);
//   - water generator: ½ ρ A CP v³ of the stream and its drag by package hull, or a
//     maker's curve, straight between its points;
//   - wind turbine: ½ ρ A CP v³ of the apparent wind, Betz (1920), with one CP from
//     the wind to the bus, between cut-in and cut-out; air of 1.225 kg/m³ (the
//     standard atmosphere at sea level);
//   - alternator: its current by its speed on a maker's curve or the exponential of
//     TypicalOutput; fuel on the straight line of no-load and shaft energy (the
//     line of Willans; from memory).
//
// What a scenario file sets in place of a default is told, with its standing, by
// "ampwake schema --format text".
package sources

import (
	"fmt"
	"time"
)

// Window is a time of every day on the ship's clock, half open: From belongs to
// it, To does not. It may pass midnight.
type Window struct {
	From, To int // seconds since midnight; From [0, 86400), To (0, 86400]
}

const day = 86400

// check returns an error when w is no time of the day.
func (w Window) check() error {
	if w.From < 0 || w.From >= day || w.To <= 0 || w.To > day || w.From == w.To {
		return fmt.Errorf("hours from %d s to %d s are no part of a day", w.From, w.To)
	}
	return nil
}

// holds reports whether the second of the day lies in the window.
func (w Window) holds(second int) bool {
	if w.From < w.To {
		return w.From <= second && second < w.To
	}
	return second >= w.From || second < w.To
}

// windows are several times of the day.
type windows []Window

func (ws windows) hold(second int) bool {
	for _, w := range ws {
		if w.holds(second) {
			return true
		}
	}
	return false
}

// edge returns the first beginning or end of a window strictly after t, in a
// ship's zone of that many hours; the zero time without windows.
func (ws windows) edge(t time.Time, zone int) time.Time {
	now := t.Unix() + int64(zone)*3600
	second := int(((now % day) + day) % day)
	wait := day + 1
	for _, w := range ws {
		for _, at := range [2]int{w.From, w.To} {
			d := at - second
			if d <= 0 {
				d += day
			}
			wait = min(wait, d)
		}
	}
	if wait > day {
		return time.Time{}
	}
	return time.Unix(t.Unix()+int64(wait), 0).UTC()
}
