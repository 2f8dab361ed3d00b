package trial

import (
	"fmt"
	"math"
	"time"

	"ampwake/scenarios/logbook"
	"ampwake/sim"
)

// Kind is what was read.
type Kind uint8

// The kinds of readings.
const (
	Rested  Kind = iota // volts of the bank at rest, V
	Loaded              // volts under load, V
	Counted             // amp-hour counter, Ah
)

// String names the kind as the log's columns do.
func (k Kind) String() string { return [...]string{"volts rested", "volts under load", "counter"}[k] }

// observation is one reading of the log.
type observation struct {
	Kind  Kind
	row   int
	from  int // Counted: the row of the reading before
	value float64
	free  bool    // Counted: the counter does not stop at 0
	sigma float64 // of the reading by itself
}

// predict returns what the model says of it, without the error shared by all
// voltages.
func (o *observation) predict(t *reader, rows []logbook.Row) float64 {
	r := &rows[o.row]
	switch {
	case o.Kind == Counted:
		before := &rows[o.from]
		return t.counter(float64(*before.Counter), before.Time, r.Time, o.free)
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
	counter, charging, fresh := -1, 0, 0
	free := m.l.Log.Count(func(r *logbook.Row) bool { return r.Counter != nil && *r.Counter > 0 }) > 0
	for i := range rows {
		r := &rows[i]
		flow := 0.0
		if i > 0 {
			flow = t.current(r.Time, hour)
		}
		// The bank is being charged, or held up by a charger though it is full.
		taken := -flow > rated/200 || i > 0 && t.bus(r.Time) > t.volts(r.Time, 0)+heldUp
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
			if counter >= 0 {
				m.obs = append(m.obs, observation{
					Kind: Counted, row: i, from: counter, value: float64(*r.Counter), free: free,
					sigma: noise(readCounter, readCounter, driftMeter*t.through(rows[counter].Time, r.Time)),
				})
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

// counter returns what an amp-hour counter shows after having shown x. A meter
// holds the bank for full at 0 and goes no higher; one that has been seen above 0
// only adds up.
func (r *reader) counter(x float64, from, to time.Time, free bool) float64 {
	i, a := r.step(from)
	j, b := r.step(to)
	last := between(r.drawn, i, a)
	add := func(drawn float64) {
		x -= drawn - last
		last = drawn
		if !free {
			x = min(x, 0)
		}
	}
	for k := i + 1; k <= j; k++ {
		add(r.drawn[k])
	}
	add(between(r.drawn, j, b))
	return x
}

// check refuses a log that reads nothing of the bank.
func (m *model) check() error {
	if len(m.obs) == 0 {
		return fmt.Errorf("%s: it has no volts and no counter: there is nothing to fit", m.l.Log.Name)
	}
	return nil
}
