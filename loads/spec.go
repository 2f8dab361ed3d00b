package loads

import (
	"fmt"
	"strings"

	"ampwake/loads/timetable"
	"ampwake/sim"
	"ampwake/sim/units"
)

// Spec describes a plain load: a lamp, an instrument, a fridge, a laptop.
type Spec struct {
	Name string // not empty
	Draw Draw   // while it runs
	When timetable.List
	// Share is the duty cycle: the part of the time it runs while it is
	// switched on, (0, 1]; 0 is "not given" and stands for 1. The load is
	// modelled as its mean, Draw x Share, unless Period is given.
	Share units.Fraction
	// Period, if given, switches the load on for Share x Period and off for
	// the rest of it, in [2 min, 24 h], and then only with When "always".
	Period units.Hours
	States sim.States // in which it is used; empty: all
	Start  timetable.Date
	Supply Supply
}

// Supply tells how a load is fed and at what voltage it fails. The zero value
// never fails.
type Supply struct {
	Least units.Volts // lowest working voltage at its own terminals, >= 0
	Cable units.Ohms  // out and back, with fuse and lugs, >= 0
	// Peak is the highest current while it runs, >= 0; 0: that of the draw.
	Peak units.Amps
}

// New makes a plain load, which is on whenever one of the times in s.When says
// so; none given means always. "4 h a day" must stand alone, as it does not say
// at what time. Days of "every 3 days" without a date are counted from s.Start, the
// day of departure. Errors name what is wrong in the words of the description;
// they do not repeat the load's name.
func New(s Spec) (sim.Load, error) {
	b, err := s.base()
	if err != nil {
		return nil, err
	}
	list := s.When
	if len(list) == 0 {
		list = timetable.List{{}}
	}
	if s.Period != 0 {
		return newCycling(b, s, list)
	}
	var members []sim.Load
	var windows []timetable.Slot
	for _, w := range list {
		switch w.Kind {
		case timetable.Always:
			members = append(members, newSteady(b, w.Dates, 1))
		case timetable.Spread:
			if len(list) > 1 {
				return nil, fmt.Errorf("when: %q does not say at what time, so it cannot be one of several", w)
			}
			members = append(members, newSteady(b, w.Dates, float64(w.Hours)/24))
		case timetable.Dark:
			members = append(members, newNight(b, w))
		default:
			windows = append(windows, timetable.Slot{When: w, Tag: int32(len(windows))})
		}
	}
	if len(windows) > 0 {
		tables, err := timetable.Compile(windows, s.Start)
		if err != nil {
			return nil, fmt.Errorf("when: %w", err)
		}
		members = append(members, &Scheduled{b, tables})
	}
	if len(members) == 1 {
		return members[0], nil
	}
	return newAny(b.name, members), nil
}

// base is what the plain loads share.
type base struct {
	name   string
	states sim.States
	on     sim.Demand // while it is on
}

// Name returns the name the user gave.
func (b *base) Name() string { return b.name }

// base checks what does not depend on the times.
func (s *Spec) base() (base, error) {
	share := float64(s.Share)
	if share == 0 {
		share = 1
	}
	if strings.TrimSpace(s.Name) == "" {
		return base{}, fmt.Errorf("name: it is missing")
	}
	if wrong := s.Draw.check(); wrong != "" {
		return base{}, fmt.Errorf("draw: %s", wrong)
	}
	if !(share > 0 && share <= 1) {
		return base{}, fmt.Errorf("share %v: want more than 0 and at most 100 %%", s.Share)
	}
	if err := s.Supply.check(); err != nil {
		return base{}, err
	}
	mean := s.Draw
	if s.Period == 0 {
		mean = s.Draw.times(share)
	}
	on := sim.Demand{
		On: true, Power: mean.Power, Current: mean.Current,
		Least: s.Supply.Least, Cable: s.Supply.Cable, Peak: s.Supply.Peak,
	}
	if on.Peak == 0 && mean != s.Draw {
		on.Peak = s.Draw.Current // what flows while it runs, not the mean
	}
	return base{s.Name, s.States, on}, nil
}

// check returns what is wrong with the supply.
func (s Supply) check() error {
	for _, x := range []struct {
		name  string
		value float64
	}{{"lowest working voltage", float64(s.Least)}, {"cable resistance", float64(s.Cable)}, {"peak current", float64(s.Peak)}} {
		if !finite(x.value) || x.value < 0 {
			return fmt.Errorf("%s: it must not be negative", x.name)
		}
	}
	return nil
}
