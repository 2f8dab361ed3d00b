package loads

import (
	"time"

	"ampwake/loads/timetable"
	"ampwake/sim"
)

// Scheduled is a load that is on in windows of a clock: a chart lamp from 19:00
// to 21:00 ship's time, a laptop at noon. Overlapping windows draw once.
//
// Each window is a slot. One that is longer than an hour and lives through a
// change of the ship's zone counts as two, because its start on the new clock
// is another instant.
type Scheduled struct {
	base
	tables timetable.Tables
}

// Draw returns the demand, on inside the windows.
func (l *Scheduled) Draw(c *sim.Conditions) sim.Demand {
	if !l.states.In(c.State) {
		return sim.Demand{}
	}
	hit, on := l.tables.At(&c.Clock)
	if !on {
		return sim.Demand{}
	}
	d := l.on
	d.Slot = hit.Start
	return d
}

// Edge returns the next start or end of a window strictly after t while the
// ship keeps the zone.
func (l *Scheduled) Edge(t time.Time, zone int) time.Time { return l.tables.Edge(t, zone) }
