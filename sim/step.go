package sim

import (
	"math"
	"time"

	"ampwake/sim/bank"
	"ampwake/sim/sky"
	"ampwake/sim/units"
)

// step sails one step: its length, the weather, the boat, the sky, decisions,
// loads, sources, bank and books, in that order.
func (p *passage) step() {
	end, cutAt := p.plot()
	if end <= p.now { // a mark underfoot: nothing to sail
		p.passMark(cutAt)
		return
	}
	c := &p.c
	ns := end - p.now
	h := hours(ns)
	c.Length = units.Hours(h)
	if mid := p.now + ns/2; mid != p.mid { // the step was cut after all
		c.Time = time.Unix(0, mid).UTC()
		p.setClock(mid)
	}
	made := float64(c.Speed) * p.along * h
	c.Sailed = units.NauticalMiles(min(p.sailed+made/2, p.length))
	c.Place, c.Heading = p.cursor.At(c.Sailed)

	if p.dark(end) {
		c.Light = sky.Irradiance{}
	} else {
		c.Sun = p.almanac.Sun(c.Time, c.Place.Lat, c.Place.Lon)
		p.watchSun()
		p.look()
	}

	if p.dirty {
		p.ask()
	}
	p.offer()
	if p.wary > 0 {
		p.checkVoltage()
	}
	node := bank.Node{
		Supply: units.Watts(p.supply()), Power: units.Watts(p.fixedW), Current: units.Amps(p.fixedA),
		Temp: p.warmth, Length: c.Length, Cut: true,
	}
	flow := p.model.Step(&p.bank, node)
	for part := made / float64(ns); flow.Long; flow = p.model.Step(&p.bank, node) {
		ns /= 2
		end, cutAt = p.now+ns, -1
		h = hours(ns)
		made = part * float64(ns)
		c.Length, node.Length = units.Hours(h), units.Hours(h)
	}
	if flow.Flat {
		p.runFlat(node, ns, made)
		return
	}
	p.book(&flow, h, made)
	p.advance(end, cutAt, made)
	p.watchVoltage(&flow)
}

// look finds the light. Where the cloud is a mean, it is the mean of the lights of
// the skies that the mean is made of.
func (p *passage) look() {
	c := &p.c
	skies := c.Weather.Skies
	if skies == nil || c.Sun.Up <= 0 {
		c.Light = p.v.Sky.Light(&c.Sun, p.v.Sky.Through(&c.Sun, c.Weather.Through, c.Weather.Cloud))
		return
	}
	c.Light = sky.Irradiance{}
	for i, through := range skies {
		l := p.v.Sky.Light(&c.Sun, p.v.Sky.Through(&c.Sun, through, c.Weather.Cloud))
		c.Light.Global += l.Global / units.WattsPerSquareMetre(len(skies))
		c.Light.Beam += l.Beam / units.WattsPerSquareMetre(len(skies))
		c.Light.Diffuse += l.Diffuse / units.WattsPerSquareMetre(len(skies))
		c.Light.Beyond = l.Beyond
		p.lights[i] = l
	}
}

