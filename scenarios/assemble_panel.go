package scenarios

import (
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
	if p.To != nil {
		s.Out = append(s.Out, sources.OutOfService{From: p.To.At(a.zone)})
	}
	src, err := sources.NewPanel(s)
	a.fit(path, kindSolar, src, nil, err)
}
