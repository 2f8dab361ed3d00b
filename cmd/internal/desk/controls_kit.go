package desk

import (
	"fmt"
	"strings"

	"ampwake/loads/timetable"
	"ampwake/scenarios"
)

func (b bench) kit() []group {
	f := b.s.File
	store := b.bank()
	store.Deck = "Stores"
	all := append([]group{store}, b.panels()...)
	var adds []add
	var taken []string
	for i := range f.Sources.Panels {
		taken = append(taken, f.Sources.Panels[i].Name)
	}
	name := fresh("panel", taken)
	fit := add{Label: "a solar panel", Sets: []string{"sources.panels=[{name: " + name + ", rated: 100 W}]"}}
	if n := len(f.Sources.Panels); n > 0 {
		fit = add{Label: "a solar panel", Insert: &insert{List: "sources.panels", After: n - 1, Item: "{name: " + name + ", rated: 100 W}"}}
	}
	adds = append(adds, fit)
	if f.Sources.Hydro != nil {
		all = append(all, b.hydro())
	} else {
		adds = append(adds, add{Label: "a water generator", Sets: []string{"sources.hydro={rotor: {diameter: 0.28 m}}"}})
	}
	if f.Sources.Engine != nil {
		all = append(all, b.engine())
	} else {
		adds = append(adds, add{Label: "the engine’s alternator", Sets: []string{"sources.engine={alternator: 60 A, on below: 50 %, off above: 80 %}"}})
	}
	if f.Sources.Wind != nil {
		all = append(all, b.turbine())
	} else if w := &f.Weather; w.Wind != nil || w.From == "climate" || w.Record != "" { // else there is no wind to turn it
		adds = append(adds, add{Label: "a wind turbine", Sets: []string{"sources.wind={diameter: 1.1 m}"}})
	}
	for i := range all[1:] {
		all[i+1].Deck = "Makes"
	}
	all = append(all, b.loads()...)
	taken = nil
	for i := range f.Loads {
		taken = append(taken, f.Loads[i].Name)
	}
	one := "{name: " + fresh("new load", taken) + ", draws: 1 A, when: 1 h a day}"
	load := add{Label: "a load", Sets: []string{"loads=[" + one + "]"}}
	if n := len(f.Loads); n > 0 {
		load = add{Label: "a load", Insert: &insert{List: "loads", After: n - 1, Item: one}}
	}
	return append(all, group{Deck: "More", Title: "Fit", Open: true, Controls: []control{}, Adds: append(adds, load)})
}

func (b bench) bank() group {
	k := &b.s.File.Bank
	return group{
		Title: "Bank", Open: true, Sum: fmt.Sprintf("%s Ah %s", tidy(k.Capacity), strings.ToUpper(string(k.Chemistry))),
		Controls: []control{
			b.slider("bank.capacity", "bank.capacity", "Size", float64(k.Capacity), 20, 1000, 5, "Ah"),
			b.choice("bank.chemistry", "bank.chemistry", "Chemistry", string(k.Chemistry), scenarios.Chemistry("").Choices()...),
			b.slider("bank.start", "bank.start", "Charge at departure", 100*float64(k.Start), 30, 100, 1, "%"),
			b.slider("bank.age", "bank.age", "Left by age", 100*float64(k.Age), 40, 100, 1, "%"),
			perhaps(b, "bank.floor", "bank.floor", "Floor", k.Floor, 50, 100, 0, 90, 1, "%", "no floor"),
		},
	}
}

func (b bench) panels() []group {
	list := b.s.File.Sources.Panels
	names := make([]string, len(list))
	for i := range list {
		names[i] = list[i].Name
	}
	var all []group
	for i := range list {
		p, at := &list[i], item("sources.panels", i, names)
		const key = "sources.panels[]."
		tilt := b.slider(at+".tilt", key+"tilt", "Tilt", float64(p.Tilt), 0, 90, 1, "°")
		if p.Facing.Up {
			tilt.Note = "looks up: choose where it faces first"
		}
		all = append(all, group{
			Title: p.Name, Sum: fmt.Sprintf("%s W panel", tidy(p.Rated)), Open: i == 0, Remove: []string{at + "="},
			Controls: []control{
				b.slider(at+".rated", key+"rated", "Rated", float64(p.Rated), 5, 400, 5, "W"),
				b.facing(at, p.Facing), tilt,
				b.slider(at+".shaded", key+"shaded", "Shaded", 100*float64(p.Shaded), 0, 80, 1, "%"),
			},
		})
	}
	return all
}

