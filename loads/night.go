package loads

import (
	"time"

	"ampwake/loads/timetable"
	"ampwake/sim"
	"ampwake/sim/units"
)

// Night is a load that is on while the sun is down: a tricolour, an anchor
// light, a compass lamp.
//
// It goes by the true altitude of the centre of the sun at the boat, below
// -0.8333° from sunset to sunrise (COLREGS Rule 20(b)) or below another limit,
// like -6°, the end of civil twilight. It follows the boat across the date line
// and into the polar night, where it stays on.
type Night struct {
	base
	below   units.Degrees
	watched []units.Degrees
	limited bool
	dates   timetable.Dates // UTC days
}

func newNight(b base, w timetable.When) *Night {
	return &Night{b, w.Below, []units.Degrees{w.Below}, w.Dates.Limited(), w.Dates}
}

// Draw returns the demand, on while the sun is below the limit.
func (l *Night) Draw(c *sim.Conditions) sim.Demand {
	if !(c.Sun.Elevation < l.below) || !l.states.In(c.State) || l.limited && !l.dates.Holds(c.Clock.Day) {
		return sim.Demand{}
	}
	return l.on
}

// Edge returns the midnight UTC at which the dates begin or end, or the zero
// time: the sun keeps no clock.
func (l *Night) Edge(t time.Time, _ int) time.Time {
	if !l.limited {
		return time.Time{}
	}
	return l.dates.Edge(t)
}

// Altitudes returns the limit. The caller must not change it.
func (l *Night) Altitudes() []units.Degrees { return l.watched }
