package outlook

import (
	"math"

	"ampwake/sim/climate"
	"ampwake/sim/units"
)

// The winds that count as a calm and as a gale.
const (
	CalmUnder units.Knots = 4  // Beaufort 0 and 1, own choice: few boats sail in less
	GaleOver  units.Knots = 34 // from Beaufort 8 on
)

// Means is what the climate holds over a span of time: means over it, and sums by
// the day.
type Means struct {
	Wind       units.Knots    // mean speed
	From       units.Degrees  // direction that the mean wind vector comes from, true, [0°, 360°)
	Steadiness units.Fraction // length of the mean wind vector over the mean speed
	// Shares of the time with less than CalmUnder and more than GaleOver, and the
	// wind that is not reached in 1 hour of 10, and exceeded in 1 of 10; see
	// climate.Cell.Under.
	Calm, Gale  units.Fraction
	Light, Hard units.Knots

	Cloud    units.Fraction
	Air, Sea units.Celsius

	Night units.Hours // from sunset to sunrise, a day; 0 in polar day
	// On a level square metre, a day: under a clear sky, and as is to be expected
	// with the cloud.
	Clear, Expected units.WattHours
	Array           units.AmpHours // offered by the panels, a day

	Quality climate.Quality // all doubts about the climate in the span
}

// sums is what means are made from. Sums of two spans add up to those of both.
type sums struct {
	hours                   float64
	speed, east, north      float64
	calm, gale, light, hard float64
	cloud, air, sea         float64
	night                   float64 // h
	clear, expected         float64 // Wh/m²
	array, drawn            float64 // Ah
	quality                 climate.Quality
}

// weather adds the climate of a number of hours.
func (s *sums) weather(c *climate.Cell, hours float64) {
	s.hours += hours
	s.speed += float64(c.WindSpeed) * hours
	s.east += float64(c.East) * hours
	s.north += float64(c.North) * hours
	s.cloud += float64(c.Cloud) * hours
	s.air += float64(c.Air) * hours
	s.sea += float64(c.Sea) * hours
	s.quality |= c.Quality
}

// scatter adds the scatter of the wind, once the climate of the span is in. The
// span must be so short that the climate hardly changes in it.
func (s *sums) scatter() {
	c := climate.Cell{
		WindSpeed: units.Knots(s.speed / s.hours),
		East:      units.Knots(s.east / s.hours), North: units.Knots(s.north / s.hours),
	}
	s.calm = float64(c.Under(CalmUnder)) * s.hours
	s.gale = float64(1-c.Under(GaleOver)) * s.hours
	s.light = float64(c.Speed(0.1)) * s.hours
	s.hard = float64(c.Speed(0.9)) * s.hours
}

// add adds another span.
func (s *sums) add(o *sums) {
	s.hours += o.hours
	s.speed, s.east, s.north = s.speed+o.speed, s.east+o.east, s.north+o.north
	s.calm, s.gale, s.light, s.hard = s.calm+o.calm, s.gale+o.gale, s.light+o.light, s.hard+o.hard
	s.cloud, s.air, s.sea = s.cloud+o.cloud, s.air+o.air, s.sea+o.sea
	s.night += o.night
	s.clear, s.expected = s.clear+o.clear, s.expected+o.expected
	s.array, s.drawn = s.array+o.array, s.drawn+o.drawn
	s.quality |= o.quality
}

// means divides by the hours, and what is by the day by the days; a span of less
// than a day counts as one.
func (s *sums) means() Means {
	h, days := s.hours, max(1, s.hours/24)
	from := math.Mod(math.Atan2(-s.east, -s.north)*180/math.Pi+360, 360)
	return Means{
		Wind: units.Knots(s.speed / h), From: units.Degrees(from),
		Steadiness: units.Fraction(math.Hypot(s.east, s.north) / s.speed),
		Calm:       units.Fraction(s.calm / h), Gale: units.Fraction(s.gale / h),
		Light: units.Knots(s.light / h), Hard: units.Knots(s.hard / h),
		Cloud: units.Fraction(s.cloud / h), Air: units.Celsius(s.air / h), Sea: units.Celsius(s.sea / h),
		Night: units.Hours(s.night / days),
		Clear: units.WattHours(s.clear / days), Expected: units.WattHours(s.expected / days),
		Array:   units.AmpHours(s.array / days),
		Quality: s.quality,
	}
}