// facing offers the usual facings. One that looks up has no tilt: so the choice
// of up takes the tilt out.
func (b bench) facing(at string, now scenarios.Facing) control {
	path := at + ".facing"
	c := control{Path: path, Label: "Facing", Kind: "choice", Doc: about("sources.panels[].facing")}
	found := false
	for _, v := range []string{"up", "forward", "starboard", "aft", "port", "trimmed to the sun once a day", "trimmed to the sun twice a day", "trimmed to the sun 4 times a day"} {
		var x scenarios.Facing
		if err := x.UnmarshalText([]byte(v)); err != nil {
			panic("desk: " + err.Error())
		}
		sets := []string{path + "=" + v}
		if x.Up {
			sets = append(sets, at+".tilt=")
		}
		c.Options = append(c.Options, option{v, sets, x == now})
		found = found || x == now
	}
	if !found {
		c.Options = append([]option{{"as in the file", nil, true}}, c.Options...)
	}
	return c
}

func (b bench) hydro() group {
	h := b.s.File.Sources.Hydro
	const at = "sources.hydro"
	g := group{Title: h.Name, Sum: "water generator", Open: true, Remove: []string{at + "="}}
	rotor := func(d string) []string {
		return []string{at + ".curve=", at + ".drag=", at + ".rotor={diameter: " + d + "}"}
	}
	kind := control{Path: at + ".rotor", Label: "Kind", Kind: "choice", Doc: about(at + ".rotor")}
	if h.Rotor == nil {
		kind.Options = append(kind.Options, option{"by its curve in the file", nil, true})
	} else {
		kind.Options = append(kind.Options, option{"rotor of " + tidy(h.Rotor.Diameter) + " m", nil, true})
	}
	for _, d := range []string{"0.20 m", "0.28 m", "0.35 m"} {
		kind.Options = append(kind.Options, option{"a rotor of " + d, rotor(d), false})
	}
	g.Controls = append(g.Controls, kind)
	if h.Rotor != nil {
		const r = at + ".rotor."
		g.Controls = append(g.Controls,
			b.slider(r+"diameter", r+"diameter", "Rotor", float64(h.Rotor.Diameter), 0.1, 0.6, 0.01, "m"),
			b.slider(r+"efficiency", r+"efficiency", "Shaft to bus", 100*float64(h.Rotor.Efficiency), 30, 95, 1, "%"))
	}
	g.Controls = append(g.Controls,
		b.slider(at+".limit", at+".limit", "Most it gives", float64(h.Limit), 1, 60, 0.5, "A"),
		b.slider(at+".lift below", at+".lift below", "Lifted below", float64(h.LiftBelow), 0, 6, 0.1, "kn"),
		perhaps(b, at+".lift above", at+".lift above", "Lifted above", h.LiftAbove, 9, 1, 4, 15, 0.5, "kn", "never for speed"),
		perhaps(b, at+".down below", at+".down below", "Down under a charge of", h.Down, 70, 100, 10, 95, 1, "%", "always down"))
	return g
}

func (b bench) engine() group {
	e := b.s.File.Sources.Engine
	const at = "sources.engine"
	return group{Title: e.Name, Sum: fmt.Sprintf("%s A alternator", tidy(e.Rated)), Remove: []string{at + "="}, Controls: []control{
		b.slider(at+".alternator", at+".alternator", "Alternator", float64(e.Rated), 10, 200, 5, "A"),
		perhaps(b, at+".on below", at+".on below", "Started under a charge of", e.Below, 50, 100, 0, 90, 1, "%", "not for the charge"),
		perhaps(b, at+".off above", at+".off above", "Stopped at", e.Until, 80, 100, 10, 100, 1, "%", "by itself"),
		b.slider(at+".fuel", at+".fuel", "Fuel at departure", float64(e.Fuel), 0, 400, 5, "L"),
	}}
}

