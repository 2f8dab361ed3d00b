package sky

import (
	"math"

	"ampwake/sim/units"
)

// Standard air of the refraction: sea level at 15 °C.
const (
	standardPressure                 = 1013.25 // hPa
	standardWarmth     units.Celsius = 15
	standardRefraction               = standardPressure / 1010 * 283 / (273 + float64(standardWarmth)) * 1.02 / 60
	lowestRefracted                  = -0.83337 // degrees; [Reda 2004] adds nothing below
)

// Refraction returns the angle to add to the true elevation of the sun, for air
// of the given pressure in hPa and temperature: [Reda 2004] eq. 42, after
// Sæmundsson. It is 0 below -0.83337°, when no part of the disc is up.
func Refraction(elevation units.Degrees, pressure float64, air units.Celsius) units.Degrees {
	h := float64(elevation)
	if h < lowestRefracted {
		return 0
	}
	return units.Degrees(pressure / 1010 * 283 / (273 + float64(air)) * bend(h))
}

// bend is the refraction in standard air of 1010 hPa and 10 °C, degrees.
func bend(h float64) float64 {
	return 1.02 / (60 * math.Tan((h+10.3/(h+5.11))*rad)) // [Reda 2004] eq. 42
}
