package sky

import (
	"math"

	"ampwake/sim/units"
)

const (
	rad = math.Pi / 180 // one degree, in radians
	deg = 180 / math.Pi // one radian, in degrees
)

// Altitudes of the centre of the sun, true (without refraction), at which
// something begins or ends. Source: definitions of the almanac offices.
const (
	Limb              units.Degrees = -0.8333 // sunrise, sunset: refraction 34', semidiameter 16'
	CivilDusk         units.Degrees = -6
	NauticalDusk      units.Degrees = -12
	AstronomicalNight units.Degrees = -18
)

// Sun is the sun as seen from a place at a moment. The direction cosines point
// at the refracted (apparent) disc, so that the plane of a panel needs no more
// trigonometry than a dot product.
type Sun struct {
	North, East, Up float64       // unit vector towards the apparent sun
	Elevation       units.Degrees // true elevation of the centre, no refraction
	Apparent        units.Degrees // elevation with refraction
	Hour            units.Degrees // local hour angle, west positive, (-180°, 180°]
	Declination     units.Degrees // north positive
	Noon            units.Degrees // true elevation at this latitude's noon today
	Distance        float64       // from the earth, astronomical units
}

// Azimuth returns the direction of the sun in [0°, 360°). It is ill-conditioned
// near the zenith and 0° exactly there.
func (s *Sun) Azimuth() units.Degrees {
	return compass(s.East, s.North)
}

// Zenith returns the apparent zenith angle, [0°, 180°].
func (s *Sun) Zenith() units.Degrees { return 90 - s.Apparent }

// SunTowards returns a sun that stands in the given direction, for recorded or
// made-up positions: elevation is the apparent one and taken for the true one
// too, distance is in astronomical units. Hour, Declination and Noon stay 0.
func SunTowards(azimuth, elevation units.Degrees, distance float64) Sun {
	sinA, cosA := math.Sincos(float64(azimuth) * rad)
	sinE, cosE := math.Sincos(float64(elevation) * rad)
	return Sun{
		North: cosE * cosA, East: cosE * sinA, Up: sinE,
		Elevation: elevation, Apparent: elevation, Distance: distance,
	}
}

// compass returns the direction of a horizontal vector in [0°, 360°).
func compass(east, north float64) units.Degrees {
	a := math.Atan2(east, north) * deg
	if a < 0 {
		a += 360
	}
	if a >= 360 { // -1e-17 + 360
		a = 0
	}
	return units.Degrees(a)
}
