package scenarios

import (
	"fmt"
	"slices"

	"ampwake/loads"
	"ampwake/loads/fax"
	"ampwake/loads/timetable"
	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/hull"
	"ampwake/sim/units"
	"ampwake/sources"
)

// The kinds of things, for pictures; plain loads go by their names there.
const (
	kindSolar  = "solar"
	kindHydro  = "hydro"
	kindEngine = "engine"
	kindWind   = "wind"
	kindShore  = "shore"
	kindRadio  = "radio"
	kindFax    = "fax"
)

// sources assembles what makes electricity. A new kind of source is one more
// line here.
func (a *assembly) sources() {
	s := &a.file.Sources
	for i := range s.Panels {
		a.panel(&s.Panels[i], fmt.Sprintf("sources.panels[%d]", i))
	}
	a.hydro(s.Hydro)
	a.wind(s.Wind)
	a.engine(s.Engine)
	a.shore(s.Shore)
	for i := range s.Panels {
		a.spare(&s.Panels[i], fmt.Sprintf("sources.panels[%d].spare", i))
	}
}

// fit adds a source, or the problem it has.
func (a *assembly) fit(path, kind string, src sim.Source, rule sim.Rule, err error) {
	if err != nil {
		a.doc.Problem(path, "%v", err)
		return
	}
	if _, twice := a.kinds[src.Name()]; twice {
		a.doc.Problem(path, "another source is called %q: names must differ", src.Name())
	}
	a.kinds[src.Name()] = kind
	a.out.Sources = append(a.out.Sources, sim.Fitted{Source: src, Rule: rule})
}

func (a *assembly) hydro(h *Hydro) {
	const path = "sources.hydro"
	if h == nil || !a.clean(path) {
		return
	}
	lift := sources.DefaultLifting()
	lift.Below = h.LiftBelow
	lift.Above = 0
	if h.LiftAbove != nil {
		lift.Above = *h.LiftAbove
	}
	if len(h.Only) > 0 {
		lift.States = states(h.Only)
	}
	if h.LiftWind != nil {
		lift.Wind = *h.LiftWind
	}
	lift.Want, lift.Enough = band(h.Down, h.Up, 0.2)
	if h.Down == nil && h.Up != nil {
		want(a.doc.Problem(path+".up above", "the charge under which it goes down is missing"), "down below")
		return
	}
	lift.Hours = a.shipHours(h.Hours, path+".hours")
	rule, err := sources.NewLiftRule(lift)
	if err != nil {
		a.doc.Problem(path, "%v", err)
		return
	}
	if (h.Rotor == nil) == (len(h.Curve) == 0) {
		a.doc.Problem(path, "give either a curve or a rotor")
		return
	}
	limit := units.Watts(float64(h.Limit) * float64(h.At))
	if h.Rotor != nil {
		r := sources.DefaultRotor()
		r.Name, r.Diameter, r.CP, r.CT, r.Efficiency = h.Name, h.Rotor.Diameter, h.Rotor.CP, h.Rotor.CT, h.Rotor.Efficiency
		r.Limit, r.LimitAmps, r.Spread = limit, 0, h.Rotor.Spread
		if h.CutIn != nil {
			r.CutIn = *h.CutIn
		}
		src, err := sources.NewRotor(r)
		a.fit(path, kindHydro, src, rule, err)
		return
	}
	c := sources.Curve{Name: h.Name, Volts: h.At, Limit: limit}
	for _, p := range h.Curve {
		c.Points = append(c.Points, sources.CurvePoint{Speed: p.Speed, Current: p.Current})
	}
	if h.CutIn != nil {
		c.CutIn = *h.CutIn
	}
	if h.Drag != nil {
		c.Rotor = hull.Rotor{Diameter: h.Drag.Diameter, CT: h.Drag.CT}
	}
	src, err := sources.NewCurve(c)
	a.fit(path, kindHydro, src, rule, err)
}

// band returns the two shares of a hysteresis; the upper one is wide above the
// lower one if it is not given.
func band(low, high *units.Fraction, wide units.Fraction) (below, above units.Fraction) {
	if low == nil {
		return 0, 0
	}
	if high != nil {
		return *low, *high
	}
	return *low, min(1, *low+wide)
}

