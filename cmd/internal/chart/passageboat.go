package chart

import (
	"fmt"
	"math"

	"ampwake/sim"
)

// speed makes the panel of speed through the water, with what the boat did
// when not under sail.
func (v *voyage) speed() Panel {
	mean := means(v.edges, v.at, func(i int) float64 { return held(float64(v.trace.Speed[i]), 0, 1000) })
	p := Panel{Title: "Speed through the water, kn", About: v.means, Share: 1.0 / 8, Max: nice(maxOf(mean))}
	p.Ticks = ticks(0, p.Max, pace(p.Max, 5))
	p.Lines = []Series{stepped(v.edges, mean, ink, 0.8)}
	p.Lines[0].Name = "speed"
	all := v.sum(mean) / ((v.to - v.from) / hour)
	p.Ends = []End{{At: all, Label: fmt.Sprintf("mean %.1f kn", all), Ink: ink}}
	p.Spells = v.states()
	return p
}

// latitude makes the panel of latitude.
func (v *voyage) latitude() Panel {
	lat := Series{Name: "latitude", X: v.at, Y: make([]float64, len(v.at)), Ink: ink, Width: 1}
	for i, x := range v.trace.Lat {
		lat.Y[i] = held(float64(x), -90, 90)
	}
	lo, hi := lat.Y[0], lat.Y[0]
	for _, y := range lat.Y {
		lo, hi = min(lo, y), max(hi, y)
	}
	pad := max(0.06*(hi-lo), 0.01)
	last := lat.Y[len(lat.Y)-1]
	p := Panel{Title: "Latitude", Share: 1.0 / 8, Min: lo - pad, Max: hi + pad, Lines: []Series{thin(lat, v.from, v.to, v.columns())}}
	p.Ticks = latitudes(p.Min, p.Max)
	p.Ends = []End{{At: last, Label: parallel(math.Round(last*60)/60, hi-lo < 2), Ink: ink}}
	return p
}

// states makes a row for each thing the boat did when not under sail.
func (v *voyage) states() []SpellRow {
	names := map[sim.State]string{sim.Motoring: "motoring", sim.HoveTo: "hove to", sim.Drifting: "drifting", sim.AtAnchor: "at anchor", sim.Alongside: "alongside"}
	var rows []SpellRow
	for s := sim.Motoring; s <= sim.Alongside; s++ {
		var row SpellRow
		total := 0.0
		for i := 0; i+1 < len(v.at); i++ {
			if v.trace.State[i] != s {
				continue
			}
			total += (v.at[i+1] - v.at[i]) / hour
			if n := len(row.Spans); n > 0 && row.Spans[n-1].To >= v.at[i] {
				row.Spans[n-1].To = v.at[i+1]
			} else {
				row.Spans = append(row.Spans, Span{v.at[i], v.at[i+1]})
			}
		}
		if len(row.Spans) > 0 {
			kind := Other
			if s == sim.Motoring {
				kind = Engine
			}
			row.Paint, _ = byKind(kind)
			row.Label = names[s] + " " + lasting(total)
			rows = append(rows, row)
		}
	}
	return rows
}

// latitudes returns ticks on round latitudes.
func latitudes(lo, hi float64) []Tick {
	var out []Tick
	for _, step := range []float64{1, 2, 5, 10, 15, 20, 30, 60, 120, 300, 600, 900, 1800} { // minutes of arc
		if (hi-lo)*60/step > 4 && step < 1800 {
			continue
		}
		for k := math.Ceil(lo * 60 / step); k*step <= hi*60; k++ {
			out = append(out, Tick{At: k * step / 60, Label: parallel(k*step/60, step < 60), Strong: k == 0})
		}
		break
	}
	return out
}
