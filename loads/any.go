package loads

import (
	"slices"
	"time"

	"ampwake/loads/timetable"
	"ampwake/sim"
	"ampwake/sim/units"
)

// Any is one load with several reasons to be on, like a cabin lamp from dusk to
// dawn and at noon. It draws once, whatever the number of reasons: the first
// that holds speaks.
type Any struct {
	name    string
	members []sim.Load
	watched []units.Degrees
}

func newAny(name string, members []sim.Load) *Any {
	a := &Any{name: name, members: members}
	for _, m := range members {
		if w, ok := m.(sim.SunWatcher); ok {
			a.watched = append(a.watched, w.Altitudes()...)
		}
	}
	slices.Sort(a.watched)
	a.watched = slices.Compact(a.watched)
	return a
}

// Name returns the name the user gave.
func (a *Any) Name() string { return a.name }

// Draw returns the demand of the first member that is on.
func (a *Any) Draw(c *sim.Conditions) sim.Demand {
	for _, m := range a.members {
		if d := m.Draw(c); d.On {
			return d
		}
	}
	return sim.Demand{}
}

// Edge returns the first edge of a member.
func (a *Any) Edge(t time.Time, zone int) (first time.Time) {
	for _, m := range a.members {
		first = timetable.Sooner(first, m.Edge(t, zone))
	}
	return first
}

// Altitudes returns those of all members; it may be empty. The caller must not
// change it.
func (a *Any) Altitudes() []units.Degrees { return a.watched }
