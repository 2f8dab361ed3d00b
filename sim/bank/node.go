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
	Cut     bool          // a step in which the charger goes to float is to be cut: see Flow.Long
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
	// Long says that the charger goes to float within the step. Then the state is as
	// before.
	Long bool
}

// Look is the bus at one moment.
type Look struct {
	Volts   units.Volts
	Current units.Amps // at the terminals, positive on discharge
	Flat    bool       // the bank cannot carry the loads, see Flow
	Low     bool
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
// A charger goes to float at the end of a step. If it would, the step is longer than
// a minute and in.Cut is set, then Long is set and s is unchanged: shorter steps
// find the moment.
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
	var hand, total float64
	if at.i > 0 {
		hand = idle - float64(at.i*c.span.reach)
		// -1e-12: a step cut at the moment of running flat may end there.
		if f.Low = at.v < m.cut; f.Low || hand < -1e-12*c.qmax {
			f.Flat = true
			return f
		}
		drawn := at.i * c.dt
		f.Out, f.Drawn = units.WattHours(at.v*drawn), units.AmpHours(drawn)
		hand = max(hand, 0)
		total = max(q0-drawn, hand)
	} else {
		taken := -at.i * c.dt
		stored := at.eta * taken
		hand = idle - float64(float64(at.eta*at.i)*c.span.reach)
		f.In, f.Charged = units.WattHours(at.v*taken), units.AmpHours(stored)
		total = q0 + stored
	}
	bound := total - hand
	f.Spilled = units.Watts(at.spilled)
	f.SelfDischarge = units.AmpHours((hand + bound) * c.gone)
	hand -= float64(hand * c.gone)
	bound -= float64(bound * c.gone)
	if c.float > 0 {
		next := s.charger
		m.advance(&next, c, &at, (hand+bound)*c.perQmax)
		if in.Cut && next.stage == Floating && s.stage != Floating && in.Length > finest {
			f.Long = true
			return f
		}
		s.charger = next
	}
	s.q1, s.q2 = hand, bound
	return f
}

// finest is the longest step at the end of which a charger goes to float.
const finest = units.Hours(1.0 / 60)

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
