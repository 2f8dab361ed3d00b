package card

import (
	"math"
	"time"

	"ampwake/sim"
	"ampwake/sim/units"
)

// logbook is what is kept of the voyage through one weather.
type logbook struct {
	first int // ship's day of the departure, days since 1970
	// noons is the state of charge at ship's noon by ship's day from first on;
	// NaN where there was none. Of two noons of one date, at the date line, it
	// holds the later.
	noons []float64
	zones []passed
}

// passed is what went on in one zone. Sums are over its hours.
type passed struct {
	enter, leave, middle float64   // hours since departure; NaN: never there
	hours                float64   // in it
	in, out              []float64 // Ah, by source and by load
	spilled              float64   // Ah
	cloud, air, sea      float64   // times hours
	plan, heel           float64   // times the hours under way
	under                float64   // hours under way
	cube                 float64   // third power of the wind times hours, kn³ h
	failed               *failing  // the first failure of the voyage, if it is here
}

// failing is the first failure of any goal.
type failing struct {
	sailed units.NauticalMiles
	load   int // index into Voyage.Loads, -1: the floor
	cause  sim.Cause
}

// nearMark is how far short of the end of a zone counts as being there: the miles
// of distances are good to less than that, and a stay at a waypoint is to fall in
// the zone that begins there.
const nearMark = 0.5

// keep reads a voyage with its trace.
func keep(r *sim.Result, ps []part) *logbook {
	t := r.Trace
	l := &logbook{first: shipDay(t.Time[0], int(t.Zone[0])), zones: make([]passed, len(ps))}
	for i := range l.zones {
		z := &l.zones[i]
		z.enter, z.leave, z.middle = math.NaN(), math.NaN(), math.NaN()
		z.in, z.out = make([]float64, len(r.Sources)), make([]float64, len(r.Loads))
	}
	sailed := distances(r)
	k := 0
	for i := range t.Time {
		l.noon(t, i)
		for k < len(ps)-1 && sailed[i] >= float64(ps[k].To)-nearMark {
			k++
		}
		if i == len(t.Time)-1 {
			break
		}
		h := t.Time[i+1].Sub(t.Time[i]).Hours()
		z, after := &l.zones[k], t.Time[i].Sub(r.Depart).Hours()
		if math.IsNaN(z.enter) {
			z.enter = after
		}
		z.leave = after + h
		if middle := float64(ps[k].From+ps[k].To) / 2; math.IsNaN(z.middle) && sailed[i+1] >= middle {
			z.middle = after + h
		}
		z.add(t, i, h)
	}
	for i := range l.zones {
		if z := &l.zones[i]; math.IsNaN(z.middle) {
			z.middle = (z.enter + z.leave) / 2
		}
	}
	if f := first(r); f != nil {
		for k := range ps {
			if f.sailed < ps[k].To || k == len(ps)-1 {
				l.zones[k].failed = f
				break
			}
		}
	}
	return l
}

// add books the step i of h hours.
func (p *passed) add(t *sim.Trace, i int, h float64) {
	volts := float64(t.Bus[i])
	for j := range p.in {
		p.in[j] += float64(t.Sources[j][i]) / volts * h
	}
	for j := range p.out {
		p.out[j] += float64(t.Loads[j][i]) / volts * h
	}
	p.spilled += float64(t.Spilled[i]) / volts * h
	p.hours += h
	p.cloud += float64(t.Cloud[i]) * h
	p.air += float64(t.Air[i]) * h
	p.sea += float64(t.Sea[i]) * h
	p.cube += math.Pow(float64(t.Wind[i]), 3) * h
	if t.Plan[i] > 0 {
		p.under += h
		p.plan += float64(t.Plan[i]) * h
		p.heel += float64(t.Heel[i]) * h
	}
}

// noon keeps the state of charge if step i begins at ship's noon.
func (l *logbook) noon(t *sim.Trace, i int) {
	ship := t.Time[i].Unix() + 3600*int64(t.Zone[i])
	if ship%86400 != 43200 {
		return
	}
	n := int(ship/86400) - l.first
	if n < 0 {
		return // the date line, on the first day
	}
	for len(l.noons) <= n {
		l.noons = append(l.noons, math.NaN())
	}
	l.noons[n] = float64(t.Charge[i])
}

// distances returns the miles sailed at each entry of the trace: straight
// pieces between its places, drawn to the length of the voyage.
func distances(r *sim.Result) []float64 {
	const rad = math.Pi / 180
	t := r.Trace
	d := make([]float64, len(t.Lat))
	for i := 1; i < len(d); i++ {
		north := float64(t.Lat[i] - t.Lat[i-1])
		east := math.Remainder(float64(t.Lon[i]-t.Lon[i-1]), 360) * math.Cos(float64(t.Lat[i]+t.Lat[i-1])/2*rad)
		d[i] = d[i-1] + 60*math.Hypot(north, east)
	}
	if last := d[len(d)-1]; last > 0 {
		scale := float64(r.Sailed) / last
		for i := range d {
			d[i] *= scale
		}
	}
	return d
}

// first returns the first failure of any goal, or nil.
func first(r *sim.Result) *failing {
	var at time.Time
	var f *failing
	for i := range r.Verdict.Goals {
		g := &r.Verdict.Goals[i]
		switch {
		case g.First != nil && (f == nil || g.First.At.Time.Before(at)):
			at, f = g.First.At.Time, &failing{g.First.At.Sailed, g.Load, g.First.Cause}
		case g.Broken != nil && (f == nil || g.Broken.Time.Before(at)):
			at, f = g.Broken.Time, &failing{sailed: g.Broken.Sailed, load: -1}
		}
	}
	return f
}

// shipDay counts the days of the ship's calendar since 1970.
func shipDay(t time.Time, zone int) int {
	return int(math.Floor(float64(t.Unix()+3600*int64(zone)) / 86400))
}
