package sim

import (
	"time"

	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// Supply is what a source can put on the bus.
type Supply struct {
	Power units.Watts // at the bus, >= 0
	Lost  units.Watts // lost on the way: controller and wiring, >= 0
}

// Source makes electricity. Implementations are immutable: one value serves
// many voyages at once.
type Source interface {
	Name() string
	// Offer returns what the source could put on the bus under c. It is asked
	// only while its Rule, if any, has it in use.
	Offer(c *Conditions) Supply
}

// Follower is a Source whose output follows what the bus takes (an engine
// alternator, a shore charger): what the bank refuses it does not make, so
// nothing of it is spilled.
type Follower interface {
	Source
	Follows()
}

// Burner is a Source that uses fuel while it runs.
type Burner interface {
	Source
	// Burn returns the fuel rate while the source puts p on the bus.
	Burn(c *Conditions, p units.Watts) units.LitresPerHour
}

// Dragger is a Source in the water that slows the boat while in use.
type Dragger interface {
	Source
	// Drag returns the force against the boat at speed v through the water.
	Drag(v units.Knots) units.Newtons
}

// Rule decides whether a source is in use or a load is shed. It is immutable;
// the engine keeps the state.
type Rule interface {
	// Decide returns whether the thing is to be in use from the start of the
	// step on, given whether it is now and for how long it has been so. Speed
	// in c is not yet known: use Plan. why is a short reason in words for the
	// log of decisions, a constant string (no allocation), used only on change.
	Decide(c *Conditions, inUse bool, since units.Hours) (use bool, why string)
}

// Slow is a Rule whose yes takes the crew a while: a spare panel must be rigged.
type Slow interface {
	Rule
	// Takes returns the time from the decision to the first watt.
	Takes() units.Hours
}

// Demand is what a load asks of the bus at one moment.
type Demand struct {
	On      bool
	Power   units.Watts // constant power part, at the bus
	Current units.Amps  // constant current part
	// The lowest voltage at the load's own terminals at which it works, or 0.
	// It is checked against the bus when Peak flows through Cable.
	Least units.Volts
	Peak  units.Amps // highest current while on; 0: that of Power and Current
	Cable units.Ohms // out and back, with fuse and lugs
	// Idle is drawn in place of the rest when the voltage is too low to work.
	Idle units.Amps
	// Slot is when the scheduled slot began (Unix seconds, UTC), 0 for a load
	// without slots. All steps of one slot carry the same Slot.
	Slot int64
	// What names the slot in reports, like "chart 12:45"; "" for the load's name.
	What string
}

// Load uses electricity. Implementations are immutable.
type Load interface {
	Name() string
	// Draw returns the demand under c. Between two edges it depends only on
	// c.State and on the sun being above or below the altitudes the load
	// watches (see SunWatcher).
	Draw(c *Conditions) Demand
	// Edge returns the first instant strictly after t at which the clock
	// changes the draw, given the ship's zone (hours to add to UTC), or the
	// zero time if the clock never does. Steps are cut there.
	Edge(t time.Time, zone int) time.Time
}

// SunWatcher is a Load that switches when the true elevation of the sun passes
// given altitudes: steps are cut there.
type SunWatcher interface {
	Load
	Altitudes() []units.Degrees
}

// Weather tells the weather along the passage. It may carry state (a synthetic
// series): it belongs to one voyage and is asked with time never going back.
type Weather interface {
	At(t time.Time, place track.Position) climate.Sample
	// Edge returns the first instant strictly after t at which the weather
	// jumps, or the zero time. Steps are cut there.
	Edge(t time.Time) time.Time
}