// plot decides the state, the speed and the end of the coming step. cutAt is
// the mark that ends it, or -1.
func (p *passage) plot() (end int64, cutAt int) {
	c := &p.c
	p.changeStretch()
	if p.stayUntil == 0 && p.nextMark < len(p.marks) && p.marks[p.nextMark].at <= p.sailed {
		return p.now, p.nextMark
	}
	end = min(p.nextGrid(), p.limit)
	if p.clockEdge <= p.now {
		p.findEdges()
	}
	end = min(end, p.clockEdge)
	if p.weatherEdge <= p.now {
		p.weatherEdge = unixOrNever(p.weather.Edge(time.Unix(0, p.now).UTC()))
	}
	end = min(end, p.weatherEdge, p.strike())

	s := &p.v.Plan[p.stretch]
	if p.stayUntil == 0 {
		if p.stretch < len(p.v.Plan)-1 {
			end = min(end, s.ends(p.stretched))
		}
	} else {
		end = min(end, p.stayUntil)
	}

	c.Start = time.Unix(0, p.now).UTC()
	mid := p.now + (end-p.now)/2
	c.Time = time.Unix(0, mid).UTC()
	c.Length = units.Hours(hours(end - p.now))
	// Place and course are still those of the middle of the step before, a mile
	// behind: near enough for the weather and the trim of the sails.
	c.Weather = p.weather.At(c.Time, c.Place)
	p.warmth = warmth(c.Weather.Sea)
	p.setClock(mid)
	p.mid = mid
	was := c.State
	if p.stayUntil != 0 {
		c.State, c.Plan, c.Heel, p.along = p.v.Stays[p.staying].State, 0, 0, 1
	} else {
		c.State, c.Plan, c.Heel, p.along = s.motion(c, c.Heading, &p.trim)
	}
	if c.State != was {
		p.dirty = true
	}
	end = min(end, p.decide())
	p.shed()
	c.Speed = p.slowed(c.Plan)

	cutAt = -1
	good := p.good()
	if p.stayUntil == 0 && good > 0 && p.nextMark < len(p.marks) {
		togo := p.marks[p.nextMark].at - p.sailed
		if togo <= good*hours(end-p.now) {
			at := p.now + int64(math.Ceil(togo/good*3.6e12))
			end, cutAt = min(end, at), p.nextMark
		}
	}
	if e := p.sunCut(end); e < end {
		end, cutAt = e, -1
	}
	return end, cutAt
}

// findEdges asks what has come to its edge for the next one, and keeps the first
// of all.
func (p *passage) findEdges() {
	p.clockEdge = never
	for i := range p.loads {
		l := &p.loads[i]
		if l.edge <= p.now {
			l.edge = p.edge(p.v.Loads[i].Load)
			p.dirty = true
		}
		p.clockEdge = min(p.clockEdge, l.edge)
	}
	for i := range p.timed {
		t := &p.timed[i]
		if t.next <= p.now {
			t.next = p.edge(t.of)
		}
		p.clockEdge = min(p.clockEdge, t.next)
	}
}

// edge asks for the next change of a thing by the clock.
func (p *passage) edge(t Timed) int64 {
	return unixOrNever(t.Edge(time.Unix(0, p.now).UTC(), p.zone))
}

func unixOrNever(t time.Time) int64 {
	if t.IsZero() {
		return never
	}
	return t.UnixNano()
}

// nextGrid returns the next instant of the regular grid, which is laid on UTC
// so that whole hours and midnight belong to it.
func (p *passage) nextGrid() int64 { return p.now - p.now%p.grid + p.grid }

// setClock sets both clocks for an instant.
func (p *passage) setClock(at int64) {
	const day = 86400
	c := &p.c.Clock
	if at < p.midnight || at-p.midnight >= dayLong || p.midnight == 0 { // voyages begin after 1970
		p.midnight = at - at%dayLong
		c.Day = int(at / dayLong)
	}
	c.UTC, c.Zone = int(uint64(at-p.midnight)/1e9), p.zone
	c.Ship, c.ShipDay = c.UTC+p.zone*3600, c.Day
	switch {
	case c.Ship < 0:
		c.Ship += day
		c.ShipDay--
	case c.Ship >= day:
		c.Ship -= day
		c.ShipDay++
	}
}

// changeStretch moves on to the next stretch when this one is over. The clock
// of a stretch goes on while the boat stays somewhere.
func (p *passage) changeStretch() {
	if p.stayUntil != 0 {
		if p.now < p.stayUntil {
			return
		}
		p.stayUntil, p.staying = 0, -1
	}
	for p.stretch < len(p.v.Plan)-1 && p.v.Plan[p.stretch].over(p.stretched, p.now, p.sailed) {
		p.stretch++
		p.stretched = p.now
	}
}

// advance moves the clock and the boat to the end of the step.
func (p *passage) advance(end int64, cutAt int, made float64) {
	p.sailed = min(p.sailed+made, p.length)
	p.now = end
	if cutAt >= 0 {
		p.passMark(cutAt)
	}
	p.res.Steps++
	switch end % dayLong {
	case 0:
		p.day.end(p)
		p.day.begin(p, end)
	case halfDay:
		p.day.noon(p)
	}
}

