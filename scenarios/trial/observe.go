package trial

import (
	"fmt"
	"math"
	"time"

	"ampwake/scenarios/logbook"
	"ampwake/sim"
	"ampwake/sim/units"
)

// Kind is what was read.
type Kind uint8

// The kinds of readings.
const (
	Rested  Kind = iota // volts of the bank at rest, V
	Loaded              // volts under load, V
	Counted             // change of the amp-hour counter since the reading before, Ah
)

// String names the kind as the log's columns do.
func (k Kind) String() string { return [...]string{"volts rested", "volts under load", "counter"}[k] }

// observation is one reading of the log.
type observation struct {
	Kind  Kind
	row   int
	from  int // Counted: the row of the reading before
	value float64
	sigma float64 // of the reading by itself
}

// predict returns what the model says of it, without the error shared by all
// voltages.
func (o *observation) predict(t *reader, rows []logbook.Row) float64 {
	r := &rows[o.row]
	switch {
	case o.Kind == Counted:
		i, a := t.step(r.Time)
		j, b := t.step(rows[o.from].Time)
		return between(t.drawn, j, b) - between(t.drawn, i, a)
	case o.Kind == Rested:
		return t.volts(r.Time, 0)
	case r.Load != nil:
		return t.volts(r.Time, *r.Load)
	}
	return t.bus(r.Time)
}

// noise adds standard deviations of independent errors.
func noise(xs ...float64) float64 {
	sum := 0.0
	for _, x := range xs {
		sum += x * x
	}
	return math.Sqrt(sum)
}

// observe lists the readings with their noise. What charging or resting went on
// at the time is taken from the voyage as planned.
func (m *model) observe(res *sim.Result) {
	rows := m.l.Log.Rows
	t := newReader(res.Trace, m.l.Voyage.Bank)
	rated := float64(m.l.Voyage.Bank.Setup().Rated)
	const hour = time.Hour
	counter, charging, fresh, resets := -1, 0, 0, 0
	for i := range rows {
		r := &rows[i]
		flow := 0.0
		if i > 0 {
			flow = t.current(r.Time, hour)
		}
		taken := -flow > rated/200
		if r.Rested != nil {
			o := observation{Kind: Rested, row: i, value: float64(*r.Rested), sigma: noise(readVolts, restedVolts)}
			if taken {
				o.sigma = noise(o.sigma, freshVolts)
				fresh++
			}
			m.obs = append(m.obs, o)
		}
		if r.Loaded != nil {
			o := observation{Kind: Loaded, row: i, value: float64(*r.Loaded), sigma: noise(readVolts, loadedVolts)}
			switch {
			case r.Load == nil && taken:
				charging++
				o.sigma = 0
			case r.Load == nil:
				o.sigma = noise(readVolts, busVolts)
			case taken:
				o.sigma = noise(o.sigma, freshVolts)
				fresh++
			}
			if o.sigma > 0 {
				m.obs = append(m.obs, o)
			}
		}
		if r.Counter != nil {
			x := float64(*r.Counter)
			switch {
			case counter < 0:
			case x == 0 && *rows[counter].Counter != 0:
				resets++ // a meter sets itself to 0 when it holds the bank for full
			default:
				change := x - float64(*rows[counter].Counter)
				m.obs = append(m.obs, observation{Kind: Counted, row: i, from: counter, value: change,
					sigma: noise(readCounter, readCounter, driftMeter*t.through(rows[counter].Time, r.Time))})
			}
			counter = i
		}
	}
	if charging > 0 {
		m.l.note("%d voltages under load were read while the bank was being charged, the current not known: they tell nothing and were left out", charging)
	}
	if fresh > 0 {
		m.l.note("%d voltages were read within an hour of charging: they count less, as the surface of the plates stands higher for a while", fresh)
	}
	if resets > 0 {
		m.l.note("the counter was set to 0 %d times: it is taken up again from there", resets)
	}
}

// through returns the charge that went through the terminals, both ways, between
// two moments.
func (r *reader) through(from, to time.Time) float64 {
	i, _ := r.step(from)
	j, _ := r.step(to)
	sum := 0.0
	for k := i + 1; k <= j; k++ {
		sum += math.Abs(r.drawn[k] - r.drawn[k-1])
	}
	return sum
}

// noises finds by how much each day may differ, from what went on in a voyage.
func (m *model) noises(res *sim.Result) {
	first := len(m.days) == 0
	kinds := m.l.Scenario.Kinds()
	for i := range res.Days {
		d := &res.Days[i]
		offered, light, stream, used := 0.0, 0.0, 0.0, 0.0
		for k, s := range d.Sources {
			offered += float64(s.Charge)
			switch kinds[res.Sources[k].Name] {
			case "solar":
				light += float64(s.Charge)
			case "hydro":
				stream += float64(s.Charge)
			}
		}
		for k := range m.l.Voyage.Loads { // and not the difference itself
			used += float64(d.Loads[k].Charge)
		}
		taken := 1.0
		if offered > 0 {
			taken = max(0, 1-float64(d.Spilled)/offered)
		}
		ah := noise(dayLight*light*taken, dayStream*stream*taken, dayUse*used)
		if !m.l.read(d.Date) {
			ah *= dayBlind
		}
		x := dayNoise{day: int(d.Date.Unix() / 86400), amps: units.Amps(ah / float64(max(1, d.Hours)))}
		if first {
			m.days = append(m.days, x)
		} else {
			m.days[i] = x
		}
	}
}

// read reports whether the log has a line on a UTC day.
func (l *Logged) read(day time.Time) bool {
	end := day.Add(24 * time.Hour)
	return l.Log.Count(func(r *logbook.Row) bool { return !r.Time.Before(day) && r.Time.Before(end) }) > 0
}

// check refuses a log that reads nothing of the bank.
func (m *model) check() error {
	if len(m.obs) == 0 {
		return fmt.Errorf("%s: it has no volts and no counter: there is nothing to fit", m.l.Log.Name)
	}
	return nil
}
