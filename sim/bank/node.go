package bank

import (
	"math"

	"ampwake/sim/units"
)

// Node is what meets the bank at the bus during a step.
type Node struct {
	Supply  units.Watts   // what all sources together offer at the bus, >= 0
	Power   units.Watts   // loads of constant power, >= 0
	Current units.Amps    // loads of constant current, >= 0
	Temp    units.Celsius // of the bank
	Length  units.Hours   // > 0; Look does not read it
}

// Flow is what went on at the bus during a step. Volts and currents hold for
// the whole of it. With V the voltage and dt the length, the bus ledger
//
//	Supply dt = (Power + V Current) dt + Spilled dt + In - Out
//
// and the bank's
//
//	Charged - Drawn - SelfDischarge = change of the charge in the tanks
//
// close to rounding.
type Flow struct {
	Volts   units.Volts
	Current units.Amps // at the terminals, positive on discharge
	Spilled units.Watts
	In, Out units.WattHours // at the terminals

	Charged       units.AmpHours // into the tanks: efficiency times current times time
	Drawn         units.AmpHours
	SelfDischarge units.AmpHours

	Stage Stage // of the charger, during the step
	// Flat says that the bank cannot carry the loads through the step: the
	// charge at hand would not last (or, with Low, the voltage falls under the
	// cut-off). Then the state is as before, and only Volts, Current and Low
	// tell anything: what the loads would have asked, Volts being 0 when they
	// ask more power than the bank can give at any voltage.
	Flat bool
	Low  bool
}

// Look is the bus at one moment.
type Look struct {
	Volts   units.Volts
	Current units.Amps // at the terminals, positive on discharge
	Flat    bool       // the bank cannot carry the loads, see Flow
	Low     bool
}

// The search for the middle of a step ends when the voltage curve there is as
// near as this to what the last round took it for (an error of 1e-5 in the
// current, or of 1e-5 of the rated current an hour while the charger holds the
// voltage), and in any case after so many rounds.
const (
	near     = 1e-4 // V, for a battery of 12 V
	nearHeld = 1e-5
	rounds   = 12
)

// meeting is where supply, loads and bank meet.
type meeting struct {
	v, i    float64 // terminals, i > 0 on discharge
	eta     float64 // of the charging current
	spilled float64
	held    bool // the charger holds its voltage down and the bank sets the current
	cannot  bool
}

// Step moves s through one step and returns what went on. The charge in the
// middle of the step sets voltage, efficiency and limits; the tanks then move
// in closed form under the constant current, and self-discharge takes its share
// at the end.
//
// There are three cases. Supply too small for the loads at the voltage of a
// resting bank: the bank discharges. Supply enough, but not enough to raise the
// bus to where the bank takes charge: no current flows, and the bus stands where
// supply and loads meet. Otherwise the bank charges, and what it does not take
// is spilled.
//
// If the bank runs flat, Flat is set and s is unchanged: a shorter step may
// succeed.
func (m *Model) Step(s *State, in Node) Flow {
	c := &s.memo
	if c.dt != float64(in.Length) || c.temp != float64(in.Temp) || c.of != m {
		m.tune(c, in.Temp, in.Length)
	}
	q0 := s.q1 + s.q2
	// At hand at the end if no current flowed, and the current that then fills
	// the tank at hand, Ah and A.
	idle := float64(s.q1*c.span.keep) + float64(q0*c.span.flow)
	room := (float64(m.setup.Tanks.C*c.qmax) - idle) * c.perReach
	at := m.meet(s, in, q0, c.half, room)
	f := Flow{Volts: units.Volts(at.v), Current: units.Amps(at.i), Stage: s.stage}
	if at.cannot {
		f.Flat = true
		return f
	}
	if at.i > 0 {
		hand := idle - float64(at.i*c.span.reach)
		// -1e-12: a step cut at the moment of running flat may end there.
		if f.Low = at.v < m.cut; f.Low || hand < -1e-12*c.qmax {
			f.Flat = true
			return f
		}
		drawn := at.i * c.dt
		f.Out, f.Drawn = units.WattHours(at.v*drawn), units.AmpHours(drawn)
		s.q1, s.q2 = max(hand, 0), q0-drawn-hand
	} else {
		taken := -at.i * c.dt
		stored := at.eta * taken
		hand := idle - float64(float64(at.eta*at.i)*c.span.reach)
		f.In, f.Charged = units.WattHours(at.v*taken), units.AmpHours(stored)
		s.q1, s.q2 = hand, q0+stored-hand
	}
	f.Spilled = units.Watts(at.spilled)
	f.SelfDischarge = units.AmpHours((s.q1 + s.q2) * c.gone)
	s.q1 -= s.q1 * c.gone
	s.q2 -= s.q2 * c.gone
	if c.float > 0 {
		m.advance(s, &at)
	}
	return f
}

