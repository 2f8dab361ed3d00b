package track

import (
	"fmt"
	"math"

	"ampwake/sim/units"
)

// GreatCircle returns the shortest line from one position to another. It
// crosses the date line where that is shorter. It may pass nearer to a pole than
// its ends: see Leg.Highest.
//
// Errors: a latitude beyond 85° at an end, and opposite points of the earth,
// between which all ways are equally long.
func (s Sphere) GreatCircle(from, to Position) (Leg, error) {
	from, to, dλ, err := ends(from, to)
	if err != nil {
		return Leg{}, err
	}
	l := Leg{line: GreatCircle, from: from, to: to, radius: s.radius()}
	φ1, φ2 := float64(from.Lat)*radian, float64(to.Lat)*radian
	sin1, cos1 := math.Sincos(φ1)
	sin2, cos2 := math.Sincos(φ2)
	sinλ, cosλ := math.Sincos(dλ)
	half := math.Sin(dλ / 2)
	// The end as seen from the start: its parts to the east, to the north and
	// upward. The northward part is cos φ1 sin φ2 - sin φ1 cos φ2 cos dλ,
	// written so that short legs lose no digits.
	east := cos2 * sinλ
	north := math.Sin(φ2-φ1) + float64(2*sin1*cos2*half*half)
	up := float64(sin1*sin2) + float64(cos1*cos2*cosλ)
	away := math.Hypot(east, north)
	if away < 1e-9 && up < 0 {
		return Leg{}, fmt.Errorf("great circle from %v to %v is not defined: they are opposite points of the earth; set a waypoint between", from, to)
	}
	l.length = l.radius * math.Atan2(away, up) // [Vincenty 1975], flattening 0
	if away > 0 {
		l.initial = compass(math.Atan2(east, north))
	}
	l.aim(math.Atan2(east, north))
	l.final = l.initial
	if l.length > 0 {
		_, l.final = l.onGreatCircle(l.length / l.radius)
	}
	return l, nil
}

// aim sets the vectors of a great circle that starts on course c, radians.
func (l *Leg) aim(c float64) {
	sinφ, cosφ := math.Sincos(float64(l.from.Lat) * radian)
	sinλ, cosλ := math.Sincos(float64(l.from.Lon) * radian)
	sinC, cosC := math.Sincos(c)
	l.ax, l.ay, l.az = cosφ*cosλ, cosφ*sinλ, sinφ
	// q = east sin C + north cos C, both unit vectors at the start.
	l.qx = -float64(sinλ*sinC) - float64(sinφ*cosλ*cosC)
	l.qy = float64(cosλ*sinC) - float64(sinφ*sinλ*cosC)
	l.qz = cosφ * cosC
	l.pole = cosφ * sinC // z of a×q: sin C cos φ is the same all along (Clairaut)
}

// onGreatCircle returns the place and course θ radians from the start.
//
// With p the place, v its direction of travel and ρ = cos(latitude), the
// eastward part of v is (p×v)z / ρ and, since v is square to p, its northward
// part is vz / ρ. p×v is the pole of the circle, the same at each place: so the
// course is atan2(pole, vz).
func (l *Leg) onGreatCircle(θ float64) (Position, units.Degrees) {
	sin, cos := math.Sincos(θ)
	x := float64(l.ax*cos) + float64(l.qx*sin)
	y := float64(l.ay*cos) + float64(l.qy*sin)
	z := float64(l.az*cos) + float64(l.qz*sin)
	vz := float64(l.qz*cos) - float64(l.az*sin)
	return Position{
		Lat: units.Degrees(math.Atan(z/math.Sqrt(float64(x*x)+float64(y*y))) * degree),
		Lon: longitude(math.Atan2(y, x)),
	}, compass(math.Atan2(l.pole, vz))
}
