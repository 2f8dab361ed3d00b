package bank

import (
	"fmt"
	"math"

	"ampwake/sim/units"
)

// Model is a bank as fitted. It never changes after New and may be used by many
// goroutines at once, each with its own State.
type Model struct {
	setup Setup

	qmax     float64 // both tanks full at 25 °C, aged, Ah
	dis, chg emf
	rd, rc   float64 // Ω at 25 °C, aged
	cut      float64
	knee     float64
	low      float64 // efficiency up to the knee
	slope    float64 // its fall above the knee, per unit of charge
	leak     float64 // self-discharge rate at its own temperature, 1/h
	tail     float64 // A
	trickle  float64
	upkeep   float64
	alpha    float64
	tenth    float64 // rated current of 10 h, A, for the Copetti efficiency
}

// New returns the model of a setup. The error names what in the setup cannot
// be.
func New(s Setup) (*Model, error) {
	if err := s.check(); err != nil {
		return nil, fmt.Errorf("bank: %w", err)
	}
	rated := float64(s.Rated)
	scale := float64(s.Cells) / float64(s.Chemistry.usualCells())
	aged := 1 + 0.75*(1-float64(s.Health))/0.2 // see Setup.Health
	m := &Model{
		setup: s,
		qmax:  s.Tanks.Over * rated * float64(s.Health),
		dis:   s.Discharge.Curve.emf(scale),
		chg:   s.Charge.Curve.emf(scale),
		rd:    s.Discharge.Ohm / rated * scale * aged,
		rc:    s.Charge.Ohm / rated * scale * aged,
		cut:   float64(s.CutOff),
		knee:  float64(s.Efficiency.Knee),
		low:   float64(s.Efficiency.Low),
		slope: float64((s.Efficiency.Low - s.Efficiency.Full) / (1 - s.Efficiency.Knee)),
		// "3 % a month" is read as a rate, as in the reference legs.
		leak:    float64(s.SelfDischarge) / month,
		tail:    s.Charger.Tail * rated,
		trickle: s.Trickle,
		upkeep:  s.Upkeep,
		alpha:   s.Acceptance,
		tenth:   float64(s.Tanks.Delivered(units.AmpHours(s.Tanks.Over*rated), 10)) / 10,
	}
	return m, nil
}

// month is the month of self-discharge figures, h.
const month = 730

// Setup returns what the model was made of.
func (m *Model) Setup() Setup { return m.setup }

// Capacity returns what both tanks hold when full at temperature t. It is more
// than the rated capacity (see Tanks.Over), as a slow discharge delivers more.
func (m *Model) Capacity(t units.Celsius) units.AmpHours {
	return units.AmpHours(m.qmax * m.setup.Capacity.At(t))
}

// Delivers returns what a constant current draws from the full bank at
// temperature t until it is flat after the given hours.
func (m *Model) Delivers(hours units.Hours, t units.Celsius) units.AmpHours {
	return m.setup.Tanks.Delivered(m.Capacity(t), hours)
}

// Limits returns the voltages at which the charger holds in absorption and in
// float at temperature t. float is 0 for a charger without stages.
func (m *Model) Limits(t units.Celsius) (absorption, float units.Volts) {
	return m.setup.Charger.at(t)
}

func (c *Charger) at(t units.Celsius) (absorption, float units.Volts) {
	shift := units.Volts(c.PerKelvin * float64(min(max(t, c.Coldest), c.Hottest)-25))
	if c.Float == 0 {
		return c.Absorption + shift, 0
	}
	return c.Absorption + shift, c.Float + shift
}

// State is what a bank holds at one moment and where its charger stands. The
// zero value is an empty bank. Two states are the same when their Tanks, Stage
// and clocks are; the rest is remembered only to save work.
type State struct {
	q1, q2 float64 // Ah at hand and bound
	charger
	memo memo
}

// charger is where a charger stands.
type charger struct {
	stage Stage
	held  float64 // hours at the absorption voltage
	under float64 // hours with the bus under float
	top   float64 // state of charge when float began
}