// Look returns the bus at this moment under the given loads, the supply helping
// as far as it can. It does not change what s holds.
func (m *Model) Look(s *State, in Node) Look {
	c := &s.memo
	if c.temp != float64(in.Temp) || c.of != m {
		m.warm(c, in.Temp)
		c.dt = 0 // the figures of both temperature and length are stale
	}
	room := math.Inf(1)
	if s.q1 >= m.setup.Tanks.C*c.qmax {
		room = 0
	}
	at := m.meet(s, in, s.q1+s.q2, 0, room)
	l := Look{Volts: units.Volts(at.v), Current: units.Amps(at.i), Flat: at.cannot}
	if at.i > 0 {
		l.Low = at.v < m.cut
		l.Flat = l.Flat || l.Low || s.q1 <= 0
	}
	return l
}

// meet solves the node for the charge at the step's middle. half turns a tank
// current into the change of state of charge until then; room is the largest
// current into the tanks.
func (m *Model) meet(s *State, in Node, q0, half, room float64) meeting {
	c := &s.memo
	limit := c.absorb // what the charger holds the bus to
	if s.stage == Floating {
		limit = c.float
	}
	start := min(1, q0*c.perQmax)
	rest := m.dis.at(start)
	net, amps := float64(in.Supply-in.Power), float64(in.Current)
	switch {
	case limit < rest:
		return m.rest(c, in, start, limit, half)
	case net < float64(rest*amps):
		return m.give(c, net, amps, start, half)
	}
	return m.take(s, net, amps, start, rest, limit, half, room)
}

// bus returns the voltage at which a battery of voltage e behind resistance r
// meets a net power and a constant current: V = e - r (amps - net/V). ok is
// false when there is none above 0.
func bus(e, r, net, amps float64) (v float64, ok bool) {
	b := e - float64(r*amps)
	v = (b + math.Sqrt(float64(b*b)+float64(4*r*net))) / 2
	return v, v > 0 // false for NaN
}

// stand returns the bus when no current flows in the bank: at hold when the
// supply is enough to lift it there, else where it meets the loads.
func stand(net, amps, rest, hold float64) meeting {
	if spilled := net - float64(hold*amps); spilled > 0 {
		return meeting{v: hold, spilled: spilled}
	}
	if amps == 0 { // and net is 0
		return meeting{v: rest}
	}
	return meeting{v: net / amps}
}

// give solves the node when the bank carries loads: V = E - R I and
// I = amps - net/V, with E at the middle of the step. E is taken as a straight
// line about the last guess, which only adds to R; a second round is rare.
func (m *Model) give(c *memo, net, amps, start, half float64) meeting {
	x := start
	e, slope := m.dis.line(x)
	for n := 0; ; n++ {
		bend := slope * half
		base := e + float64(slope*(start-x)) // the line at the start of the step
		v, ok := bus(base, c.rd+bend, net, amps)
		if !ok {
			return meeting{cannot: true}
		}
		i := amps - net/v
		guess := base - float64(bend*i)
		x = unit(start - float64(i*half))
		if e, slope = m.dis.line(x); math.Abs(e-guess) > near && n < rounds {
			continue
		}
		if i <= 0 { // the curve comes down to the supply
			return stand(net, amps, e, v)
		}
		return meeting{v: v, i: i}
	}
}