// passMark settles the boat on a mark and does what it asks for.
func (p *passage) passMark(i int) {
	m := &p.marks[i]
	p.sailed = math.Min(m.at, p.length)
	p.nextMark = i + 1
	if m.zone != p.zone {
		p.zone = m.zone
		p.clockEdge = p.now // both clocks' edges are asked for again
		for j := range p.loads {
			p.loads[j].edge = p.now
		}
		for j := range p.timed {
			p.timed[j].next = p.now
		}
		p.dirty = true
	}
	if m.stay >= 0 {
		p.staying = m.stay
		p.stayUntil = p.now + nanos(p.v.Stays[m.stay].For)
		p.dirty = true
	}
}

// clearOfDay reports whether the step begins a UTC day.
func (p *passage) clearOfDay() bool { return p.now%dayLong == 0 }

// decide brings sources into use and out of it, and returns when one that is
// being rigged will be ready.
func (p *passage) decide() (ready int64) {
	ready = never
	p.c.Fuel = units.Litres(p.fuel)
	for i := range p.sources {
		rule := p.v.Sources[i].Rule
		if rule == nil {
			continue
		}
		s := &p.sources[i]
		use, why := rule.Decide(&p.c, s.inUse, units.Hours(hours(p.now-s.since)))
		if use == s.inUse {
			s.asked = never
			continue
		}
		if use && s.takes > 0 && p.now > p.start {
			s.asked = min(s.asked, p.now)
			if done := s.asked + s.takes; p.now < done {
				ready = min(ready, done)
				continue
			}
			s.asked = never
		}
		s.inUse, s.since = use, p.now
		p.record(Decision{What: p.v.Sources[i].Source.Name(), Use: use, Why: why})
	}
	return ready
}

// record keeps a decision of this moment. What holds at departure is none.
func (p *passage) record(d Decision) {
	if p.lean || p.now == p.start && !d.Fault {
		return
	}
	d.At = p.moment()
	p.res.Decisions = append(p.res.Decisions, d)
}

// shed has the crew do without loads, or take them back.
func (p *passage) shed() {
	if !p.sheds {
		return
	}
	for i := range p.loads {
		rule := p.v.Loads[i].Rule
		if rule == nil {
			continue
		}
		l := &p.loads[i]
		use, why := rule.Decide(&p.c, !l.shed, units.Hours(hours(p.now-l.since)))
		if use == !l.shed {
			continue
		}
		l.shed, l.since, p.dirty = !use, p.now, true
		p.record(Decision{What: p.v.Loads[i].Load.Name(), Use: use, Why: why})
	}
}

// offer asks the sources. Under a mean cloud they are asked under each of its
// skies and the mean is taken: what a panel makes is no straight line of the light.
func (p *passage) offer() {
	if p.c.Weather.Skies == nil || p.c.Light.Global <= 0 {
		p.offerOnce()
		return
	}
	mean := p.c.Light
	for i := range p.sources {
		p.sources[i].powers, p.sources[i].losses = 0, 0
	}
	for _, l := range p.lights {
		p.c.Light = l
		p.offerOnce()
		for i := range p.sources {
			s := &p.sources[i]
			s.powers += s.power
			s.losses += s.lost
		}
	}
	for i := range p.sources {
		s := &p.sources[i]
		s.power, s.lost = s.powers/float64(len(p.lights)), s.losses/float64(len(p.lights))
	}
	p.c.Light = mean
}

func (p *passage) offerOnce() {
	for i := range p.sources {
		s := &p.sources[i]
		if !s.inUse {
			s.power, s.lost = 0, 0
			continue
		}
		o := p.v.Sources[i].Source.Offer(&p.c)
		s.power, s.lost = float64(o.Power)*p.factor[i], float64(o.Lost)*p.factor[i]
	}
}

// supply sums what the sources offer.
func (p *passage) supply() float64 {
	sum := 0.0
	for i := range p.sources {
		sum += p.sources[i].power
	}
	return sum
}
