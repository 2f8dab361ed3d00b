package scenarios

import (
	"strings"

	"ampwake/scenarios/form"
	"ampwake/sources"
)

// panel assembles one solar panel.
func (a *assembly) panel(p *Panel, path string) {
	if !a.clean(path) {
		return
	}
	if p.Facing.Up && p.Tilt != 0 {
		want(a.doc.Problem(path+".facing", "a panel that is tilted looks somewhere, not up"), "aft, forward, port, starboard, an angle from the bow, or trimmed to the sun 3 times a day")
		return
	}
	s := sources.DefaultPanel()
	s.Name, s.Rated, s.Tilt, s.Facing = p.Name, p.Rated, p.Tilt, p.Facing.Bow
	s.Trims = p.Facing.Trimmed
	s.FreeTilt = s.Trims > 0 && !a.doc.Given(path+".tilt")
	s.Shade, s.Dirt, s.NOCT, s.PerKelvin = p.Shaded, p.Dirt, p.NOCT, -p.Fades
	s.Efficiency, s.States = p.Efficiency, states(p.Only)
	if p.Controller == "switching" {
		s.Controller = sources.ControllerSwitching
	}
	if p.From != nil {
		s.Out = append(s.Out, sources.OutOfService{Until: p.From.At(a.zone)})
	}
	if p.From != nil && p.To != nil && !p.To.At(a.zone).After(p.From.At(a.zone)) {
		a.doc.Problem(path+".to", "%v is not after %v, from when it is in use", *p.To, *p.From)
		return
	}
	if p.To != nil {
		s.Out = append(s.Out, sources.OutOfService{From: p.To.At(a.zone)})
	}
	src, err := sources.NewPanel(s)
	a.fit(path, kindSolar, src, nil, err)
}

// spare gives a stowed panel the rule that brings it out. It comes after all
// sources, since it may name any of them.
func (a *assembly) spare(p *Panel, path string) {
	if p.Spare == nil || !a.clean(path) {
		return
	}
	s := sources.Spare{Rigging: p.Spare.Rigging, States: states(p.Only)}
	s.Below, s.Above = band(p.Spare.Below, p.Spare.Above, 0.2)
	own := -1
	var names []string
	for i, f := range a.out.Sources {
		if f.Source.Name() == p.Name {
			own = i
		} else {
			names = append(names, f.Source.Name())
		}
	}
	for _, name := range p.Spare.After {
		found := false
		for i, f := range a.out.Sources {
			if strings.EqualFold(f.Source.Name(), name) && i != own && i < 64 {
				s.After |= 1 << i
				found = true
			}
		}
		if !found && a.clean("sources") {
			problem := a.doc.Problem(path+".after", "no other source is called %q", name)
			want(problem, "one of "+strings.Join(names, ", "))
			problem.Hint = form.Nearest(name, names)
		}
	}
	if own < 0 || !a.clean(path) {
		return
	}
	rule, err := sources.NewSpareRule(s)
	if err != nil {
		a.doc.Problem(path, "%v", err)
		return
	}
	a.out.Sources[own].Rule = rule
}
