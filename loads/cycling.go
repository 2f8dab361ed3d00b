package loads

import (
	"fmt"
	"math"
	"time"

	"ampwake/loads/timetable"
	"ampwake/sim"
)

// Cycling is a load that is switched on and off in turn, like the compressor
// of a fridge. Turns are counted from midnight UTC, 1 January 1970, and last
// whole seconds.
//
// The mean of such a load (Spec.Share without Spec.Period) is the better choice
// for a voyage: cycling costs two more steps of the simulator each period, and
// the bank hardly tells the difference. It is there for the voltage: a
// compressor takes its full current while it runs.
type Cycling struct {
	base
	run, period int64 // seconds
}

// newCycling makes the load from the share and the period of its description.
func newCycling(b base, s Spec, list timetable.List) (*Cycling, error) {
	for _, w := range list {
		if w.Kind != timetable.Always || w.Dates.Limited() {
			return nil, fmt.Errorf("period: a load that cycles is always on, so it cannot have when %q", w)
		}
	}
	seconds := math.Round(float64(s.Period) * 3600)
	if !(seconds >= 120 && seconds <= 86400) {
		return nil, fmt.Errorf("period %v: want 2 min to 24 h", s.Period)
	}
	run := int64(math.Round(seconds * float64(s.Share)))
	if run < 1 || run >= int64(seconds) {
		return nil, fmt.Errorf("share %v of %v: want a part of the period in which it runs and one in which it does not", s.Share, s.Period)
	}
	return &Cycling{b, run, int64(seconds)}, nil
}

// Draw returns the demand, on in the first part of each turn.
func (l *Cycling) Draw(c *sim.Conditions) sim.Demand {
	if !l.states.In(c.State) || l.phase(int64(c.Clock.Day)*86400+int64(c.Clock.UTC)) >= l.run {
		return sim.Demand{}
	}
	return l.on
}

// phase returns the seconds since the turn began.
func (l *Cycling) phase(unix int64) int64 {
	p := unix % l.period
	if p < 0 {
		p += l.period
	}
	return p
}

// Edge returns the next switching strictly after t.
func (l *Cycling) Edge(t time.Time, _ int) time.Time {
	now := t.Unix()
	p := l.phase(now)
	if p < l.run {
		return time.Unix(now-p+l.run, 0).UTC()
	}
	return time.Unix(now-p+l.period, 0).UTC()
}
