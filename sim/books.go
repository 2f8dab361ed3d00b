package sim

import (
	"time"

	"ampwake/sim/bank"
	"ampwake/sim/units"
)

// tally sums the ledgers of a passage; sources and loads sum their own rows.
type tally struct {
	store                        units.AmpHours  // in the tanks at departure
	worth                        units.WattHours // what that store is worth
	spilled, spilledAh           float64
	bankIn, bankOut              float64
	taken, charged, drawn, faded float64
	gone                         float64 // with a part of the bank
}

// book enters a step of h hours over which the boat makes good made miles.
func (p *passage) book(flow *bank.Flow, h, made float64) {
	volts := float64(flow.Volts)
	perVolt := h / volts
	spill := float64(flow.Spilled)
	if spill > 0 {
		spill = p.throttle(spill)
	}
	for i := range p.sources {
		s := &p.sources[i]
		if !s.inUse {
			continue
		}
		s.energy += float64(s.power * h)
		s.charge += float64(s.power * perVolt)
		s.loss += float64(s.lost * h)
		s.hours += h
		if s.burner != nil {
			p.fuel = max(0, p.fuel-float64(s.burner.Burn(&p.c, units.Watts(s.power)))*h)
		}
	}
	for i := range p.loads {
		l := &p.loads[i]
		if l.w != 0 || l.a != 0 {
			l.energy += float64((l.w + float64(l.a*volts)) * h)
			l.charge += float64(l.w*perVolt) + float64(l.a*h)
		}
		if l.demand.On && !l.served {
			l.off += h
		}
	}
	p.bookDrag(h)
	b := &p.books
	b.spilled += float64(spill * h)
	b.spilledAh += float64(spill * perVolt)
	b.drawn += float64(flow.Drawn)
	b.bankOut += float64(flow.Out)
	b.bankIn += float64(flow.In)
	if flow.Current < 0 {
		b.taken -= float64(float64(flow.Current) * h)
	}
	b.charged += float64(flow.Charged)
	b.faded += float64(flow.SelfDischarge)
	p.day.add(p, h, made)
	if p.trace != nil {
		p.trace.add(p, flow, spill)
	}
	p.c.Bus = flow.Volts
	p.c.Charge = p.model.Charge(&p.bank, p.c.Weather.Sea)
	p.wear.note(float64(p.c.Charge), h)
	p.extremes(h)
}

// throttle takes what was refused off the sources that follow the bus, last
// first, and returns what is left to spill.
func (p *passage) throttle(spill float64) float64 {
	for i := len(p.sources) - 1; i >= 0 && spill > 0; i-- {
		s := &p.sources[i]
		if !s.follow || s.power <= 0 {
			continue
		}
		less := min(spill, s.power)
		s.lost *= 1 - less/s.power
		s.power -= less
		spill -= less
	}
	return spill
}

// extremes keeps the lowest state of charge and bus voltage, as of the end of
// the step for the one and during it for the other.
func (p *passage) extremes(h float64) {
	if p.c.Charge < p.lowest.Charge {
		p.lowest = p.moment()
		p.lowest.Time = p.lowest.Time.Add(time.Duration(h * 3.6e12))
	}
	if floor := p.v.Goals.Above; p.broken == nil && p.c.Charge < floor {
		m := p.moment()
		m.Time = m.Time.Add(time.Duration(h * 3.6e12))
		p.broken = &m
	}
	if p.c.Bus < p.slack.Bus {
		p.slack = p.moment()
	}
	p.day.extreme(p, h)
}

func (t *tally) books(p *passage) Books {
	b := Books{
		Spilled: units.WattHours(t.spilled), SpilledCharge: units.AmpHours(t.spilledAh),
		BankIn: units.WattHours(t.bankIn), BankOut: units.WattHours(t.bankOut),
		Taken: units.AmpHours(t.taken), Charged: units.AmpHours(t.charged), Drawn: units.AmpHours(t.drawn),
		SelfDischarge: units.AmpHours(t.faded), Gone: units.AmpHours(t.gone), StoreChange: held(&p.bank) - t.store,
	}
	b.BankLost = b.BankIn - b.BankOut - (p.model.Store(&p.bank, p.c.Weather.Sea) - t.worth)
	for i := range p.sources {
		s := &p.sources[i]
		b.Made += units.WattHours(s.energy + s.loss)
		b.Lost += units.WattHours(s.loss)
	}
	for i := range p.loads {
		b.Used += units.WattHours(p.loads[i].energy)
	}
	return b
}

