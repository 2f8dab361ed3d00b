package sim_test

import (
	"fmt"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/loads"
	"ampwake/loads/fax"
	"ampwake/loads/timetable"
	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/hull"
	"ampwake/sim/units"
	"ampwake/sources"
)

func (d dice) sources(v *sim.Voyage) {
	add := func(s sim.Source, rule sim.Rule, err error) {
		require.NoError(d, err)
		v.Sources = append(v.Sources, sim.Fitted{Source: s, Rule: rule})
	}
	for i := range d.whole("panels", 0, 3) {
		p := sources.DefaultPanel()
		p.Name, p.Rated = fmt.Sprint("panel ", i), units.Watts(d.float("rated, W", 5, 400))
		p.Tilt, p.Facing = units.Degrees(d.float("tilt", 0, 90)), units.Degrees(d.float("facing", 0, 360))
		p.Shade, p.Trims = units.Fraction(d.float("shade", 0, 0.9)), d.whole("trims", 0, 2)
		if p.Trims > 0 {
			p.Name = fmt.Sprint("trimmed panel ", i)
		}
		if d.yes("switching") {
			p.Controller = sources.ControllerSwitching
		}
		s, err := sources.NewPanel(p)
		add(s, nil, err)
	}
	switch d.whole("hydro", 0, 2) {
	case 1:
		s, err := sources.NewRotor(sources.DefaultRotor())
		add(s, d.lifting(v), err)
	case 2:
		s, err := sources.NewCurve(sources.Curve{
			Name: "hydro", Limit: 280, Rotor: hull.Rotor{Diameter: 0.3, CT: 0.8},
			Points: []sources.CurvePoint{{Speed: 3, Power: 11}, {Speed: 5, Power: 50}, {Speed: 7, Power: 135}},
		})
		add(s, d.lifting(v), err)
	}
	if d.yes("engine") {
		a := sources.DefaultAlternator()
		a.Rated = units.Amps(d.float("alternator, A", 10, 90))
		g := sources.Charging{Below: 0.4, Above: 0.7, Least: 0.5, Quiet: []sources.Window{{From: 22 * 3600, To: 6 * 3600}}}
		if d.yes("daily hours") {
			g = sources.Charging{Daily: []sources.Window{{From: 36000, To: 36000 + 60*d.whole("run, min", 1, 120)}}}
		}
		rule, err := sources.NewChargeRule(g)
		require.NoError(d, err)
		s, err := sources.NewAlternator(a)
		add(s, rule, err)
	}
	if d.yes("wind turbine") {
		s, err := sources.NewWindTurbine(sources.DefaultWindTurbine())
		add(s, nil, err)
	}
	if d.yes("shore power") {
		s, err := sources.NewShoreCharger("shore", units.Watts(d.float("shore, W", 10, 600)))
		add(s, sources.OnlyIn(sim.States(0).With(sim.Alongside)), err)
	}
}

// lifting draws the rule of a generator, and gives the boat a resistance.
func (d dice) lifting(v *sim.Voyage) sim.Rule {
	if d.yes("drag counts") {
		r, err := hull.NewResistance([]hull.Point{{Speed: 3, Force: 114}, {Speed: 5, Force: 410}, {Speed: 7, Force: 1580}})
		require.NoError(d, err)
		v.Hull = r
	}
	l := sources.DefaultLifting()
	l.Gap = 0.3
	rule, err := sources.NewLiftRule(l)
	require.NoError(d, err)
	return rule
}

