package sim_test

import (
	"time"

	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// steady is a weather that never changes.
type steady climate.Sample

func (s steady) At(time.Time, track.Position) climate.Sample { return climate.Sample(s) }
func (steady) Edge(time.Time) time.Time                      { return time.Time{} }

// maker is a source of constant power.
type maker struct {
	name  string
	power units.Watts
}

func (m maker) Name() string { return m.name }
func (m maker) Offer(*sim.Conditions) sim.Supply {
	return sim.Supply{Power: m.power, Lost: m.power / 20}
}

// user is a load that is always on.
type user struct {
	name   string
	demand sim.Demand
}

func (u user) Name() string                       { return u.name }
func (u user) Draw(*sim.Conditions) sim.Demand    { return u.demand }
func (user) Edge(t time.Time, zone int) time.Time { return time.Time{} }
