package breakeven

import (
	"math"
	"time"

	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// around returns the ocean climate's mean around the globe at a latitude, over
// the places that have the sea near, 5° apart: the spacing of its table.
func around(lat units.Degrees, date time.Time) climate.Sample {
	walk := climate.Ocean().Walk()
	var speed, east, north, cloud, air, sea, n float64
	for lon := -180; lon < 180; lon += 5 {
		c, err := walk.At(date, track.Position{Lat: lat, Lon: units.Degrees(lon)})
		if err != nil { // inland
			continue
		}
		n++
		speed += float64(c.WindSpeed)
		east += float64(c.East)
		north += float64(c.North)
		cloud += float64(c.Cloud)
		air += float64(c.Air)
		sea += float64(c.Sea)
	}
	if n == 0 {
		panic("breakeven: a latitude without sea")
	}
	from := math.Atan2(-east, -north) * 180 / math.Pi
	if from < 0 {
		from += 360
	}
	return climate.Sample{
		WindSpeed: units.Knots(speed / n), WindFrom: units.Degrees(from), Cloud: units.Fraction(cloud / n),
		Air: units.Celsius(air / n), Sea: units.Celsius(sea / n),
	}
}
