package sim

import (
	"time"

	"ampwake/sim/bank"
	"ampwake/sim/hull"
	"ampwake/sim/sky"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// Voyage is all that is needed to sail: the boat, the way, the weather and what
// is wanted. It is immutable once sailing has begun and may be sailed by many
// goroutines at once.
type Voyage struct {
	Title  string
	Depart time.Time
	Route  *track.Route
	Plan   []Stretch
	Stays  []Stay
	// Limit ends the voyage when it has not arrived by then; 0 stands for
	// MaxLength.
	Limit units.Hours
	// Grid is the longest step; it must divide an hour. 0 stands for 10 min.
	Grid time.Duration

	Bank   *bank.Model
	Charge units.Fraction // state of charge at departure
	Fuel   units.Litres   // in the tank at departure
	Diesel units.Litres   // that the engine takes for 100 Ah, for reports

	Sources []Fitted
	Loads   []Fixed
	// Weather begins the weather of one member of a run; members are numbered
	// from 0 and independent of each other.
	Weather func(member int) Weather
	Sky     sky.Model
	// Hull gives what the drag of a generator costs; nil: nothing.
	Hull  *hull.Resistance
	Goals Goals
	// Faults strike under way; those at random differ by member and FaultSeed.
	Faults    []Fault
	FaultSeed uint64
	// Vary, if not nil, returns the voyage that a member of a run sails in place of
	// this one: its kit may differ in what nobody knows of it. It must be the same
	// whenever it is asked, have the same route, sources and loads in the same
	// order, and a nil Vary.
	Vary func(member int) *Voyage
	// Zones name parts of the passage for the odds; nil: the legs of the route.
	Zones []Zone
	Notes []Note // carried into every result
}

// Longest voyage and finest grid: together they bound the steps of a voyage.
const (
	MaxLength units.Hours   = 400 * 24
	MinGrid   time.Duration = 30 * time.Second
	stdGrid                 = 10 * time.Minute
)

// Fitted is a source and the rule that brings it into use; no rule: always.
type Fitted struct {
	Source Source
	Rule   Rule
	// Times multiplies what it gives and loses, > 0: what a trial sail found.
	// 0 stands for 1.
	Times float64
}

// Fixed is a load with its place in the order of switching off.
type Fixed struct {
	Load Load
	// Rule says when the crew does without it and takes it back; nil: never.
	Rule Rule
	// Spare loads go first when the voltage falls under the low-voltage
	// cut-off; the others follow only if that does not help.
	Spare bool
	// Times multiplies what it draws, > 0: what a trial sail found. It leaves the
	// peak current alone, which is the set's own. 0 stands for 1.
	Times float64
}

// orOne returns a factor, for which 0 stands for 1.
func orOne(times float64) float64 {
	if times == 0 {
		return 1
	}
	return times
}

// Goals is what the voyage wants of its electricity.
type Goals struct {
	Keep  []int          // indexes of loads of which no slot may be missed
	Above units.Fraction // state of charge to stay above; 0: no such goal
	// Floor is what the margin is measured from when Above is not a goal.
	Floor units.Fraction
}

// Stay keeps the boat at a place of the route for a time.
type Stay struct {
	At    units.NauticalMiles // distance along the route
	For   units.Hours
	State State
}

// Timed is a Source or a Rule that changes with the clock: steps are cut at its
// edges as at those of a load.
type Timed interface {
	Edge(t time.Time, zone int) time.Time
}
