package bank

import "math"

// The search for the middle of a step ends when the voltage curve there is as
// near as this to what the last round took it for (an error of 1e-5 in the
// current, or of 1e-5 of the rated current an hour while the charger holds the
// voltage), and in any case after so many rounds.
const (
	near     = 1e-4 // V, for a battery of 12 V
	nearHeld = 1e-5
	rounds   = 12
)

// What sets the charging current.
const (
	bySupply  = iota // all that is left over goes in
	byCharger        // its voltage
	byBank           // what it accepts: the Ah to go, or the tank at hand
	byLargest        // the largest current allowed
)

// meeting is where supply, loads and bank meet.
type meeting struct {
	v, i    float64 // terminals, i > 0 on discharge
	eta     float64 // of the charging current
	spilled float64
	held    bool // the charger holds its voltage down and the bank sets the current
	cannot  bool
}

// meet solves the node for the charge at the step's middle. half turns a tank
// current into the change of state of charge until then; room is the largest
// current into the tanks.
func (m *Model) meet(s *State, in Node, q0, half, room float64) meeting {
	c := &s.memo
	limit := c.absorb // what the charger holds the bus to
	if s.stage == Floating && c.float > 0 {
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
		at := meeting{v: v, i: amps + float64(in.Power)/v, spilled: float64(in.Supply)}
		if !ok || v < limit {
			if v, ok = bus(base, r, net, amps); !ok || v < limit {
				return m.give(c, net, amps, start, half)
			}
			at.v, at.i = limit, max((base-limit)/r, 0)
			at.spilled = max(0, net-float64((amps-at.i)*limit))
		}
		guess := base - float64(bend*at.i)
		x = unit(start - float64(at.i*half))
		if e, slope = m.dis.line(x); math.Abs(e-guess) > near && n < rounds {
			continue
		}
		return at
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
	top := c.largest
	if start >= 1 || room <= 0 { // full
		if top = 0; c.float > 0 { // the charger sets the bus
			at := stand(net, amps, rest, limit)
			at.held = at.spilled > 0
			return at
		}
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
		by := bySupply
		if v > limit {
			by = byCharger
			i = m.held(c, s.stage, net, amps, start, base, limit, r, half*eta)
		}
		// i <= alpha qmax (1-x) with x = start + eta i half.
		if a := m.alpha * c.qmax; a > 0 && float64(i*(1+float64(a*eta*half))) > a*(1-start) {
			by, i = byBank, a*(1-start)/(1+float64(a*eta*half))
		}
		if i > top {
			by, i = byLargest, top
		}
		eta = m.efficiency(start, i, half)
		if room > 0 && float64(eta*i) > room {
			by, i = byBank, room/eta
		}
		guess := base + float64(bend*i)
		x = unit(start + float64(eta*float64(i*half)))
		tol := near
		if by != bySupply {
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
		case by == bySupply:
			return meeting{v: v, i: -i, eta: eta}
		case by == byBank && c.float > 0:
			// A charger with stages holds nothing back under its own voltage.
			v = min(limit, net/(amps+i))
		default:
			v = min(limit, guess+float64(c.rc*i))
		}
		return meeting{v: v, i: -i, eta: eta, held: v == limit, spilled: max(0, net-float64(v*(amps+i)))}
	}
}

// held returns the current into the bank while the charger holds the bus at
// limit: what the curve allows, at least the trickle, at most what is there.
func (m *Model) held(c *memo, stage Stage, net, amps, start, base, limit, r, half float64) float64 {
	i := (limit - base) / r
	k := m.trickle * c.qmax // i = k (1-x), x = start + i half
	if stage == Floating {
		k = m.upkeep * c.qmax
	}
	i = max(i, k*(1-start)/(1+float64(k*half)))
	return max(0, min(i, (net-float64(limit*amps))/limit))
}
