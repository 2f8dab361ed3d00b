package hull

import (
	"math"

	"ampwake/sim/units"
)

// Apparent returns the wind felt on board: its speed, and the angle from the bow
// it comes from, in (-180°, 180°], for a true wind at an angle from the bow
// (starboard positive, any turn of the circle) and a boat's speed ahead. With no
// wind at all the angle is 0°.
func Apparent(wind units.Knots, angle units.Degrees, boat units.Knots) (units.Knots, units.Degrees) {
	sin, cos := math.Sincos(float64(FromBow(angle, 0)) * (math.Pi / 180))
	ahead := float64(float64(wind)*cos) + float64(boat)
	abeam := float64(wind) * sin
	speed := math.Sqrt(float64(ahead*ahead) + float64(abeam*abeam))
	return units.Knots(speed), units.Degrees(math.Atan2(abeam, ahead) * (180 / math.Pi))
}

// FromBow returns the angle between a bearing and the heading, in (-180°, 180°],
// starboard positive: the true wind angle, if the bearing is where the wind comes
// from.
func FromBow(bearing, heading units.Degrees) units.Degrees {
	x := float64(bearing - heading)
	if x > 180 {
		x -= 360
	} else if x <= -180 {
		x += 360
	}
	if x > 180 || x <= -180 { // more than one turn
		if x = math.Remainder(x, 360); x <= -180 {
			x += 360
		}
	}
	return units.Degrees(x)
}
