package bank

import (
	"math"

	"ampwake/sim/units"
)

// Stage is where the charger stands.
//
// Bulk lasts until the bank can no longer take all and the bus has come up to
// the absorption voltage. Absorption lasts until the current the bank takes
// there falls under the tail current, or the longest time at that voltage has
// passed. Float then holds the bus lower. Reaching the full charge leads to
// float from either. A new bulk begins when the bus has been 1 % under the float
// voltage for an hour, as after dark, or when the charge has fallen by 5 points
// since float began; both are common practice, no source.
type Stage uint8

// The stages.
const (
	Bulk Stage = iota
	Absorbing
	Floating
)

// String returns bulk, absorption or float.
func (g Stage) String() string { return [...]string{"bulk", "absorption", "float"}[g] }

const (
	sag     = 0.99 // of the float voltage
	sagTime = 1.0  // h
	sunk    = 0.05 // of the state of charge
)

// advance moves the charger on after a step that ends at a state of charge.
func (m *Model) advance(s *charger, c *memo, at *meeting, soc float64) {
	rule := &m.setup.Charger
	if at.v < sag*c.float {
		s.under += c.dt
	} else {
		s.under = 0
	}
	if s.stage == Floating {
		if s.under >= sagTime || soc < s.top-sunk {
			s.stage, s.held, s.under = Bulk, 0, 0
		}
		return
	}
	if s.under >= sagTime {
		s.stage, s.held = Bulk, 0
	}
	if at.held {
		s.stage = Absorbing
		s.held += c.dt
	}
	if at.i <= 0 && soc >= float64(rule.Full) ||
		s.stage == Absorbing && (at.held && -at.i < m.tail || s.held >= float64(rule.Longest)) {
		s.stage, s.held, s.under, s.top = Floating, 0, 0, min(soc, float64(rule.Full))
	}
}

// efficiency returns the share of a charging current i that is stored, at the
// state of charge x = start + share i half in the middle of the step.
func (m *Model) efficiency(start, i, half float64) float64 {
	if m.setup.Efficiency.Copetti {
		return m.copetti(start, i, half)
	}
	if start+float64(m.low*float64(i*half)) <= m.knee {
		return m.low
	}
	// share = low - slope (x-knee), solved for the share.
	share := (m.low + float64(m.slope*(m.knee-start))) / (1 + float64(m.slope*float64(i*half)))
	return min(m.low, share)
}

// copetti is efficiency after [Copetti 1993]; three rounds for the middle.
func (m *Model) copetti(start, i, half float64) float64 {
	var share float64
	for range 3 {
		share = CopettiEfficiency(units.Fraction(min(1, start+float64(share*i*half))), max(i, 0)/m.tenth)
	}
	return share
}

// RateLimit returns the largest mean charging current over dt, as a current
// <= 0, when it is held to alpha A for each Ah still to go: the exact mean of
// the falling current, at an efficiency of 1.
func RateLimit(alpha float64, togo units.AmpHours, dt units.Hours) units.Amps {
	return units.Amps(math.Expm1(-alpha*float64(dt)) * float64(togo) / float64(dt))
}

// ChargeTime returns the time to charge a bank of the given capacity from one
// state of charge to a higher one below 1, when the current is the smaller of
// the charger's and alpha A for each Ah to go, at an efficiency of 1.
func ChargeTime(alpha float64, charger units.Amps, capacity units.AmpHours, from, to units.Fraction) units.Hours {
	q, i := float64(capacity), float64(charger)
	togo, left := q*float64(1-from), q*float64(1-to)
	bend := i / alpha // Ah to go where the current begins to fall
	var hours float64
	if togo > bend {
		hours = (togo - max(bend, left)) / i
		togo = max(bend, left)
	}
	return units.Hours(hours + math.Log(togo/left)/alpha)
}
