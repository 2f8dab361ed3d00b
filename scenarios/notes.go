package scenarios

import (
	"fmt"
	"strings"

	"ampwake/sim"
)

// notes tells what the calculation assumed, for the reader of a result.
func (a *assembly) notes() []sim.Note {
	var ns []sim.Note
	add := func(about, format string, args ...any) {
		ns = append(ns, sim.Note{About: about, Text: fmt.Sprintf(format, args...)})
	}
	b := &a.file.Bank
	add("bank", "%.0f Ah of %s at 12 V, %.0f %% of its capacity left by age, at sea temperature; usable charge falls 0.6 %% with each kelvin below 25 °C for lead-acid",
		float64(b.Capacity), strings.ToUpper(string(b.Chemistry)), 100*b.Age)
	w := &a.file.Weather
	if w.From == "climate" {
		add("weather", "the ocean climate's monthly means where the file says nothing: ship observations of about 1850 to 1990, good to about 10 %% of the light of a month")
	}
	if w.Record != "" {
		add("weather", "the log %s", w.Record)
	}
	switch c := &w.Cloud; {
	case w.From == "climate" || w.Record != "":
	case c.Amount != nil:
		add("cloud", "%.1f oktas all the way", 8*float64(*c.Amount))
	case len(c.Values) > 0:
		add("cloud", "blocks of %v, as written in the file", c.Every)
	case len(c.Table) > 0:
		add("cloud", "by date, as written in the file")
	default:
		add("cloud", "half the sky covered (nothing is said in the file)")
	}
	add("light", "clear sky after Haurwitz; cloud lets 1 − 0.70 C^3.4 of it through (the mean of that where the cloud is a mean)")
	add("pace", "speed through the water as planned; no current, no leeway")
	for _, p := range a.file.Voyage.Pace {
		if p.Speed.ByWind {
			if a.file.Boat == nil || a.file.Boat.Polar == nil {
				add("polar", "speed by the wind is that of an illustrative heavy ten-metre yacht, not of your boat: give boat.polar")
			}
			break
		}
	}
	if h := a.file.Sources.Hydro; h != nil {
		switch {
		case a.out.Hull == nil:
			add("drag", "the generator is taken not to slow the boat: give boat.resistance to count it")
		case h.Rotor == nil && h.Drag == nil:
			add("drag", "the generator is taken not to slow the boat: give sources.hydro.drag to count it")
		default:
			add("drag", "the generator slows the boat (sail force constant, resistance × %.1f); its output follows the slowed speed", a.file.Boat.Factor)
		}
	}
	return append(ns, a.found...)
}
