package scenarios

import (
	"ampwake/sim"
	"ampwake/sim/units"
	"ampwake/sources"
)

// UsualEngine returns the alternator of a small diesel, for an example where a
// scenario has none: 60 A on the plate, of which 60 % are left when warm, and the
// fuel of sources.DefaultAlternator. It has no rule. Common practice, no source.
func UsualEngine() sim.Fitted {
	a := sources.DefaultAlternator()
	a.Name, a.Rated, a.Hot = "60 A alternator of a small diesel", usualAlternator, 0.6
	src, err := sources.NewAlternator(a)
	if err != nil {
		panic("scenarios: " + err.Error()) // the figures above are in range
	}
	return sim.Fitted{Source: src}
}

const usualAlternator units.Amps = 60
