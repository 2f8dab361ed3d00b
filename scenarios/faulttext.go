package scenarios

import (
	"fmt"
	"strconv"
	"strings"

	"ampwake/sim/units"
)

// FaultText is something that goes wrong, written as
//
//	WHAT: EFFECT, OCCASION [, for SPAN] [, REASON]
//
// WHAT is the name of a source or a load, or "bank". EFFECT is "lost", "40 %
// left", "cell lost" (bank) or "left on at 2.5 A" (load). OCCASION is "day 12", a
// moment, "at WAYPOINT", "north of 5°N", "south of 40°S", "hove-to" (or another
// state), "hove-to south of 40°S", or "at random every 60 d".
type FaultText struct {
	text     string
	What     string
	Left     units.Fraction
	Cell     bool
	Draws    units.Amps
	Day      int // 1: the day of departure
	At       *Instant
	Waypoint string
	Side     string // "north of" or "south of"
	Lat      units.Degrees
	State    BoatState
	Every    units.Hours
	For      units.Hours
	Why      string
}

const faultWant = `a fault, like "rail panel: lost, day 12", "hydro: 40 % left, at 5°N, for 2 d, weed", "HF radio: left on at 2.5 A, day 3, for 12 h" or "hydro: lost, at random every 60 d, for 3 d"`

// String returns the fault as it was written.
func (x FaultText) String() string { return x.text }

// UnmarshalText reads a FaultText.
func (x *FaultText) UnmarshalText(text []byte) error {
	s := strings.Join(strings.Fields(plainQuotes.Replace(string(text))), " ")
	what, rest, ok := strings.Cut(s, ": ")
	if !ok {
		return fmt.Errorf("%q is not %s", s, faultWant)
	}
	f := FaultText{text: s, What: strings.TrimSpace(what)}
	parts := strings.Split(rest, ", ")
	if len(parts) < 2 {
		return fmt.Errorf("%q does not say when: it is not %s", s, faultWant)
	}
	if err := f.effect(strings.TrimSpace(parts[0])); err != nil {
		return err
	}
	if err := f.occasion(strings.TrimSpace(parts[1])); err != nil {
		return err
	}
	for _, p := range parts[2:] {
		p = strings.TrimSpace(p)
		if span, ok := strings.CutPrefix(p, "for "); ok {
			if err := f.For.UnmarshalText([]byte(span)); err != nil {
				return err
			}
			if f.For <= 0 {
				return fmt.Errorf("%q is no time for a fault to last", span)
			}
			continue
		}
		if f.Why != "" {
			f.Why += ", "
		}
		f.Why += p
	}
	*x = f
	return nil
}

func (x *FaultText) effect(s string) error {
	switch {
	case s == "lost":
		return nil
	case s == "cell lost" || s == "a cell lost":
		x.Cell = true
		return nil
	}
	if share, ok := strings.CutSuffix(s, " left"); ok {
		if err := x.Left.UnmarshalText([]byte(share)); err != nil || x.Left < 0 || x.Left >= 1 {
			return fmt.Errorf(`%q is not what is left of a thing, like "40 %% left"`, s)
		}
		return nil
	}
	if draw, ok := strings.CutPrefix(s, "left on at "); ok {
		if err := x.Draws.UnmarshalText([]byte(draw)); err != nil {
			return err
		}
		if x.Draws <= 0 || x.Draws > 100 {
			return fmt.Errorf("%q is no current of a load left on", draw)
		}
		return nil
	}
	return fmt.Errorf(`%q is no effect: lost, 40 %% left, cell lost, or left on at 2.5 A`, s)
}

func (x *FaultText) occasion(s string) error {
	if n, ok := strings.CutPrefix(s, "day "); ok {
		var err error
		if x.Day, err = strconv.Atoi(n); err != nil || x.Day < 1 || x.Day > 400 {
			return fmt.Errorf("%q is no day of the voyage, like day 12", s)
		}
		return nil
	}
	if span, ok := strings.CutPrefix(s, "at random every "); ok {
		if err := x.Every.UnmarshalText([]byte(span)); err != nil {
			return err
		}
		if x.Every < 1 {
			return fmt.Errorf("%q is too short a time between faults: an hour at least", span)
		}
		return nil
	}
	for _, state := range stateNames { // "at anchor" is no waypoint
		if s == state {
			x.State = BoatState(state)
			return nil
		}
		if rest, ok := strings.CutPrefix(s, state+" "); ok {
			x.State = BoatState(state)
			return x.side(rest, s)
		}
	}
	if name, ok := strings.CutPrefix(s, "at "); ok {
		x.Waypoint = strings.TrimSpace(name)
		return nil
	}
	var at Instant
	if at.UnmarshalText([]byte(s)) == nil {
		x.At = &at
		return nil
	}
	return x.side(s, s)
}

func (x *FaultText) side(s, whole string) error {
	for _, side := range []string{"north of", "south of"} {
		if rest, ok := strings.CutPrefix(s, side+" "); ok {
			if lat, ok := latitude(rest); ok {
				x.Side, x.Lat = side, lat
				return nil
			}
		}
	}
	return fmt.Errorf(`%q is no occasion: day 12, a moment like "2027-01-10 09:00 UTC", at a waypoint, north of 5°N, south of 40°S, hove-to, hove-to south of 40°S, or at random every 60 d`, whole)
}
