package trial

import (
	"sort"
	"time"

	"ampwake/scenarios/logbook"
	"ampwake/sim"
	"ampwake/sim/units"
)

// rule makes the rule of a source from hours of use: they are taken together, in
// the middle of the time between two rows.
func (l *Logged) rule(own sim.Rule, of func(*logbook.Row) *units.Hours) sim.Rule {
	r := &byLog{own: own}
	rows := l.Log.Rows
	for i := 1; i < len(rows); i++ {
		s := useSpan{begin: rows[i-1].Time, from: rows[i].Time, till: rows[i].Time}
		if h := of(&rows[i]); h == nil {
			s.ask = true
		} else {
			spare := rows[i].Time.Sub(s.begin) - time.Duration(float64(*h)*float64(time.Hour))
			s.from, s.till = s.begin.Add(spare/2), s.till.Add(-spare/2)
		}
		r.spans = append(r.spans, s)
		r.edges = append(r.edges, s.begin, s.from, s.till)
	}
	r.edges = append(r.edges, rows[len(rows)-1].Time)
	sort.Slice(r.edges, func(i, j int) bool { return r.edges[i].Before(r.edges[j]) })
	return r
}

// byLog is the rule of a source that was in use as a log says.
type byLog struct {
	own   sim.Rule  // where the log says nothing
	spans []useSpan // one for each time between two rows
	edges []time.Time
}

// useSpan is when a source was in use between two rows.
type useSpan struct {
	begin      time.Time // the row before
	from, till time.Time // in use
	ask        bool      // the log does not say
}

// at returns the span that holds t, the first or last one beyond them.
func (r *byLog) at(t time.Time) *useSpan {
	i := sort.Search(len(r.spans), func(i int) bool { return r.spans[i].begin.After(t) })
	return &r.spans[max(0, i-1)]
}

// Decide implements sim.Rule.
func (r *byLog) Decide(c *sim.Conditions, inUse bool, since units.Hours) (use bool, why string) {
	s := r.at(c.Start)
	switch {
	case s.ask && r.own != nil:
		return r.own.Decide(c, inUse, since)
	case s.ask:
		return true, "always in use"
	}
	return !c.Start.Before(s.from) && c.Start.Before(s.till), "as the log says"
}

// Edge implements sim.Timed.
func (r *byLog) Edge(t time.Time, zone int) (next time.Time) {
	i := sort.Search(len(r.edges), func(i int) bool { return r.edges[i].After(t) })
	if i < len(r.edges) {
		next = r.edges[i]
	}
	if timed, ok := r.own.(sim.Timed); ok && r.at(t).ask {
		if own := timed.Edge(t, zone); !own.IsZero() && (next.IsZero() || own.Before(next)) {
			next = own
		}
	}
	return next
}
