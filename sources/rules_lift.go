package sources

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"ampwake/sim"
	"ampwake/sim/units"
)

// Lifting says when a water generator is out of the water. Speeds are those
// planned, before the drag of the generator: judged by the slowed boat it would
// lift, let her run free, and go down again.
type Lifting struct {
	Below units.Knots // lifted under this speed; 0: never
	Above units.Knots // lifted over this speed; 0: never
	// Gap is the hysteresis of both: once lifted it goes down again only that
	// far inside the limits.
	Gap     units.Knots
	Wind    units.Knots // lifted over this true wind; 0: never
	WindGap units.Knots // hysteresis of Wind
	// States are those in which it may be in the water; the empty set stands
	// for all.
	States sim.States
	// Hours are those of the ship's day in which it may be in the water; none
	// stand for all.
	Hours []Window
	// Want is the state of charge under which the crew puts it in the water, and
	// Enough that above which they lift it, since it costs speed. 0 and 0: it
	// stays in whatever the charge.
	Want, Enough units.Fraction
}

// DefaultLifting returns the common practice, no source: lifted under 2.5 kn,
// over 10 kn, over 35 kn of wind, and unless the boat sails, is hove to or
// drifts. There is no hysteresis: a plan of steady speeds needs none.
func DefaultLifting() Lifting {
	var set sim.States
	return Lifting{
		Below: 2.5, Above: 10, Wind: 35,
		States: set.With(sim.UnderSail).With(sim.HoveTo).With(sim.Drifting),
	}
}

// LiftRule is the sim.Rule of a Lifting.
type LiftRule struct {
	of    Lifting
	hours windows
}

// NewLiftRule returns the rule, or an error when the limits leave no speed or
// no wind at which the generator would go down.
func NewLiftRule(l Lifting) (*LiftRule, error) {
	for _, x := range []units.Knots{l.Below, l.Above, l.Gap, l.Wind, l.WindGap} {
		if !nonNegative(x) {
			return nil, errors.New("lifting: a speed must not be negative")
		}
	}
	lowest := units.Knots(0) // at which a lifted generator goes down
	if l.Below > 0 {
		lowest = l.Below + l.Gap
	}
	if l.Above > 0 && lowest >= l.Above-l.Gap {
		return nil, errors.New("lifting: the generator would never go down again: " +
			"the upper speed less the hysteresis must lie above the lower speed plus the hysteresis")
	}
	if l.Wind > 0 && l.WindGap >= l.Wind {
		return nil, errors.New("lifting: the generator would never go down again: " +
			"the hysteresis of the wind must be less than the wind")
	}
	for _, w := range l.Hours {
		if err := w.check(); err != nil {
			return nil, fmt.Errorf("lifting: %w", err)
		}
	}
	if l.Want != 0 || l.Enough != 0 {
		if !(l.Want > 0 && l.Want <= l.Enough && l.Enough <= 1) {
			return nil, fmt.Errorf("lifting: down under %v of charge and up over %v: want rising shares above 0", l.Want, l.Enough)
		}
	}
	return &LiftRule{l, slices.Clone(l.Hours)}, nil
}

// Decide implements sim.Rule.
func (r *LiftRule) Decide(c *sim.Conditions, inUse bool, _ units.Hours) (use bool, why string) {
	l := &r.of
	var gap, windGap units.Knots
	if !inUse {
		gap, windGap = l.Gap, l.WindGap
	}
	switch {
	case !l.States.In(c.State):
		return false, "not sailing"
	case l.Below > 0 && c.Plan < l.Below+gap:
		return false, "too slow"
	case l.Above > 0 && c.Plan > l.Above-gap:
		return false, "too fast"
	case l.Wind > 0 && c.Weather.WindSpeed > l.Wind-windGap:
		return false, "too much wind"
	case len(r.hours) > 0 && !r.hours.hold(c.Clock.Ship):
		return false, "outside its hours"
	case l.Enough == 0:
		return true, "fast enough"
	case c.Charge < l.Want:
		return true, "low charge"
	case c.Charge > l.Enough:
		return false, "charge enough"
	case inUse:
		return true, "not yet charged"
	}
	return false, "charge enough"
}

// Edge returns the next beginning or end of its hours after t, or the zero time:
// the simulator cuts its steps there.
func (r *LiftRule) Edge(t time.Time, zone int) time.Time { return r.hours.edge(t, zone) }
