package scenarios

import (
	"fmt"
	"strings"
	"time"

	"ampwake/scenarios/form"
	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/units"
)

// faults assembles what goes wrong.
func (a *assembly) faults() {
	for i, f := range a.file.Faults {
		path := fmt.Sprintf("faults[%d]", i)
		if !a.clean(path) || a.route == nil {
			continue
		}
		x := sim.Fault{What: f.What + " " + f.words(), Why: f.Why, Mended: f.For, Every: f.Every, Source: -1, Load: -1, Left: f.Left}
		if x.Why == "" {
			x.Why = "as the scenario has it"
		}
		a.target(&x, &f, path)
		a.when(&x, &f, path)
		a.out.Faults = append(a.out.Faults, x)
	}
}

// words tells the effect.
func (x *FaultText) words() string {
	switch {
	case x.Cell:
		return "cell lost"
	case x.Draws > 0:
		return "left on at " + x.Draws.String()
	case x.Left > 0:
		return fmt.Sprintf("down to %.0f %%", 100*x.Left)
	}
	return "lost"
}

// target finds what a fault befalls.
func (a *assembly) target(x *sim.Fault, f *FaultText, path string) {
	var names []string
	for i, s := range a.out.Sources {
		if strings.EqualFold(s.Source.Name(), f.What) {
			x.Source = i
		}
		names = append(names, s.Source.Name())
	}
	for i, l := range a.out.Loads {
		if strings.EqualFold(l.Load.Name(), f.What) {
			x.Load = i
		}
		names = append(names, l.Load.Name())
	}
	names = append(names, "bank")
	switch {
	case f.What == "bank" && a.out.Bank != nil:
		a.lessBank(x, f, path)
	case x.Source >= 0 && (f.Cell || f.Draws > 0), x.Load >= 0 && f.Draws == 0:
		a.doc.Problem(path, "a source can be lost or have 40 %% left; a load can be left on at 2.5 A; a bank can lose a cell")
	case x.Source >= 0:
		x.Load = -1
	case x.Load >= 0:
		x.Draws = f.Draws
	case a.clean("sources", "loads", "bank"):
		p := a.doc.Problem(path, "no source and no load is called %q", f.What)
		want(p, "one of "+strings.Join(names, ", "))
		p.Hint = form.Nearest(f.What, names)
	}
}

// lessBank makes what is left of the bank. A cell lost takes its voltage off the
// whole: that is what befalls a bank of one battery. Where several stand side by
// side, the one with the dead cell must be taken out: write 50 % left.
func (a *assembly) lessBank(x *sim.Fault, f *FaultText, path string) {
	s := a.out.Bank.Setup()
	x.Kept = 1
	switch {
	case f.Cell:
		s.Cells--
	case f.Draws > 0:
		a.doc.Problem(path, "a bank cannot be left on")
		return
	case f.Left <= 0:
		a.doc.Problem(path, "without a bank there is no bus to reckon with: leave a share of it, like 50 %% left")
		return
	default:
		s.Rated *= units.AmpHours(f.Left)
		x.Kept = f.Left
	}
	if f.For > 0 || f.Every > 0 {
		a.doc.Problem(path, "what is lost of a bank stays lost, and is not at random: give a day, a moment, a place or a state")
		return
	}
	m, err := bank.New(s)
	if err != nil {
		a.doc.Problem(path, "%v", err)
		return
	}
	x.Bank = m
}

// when finds the occasion of a fault.
func (a *assembly) when(x *sim.Fault, f *FaultText, path string) {
	switch {
	case f.Day > 0:
		x.At = a.depart.Add(time.Duration(f.Day-1) * 24 * time.Hour)
	case f.At != nil:
		x.At = f.At.At(a.zone)
	case f.Waypoint != "":
		x.Mark = a.until(f.Waypoint, path)
	case f.Side != "":
		d, found := a.side(f.Side, f.Lat)
		if !found {
			a.doc.Problem(path, "the route never lies %s that latitude", f.Side)
		}
		if f.State != "" {
			x.From = d
		} else if d == 0 {
			x.At = a.depart
		} else {
			x.Mark = d
		}
	}
	if f.State != "" {
		x.In = sim.States(0).With(f.State.state())
	}
}

// side finds the first distance at which the route lies north or south of a
// latitude.
func (a *assembly) side(side string, lat units.Degrees) (units.NauticalMiles, bool) {
	place, _ := a.route.At(0)
	if north := side == "north of"; north && place.Lat >= lat || !north && place.Lat <= lat {
		return 0, true
	}
	return crossing(a.route, lat)
}
