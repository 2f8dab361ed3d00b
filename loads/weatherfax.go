package loads

import (
	"fmt"
	"strings"
	"time"

	"ampwake/loads/fax"
	"ampwake/loads/timetable"
	"ampwake/sim"
	"ampwake/sim/units"
)

// FaxSpec describes a weather fax: a receiver and whatever prints or shows the
// chart.
type FaxSpec struct {
	Name string
	Draw Draw // while receiving
	// Charts are received every day; see fax.Schedule.Choose. Margin is how
	// long before the start and after the end of each the set is on, usually
	// fax.Margin.
	Charts []fax.Chart
	Margin units.Hours
	// Slots are further times, taken as written, without a margin. Starts
	// ("08:00 UTC") last Length.
	Slots  timetable.List
	Length units.Hours
	States sim.States
	Start  timetable.Date // from which "every 3 days" is counted
	Supply Supply
}

// Fax is a weather fax. Each chart is a slot, which begins at the chart's own
// start; the set stays on between charts that follow each other closely. The
// margin before a chart belongs to the chart that comes, the margin after it to
// the one that was, and where a chart's own time and a margin meet, the chart
// has it. Where two charts overlap, the later has the moment from its start on:
// one receiver takes one chart at a time.
type Fax struct {
	name   string
	states sim.States
	tables timetable.Tables
	slot   []sim.Demand // by tag
}

// NewFax makes a weather fax. Errors name what is wrong; they do not repeat its
// name.
func NewFax(s FaxSpec) (*Fax, error) {
	if strings.TrimSpace(s.Name) == "" {
		return nil, fmt.Errorf("name: it is missing")
	}
	if wrong := s.Draw.check(); wrong != "" {
		return nil, fmt.Errorf("draw: %s", wrong)
	}
	if err := s.Supply.check(); err != nil {
		return nil, err
	}
	if len(s.Charts)+len(s.Slots) == 0 {
		return nil, fmt.Errorf("charts: none are chosen")
	}
	l := &Fax{name: s.Name, states: s.States}
	var slots []timetable.Slot
	add := func(w timetable.When, margin units.Hours, what string) {
		slots = append(slots, timetable.Slot{When: w, Before: margin, After: margin, Tag: int32(len(slots))})
		l.slot = append(l.slot, sim.Demand{
			On: true, Power: s.Draw.Power, Current: s.Draw.Current, What: what,
			Least: s.Supply.Least, Cable: s.Supply.Cable, Peak: s.Supply.Peak,
		})
	}
	for _, c := range s.Charts {
		add(c.Window(), s.Margin, c.String())
	}
	for i, w := range s.Slots {
		w, err := w.Lasting(s.Length)
		if err != nil {
			return nil, fmt.Errorf("slot %d: %w", i+1, err)
		}
		add(w, 0, fmt.Sprintf("chart %v %v", w.From, w.Clock))
	}
	var err error
	if l.tables, err = timetable.Compile(slots, s.Start); err != nil {
		return nil, fmt.Errorf("charts: %w", err)
	}
	return l, nil
}

// Name returns the name the user gave.
func (l *Fax) Name() string { return l.name }

// Draw returns the demand, on from the margin before a chart to the margin
// after it.
func (l *Fax) Draw(c *sim.Conditions) sim.Demand {
	if !l.states.In(c.State) {
		return sim.Demand{}
	}
	hit, on := l.tables.At(&c.Clock)
	if !on {
		return sim.Demand{}
	}
	d := l.slot[hit.Tag]
	d.Slot = hit.Start
	return d
}

// Edge returns the next instant strictly after t at which the set is switched
// or another chart begins, while the ship keeps the zone.
func (l *Fax) Edge(t time.Time, zone int) time.Time { return l.tables.Edge(t, zone) }
