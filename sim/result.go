package sim

import (
	"time"

	"ampwake/sim/track"
	"ampwake/sim/units"
)

// Result is one voyage sailed.
type Result struct {
	Title   string
	Depart  time.Time
	End     time.Time // arrival, or the end of the time given
	Arrived bool      // at the last waypoint
	Sailed  units.NauticalMiles
	Steps   int

	Start, Last units.Fraction // state of charge at departure and at the end
	Lowest      Moment         // of the lowest state of charge
	LowestVolts Moment         // of the lowest bus voltage
	Sources     []SourceTotal
	Loads       []LoadTotal
	Books       Books
	Fuel        units.Litres // used
	Drag        Drag
	Wear        Wear
	Diesel      units.Litres // that the engine takes for 100 Ah, 0: not known
	Days        []Day        // by UTC date
	Misses      []Miss       // in order of time
	Decisions   []Decision   // in order of time
	Verdict     Verdict
	Notes       []Note
	Trace       *Trace // nil unless asked for
}

// Moment is a moment of the voyage worth telling.
type Moment struct {
	Time   time.Time
	Place  track.Position
	Sailed units.NauticalMiles
	Zone   int // ship's zone: hours to add to UTC
	Charge units.Fraction
	Bus    units.Volts
}

// SourceTotal is what one source did over the voyage or a day. Charge is the
// energy over the bus voltage of each step.
type SourceTotal struct {
	Name   string
	Energy units.WattHours // put on the bus, spilled part included
	Charge units.AmpHours
	Lost   units.WattHours // in controller and wiring, before the bus
	InUse  units.Hours
	Miles  units.NauticalMiles // lost by its drag
}

// Drag is what generators in the water cost: the miles not made for it, and the
// hours that the same way would have taken less.
type Drag struct {
	Miles units.NauticalMiles
	Hours units.Hours
}

// LoadTotal is what one load used and what it went without.
type LoadTotal struct {
	Name   string
	Energy units.WattHours
	Charge units.AmpHours
	Due    int         // scheduled slots that began
	Kept   int         // of those, slots served to their end, or that of the voyage
	Off    units.Hours // time it was due and not served
}

// Books are the two ledgers of a voyage. Both close: BusGap and BankGap are
// zero to rounding.
type Books struct {
	// The bus, in Wh.
	Made    units.WattHours // by all sources, before their losses
	Lost    units.WattHours // in controllers and wiring
	Used    units.WattHours // by all loads
	Spilled units.WattHours // offered and refused
	BankIn  units.WattHours // terminal V·I while charging
	BankOut units.WattHours // terminal V·I while discharging
	// The bank, in Ah.
	Taken         units.AmpHours // at the terminals while charging
	Charged       units.AmpHours // of that, what reached the tanks
	Drawn         units.AmpHours // at the terminals while discharging
	SelfDischarge units.AmpHours
	Gone          units.AmpHours // with a part of the bank that was lost
	StoreChange   units.AmpHours // in the tanks, end minus start
	SpilledCharge units.AmpHours // Spilled over the bus voltage of each step
	// BankLost is the energy lost inside the bank: BankIn less BankOut less the
	// change in what the store is worth (see bank.Model.Store). It is derived,
	// no row of a ledger.
	BankLost units.WattHours
}

// BusGap returns what the bus ledger does not explain.
func (b *Books) BusGap() units.WattHours {
	return b.Made - b.Lost - b.Used - b.Spilled - b.BankIn + b.BankOut
}

// BankGap returns what the charge ledger does not explain.
func (b *Books) BankGap() units.AmpHours {
	return b.Charged - b.Drawn - b.SelfDischarge - b.Gone - b.StoreChange
}

// Day is one UTC day of the voyage, or the part of it spent at sea.
type Day struct {
	Date     time.Time // midnight UTC
	Hours    units.Hours
	Noon     track.Position // at 12:00 UTC, or when nearest to it
	Sailed   units.NauticalMiles
	Low      units.Fraction // lowest state of charge of the day
	High     units.Fraction
	Close    units.Fraction // at the end of the day
	AtNoon   units.Fraction // at 12:00 UTC, or when nearest to it
	Sources  []SourceTotal  // in the order of Result.Sources; nil if Options.Lean
	Loads    []LoadTotal    // in the order of Result.Loads; nil if Options.Lean
	Spilled  units.AmpHours
	Misses   int            // slots that failed that day; spells are not counted
	Cloud    units.Fraction // mean
	Air, Sea units.Celsius  // mean
	// LowAt is when Low was.
	LowAt time.Time
}

// Cause is why a load was not served.
type Cause uint8

// The causes of a miss.
const (
	Flat         Cause = iota // the bank had nothing more to give
	UnderVoltage              // too little voltage at the load's terminals while it drew
	Shed                      // switched off on purpose
)

func (c Cause) String() string {
	return [...]string{"flat", "voltage under load", "shed"}[c]
}

// Miss is one slot, or one spell of an unscheduled load, that was not served.
type Miss struct {
	Load  int       // index into Result.Loads
	What  string    // the slot's name, or the load's
	Slot  time.Time // when the slot began; for a spell, when it went off
	At    Moment    // when it failed
	Until time.Time // for a spell, when it came back or the voyage ended
	Cause Cause
	// Volts is the voltage at the load's terminals, for UnderVoltage.
	Volts units.Volts
}

// Decision is something done on board, or that befell her: a generator lifted, an
// engine started, a panel lost.
type Decision struct {
	At   Moment
	What string // the thing: a source's or a load's name
	Use  bool   // brought into use, or out of it; mended, for a fault
	// Fault tells that it befell her.
	Fault bool
	Why   string
}

// Verdict is the answer to the goals of the voyage.
type Verdict struct {
	Holds bool
	Goals []GoalVerdict
	// Margin is the lowest state of charge less the floor: negative when the
	// floor was broken. MarginCharge is the same in the bank's ampere-hours.
	Margin       units.Fraction
	MarginCharge units.AmpHours
	Floor        units.Fraction
}

// GoalVerdict is the answer to one goal.
type GoalVerdict struct {
	Name      string
	Load      int // index into Result.Loads, or -1 for the goal of a floor
	Holds     bool
	Due, Kept int   // slots, for a load to keep
	First     *Miss // first failure of a load to keep, or nil
	// Broken is when the floor was first broken, for the goal of a floor.
	Broken *Moment
}

// Note is something to know about a result: an assumption that mattered, a
// value clamped, a range left.
type Note struct{ About, Text string }

// Trace holds every step of a voyage, column by column. Time, place, zone and
// Charge are those of the step's start, the rest holds for the whole of it. A
// last entry closes the voyage: nothing flows in it, and what it does not know
// (bus, weather, heading, sun) stands as in the last step.
type Trace struct {
	Time    []time.Time
	Lat     []units.Degrees
	Lon     []units.Degrees
	Zone    []int8
	Speed   []units.Knots
	Plan    []units.Knots
	Heading []units.Degrees
	Heel    []units.Degrees
	State   []State
	Cloud   []units.Fraction
	Wind    []units.Knots
	Air     []units.Celsius
	Sea     []units.Celsius
	Sun     []units.Degrees // true elevation at the step's middle
	Global  []units.WattsPerSquareMetre
	Charge  []units.Fraction
	Bus     []units.Volts // during the step
	Battery []units.Amps  // discharge positive, during the step
	Spilled []units.Watts
	Sources [][]units.Watts // by source, then step: at the bus
	Loads   [][]units.Watts // by load, then step
}
