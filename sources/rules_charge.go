package sources

import (
	"errors"
	"fmt"
	"time"

	"ampwake/sim"
	"ampwake/sim/units"
)

// Charging says when the engine is run to charge. The reasons in order: never
// without fuel; whenever the boat motors; never in the quiet hours; in the daily
// hours; on demand. Demand starts the engine when the charge is under Below and
// lets it run, for whatever reason it was started, until Above.
type Charging struct {
	Daily []Window       // on the ship's clock
	Below units.Fraction // state of charge; 0: never on demand
	Above units.Fraction
	// Least is the shortest run. Only quiet hours and the end of the fuel cut it
	// short.
	Least units.Hours
	Quiet []Window // on the ship's clock
}

// ChargeRule is the sim.Rule of a Charging.
type ChargeRule struct {
	daily, quiet, all windows
	below, above      units.Fraction
	least             units.Hours
}

// NewChargeRule returns the rule, or an error for limits of charge out of order,
// a negative run or hours that are no time of the day.
func NewChargeRule(g Charging) (*ChargeRule, error) {
	switch {
	case !nonNegative(g.Below) || g.Below > 0 && !(g.Below < g.Above && g.Above <= 1):
		return nil, errors.New("charging: want a charge to start below and a higher one, up to 100 %, to stop at")
	case !nonNegative(g.Least):
		return nil, errors.New("charging: the shortest run must not be negative")
	}
	r := &ChargeRule{
		daily: append(windows(nil), g.Daily...), quiet: append(windows(nil), g.Quiet...),
		below: g.Below, above: g.Above, least: g.Least,
	}
	r.all = append(append(r.all, r.daily...), r.quiet...)
	for _, w := range r.all {
		if err := w.check(); err != nil {
			return nil, fmt.Errorf("charging: %w", err)
		}
	}
	return r, nil
}

// Decide implements sim.Rule.
func (r *ChargeRule) Decide(c *sim.Conditions, inUse bool, since units.Hours) (use bool, why string) {
	switch {
	case c.Fuel <= 0:
		return false, "no fuel left"
	case c.State == sim.Motoring:
		return true, "motoring"
	case r.quiet.hold(c.Clock.Ship):
		return false, "quiet hours"
	case r.daily.hold(c.Clock.Ship):
		return true, "daily charging hours"
	case r.below > 0 && c.Charge < r.below:
		return true, "low charge"
	case r.below > 0 && inUse && c.Charge < r.above:
		return true, "not yet charged"
	case inUse && since < r.least:
		return true, "shortest run"
	case r.below > 0 && c.Charge >= r.above:
		return false, "charged"
	}
	return false, "no longer needed"
}

// Edge returns the next beginning or end of the daily or the quiet hours after
// t, in a ship's zone of that many hours, or the zero time without any: the
// simulator cuts its steps there.
func (r *ChargeRule) Edge(t time.Time, zone int) time.Time { return r.all.edge(t, zone) }