// Start returns the state of a bank at rest at state of charge soc, held to
// [0, 1], and temperature t, its charger in bulk.
func (m *Model) Start(soc units.Fraction, t units.Celsius) State {
	return m.Hold(units.AmpHours(m.setup.Tanks.C*unit(float64(soc))*float64(m.Capacity(t))),
		units.AmpHours((1-m.setup.Tanks.C)*unit(float64(soc))*float64(m.Capacity(t))))
}

// Hold returns the state with the given charge at hand and bound, its charger
// in bulk. It panics when one is below 0.
func (m *Model) Hold(atHand, bound units.AmpHours) State {
	if !(atHand >= 0) || !(bound >= 0) || !finite(float64(atHand), float64(bound)) {
		panic("bank: charge must not be below 0")
	}
	return State{q1: float64(atHand), q2: float64(bound)}
}

// Tanks returns the charge at hand and the bound one.
func (s *State) Tanks() (atHand, bound units.AmpHours) {
	return units.AmpHours(s.q1), units.AmpHours(s.q2)
}

// Stage returns where the charger stands.
func (s *State) Stage() Stage { return s.stage }

// Charge returns the state of charge at temperature t: the share of what both
// tanks hold when full at that temperature. A full bank that cools holds more
// than that; its state of charge is 1.
func (m *Model) Charge(s *State, t units.Celsius) units.Fraction {
	return units.Fraction(min(1, (s.q1+s.q2)/float64(m.Capacity(t))))
}

// Store returns an energy for what the bank holds at temperature t: the
// discharge voltage without current summed over the charge, and the voltage of
// a full bank for what is above full. Other values are as good: only its changes
// over a cycle mean anything, and it moves a little with temperature alone.
func (m *Model) Store(s *State, t units.Celsius) units.WattHours {
	q, qmax := s.q1+s.q2, float64(m.Capacity(t))
	full := min(q, qmax)
	return units.WattHours(float64(qmax*m.dis.sum(full/qmax)) + float64((q-full)*m.dis.at(1)))
}

// memo keeps what depends on temperature and step length only, so that a run of
// like steps computes it once.
type memo struct {
	of       *Model
	temp, dt float64

	// Of temperature.
	qmax, perQmax float64
	rd, rc        float64
	absorb, float float64
	largest       float64 // A; 0: charging is refused
	leak          float64 // 1/h

	// Of the step's length.
	span     span
	perReach float64

	// Of both.
	half float64 // dt/(2 qmax), from a current to the change at the step's middle
	gone float64 // 1-exp(-leak dt)
}

// warm brings the memo to temperature t.
func (m *Model) warm(c *memo, t units.Celsius) {
	if c.of != m {
		*c = memo{of: m}
	}
	c.temp = float64(t)
	c.qmax = float64(m.Capacity(t))
	c.perQmax = 1 / c.qmax
	c.rd = m.rd * m.setup.Discharge.Warm.At(t)
	c.rc = m.rc * m.setup.Charge.Warm.At(t)
	a, f := m.setup.Charger.at(t)
	c.absorb, c.float = float64(a), float64(f)
	c.largest = m.setup.largest(t)
	c.leak = m.leak * math.Exp2((c.temp-float64(m.setup.SelfDischargeAt))/10)
}

// tune brings the memo to temperature t and step length dt.
func (m *Model) tune(c *memo, t units.Celsius, dt units.Hours) {
	if !(dt > 0) || !finite(float64(dt), float64(t)) {
		panic("bank: step length must be above 0 and temperature finite")
	}
	if c.of != m || c.temp != float64(t) {
		m.warm(c, t)
	}
	if c.dt != float64(dt) {
		c.dt = float64(dt)
		c.span = m.setup.Tanks.span(c.dt)
		c.perReach = 1 / c.span.reach
	}
	c.half = c.dt / 2 * c.perQmax
	x := c.leak * c.dt
	c.gone = x * (1 - float64(x/2*(1-x/3))) // 1-exp(-x)
	if x > 1e-3 {
		c.gone = -math.Expm1(-x)
	}
}

// largest returns the largest charging current at temperature t, A.
func (s *Setup) largest(t units.Celsius) float64 {
	most := s.Largest * float64(s.Rated)
	switch c := &s.Cold; {
	case c.Never == c.Fully: // no limit
		return most
	case t < c.Never:
		return 0
	case t < c.Fully:
		return min(most, c.Slow*float64(s.Rated))
	}
	return most
}
