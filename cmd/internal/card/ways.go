package card

import (
	"strings"

	"ampwake/sim"
)

// Way is a way of running the boat: with all loads or without some.
type Way struct {
	Name  string
	Loads []int // indexes into Voyage.Loads of what is kept running
	// On names these, Off the others.
	On, Off []string
}

// The names of the ways.
const (
	Everything = "everything"
	SparesOff  = "spares off" // without what goes first, or what the crew sheds
	Essentials = "essentials" // what the goals keep, and the lights that the rules want
)

// ways returns the ways that the voyage knows, everything first. One that would be
// the same as another is left out.
func ways(v *sim.Voyage) []Way {
	ws := []Way{pick(v, Everything, func(int) bool { return true })}
	add := func(w Way) {
		if n := len(w.Loads); n > 0 && n < len(ws[len(ws)-1].Loads) {
			ws = append(ws, w)
		}
	}
	add(pick(v, SparesOff, func(i int) bool { return !v.Loads[i].Spare && v.Loads[i].Rule == nil }))
	if len(v.Goals.Keep) > 0 {
		add(pick(v, Essentials, func(i int) bool { return keeps(v, i) || lawful(v.Loads[i].Load.Name()) }))
	}
	return ws
}

func pick(v *sim.Voyage, name string, on func(int) bool) Way {
	w := Way{Name: name}
	for i, f := range v.Loads {
		if on(i) {
			w.Loads = append(w.Loads, i)
			w.On = append(w.On, f.Load.Name())
		} else {
			w.Off = append(w.Off, f.Load.Name())
		}
	}
	return w
}

// keeps reports whether the goals keep a load.
func keeps(v *sim.Voyage, load int) bool {
	for _, i := range v.Goals.Keep {
		if i == load {
			return true
		}
	}
	return false
}

// lawful reports whether a name speaks of a light that the collision regulations
// want (COLREGS Rules 20 to 31): no card tells to do without it.
func lawful(name string) bool {
	name = strings.ToLower(name)
	for _, word := range []string{
		"tricolo", "navigation", "nav light", "running light", "masthead", "steaming",
		"anchor light", "riding light", "sidelight", "side light", "stern light", "sternlight",
	} {
		if strings.Contains(name, word) {
			return true
		}
	}
	return false
}
