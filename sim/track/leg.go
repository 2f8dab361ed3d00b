package track

import (
	"math"

	"ampwake/sim/units"
)

// Leg is one line from a position to another, with its trigonometry done. It
// is made by a Sphere and never changes, so that many goroutines may share it.
type Leg struct {
	line     Line
	from, to Position
	radius   float64 // of the sphere, nautical miles
	length   float64 // nautical miles
	// Course at both ends: the same on a rhumb line.
	initial, final units.Degrees

	// Great circle: the place θ radians on is a·cos θ + q·sin θ, with unit
	// vectors a (start) and q (a quarter turn on). x points at 0° N 0° E, z at
	// the north pole. pole is the z component of a×q.
	ax, ay, az, qx, qy, qz, pole float64

	// Rhumb line: latitude, longitude and isometric latitude of the start in
	// radians, and the course.
	lat, lon, ψ, sinC, cosC, tanC float64
	level                         bool   // next to no change of latitude
	knots                         []knot // see spread
}

// Length returns the length of the leg, 0 if both ends are one place.
func (l *Leg) Length() units.NauticalMiles { return units.NauticalMiles(l.length) }

// Line returns the kind of line.
func (l *Leg) Line() Line { return l.line }

// From returns the start.
func (l *Leg) From() Position { return l.from }

// To returns the end.
func (l *Leg) To() Position { return l.to }

// At returns the position and the course at the given distance from the start.
// Before the start and beyond the end it stays there. The course is in
// [0°, 360°), and 0° if the leg has no length. It does not allocate.
func (l *Leg) At(d units.NauticalMiles) (Position, units.Degrees) {
	switch {
	case d <= 0:
		return l.from, l.initial
	case float64(d) >= l.length:
		return l.to, l.final
	}
	θ := float64(d) / l.radius
	if l.line == RhumbLine {
		return l.onRhumbLine(θ), l.initial
	}
	return l.onGreatCircle(θ)
}

// Highest returns the latitude of the leg that is farthest from the equator.
func (l *Leg) Highest() units.Degrees {
	high := l.from.Lat
	if math.Abs(float64(l.to.Lat)) > math.Abs(float64(high)) {
		high = l.to.Lat
	}
	if l.line == RhumbLine || l.length == 0 {
		return high
	}
	// The circle turns back from its pole where the northward part of its
	// direction changes sign. cos(latitude) there is |pole|.
	sin, cos := math.Sincos(l.length / l.radius)
	start, end := l.qz, float64(l.qz*cos)-float64(l.az*sin)
	vertex := math.Acos(math.Min(1, math.Abs(l.pole))) * degree
	switch {
	case start > 0 && end < 0:
		return units.Degrees(vertex)
	case start < 0 && end > 0:
		return units.Degrees(-vertex)
	}
	return high
}

// ends checks both ends and returns them with the change of longitude, the
// short way round, in radians.
func ends(from, to Position) (Position, Position, float64, error) {
	from, err := from.check()
	if err != nil {
		return from, to, 0, err
	}
	to, err = to.check()
	if err != nil {
		return from, to, 0, err
	}
	return from, to, float64(fold(to.Lon-from.Lon)) * radian, nil
}