func (b bench) turbine() group {
	t := b.s.File.Sources.Wind
	const at = "sources.wind"
	return group{Title: t.Name, Sum: "wind turbine", Remove: []string{at + "="}, Controls: []control{
		b.slider(at+".diameter", at+".diameter", "Rotor", float64(t.Diameter), 0.5, 2.5, 0.05, "m"),
		b.slider(at+".limit", at+".limit", "Most it gives", float64(t.Rated), 50, 1000, 10, "W"),
	}}
}

func (b bench) loads() []group {
	list := b.s.File.Loads
	names := make([]string, len(list))
	for i := range list {
		names[i] = list[i].Name
	}
	var all []group
	for i := range list {
		all = append(all, b.load(&list[i], item("loads", i, names)))
	}
	return all
}

func (b bench) load(l *scenarios.Load, at string) group {
	const key = "loads[]."
	g := group{Deck: "Uses", Title: l.Name, Remove: []string{at + "="}}
	if d := l.Draws; d != nil {
		g.Sum = d.String()
		if d.Current > 0 {
			g.Controls = append(g.Controls, b.slider(at+".draws", key+"draws", "Draws", float64(d.Current), 0, 10, 0.05, "A"))
		} else {
			g.Controls = append(g.Controls, b.slider(at+".draws", key+"draws", "Draws", float64(d.Power), 0, 100, 0.5, "W"))
		}
	}
	if l.Receive != nil {
		g.Sum = "radio"
		g.Controls = append(g.Controls, b.slider(at+".receive", key+"receive", "Listening", float64(*l.Receive), 0, 6, 0.1, "A"))
	}
	if t := l.Transmit; t != nil {
		g.Controls = append(g.Controls,
			b.slider(at+".transmit.peak", key+"transmit.peak", "Voice peaks", float64(t.Peak), 1, 60, 0.5, "A"),
			b.slider(at+".transmit.share", key+"transmit.share", "Keyed", 100*float64(t.Share), 0, 100, 1, "%"))
	}
	if l.Station == "" {
		g.Controls = append(g.Controls, b.text(at+".when", key+"when", "When", whens(l.When)))
	} else {
		g.Sum = strings.TrimSpace(g.Sum + " · " + l.Station)
	}
	if l.For > 0 {
		g.Controls = append(g.Controls, b.slider(at+".for", key+"for", "Each lasts", 60*float64(l.For), 1, 120, 1, "min"))
	}
	if l.Standby > 0 || l.Receive != nil {
		g.Controls = append(g.Controls, b.slider(at+".standby", key+"standby", "Listens before", 60*float64(l.Standby), 0, 120, 5, "min"))
	}
	if l.Above != nil {
		g.Controls = append(g.Controls, perhaps(b, at+".works above", key+"works above", "Works above", l.Above, 11.6, 1, 9, 13.5, 0.1, "V", "at any voltage"))
	}
	if l.Draws != nil {
		g.Controls = append(g.Controls, b.slider(at+".share", key+"share", "Of that time", 100*float64(l.Share), 1, 100, 1, "%"))
	}
	g.Controls = append(g.Controls,
		perhaps(b, at+".off below", key+"off below", "Done without under", l.OffBelow, 50, 100, 5, 95, 1, "%", "never"),
		b.yes(at+".goes first", key+"goes first", "First to be switched off", l.Spare))
	return g
}

// whens prints when a load is on as a file would have it: the only one without
// brackets.
func whens(list []timetable.When) string {
	if len(list) == 0 {
		return ""
	}
	if len(list) == 1 {
		return list[0].String()
	}
	parts := make([]string, len(list))
	for i, w := range list {
		parts[i] = w.String()
		if strings.ContainsAny(parts[i], ",'\"[]{}#") {
			parts[i] = `"` + strings.ReplaceAll(parts[i], `"`, `\"`) + `"`
		}
	}
	return "[" + strings.Join(parts, ", ") + "]"
}