func (p *passage) sourceTotals() []SourceTotal {
	ts := make([]SourceTotal, len(p.sources))
	for i := range ts {
		s := &p.sources[i]
		ts[i] = SourceTotal{
			Name: p.v.Sources[i].Source.Name(), Energy: units.WattHours(s.energy),
			Charge: units.AmpHours(s.charge), Lost: units.WattHours(s.loss), InUse: units.Hours(s.hours), Miles: units.NauticalMiles(s.miles),
		}
	}
	return ts
}

func (p *passage) loadTotals() []LoadTotal {
	ts := make([]LoadTotal, len(p.loads))
	for i := range ts {
		l := &p.loads[i]
		ts[i] = LoadTotal{
			Name: p.v.Loads[i].Load.Name(), Energy: units.WattHours(l.energy),
			Charge: units.AmpHours(l.charge), Due: l.slot.due, Kept: l.slot.kept, Off: units.Hours(l.off),
		}
	}
	return ts
}

// A day and half of one, ns.
const (
	dayLong = 24 * int64(time.Hour)
	halfDay = dayLong / 2
)

// daybook sums one UTC day: totals at its beginning are taken off at its end.
type daybook struct {
	day     Day
	begun   int64
	sources []SourceTotal
	loads   []LoadTotal
	spilled float64
	cloud   float64
	air     float64
	sea     float64
}

func (d *daybook) begin(p *passage, at int64) {
	t := time.Unix(0, at).UTC()
	d.day = Day{Date: t.Truncate(24 * time.Hour), Low: p.c.Charge, High: p.c.Charge, LowAt: t, Noon: p.here(), AtNoon: p.c.Charge}
	d.begun = at
	if !p.lean {
		d.sources, d.loads = p.sourceTotals(), p.loadTotals()
	}
	d.spilled = p.books.spilledAh
	d.cloud, d.air, d.sea = 0, 0, 0
}

func (d *daybook) add(p *passage, h, made float64) {
	w := &p.c.Weather
	d.cloud += float64(w.Cloud) * h
	d.air += float64(w.Air) * h
	d.sea += float64(w.Sea) * h
	d.day.Hours += units.Hours(h)
	d.day.Sailed += units.NauticalMiles(made)
}

func (d *daybook) extreme(p *passage, h float64) {
	if p.c.Charge < d.day.Low {
		d.day.Low, d.day.LowAt = p.c.Charge, time.Unix(0, p.now).UTC().Add(time.Duration(h*3.6e12))
	}
	d.day.High = max(d.day.High, p.c.Charge)
}

// noon notes place and charge at 12:00 UTC, which the grid never steps over.
func (d *daybook) noon(p *passage) { d.day.Noon, d.day.AtNoon = p.here(), p.c.Charge }

func (d *daybook) end(p *passage) {
	if d.day.Hours <= 0 {
		return
	}
	if p.now < d.day.Date.UnixNano()+halfDay {
		d.noon(p) // the nearest to it
	}
	day := d.day
	day.Close = p.c.Charge
	h := float64(day.Hours)
	day.Cloud = units.Fraction(d.cloud / h)
	day.Air, day.Sea = units.Celsius(d.air/h), units.Celsius(d.sea/h)
	day.Spilled = units.AmpHours(p.books.spilledAh - d.spilled)
	if !p.lean {
		day.Sources, day.Loads = p.sourceTotals(), p.loadTotals()
	}
	for i := range day.Sources {
		day.Sources[i].Energy -= d.sources[i].Energy
		day.Sources[i].Charge -= d.sources[i].Charge
		day.Sources[i].Lost -= d.sources[i].Lost
		day.Sources[i].InUse -= d.sources[i].InUse
		day.Sources[i].Miles -= d.sources[i].Miles
	}
	for i := range day.Loads {
		day.Loads[i].Energy -= d.loads[i].Energy
		day.Loads[i].Charge -= d.loads[i].Charge
		day.Loads[i].Due -= d.loads[i].Due
		day.Loads[i].Kept -= d.loads[i].Kept
		day.Loads[i].Off -= d.loads[i].Off
	}
	p.res.Days = append(p.res.Days, day)
	d.day.Hours = 0
}

// held returns the charge in both tanks.
func held(s *bank.State) units.AmpHours {
	hand, bound := s.Tanks()
	return hand + bound
}
