package sim

import (
	"fmt"

	"ampwake/sim/units"
)

// Comparison is several kits sailed through the same weathers.
type Comparison struct {
	Base int // index into Kits: the one that the others are measured against
	Kits []Compared
}

// Compared is what one kit does, and what it does otherwise than the base in the
// same weathers. The base compared with itself has all changes 0.
type Compared struct {
	Name string
	Odds *Odds
	// Same tells that kit and base sailed the same voyage in every weather.
	Same bool

	Holds  ShareChange                 // all goals together
	Margin Change[units.Fraction]      // see Verdict
	Charge Change[units.AmpHours]      // the same in ampere-hours
	Lowest Change[units.Fraction]      // lowest state of charge
	Misses Change[float64]             // see Member.Missed
	Miles  Change[units.NauticalMiles] // lost by the drag of generators
	Hours  Change[units.Hours]         // the same in time
	// Passage is the time to arrival, in the weathers in which both arrive.
	Passage Change[units.Hours]
	Engine  Change[units.Hours]
	Fuel    Change[units.Litres]
	Life    Change[units.Fraction] // share of the bank's cycle life used up
}

// Compare sets kits that were sailed through the same weathers, as Fleet does it,
// side by side. It panics if the names, the weathers or the base do not fit.
func Compare(names []string, odds []*Odds, base int) *Comparison {
	if len(names) != len(odds) || base < 0 || base >= len(odds) {
		panic(fmt.Sprintf("sim: comparison of %d kits with %d names and base %d", len(odds), len(names), base))
	}
	c := &Comparison{Base: base}
	for i, o := range odds {
		c.Kits = append(c.Kits, compared(names[i], o, odds[base]))
	}
	return c
}

func compared(name string, kit, base *Odds) Compared {
	if len(kit.Members) != len(base.Members) {
		panic("sim: comparison of kits that did not sail through the same weathers")
	}
	c := Compared{Name: name, Odds: kit, Same: true, Holds: holdsChange(kit, base)}
	for i, m := range kit.Members {
		if m.Index != base.Members[i].Index {
			panic("sim: comparison of kits that did not sail through the same weathers")
		}
		c.Same = c.Same && m.same(base.Members[i])
	}
	c.Margin = change(kit, base, func(m *Member) units.Fraction { return m.Margin })
	c.Charge = change(kit, base, func(m *Member) units.AmpHours { return m.MarginCharge })
	c.Lowest = change(kit, base, func(m *Member) units.Fraction { return m.Lowest.Charge })
	c.Misses = change(kit, base, func(m *Member) float64 { return float64(m.Missed) })
	c.Miles = change(kit, base, func(m *Member) units.NauticalMiles { return m.Drag.Miles })
	c.Hours = change(kit, base, func(m *Member) units.Hours { return m.Drag.Hours })
	c.Engine = change(kit, base, func(m *Member) units.Hours { return m.Engine })
	c.Fuel = change(kit, base, func(m *Member) units.Litres { return m.Fuel })
	c.Life = change(kit, base, func(m *Member) units.Fraction { return m.Wear.Life })
	var ours, theirs []units.Hours
	for i, m := range kit.Members {
		if b := base.Members[i]; m.Arrived && b.Arrived {
			ours = append(ours, since(kit.Depart, m.End))
			theirs = append(theirs, since(base.Depart, b.End))
		}
	}
	c.Passage = NewChange(ours, theirs)
	return c
}

func change[Q ~float64](kit, base *Odds, of func(*Member) Q) Change[Q] {
	ours, theirs := make([]Q, len(kit.Members)), make([]Q, len(kit.Members))
	for i, m := range kit.Members {
		ours[i], theirs[i] = of(m), of(base.Members[i])
	}
	return NewChange(ours, theirs)
}

func holdsChange(kit, base *Odds) ShareChange {
	both, won, lost := 0, 0, 0
	for i, m := range kit.Members {
		switch b := base.Members[i]; {
		case m.Holds && b.Holds:
			both++
		case m.Holds:
			won++
		case b.Holds:
			lost++
		}
	}
	return NewShareChange(both, won, lost, len(kit.Members)-both-won-lost)
}