func (a *assembly) wind(w *Turbine) {
	const path = "sources.wind"
	if w == nil || !a.clean(path) {
		return
	}
	t := sources.DefaultWindTurbine()
	t.Name, t.Diameter, t.CP, t.Rated, t.CutIn, t.CutOut = w.Name, w.Diameter, w.CP, w.Rated, w.CutIn, w.CutOut
	src, err := sources.NewWindTurbine(t)
	var rule sim.Rule
	if len(w.Only) > 0 {
		rule = sources.OnlyIn(states(w.Only))
	}
	a.fit(path, kindWind, src, rule, err)
	if f := &a.file.Weather; f.Wind == nil && f.From != "climate" && f.Record == "" && a.clean("weather") {
		want(a.doc.Problem(path, "a wind turbine needs a wind"), "weather.wind")
	}
}

func (a *assembly) engine(e *Engine) {
	const path = "sources.engine"
	if e == nil || !a.clean(path) {
		usual := sources.DefaultAlternator()
		usual.Name, usual.Rated, usual.Hot = "engine", 50, 1
		a.out.Diesel = a.diesel(usual)
		return
	}
	alt := sources.DefaultAlternator()
	alt.Name, alt.Rated, alt.Hot = e.Name, e.Rated, e.Hot
	alt.NoLoad, alt.PerShaftKWh, alt.Motoring = e.NoLoad, e.PerKWh, e.Motoring
	g := sources.Charging{Least: e.Least}
	g.Daily = a.shipHours(e.Runs, path+".runs")
	g.Quiet = a.shipHours(e.Quiet, path+".quiet")
	if e.Below == nil && e.Until != nil {
		want(a.doc.Problem(path+".off above", "the charge under which it is started is missing"), "on below")
		return
	}
	if e.Below != nil {
		g.Below, g.Above = *e.Below, min(1, *e.Below+0.2)
		if e.Until != nil {
			g.Above = *e.Until
		}
	}
	rule, err := sources.NewChargeRule(g)
	if err != nil {
		a.doc.Problem(path, "%v", err)
		return
	}
	src, err := sources.NewAlternator(alt)
	a.fit(path, kindEngine, src, rule, err)
	a.out.Diesel = a.diesel(alt)
	a.out.Fuel = e.Fuel
}

// diesel is what the engine takes for 100 Ah: the file's own, or that of a usual
// small diesel with a 50 A alternator.
func (a *assembly) diesel(alt sources.Alternator) units.Litres {
	src, err := sources.NewAlternator(alt)
	if err != nil {
		return 0
	}
	c := sim.Conditions{}
	out := src.Offer(&c).Power
	amps := float64(out) / float64(alt.Volts)
	if amps <= 0 {
		return 0
	}
	return units.Litres(float64(src.Burn(&c, out)) * 100 / amps)
}

// shipHours turns windows of the ship's clock into seconds of the day.
func (a *assembly) shipHours(list []timetable.When, path string) []sources.Window {
	var ws []sources.Window
	for _, w := range list {
		if w.Kind != timetable.Window || w.Clock != timetable.Ship || w.Days != 0 || w.Every != 0 || w.Dates.Limited() {
			want(a.doc.Problem(path, "%q is not a daily window of ship's time", w), `text like "10:00-11:00 ship's time"`)
			continue
		}
		to := int(w.To) * 60
		if to == 0 {
			to = 86400
		}
		ws = append(ws, sources.Window{From: int(w.From) * 60, To: to})
	}
	return ws
}

func (a *assembly) shore(s *Shore) {
	if s == nil || !a.clean("sources.shore") {
		return
	}
	src, err := sources.NewShoreCharger(s.Name, s.Power)
	a.fit("sources.shore", kindShore, src, sources.OnlyIn(sim.States(0).With(sim.Alongside)), err)
}

