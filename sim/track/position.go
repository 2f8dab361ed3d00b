package track

import (
	"fmt"
	"math"

	"ampwake/sim/units"
)

// Position is a place on the sphere: latitude in [-85°, 85°] north positive,
// longitude in (-180°, 180°] east positive.
//
// ParsePosition reads latitudes up to the poles; legs and routes refuse those
// beyond 85°.
type Position struct{ Lat, Lon units.Degrees }

// highest is the latitude beyond which legs and routes are refused.
const highest = 85

// String returns the position in degrees and minutes to a tenth, as in a
// logbook: 16°53.0'N 025°00.0'W. It returns "no position" if a coordinate is
// no number.
func (p Position) String() string {
	if !finite(float64(p.Lat)) || !finite(float64(p.Lon)) {
		return "no position"
	}
	lat, lon := tenths(p.Lat), tenths(p.Lon)
	return fmt.Sprintf("%02d°%02d.%d'%s %03d°%02d.%d'%s",
		lat/600, lat/10%60, lat%10, hemisphere(p.Lat < 0 && lat > 0, "S", "N"),
		lon/600, lon/10%60, lon%10, hemisphere(p.Lon < 0 && lon > 0, "W", "E"))
}

// tenths returns the size of an angle in whole tenths of a minute.
func tenths(x units.Degrees) int64 { return int64(math.Round(math.Abs(float64(x)) * 600)) }

func hemisphere(negative bool, minus, plus string) string {
	if negative {
		return minus
	}
	return plus
}

// check returns what keeps p from being an end of a leg, and p with its
// longitude in (-180°, 180°].
func (p Position) check() (Position, error) {
	switch lat, lon := float64(p.Lat), float64(p.Lon); {
	case !finite(lat) || !finite(lon):
		return p, fmt.Errorf("position is no number: want a latitude and a longitude in degrees")
	case math.Abs(lat) > 90 || math.Abs(lon) > 180:
		return p, fmt.Errorf("position %v %v does not exist: want a latitude within 90° and a longitude within 180°", p.Lat, p.Lon)
	case math.Abs(lat) > highest:
		return p, fmt.Errorf("latitude of %v is beyond %d°: no leg starts or ends there", p, highest)
	}
	p.Lon = fold(p.Lon)
	return p, nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// fold brings a longitude, or a difference of two, into (-180°, 180°].
func fold(lon units.Degrees) units.Degrees {
	x := math.Remainder(float64(lon), 360)
	if x <= -180 {
		x += 360
	}
	return units.Degrees(x)
}

const (
	radian = math.Pi / 180 // of a degree
	degree = 180 / math.Pi // of a radian
)

// longitude turns radians in [-2π, 2π] into degrees in (-180°, 180°].
func longitude(x float64) units.Degrees {
	x *= degree
	if x > 180 {
		x -= 360
	} else if x <= -180 {
		x += 360
	}
	return units.Degrees(x)
}

// compass turns an angle in radians in [-π, π] into a course in [0°, 360°).
func compass(x float64) units.Degrees {
	x *= degree
	if x < 0 {
		x += 360
		if x >= 360 { // a hair west of north
			x = 0
		}
	}
	return units.Degrees(x)
}
