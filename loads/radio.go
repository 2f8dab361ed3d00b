package loads

import (
	"fmt"
	"strings"
	"time"

	"ampwake/loads/timetable"
	"ampwake/sim"
	"ampwake/sim/units"
)

// RadioSpec describes a two-way radio with scheds.
type RadioSpec struct {
	Name     string
	Receive  units.Amps // while listening, >= 0
	Transmit Transmit
	// Scheds are starts ("08:00 UTC"), which last Length, or windows.
	Scheds timetable.List
	Length units.Hours // whole minutes, up to 24 h
	// Standby is how long before each sched the receiver is switched on, >= 0.
	// Standby, sched and all must fit into a day.
	Standby units.Hours
	AllDay  bool // the receiver is left on
	States  sim.States
	Start   timetable.Date // from which "every 3 days" is counted
	// Supply is checked with the transmit peak, unless it names a peak itself.
	Supply Supply
}

// Transmit describes a transmitter as the supply sees it.
type Transmit struct {
	Peak units.Amps // at full power, >= 0
	// Average while the key is down, at most Peak; 0: Ratio x Peak.
	Average units.Amps
	// Ratio of average to peak in speech, (0, 1]; 0 stands for 0.5, which is
	// common practice, no source; 1 suits data modes.
	Ratio units.Fraction
	Share units.Fraction // of the sched in which the key is down, [0, 1]
}

// The mean supply current of speech over that at full power, in a transmitter
// of class AB: common practice, no source (0.35 to 0.6 are met).
const speechRatio = 0.5

// average returns the mean current while the key is down.
func (t Transmit) average() float64 {
	switch {
	case t.Average != 0:
		return float64(t.Average)
	case t.Ratio != 0:
		return float64(t.Ratio) * float64(t.Peak)
	}
	return speechRatio * float64(t.Peak)
}

// Radio is a two-way radio: off, listening, in standby before a sched, or in a
// sched, which is its mean current (1 - share) x receive + share x average.
//
// Each sched is a slot. It is missed when the voltage at the set, with the peak
// current flowing, is under its lowest; the receiver then goes on drawing. The
// standby and the listening outside scheds are no slots and cannot be missed
// for want of voltage: they carry Slot 0, no least voltage and no peak.
type Radio struct {
	name    string
	states  sim.States
	tables  timetable.Tables
	sched   []sim.Demand // by tag
	standby sim.Demand
	idle    sim.Demand // outside of scheds and standby
}

// NewRadio makes a radio. Errors name what is wrong; they do not repeat the
// radio's name.
func NewRadio(s RadioSpec) (*Radio, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	f, rx := float64(s.Transmit.Share), float64(s.Receive)
	mean := float64((1-f)*rx) + float64(f*s.Transmit.average())
	peak := s.Supply.Peak
	if peak == 0 && f > 0 {
		peak = s.Transmit.Peak
	}
	r := &Radio{name: s.Name, states: s.States, standby: sim.Demand{On: true, Current: s.Receive}}
	if s.AllDay {
		r.idle = r.standby
	}
	slots := make([]timetable.Slot, len(s.Scheds))
	for i, w := range s.Scheds {
		w, err := w.Lasting(s.Length)
		if err != nil {
			return nil, fmt.Errorf("sched %d: %w", i+1, err)
		}
		slots[i] = timetable.Slot{When: w, Before: s.Standby, Tag: int32(i)}
		r.sched = append(r.sched, sim.Demand{
			On: true, Current: units.Amps(mean), Least: s.Supply.Least,
			Peak: peak, Cable: s.Supply.Cable, Idle: s.Receive, What: fmt.Sprintf("sched %v %v", w.From, w.Clock),
		})
	}
	var err error
	if r.tables, err = timetable.Compile(slots, s.Start); err != nil {
		return nil, fmt.Errorf("scheds: %w", err)
	}
	return r, nil
}

func (s *RadioSpec) check() error {
	t := s.Transmit
	if err := s.Supply.check(); err != nil {
		return err
	}
	switch {
	case strings.TrimSpace(s.Name) == "":
		return fmt.Errorf("name: it is missing")
	case !(s.Receive >= 0) || !finite(float64(s.Receive)):
		return fmt.Errorf("receive: it must not be negative")
	case !(t.Peak >= 0) || !finite(float64(t.Peak)):
		return fmt.Errorf("transmit peak: it must not be negative")
	case !(t.Share >= 0 && t.Share <= 1):
		return fmt.Errorf("transmit share %v: want 0 to 100 %%", t.Share)
	case !(t.Ratio >= 0 && t.Ratio <= 1):
		return fmt.Errorf("transmit ratio %v: want 0 to 1", t.Ratio)
	case t.Average != 0 && t.Ratio != 0:
		return fmt.Errorf("transmit: want the average or its ratio to the peak, not both")
	case !(t.Average >= 0 && t.Average <= t.Peak):
		return fmt.Errorf("transmit average %v: want 0 to the peak of %v", t.Average, t.Peak)
	}
	return nil
}

// Name returns the name the user gave.
func (r *Radio) Name() string { return r.name }

// Draw returns the demand of the sched, the standby or the listening.
func (r *Radio) Draw(c *sim.Conditions) sim.Demand {
	if !r.states.In(c.State) {
		return sim.Demand{}
	}
	hit, on := r.tables.At(&c.Clock)
	switch {
	case !on:
		return r.idle
	case hit.Rank != timetable.Body:
		return r.standby
	}
	d := r.sched[hit.Tag]
	d.Slot = hit.Start
	return d
}

// Edge returns the next start or end of a standby or a sched strictly after t
// while the ship keeps the zone.
func (r *Radio) Edge(t time.Time, zone int) time.Time { return r.tables.Edge(t, zone) }
