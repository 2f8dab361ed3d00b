package trial

import (
	"math"
	"sort"
	"time"

	"ampwake/scenarios/logbook"
	"ampwake/sim"
	"ampwake/sim/units"
)

// period is a span of time of which the log does not tell all: what went on
// differs from it by a steady current.
type period struct {
	from, to time.Time
	amps     units.Amps // one standard deviation
}

// mostPeriods bounds the deviations: each is one more voyage to sail for every
// step of the fit.
const mostPeriods = 60

// cut finds the periods: the UTC days, or with an amp-hour counter, which sees
// more than a voltmeter, the time from reading to reading.
func (m *model) cut() {
	rows := m.l.Log.Rows
	from, to := m.l.Log.Span()
	var edges []time.Time
	if m.l.Log.Count(func(r *logbook.Row) bool { return r.Counter != nil }) > 2 {
		for i := range rows {
			if rows[i].Counter != nil {
				edges = append(edges, rows[i].Time)
			}
		}
	} else {
		for t := from.Truncate(24 * time.Hour).Add(24 * time.Hour); t.Before(to); t = t.Add(24 * time.Hour) {
			edges = append(edges, t)
		}
	}
	every := (len(edges) + mostPeriods - 1) / mostPeriods
	last := from
	add := func(t time.Time) {
		if t.After(last) {
			m.periods = append(m.periods, period{from: last, to: t})
			last = t
		}
	}
	for i := 0; i < len(edges); i += max(1, every) {
		add(edges[i])
	}
	add(to)
}

// noises finds by how much each period may differ, from what went on in a voyage.
// The shares are those of a day; shorter times differ more, since what evens out
// over a day does not over a watch, and times without a line in the log much
// more.
func (m *model) noises(res *sim.Result) {
	kinds := m.l.Scenario.Kinds()
	t := res.Trace
	perVolt := func(w units.Watts, k int, h float64) float64 { return float64(w) / float64(t.Bus[k]) * h }
	for i := range m.periods {
		p := &m.periods[i]
		offered, spilled, light, stream, used := 0.0, 0.0, 0.0, 0.0, 0.0
		first := sort.Search(len(t.Time), func(k int) bool { return !t.Time[k].Before(p.from) })
		for k := first; k+1 < len(t.Time) && t.Time[k].Before(p.to); k++ {
			h := t.Time[k+1].Sub(t.Time[k]).Hours()
			for j := range res.Sources {
				ah := perVolt(t.Sources[j][k], k, h)
				offered += ah
				switch kinds[res.Sources[j].Name] {
				case "solar":
					light += ah
				case "hydro":
					stream += ah
				}
			}
			spilled += perVolt(t.Spilled[k], k, h)
			for j := range m.l.Voyage.Loads { // and not the deviation itself
				used += perVolt(t.Loads[j][k], k, h)
			}
		}
		taken := 1.0
		if offered > 0 {
			taken = max(0, 1-spilled/offered)
		}
		hours := p.to.Sub(p.from).Hours()
		share := func(day float64) float64 { return day * min(2.5, math.Sqrt(24/min(24, hours))) }
		if m.l.partly(p) {
			stream *= dayPartly
		}
		ah := noise(share(dayLight)*light*taken, share(dayStream)*stream*taken, share(dayUse)*used)
		if m.l.blind(p) {
			ah *= dayBlind
		}
		p.amps = units.Amps(m.uneven * ah / hours)
	}
}

// amps returns the standard deviations of the periods.
func (m *model) amps() []float64 {
	list := make([]float64, len(m.periods))
	for i := range m.periods {
		list[i] = float64(m.periods[i].amps)
	}
	return list
}

// blind reports whether nobody wrote for most of a period.
func (l *Logged) blind(p *period) bool {
	last, longest := p.from, time.Duration(0)
	for i := range l.Log.Rows {
		if t := l.Log.Rows[i].Time; t.After(p.from) && !t.After(p.to) {
			longest = max(longest, t.Sub(last))
			last = t
		}
	}
	return max(longest, p.to.Sub(last)) > 20*time.Hour
}

// partly reports whether the generator was down for a part of the time between
// two lines: then it was down when it was worth it, and the mean speed says
// little of what it gave.
func (l *Logged) partly(p *period) bool {
	rows := l.Log.Rows
	for i := 1; i < len(rows); i++ {
		if h := rows[i].Generator; h != nil && rows[i].Time.After(p.from) && !rows[i].Time.After(p.to) {
			if share := float64(*h) / rows[i].Time.Sub(rows[i-1].Time).Hours(); share > 0.1 && share < 0.9 {
				return true
			}
		}
	}
	return false
}

// deviations is a load that stands for what each period differs from the log: a
// steady current, which is negative where there was more charge than the model
// knows of.
type deviations struct {
	periods []period
	amps    []units.Amps
}

// Name implements sim.Load.
func (d *deviations) Name() string { return "not in the log" }

// at returns the period under way, len(periods) after the last.
func (d *deviations) at(t time.Time) int {
	return sort.Search(len(d.periods), func(i int) bool { return t.Before(d.periods[i].to) })
}

// Draw implements sim.Load.
func (d *deviations) Draw(c *sim.Conditions) sim.Demand {
	i := d.at(c.Time)
	if i == len(d.periods) {
		return sim.Demand{}
	}
	return sim.Demand{On: true, Current: d.amps[i]}
}

// Edge implements sim.Load.
func (d *deviations) Edge(t time.Time, _ int) time.Time {
	if i := d.at(t); i < len(d.periods) {
		return d.periods[i].to
	}
	return time.Time{}
}