// rest solves the node when the bank stands above the voltage the charger gives
// (a lithium battery fresh from absorption, or float in the heat): the supply
// helps only when the loads pull the bank down to that voltage.
func (m *Model) rest(c *memo, in Node, start, limit, half float64) meeting {
	net, amps := float64(in.Supply-in.Power), float64(in.Current)
	x := start
	e, slope := m.dis.line(x)
	for n := 0; ; n++ {
		bend := slope * half
		base := e + float64(slope*(start-x))
		r := c.rd + bend
		v, ok := bus(base, r, -float64(in.Power), amps) // the bank alone
		if !ok || v < limit {
			v = limit
			if w, ok := bus(base, r, net, amps); !ok || w < limit {
				return m.give(c, net, amps, start, half)
			}
		}
		i := max((base-v)/r, 0)
		guess := base - float64(bend*i)
		x = unit(start - float64(i*half))
		if e, slope = m.dis.line(x); math.Abs(e-guess) > near && n < rounds {
			continue
		}
		return meeting{v: v, i: i, spilled: net - float64((amps-i)*v)}
	}
}

// take solves the node when the supply is enough for the loads: V = E + R I and
// I = net/V - amps, held down by the charger and by what the bank accepts; all at
// the middle of the step, as in give. What is stored falls as the charge rises,
// so there is one answer.
func (m *Model) take(s *State, net, amps, start, rest, limit, half, room float64) meeting {
	c := &s.memo
	if c.largest == 0 {
		return stand(net, amps, rest, limit)
	}
	if start >= 1 && c.float > 0 { // full: the charger sets the bus
		at := stand(net, amps, rest, limit)
		at.held = at.spilled > 0
		return at
	}
	top := c.largest
	if start >= 1 || room <= 0 {
		top = 0
	}
	x := start
	e, slope := m.chg.line(x)
	eta := m.efficiency(x, 0, half)
	for n := 0; ; n++ {
		bend := slope * half * eta
		base := e + float64(slope*(start-x))
		r := c.rc + bend
		v, _ := bus(base, r, net, amps)
		i := net/v - amps
		capped := v > limit
		if capped {
			i = m.held(c, s.stage, net, amps, start, base, limit, r, half*eta)
		}
		// i <= alpha qmax (1-x) with x = start + eta i half.
		if a := m.alpha * c.qmax; a > 0 && float64(i*(1+float64(a*eta*half))) > a*(1-start) {
			capped, i = true, a*(1-start)/(1+float64(a*eta*half))
		}
		if i > top {
			capped, i = true, top
		}
		eta = m.efficiency(start, i, half)
		if float64(eta*i) > room {
			capped, i = true, max(room, 0)/eta
		}
		guess := base + float64(bend*i)
		x = unit(start + float64(eta*float64(i*half)))
		tol := near
		if capped {
			tol = nearHeld
		}
		if e, slope = m.chg.line(x); math.Abs(e-guess) > tol && n < rounds {
			continue
		}
		switch {
		case i <= 0:
			at := stand(net, amps, rest, min(e, limit))
			at.held = at.spilled > 0 && e >= limit
			return at
		case !capped:
			return meeting{v: v, i: -i, eta: eta}
		}
		v = min(limit, guess+float64(c.rc*i))
		return meeting{v: v, i: -i, eta: eta, held: v == limit, spilled: max(0, net-float64(v*(amps+i)))}
	}
}

// held returns the current into the bank while the charger holds the bus at
// limit: what the curve allows, at least the trickle, at most what is there.
func (m *Model) held(c *memo, stage Stage, net, amps, start, base, limit, r, half float64) float64 {
	i := (limit - base) / r
	if stage != Floating {
		k := m.trickle * c.qmax // i = k (1-x), x = start + i half
		i = max(i, k*(1-start)/(1+float64(k*half)))
	}
	return max(0, min(i, (net-float64(limit*amps))/limit))
}
