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
	if m.l.counted() {
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

// counted reports whether there is an amp-hour counter.
func (l *Logged) counted() bool {
	return l.Log.Count(func(r *logbook.Row) bool { return r.Counter != nil }) > 2
}

// noises finds by how much each period may differ, from what went on in a voyage.
// The shares are those of a day, and days differ independently of each other: of
// a watch in which a part of the day's charge came, the variance is that part of
// the day's, so that the watches of a day add up to it. Times without a line in
// the log differ much more.
func (m *model) noises(res *sim.Result) {
	b := m.tally(res)
	for i := range m.periods {
		p := &m.periods[i]
		hours := p.to.Sub(p.from).Hours()
		edge := max(0, (24*time.Hour-p.to.Sub(p.from))/2)
		differ := func(day float64, sum []float64) float64 {
			part := b.between(sum, p.from, p.to)
			return day * math.Sqrt(part*max(part, b.between(sum, p.from.Add(-edge), p.to.Add(edge))))
		}
		taken := 1.0
		if offered := b.between(b.offered, p.from, p.to); offered > 0 {
			taken = max(0, 1-b.between(b.spilled, p.from, p.to)/offered)
		}
		stream := differ(dayStream, b.stream)
		if m.l.partly(p) {
			stream *= dayPartly
		}
		ah := noise(differ(dayLight, b.light)*taken, stream*taken, differ(dayUse, b.used))
		if m.l.blind(p) {
			ah *= dayBlind
		}
		p.amps = units.Amps(m.uneven * ah / hours)
	}
}

// tally is what came and went since the beginning, Ah at each entry of a trace.
type tally struct {
	time                                  []time.Time
	offered, spilled, light, stream, used []float64
}

// tally adds up a voyage.
func (m *model) tally(res *sim.Result) *tally {
	kinds := m.l.Scenario.Kinds()
	t := res.Trace
	n := len(t.Time)
	b := &tally{time: t.Time}
	for _, sum := range []*[]float64{&b.offered, &b.spilled, &b.light, &b.stream, &b.used} {
		*sum = make([]float64, n)
	}
	for k := 0; k+1 < n; k++ {
		perVolt := t.Time[k+1].Sub(t.Time[k]).Hours() / float64(t.Bus[k])
		add := func(sum []float64, w units.Watts) { sum[k+1] += float64(float64(w) * perVolt) }
		for _, sum := range [][]float64{b.offered, b.spilled, b.light, b.stream, b.used} {
			sum[k+1] = sum[k]
		}
		for j := range res.Sources {
			add(b.offered, t.Sources[j][k])
			switch kinds[res.Sources[j].Name] {
			case "solar":
				add(b.light, t.Sources[j][k])
			case "hydro":
				add(b.stream, t.Sources[j][k])
			}
		}
		add(b.spilled, t.Spilled[k])
		for j := range m.l.Voyage.Loads { // and not the deviation itself
			add(b.used, t.Loads[j][k])
		}
	}
	return b
}

// between returns what came between two moments.
func (b *tally) between(sum []float64, from, to time.Time) float64 {
	return b.at(sum, to) - b.at(sum, from)
}

func (b *tally) at(sum []float64, t time.Time) float64 {
	k := sort.Search(len(b.time), func(k int) bool { return b.time[k].After(t) }) - 1
	switch {
	case k < 0:
		return 0
	case k+1 >= len(b.time):
		return sum[len(sum)-1]
	}
	share := float64(t.Sub(b.time[k])) / float64(b.time[k+1].Sub(b.time[k]))
	return sum[k] + float64(share*(sum[k+1]-sum[k]))
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
