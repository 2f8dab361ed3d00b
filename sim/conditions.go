package sim

import (
	"time"

	"ampwake/sim/climate"
	"ampwake/sim/sky"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// State is what the boat is doing.
type State uint8

// The states of the boat.
const (
	UnderSail State = iota
	Motoring
	HoveTo
	Drifting
	AtAnchor
	Alongside
)

// States is a set of states; the empty set stands for all of them.
type States uint8

// In reports whether the set holds s; the empty set holds all.
func (set States) In(s State) bool { return set == 0 || set&(1<<s) != 0 }

// With returns the set with s added.
func (set States) With(s State) States { return set | 1<<s }

// Clock is the time of day on both clocks of the boat at the middle of a step.
type Clock struct {
	UTC  int // seconds since midnight UTC, 0..86399
	Ship int // seconds since midnight of ship's time
	Day  int // days since 1970-01-01, UTC
	// ShipDay counts the same on the ship's calendar.
	ShipDay int
	Zone    int // hours to add to UTC for ship's time, -12..12
}

// Conditions is what the boat meets during one step: the sea, the sky and the
// bus. A Source or a Load reads it and must neither keep nor change it.
type Conditions struct {
	Start  time.Time // of the step, UTC
	Time   time.Time // middle of the step, UTC
	Length units.Hours
	Clock  Clock // at the middle of the step

	Place   track.Position // at the middle of the step
	Sailed  units.NauticalMiles
	State   State
	Plan    units.Knots   // through the water, before the drag of a generator
	Speed   units.Knots   // through the water, as sailed
	Heading units.Degrees // true, [0, 360)
	Heel    units.Degrees // starboard down positive

	Weather climate.Sample
	Sun     sky.Sun
	Light   sky.Irradiance

	Bus    units.Volts    // at the start of the step
	Charge units.Fraction // state of charge at the start of the step
	Fuel   units.Litres   // left in the tank
	// Failed has bit i set when source i of the voyage gives nothing for a fault.
	Failed uint64

	lies attitude
}

// attitude is how the boat lies, kept while heading and heel stay the same.
type attitude struct {
	heading, heel units.Degrees
	known         bool
	sky.Attitude
}

// Attitude returns how the boat lies under her heading and heel, with no pitch.
// What it points to holds until either changes.
func (c *Conditions) Attitude() *sky.Attitude {
	a := &c.lies
	if !a.known || a.heading != c.Heading || a.heel != c.Heel {
		*a = attitude{c.Heading, c.Heel, true, sky.NewAttitude(c.Heading, c.Heel, 0)}
	}
	return &a.Attitude
}