func (d dice) loads(v *sim.Voyage) {
	add := func(l sim.Load, err error) {
		require.NoError(d, err)
		v.Loads = append(v.Loads, sim.Fixed{Load: l, Spare: d.yes("spare")})
	}
	start := timetable.DateOf(v.Depart)
	for i := range d.whole("plain loads", 0, 4) {
		s := loads.Spec{Name: fmt.Sprint("load ", i), Start: start}
		if d.yes("by current") {
			s.Draw.Current = units.Amps(d.float("draw, A", 0, 6))
		} else {
			s.Draw.Power = units.Watts(d.float("draw, W", 0, 60))
		}
		if d.yes("needs a voltage") {
			s.Supply = loads.Supply{Least: units.Volts(d.float("works above, V", 10.5, 13)), Cable: units.Ohms(d.float("cable, Ω", 0, 0.05))}
		}
		when := rapid.SampledFrom([]string{
			"always", "dusk to dawn", "sun below -6°", "4 h a day", "19:00-22:30 ship's time", "23:40-00:20 UTC",
			"09:00-08:30 ship's time", "Mon,Thu 12:00-13:00 UTC", "period",
		}).Draw(d.T, "when")
		if when == "period" {
			s.Share, s.Period = 0.4, 0.5
		} else {
			w, err := timetable.ParseList(when)
			require.NoError(d, err)
			s.When = w
		}
		if d.yes("under way only") {
			s.States = sim.States(0).With(sim.UnderSail).With(sim.Motoring)
		}
		add(loads.New(s))
	}
	if d.yes("radio") {
		scheds, err := timetable.ParseList("08:00 UTC", "23:50 ship's time")
		require.NoError(d, err)
		add(loads.NewRadio(loads.RadioSpec{
			Name: "radio", Receive: 2.5, Transmit: loads.Transmit{Peak: 28, Share: 0.2}, Scheds: scheds, Length: 0.5,
			Standby: 0.25, AllDay: d.yes("all day"), Supply: loads.Supply{Least: 11.6, Cable: units.Ohms(d.float("radio cable, Ω", 0, 0.04))},
		}))
	}
	if d.yes("fax") {
		charts, err := fax.Published().Choose("Boston", "all")
		require.NoError(d, err)
		add(loads.NewFax(loads.FaxSpec{Name: "fax", Draw: loads.Draw{Power: 8}, Charts: charts, Margin: fax.Margin}))
	}
	for i := range v.Loads {
		if d.yes("done without") {
			rule, err := loads.NewShedding(0.3, 0.5)
			require.NoError(d, err)
			v.Loads[i].Rule = rule
		}
		if d.yes("kept") {
			v.Goals.Keep = append(v.Goals.Keep, i)
		}
	}
}

// faults draws up to two things that go wrong.
func (d dice) faults(v *sim.Voyage) {
	for range d.whole("faults", 0, 2) {
		f := sim.Fault{What: "a fault", Why: "drawn", Source: -1, Load: -1}
		switch d.whole("of what", 0, 2) {
		case 0:
			if len(v.Sources) == 0 {
				continue
			}
			f.Source, f.Left = d.whole("source", 0, len(v.Sources)-1), units.Fraction(d.float("left", 0, 0.8))
		case 1:
			if len(v.Loads) == 0 {
				continue
			}
			f.Load, f.Draws = d.whole("load", 0, len(v.Loads)-1), units.Amps(d.float("left on at, A", 0.1, 5))
		default:
			s := v.Bank.Setup()
			f.Kept = 0.5
			s.Rated *= 0.5
			var err error
			f.Bank, err = bank.New(s)
			require.NoError(d, err)
		}
		switch occasion := d.whole("occasion", 0, 3); {
		case occasion == 0:
			f.At = v.Depart.Add(time.Duration(d.float("at, h", -1, 100) * float64(time.Hour)))
		case occasion == 1:
			f.Mark = units.NauticalMiles(d.float("at, nm", 0, 600))
		case occasion == 2 || f.Bank != nil:
			f.In, f.From = sim.States(0).With(sim.AtAnchor).With(sim.Motoring), units.NauticalMiles(d.float("from, nm", 0, 100))
		default:
			f.Every = 30
		}
		if f.Bank == nil && d.yes("mended") {
			f.Mended = units.Hours(d.float("mended after, h", 0.1, 20))
		}
		v.Faults = append(v.Faults, f)
	}
}
