package loads

import (
	"time"

	"ampwake/loads/timetable"
	"ampwake/sim"
)

// Steady is a load that is always on, or on for some hours a day that nobody
// wishes to fix. The latter is spread: it takes the mean of the day, draw x
// hours / 24, at every moment, which is right over days and wrong within one.
type Steady struct {
	base
	limited bool
	dates   timetable.Dates // UTC days
}

// newSteady makes a steady load that takes the share of its draw.
func newSteady(b base, dates timetable.Dates, share float64) *Steady {
	if share != 1 {
		run := b.on
		mean := Draw{run.Power, run.Current}.times(share)
		b.on.Power, b.on.Current = mean.Power, mean.Current
		if run.Peak == 0 {
			b.on.Peak = run.Current
		}
	}
	return &Steady{b, dates.Limited(), dates}
}

// Draw returns the demand, on in the load's states and on its dates.
func (l *Steady) Draw(c *sim.Conditions) sim.Demand {
	if !l.states.In(c.State) || l.limited && !l.dates.Holds(c.Clock.Day) {
		return sim.Demand{}
	}
	return l.on
}

// Edge returns the midnight UTC at which the dates begin or end, or the zero
// time.
func (l *Steady) Edge(t time.Time, _ int) time.Time {
	if !l.limited {
		return time.Time{}
	}
	return l.dates.Edge(t)
}
