package desk

import (
	"fmt"
	"slices"
	"strings"

	"ampwake/scenarios"
)

func (b bench) leg() []group {
	f := b.s.File
	all := []group{{Title: "Departure", Open: true, Controls: []control{{
		Path: "voyage.depart", Label: "Lines let go", Kind: "moment", Doc: about("voyage.depart"), Text: f.Voyage.Depart.String(),
	}}}}
	all = append(all, b.pace())
	all = append(all, b.weather())
	if f.Boat != nil {
		all = append(all, group{Title: "Boat", Controls: []control{
			b.slider("boat.passage factor", "boat.passage factor", "Of the polar’s speed", 100*float64(f.Boat.Passage), 50, 110, 1, "%"),
			b.slider("boat.roughness", "boat.roughness", "Resistance in waves", f.Boat.Factor, 1, 3, 0.05, "×"),
		}})
	}
	return append(all, b.goals())
}

func (b bench) pace() group {
	g := group{Title: "Pace", Open: true, Sum: "through the water"}
	list := b.s.File.Voyage.Pace
	for i := range list {
		p := &list[i]
		at := fmt.Sprintf("voyage.pace[%d]", i)
		const key = "voyage.pace[]."
		name := p.Note
		switch {
		case name != "":
		case p.Until != "":
			name = "to " + string(p.Until)
		case p.For > 0:
			name = "for " + p.For.String()
		case i == len(list)-1 && i > 0:
			name = "to the end"
		default:
			name = "all the way"
		}
		c := b.slider(at+".speed", key+"speed", name, float64(p.Speed.Knots), 0, 10, 0.1, "kn")
		if p.Speed.ByWind {
			c.Number, c.Note = 5, "by wind now; a speed takes its place"
			c.Absent = true
		}
		g.Controls = append(g.Controls, c)
		if p.Speed.ByWind {
			g.Controls = append(g.Controls,
				perhaps(b, at+".heave to above", key+"heave to above", "heaves to above", p.HeaveTo, 38, 1, 20, 70, 1, "kn", "never"),
				perhaps(b, at+".motor below", key+"motor below", "motors below", p.MotorBelow, 2, 1, 0, 6, 0.1, "kn", "never"))
		}
	}
	return g
}

func (b bench) weather() group {
	w := &b.s.File.Weather
	g := group{Title: "Weather", Open: true}
	from := b.choice("weather.from", "weather.from", "Where it is from", string(w.From))
	from.Options = nil
	for _, v := range scenarios.WeatherFrom("").Choices() {
		label := map[string]string{"file": "this file alone", "climate": "the ocean climate, where the file is silent"}[v]
		if label == "" {
			label = v
		}
		from.Options = append(from.Options, option{label, []string{"weather.from=" + v}, v == string(w.From)})
	}
	g.Controls = append(g.Controls, from)
	if w.Record != "" {
		g.Sum = "log " + w.Record
	}
	oktas, note, absent := 4.0, "", false
	switch c := &w.Cloud; {
	case c.Amount != nil:
		oktas = 8 * float64(*c.Amount)
	case len(c.Table) > 0:
		note = fmt.Sprintf("a table of %d dates now; one value takes its place", len(c.Table))
	case len(c.Values) > 0:
		note = fmt.Sprintf("%d blocks now; one value takes their place", len(c.Values))
	case w.From == "climate":
		absent = true
	}
	c := b.slider("weather.cloud", "weather.cloud", "Cloud", oktas, 0, 8, 0.5, "oktas")
	c.Note, c.Absent = note, c.Absent || note != ""
	if absent || w.Cloud.Amount != nil && w.From == "climate" {
		c.None = "of the climate"
	}
	g.Controls = append(g.Controls, c)
	return g
}

func (b bench) goals() group {
	f := b.s.File
	g := group{Title: "Goals", Open: true, Controls: []control{
		perhaps(b, "goals.stay above", "goals.stay above", "Charge stays above", f.Goals.Above, 50, 100, 0, 90, 1, "%", "no such goal"),
	}}
	list := func(names []string) string {
		quoted := make([]string, len(names))
		for i, n := range names {
			quoted[i] = `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(n) + `"`
		}
		return "goals.keep=[" + strings.Join(quoted, ", ") + "]"
	}
	for i := range f.Loads {
		name := f.Loads[i].Name
		same := func(n string) bool { return strings.EqualFold(n, name) }
		kept := slices.ContainsFunc(f.Goals.Keep, same)
		with := slices.Clone(f.Goals.Keep)
		if !kept {
			with = append(with, name)
		}
		without := slices.DeleteFunc(slices.Clone(f.Goals.Keep), same)
		off := "goals.keep="
		if len(without) > 0 {
			off = list(without)
		}
		g.Controls = append(g.Controls, control{
			Path: "goals.keep." + name, Label: name + " misses nothing", Kind: "switch", Doc: about("goals.keep"), On: kept,
			Sets: []string{off, list(with)},
		})
	}
	return g
}
