package sim

import (
	"time"

	"ampwake/sim/units"
)

// Member is what the odds keep of the voyage through one weather.
type Member struct {
	Index  int // as Options.Member
	Holds  bool
	Goals  []MemberGoal // in the order of Odds.Goals
	Lowest Moment

	Margin       units.Fraction // see Verdict
	MarginCharge units.AmpHours

	End     time.Time
	Arrived bool
	Sailed  units.NauticalMiles
	Last    units.Fraction // state of charge at the end

	Engine  units.Hours  // use of the sources that burn fuel, added up
	Fuel    units.Litres // used
	Made    units.WattHours
	Used    units.WattHours
	Spilled units.AmpHours
	Drag    Drag // what the generators in the water cost
	Wear    Wear // what the voyage cost the bank
	Missed  int  // slots, or spells without service, of the loads to keep

	Sources []MemberSource // in the order of Odds.Sources
	Loads   []MemberLoad   // in the order of Odds.Loads

	noon, low []units.Fraction // by UTC day, from that of departure
	missed    []int            // by UTC day: misses of the loads to keep
	where     []Counts         // by bin: the same
	notes     []Note
}

// MemberGoal is the answer to one goal.
type MemberGoal struct {
	Holds     bool
	Due, Kept int
	First     *Failure // nil if it holds
}

// MemberSource is what one source did.
type MemberSource struct {
	Energy units.WattHours // put on the bus, spilled part included
	InUse  units.Hours
}

// MemberLoad is what one load went without.
type MemberLoad struct {
	Due, Kept int // slots
	Off       units.Hours
	Misses    Counts // slots, or spells without service
}

// Failure is how a goal first failed.
type Failure struct {
	Goal int // index into Odds.Goals
	At   Moment
	// Floor tells that the floor was broken; the rest is of a miss.
	Floor bool
	Cause Cause
	What  string      // the slot's name, or the load's
	Volts units.Volts // at its terminals, for UnderVoltage
}

// Why names the cause: "floor", or as Cause.String does.
func (f *Failure) Why() string {
	if f.Floor {
		return "floor"
	}
	return f.Cause.String()
}

// First returns the earliest failure of any goal, that of the earlier goal of
// two at once, or nil.
func (m *Member) First() *Failure {
	var first *Failure
	for i := range m.Goals {
		if f := m.Goals[i].First; f != nil && (first == nil || f.At.Time.Before(first.At.Time)) {
			first = f
		}
	}
	return first
}

// member keeps of a result what the odds need. Nothing in it refers to the
// result's own slices, which are much larger.
func (v *Voyage) member(i, bins int, r *Result) *Member {
	k := &r.Books
	m := &Member{
		Index: i, Holds: r.Verdict.Holds, Lowest: r.Lowest,
		Margin: r.Verdict.Margin, MarginCharge: r.Verdict.MarginCharge,
		End: r.End, Arrived: r.Arrived, Sailed: r.Sailed, Last: r.Last,
		Fuel: r.Fuel, Made: k.Made, Used: k.Used, Spilled: k.SpilledCharge,
		Drag: r.Drag, Wear: r.Wear,
		Goals: make([]MemberGoal, len(r.Verdict.Goals)),
		notes: r.Notes,
	}
	for j := range r.Verdict.Goals {
		g := &r.Verdict.Goals[j]
		m.Goals[j] = MemberGoal{Holds: g.Holds, Due: g.Due, Kept: g.Kept, First: failure(j, g)}
	}
	for j, s := range r.Sources {
		m.Sources = append(m.Sources, MemberSource{Energy: s.Energy, InUse: s.InUse})
		if _, burns := v.Sources[j].Source.(Burner); burns {
			m.Engine += s.InUse
		}
	}
	for _, l := range r.Loads {
		m.Loads = append(m.Loads, MemberLoad{Due: l.Due, Kept: l.Kept, Off: l.Off})
	}
	first := utcDay(r.Depart)
	days := 0
	if n := len(r.Days); n > 0 {
		days = int(utcDay(r.Days[n-1].Date)-first) + 1
	}
	m.noon, m.low = make([]units.Fraction, days), make([]units.Fraction, days)
	for j := range r.Days {
		d := &r.Days[j]
		at := utcDay(d.Date) - first
		m.noon[at], m.low[at] = d.AtNoon, d.Low
	}
	m.missed, m.where = make([]int, days), make([]Counts, bins)
	length := v.Route.Length()
	for j := range r.Misses {
		x := &r.Misses[j]
		l := &m.Loads[x.Load]
		l.Misses.miss(x.Cause)
		if !v.Goals.keeps(x.Load) || l.Due > 0 && !x.Until.IsZero() {
			continue // a load with slots is judged by these, not by spells
		}
		m.Missed++
		m.where[binOf(x.At.Sailed, length, bins)].miss(x.Cause)
		m.missed[min(int(utcDay(x.At.Time)-first), days-1)]++
	}
	return m
}

// failure returns how goal j failed first, or nil.
func failure(j int, g *GoalVerdict) *Failure {
	switch {
	case g.First != nil:
		m := g.First
		return &Failure{Goal: j, At: m.At, Cause: m.Cause, What: m.What, Volts: m.Volts}
	case g.Broken != nil:
		return &Failure{Goal: j, At: *g.Broken, Floor: true}
	}
	return nil
}

// keeps reports whether no slot of the load may be missed.
func (g *Goals) keeps(load int) bool {
	for _, i := range g.Keep {
		if i == load {
			return true
		}
	}
	return false
}

// utcDay counts UTC days since 1970; voyages begin after that.
func utcDay(t time.Time) int64 { return t.Unix() / 86400 }
