package climate

import (
	"time"

	"ampwake/sim/track"
	"ampwake/sim/units"
)

// Mean is the climate's average weather: mean wind speed from the direction of
// the mean wind vector, mean cloud with the expectation of its sun factor (see
// [MeanThrough]), mean temperatures. It changes smoothly and has no scatter, so
// what depends on wind in a curved way comes out wrong with it: take
// [Synthetic] for that. Inland the climate of the nearest sea is used; check
// the route with [Table.At] beforehand.
type Mean struct {
	walker  Walker
	quality Quality
	skies   Skies
}

// NewMean returns the average weather of a climate.
func NewMean(table Table) *Mean { return &Mean{walker: table.Walk()} }

// At returns the average weather of a place and moment.
func (m *Mean) At(t time.Time, place track.Position) Sample {
	lat := float64(place.Lat)
	c := m.walker.blend(t.Unix(), lat, float64(place.Lon))
	m.quality |= m.walker.quality(lat)
	through := throughOf(c.cloud, lat, true)
	m.skies.deal(c.cloud, lat, through)
	return Sample{
		Skies:     &m.skies,
		WindSpeed: units.Knots(c.speed * knotsPerMS),
		WindFrom:  units.Degrees(direction(-c.east, -c.north)),
		Cloud:     units.Fraction(c.cloud),
		Through:   through,
		Air:       units.Celsius(c.air),
		Sea:       units.Celsius(c.sea),
	}
}

// Edge returns the zero time: nothing jumps.
func (*Mean) Edge(time.Time) time.Time { return time.Time{} }

// Quality returns all doubts about the climate met so far.
func (m *Mean) Quality() Quality { return m.quality }
