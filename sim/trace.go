package sim

import (
	"time"

	"ampwake/sim/bank"
	"ampwake/sim/units"
)

func newTrace(sources, loads int) *Trace {
	return &Trace{Sources: make([][]units.Watts, sources), Loads: make([][]units.Watts, loads)}
}

// add appends the step that begins now.
func (t *Trace) add(p *passage, flow *bank.Flow, spill float64) {
	c := &p.c
	t.Time = append(t.Time, time.Unix(0, p.now).UTC())
	place := p.here()
	t.Lat = append(t.Lat, place.Lat)
	t.Lon = append(t.Lon, place.Lon)
	t.Zone = append(t.Zone, int8(p.zone))
	t.Speed = append(t.Speed, c.Speed)
	t.Plan = append(t.Plan, c.Plan)
	t.Heading = append(t.Heading, c.Heading)
	t.Heel = append(t.Heel, c.Heel)
	t.State = append(t.State, c.State)
	t.Cloud = append(t.Cloud, c.Weather.Cloud)
	t.Wind = append(t.Wind, c.Weather.WindSpeed)
	t.Air = append(t.Air, c.Weather.Air)
	t.Sea = append(t.Sea, c.Weather.Sea)
	t.Sun = append(t.Sun, c.Sun.Elevation)
	t.Global = append(t.Global, c.Light.Global)
	t.Charge = append(t.Charge, c.Charge)
	t.Bus = append(t.Bus, flow.Volts)
	t.Battery = append(t.Battery, flow.Current)
	t.Spilled = append(t.Spilled, units.Watts(spill))
	for i := range t.Sources {
		t.Sources[i] = append(t.Sources[i], units.Watts(p.sources[i].power))
	}
	for i := range t.Loads {
		l := &p.loads[i]
		t.Loads[i] = append(t.Loads[i], units.Watts(l.w+l.a*float64(flow.Volts)))
	}
}

// close appends the state at the end of the voyage.
func (t *Trace) close(p *passage) {
	for i := range p.sources {
		p.sources[i].power = 0
	}
	for i := range p.loads {
		p.loads[i].w, p.loads[i].a = 0, 0
	}
	p.c.Speed, p.c.Plan, p.c.Light.Global = 0, 0, 0
	t.add(p, &bank.Flow{Volts: p.c.Bus}, 0)
}
