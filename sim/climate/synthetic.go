package climate

import (
	"math"
	"time"

	"ampwake/sim/track"
	"ampwake/sim/units"
)

// Synthetic is a seeded weather with the means, the scatter and the persistence
// of a climate. Four hidden Gaussians (wind east and north, cloud, air) run with
// the clock and are carried along the track; the climate where the boat is turns
// them into weather:
//
//   - wind: mean vector plus sigma times the Gaussians, sigma from the steadiness
//     ([Rice 1945]), so that mean speed and steadiness are the climate's;
//   - cloud: beta distributed about the climate's mean ([Falls 1974]), and the
//     sun factor is that of the cloud of the moment;
//   - air: the climate's, with a scatter of 0.8 °C up to 25° of latitude and
//     1.8 °C from 40° on; the sea is the climate's.
//
// Cloud and wind are independent of each other, as hourly observations at a
// maritime island are (correlation 0.02).
//
// The weather is made anew at every whole hour, UTC, and holds for the hour; the
// climate is read on a grid of a quarter of a degree and at the middle of each
// quarter of a day. So what is told depends on the seed, the member, the hours since the
// first one asked about, the hour and the place alone: not on how often or at
// which instants it is asked, nor on other members or the machine. Holding for
// an hour changes the scatter of daily means by less than 0.1 %.
//
// Short runs do not show the climatology: 30-day means scatter by 0.8 to 1.1 m/s
// in wind and 3 to 9 % in the sun factor. Inland the climate of the nearest sea
// is used; check the route with [Table.At] beforehand.
type Synthetic struct {
	walker Walker
	state  gaussians

	started bool
	hour    int64 // of the state and of sample, since 1970
	quarter int64 // quarter of a day of the climate, since 1970
	square  square
	climate spread
	sample  Sample
	quality Quality
}

// NewSynthetic returns the weather of one member, from 0 on, of the set with the
// given seed. Member n is the same however many members there are.
func NewSynthetic(table Table, seed uint64, member int) *Synthetic {
	return &Synthetic{walker: table.Walk(), state: newGaussians(seed, member)}
}

// At returns the weather at a place and moment. It panics if t lies in an hour
// before the last one asked about.
func (s *Synthetic) At(t time.Time, place track.Position) Sample {
	hour, at := floorHour(t), squareOf(place)
	if hour == s.hour && at == s.square && s.started {
		return s.sample
	}
	fresh := !s.started
	if fresh {
		s.started, s.hour = true, hour
	}
	if hour < s.hour {
		panic("climate: time runs backwards")
	}
	for ; s.hour < hour; s.hour++ {
		s.state.step()
	}
	if quarter := floorDiv(hour, 6); fresh || at != s.square || quarter != s.quarter {
		s.square, s.quarter = at, quarter
		lat, lon := at.centre()
		s.climate.set(s.walker.blend(quarter*6*3600+3*3600, lat, lon), lat)
		s.quality |= s.walker.quality(lat)
	}
	s.sample = s.climate.weather(&s.state)
	return s.sample
}

// Edge returns the next whole hour, UTC: there the weather jumps.
func (s *Synthetic) Edge(t time.Time) time.Time {
	return time.Unix((floorHour(t)+1)*3600, 0).UTC()
}

// Quality returns all doubts about the climate met so far.
func (s *Synthetic) Quality() Quality { return s.quality }

// floorHour returns the number of whole hours since 1970.
func floorHour(t time.Time) int64 { return floorDiv(t.Unix(), 3600) }

// floorDiv returns the greatest integer at most a/b, b > 0.
func floorDiv(a, b int64) int64 {
	q := a / b
	if a < q*b {
		q--
	}
	return q
}

// square is a place on a grid of a quarter of a degree, 1/16 of a cell of the
// climate's: from one to the next the mean wind changes by less than 0.25 kn in 99
// of 100 places.
type square struct{ lat, lon int32 }

func squareOf(place track.Position) square {
	return square{
		int32(math.Floor(float64(4*place.Lat) + 0.5)),
		int32(math.Floor(float64(4*place.Lon) + 0.5)),
	}
}

func (s square) centre() (lat, lon float64) { return float64(s.lat) / 4, float64(s.lon) / 4 }

// spread is a climate with what is needed to scatter the weather about it.
type spread struct {
	east, north, sigma float64 // m/s
	wind               mixture
	cloud, nu          float64
	air, airSpread     float64 // °C
	sea                float64
}

// set takes over the averages at a latitude.
func (s *spread) set(m *means, lat float64) {
	s.wind = mix(lat)
	s.cloud, s.nu = m.cloud, concentration(lat)
	s.air, s.airSpread, s.sea = m.air, 0.8+ramp(lat, 25, 40), m.sea
	s.blow(m.speed, m.east, m.north)
}

// blow sets the wind from a mean speed and a mean vector. Where the vector is
// longer than 0.94 of the speed, which rounding of the table can do, it is
// shortened.
func (s *spread) blow(speed, east, north float64) {
	steadiness := math.Sqrt(float64(east*east)+float64(north*north)) / speed
	s.sigma = speed * sigmaOverMean(steadiness)
	s.east, s.north = east, north
	if steadiness > steadiest {
		s.east *= steadiest / steadiness
		s.north *= steadiest / steadiness
	}
}

// weather turns the Gaussians into weather.
func (s *spread) weather(g *gaussians) Sample {
	u := s.east + float64(s.sigma*s.wind.of(&g.east))
	v := s.north + float64(s.sigma*s.wind.of(&g.north))
	c := cloudAt(g.cloud.z, s.cloud, s.nu)
	return Sample{
		WindSpeed: units.Knots(knotsPerMS * math.Sqrt(float64(u*u)+float64(v*v))),
		WindFrom:  units.Degrees(direction(-u, -v)),
		Cloud:     units.Fraction(c),
		Through:   units.Fraction(throughAt(c)),
		Air:       units.Celsius(s.air + float64(s.airSpread*g.air.z)),
		Sea:       units.Celsius(s.sea),
	}
}