// loads assembles what uses electricity.
func (a *assembly) loads() {
	names := map[string]bool{}
	for i := range a.file.Loads {
		l := &a.file.Loads[i]
		path := fmt.Sprintf("loads[%d]", i)
		if !a.clean(path) {
			continue
		}
		load, kind, err := a.load(l, path)
		if err != nil {
			a.doc.Problem(path, "%v", err)
			continue
		}
		if load == nil || !a.clean(path) {
			continue
		}
		if names[l.Name] {
			a.doc.Problem(path+".name", "another load is called %q: names must differ", l.Name)
			continue
		}
		names[l.Name] = true
		if kind != "" {
			a.kinds[l.Name] = kind
		}
		fixed := sim.Fixed{Load: load, Spare: l.Spare}
		if below, above := band(l.OffBelow, l.BackAbove, 0.1); below > 0 {
			rule, err := loads.NewShedding(below, above)
			if err != nil {
				a.doc.Problem(path, "%v", err)
				continue
			}
			fixed.Rule = rule
		}
		a.out.Loads = append(a.out.Loads, fixed)
		a.groups = append(a.groups, groupOf(l, kind))
	}
}

// load makes one load of the kind that its keys ask for. A new kind of load is
// one more case here.
func (a *assembly) load(l *Load, path string) (sim.Load, string, error) {
	supply := loads.Supply{}
	if l.Above != nil {
		supply.Least = *l.Above
	}
	if l.Cable != nil {
		loop, err := bank.Cable{Run: l.Cable.Run, Area: l.Cable.Area, Temp: 20, Extra: l.Cable.Fixed}.Loop()
		if err != nil {
			return nil, "", fmt.Errorf("cable: %w", err)
		}
		supply.Cable = loop
	}
	radio := l.Transmit != nil || l.Receive != nil
	if !radio && l.Standby > 0 {
		a.doc.Problem(path+".standby", "only a radio, with receive or transmit, has a standby")
	}
	if l.Station == "" && len(l.Charts) > 0 {
		want(a.doc.Problem(path+".charts", "whose charts these are is missing"), "station")
	}
	start := timetable.DateOf(a.depart)
	when := slices.Clone(timetable.List(l.When))
	switch {
	case radio:
		if l.Draws != nil {
			return nil, "", fmt.Errorf("a radio has receive and transmit in place of draws")
		}
		spec := loads.RadioSpec{
			Name: l.Name, Scheds: when, Length: l.For, Standby: l.Standby,
			AllDay: len(when) == 0, States: states(l.Only), Start: start, Supply: supply,
		}
		if l.Receive != nil {
			spec.Receive = *l.Receive
		}
		if t := l.Transmit; t != nil {
			spec.Transmit = loads.Transmit{Peak: t.Peak, Share: t.Share}
			if t.Average != nil {
				spec.Transmit.Average = *t.Average
			}
		}
		load, err := loads.NewRadio(spec)
		return load, kindRadio, err
	case l.Station != "":
		names := l.Charts
		if len(names) == 0 {
			names = []string{"all"}
		}
		charts, err := fax.Published().Choose(l.Station, names...)
		if err != nil {
			return nil, "", err
		}
		spec := loads.FaxSpec{Name: l.Name, Charts: charts, Margin: fax.Margin, Slots: when, Length: l.For, States: states(l.Only), Start: start, Supply: supply}
		if l.Draws == nil {
			return nil, "", fmt.Errorf("draws is missing")
		}
		spec.Draw = *l.Draws
		load, err := loads.NewFax(spec)
		return load, kindFax, err
	}
	if l.Draws == nil {
		p := a.doc.Problem(path, "what it draws is missing")
		want(p, "draws: a current like 0.5 A or a power like 8 W")
		return nil, "", nil
	}
	for i, w := range when {
		if w.Kind == timetable.Moment && l.For > 0 {
			longer, err := w.Lasting(l.For)
			if err != nil {
				return nil, "", err
			}
			when[i] = longer
		}
	}
	load, err := loads.New(loads.Spec{Name: l.Name, Draw: *l.Draws, When: when, Share: l.Share, States: states(l.Only), Start: start, Supply: supply})
	return load, "", err
}
