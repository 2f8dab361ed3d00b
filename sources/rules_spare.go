package sources

import (
	"errors"
	"fmt"

	"ampwake/sim"
	"ampwake/sim/units"
)

// Spare says when a stowed spare is rigged.
type Spare struct {
	// Below is the state of charge under which it comes out, and Above that over
	// which it is stowed again. 0 and 0: not for want of charge.
	Below, Above units.Fraction
	// After has the bits of the sources whose loss brings it out for good, as in
	// sim.Conditions.Failed. 0: none.
	After   uint64
	Rigging units.Hours // from the decision to the first watt
	States  sim.States  // in which it may be out; the empty set stands for all
}

// SpareRule is the sim.Rule of a Spare.
type SpareRule struct{ of Spare }

// NewSpareRule returns the rule, or an error when it would never come out or the
// shares are out of order.
func NewSpareRule(s Spare) (*SpareRule, error) {
	switch {
	case s.Below == 0 && s.Above == 0 && s.After == 0:
		return nil, errors.New("spare: nothing brings it out: want a charge, or a source whose loss does")
	case (s.Below != 0 || s.Above != 0) && !(s.Below > 0 && s.Below <= s.Above && s.Above <= 1):
		return nil, fmt.Errorf("spare: out under %v of charge and stowed over %v: want rising shares above 0", s.Below, s.Above)
	case !nonNegative(s.Rigging):
		return nil, errors.New("spare: the time of rigging must not be negative")
	}
	return &SpareRule{s}, nil
}

// Takes implements sim.Slow.
func (r *SpareRule) Takes() units.Hours { return r.of.Rigging }

// Decide implements sim.Rule.
func (r *SpareRule) Decide(c *sim.Conditions, inUse bool, _ units.Hours) (use bool, why string) {
	s := &r.of
	switch {
	case !s.States.In(c.State):
		return false, "the boat does not allow it now"
	case c.Failed&s.After != 0:
		return true, "in place of what is lost"
	case s.Below == 0:
		return false, "nothing is lost"
	case c.Charge < s.Below:
		return true, "low charge"
	case c.Charge > s.Above:
		return false, "charge enough"
	case inUse:
		return true, "not yet charged"
	}
	return false, "charge enough"
}
