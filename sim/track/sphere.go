package track

import (
	"fmt"
	"math"
	"strings"

	"ampwake/sim/units"
)

// Radii of the earth taken as a sphere. They differ by 0.067 %: do not mix them
// in one comparison.
const (
	// NauticalRadius makes one minute of arc one nautical mile, as in the
	// classical sailings.
	NauticalRadius units.NauticalMiles = 10800 / math.Pi
	// MeanRadius is the earth's mean radius of 6371.0 km.
	MeanRadius units.NauticalMiles = 3440.065
)

// Sphere is the earth that legs are reckoned on. The zero value is the
// navigator's: Radius 0 stands for NauticalRadius.
type Sphere struct{ Radius units.NauticalMiles }

// radius returns the radius in nautical miles. It panics on one that is
// negative or no number.
func (s Sphere) radius() float64 {
	r := float64(s.Radius)
	if r == 0 {
		r = float64(NauticalRadius)
	}
	if !(r > 0) || math.IsInf(r, 0) {
		panic("track: radius of the sphere must be positive")
	}
	return r
}

// Line is the kind of line a leg follows.
type Line uint8

// The lines a leg can follow. A boat that holds a course sails a rhumb line.
const (
	GreatCircle Line = iota // shortest, its course changes
	RhumbLine               // constant course
)

// String returns "great circle" or "rhumb line".
func (l Line) String() string {
	switch l {
	case GreatCircle:
		return "great circle"
	case RhumbLine:
		return "rhumb line"
	}
	return fmt.Sprintf("line %d", uint8(l))
}

// UnmarshalText reads "great circle", "rhumb line" or "rhumb"; a hyphen or an
// underscore may stand for the space. The error is a *units.SyntaxError.
func (l *Line) UnmarshalText(text []byte) error {
	s := strings.Join(strings.Fields(strings.NewReplacer("-", " ", "_", " ").Replace(strings.ToLower(string(text)))), " ")
	switch s {
	case "great circle":
		*l = GreatCircle
	case "rhumb line", "rhumb":
		*l = RhumbLine
	default:
		return &units.SyntaxError{Text: string(text), Want: "a line of a leg", Hint: `write "great circle" or "rhumb line"`}
	}
	return nil
}

// Leg returns the leg from one position to another along the given line. See
// Sphere.GreatCircle and Sphere.RhumbLine for what is refused.
func (s Sphere) Leg(line Line, from, to Position) (Leg, error) {
	switch line {
	case GreatCircle:
		return s.GreatCircle(from, to)
	case RhumbLine:
		return s.RhumbLine(from, to)
	}
	panic("track: no such line")
}

// DeadReckon returns the position reached from a position by sailing the given
// distance along a line. The course is held on a rhumb line and is the initial
// course of a great circle.
//
// Errors: a negative distance, a latitude beyond 85° at either end, and on a
// great circle half a turn of the earth or more.
func (s Sphere) DeadReckon(line Line, from Position, course units.Degrees, distance units.NauticalMiles) (Position, error) {
	from, err := from.check()
	if err != nil {
		return Position{}, err
	}
	if !finite(float64(course)) {
		return Position{}, fmt.Errorf("course is no number: want degrees from true north")
	}
	θ := float64(distance) / s.radius()
	if !(θ >= 0 && θ < math.Pi) {
		return Position{}, fmt.Errorf("distance %v is not between nothing and half way around the earth", distance)
	}
	leg := Leg{line: line, from: from, radius: s.radius(), length: float64(distance)}
	c := float64(course) * radian
	var p Position
	switch line {
	case GreatCircle:
		leg.aim(c)
		p, _ = leg.onGreatCircle(θ)
	case RhumbLine:
		lat := float64(from.Lat)*radian + float64(θ*math.Cos(c))
		if p.Lat = units.Degrees(lat * degree); math.Abs(float64(p.Lat)) <= highest {
			leg.hold(c, θ)
			p = leg.onRhumbLine(θ)
		}
	default:
		panic("track: no such line")
	}
	if math.Abs(float64(p.Lat)) > highest {
		return Position{}, fmt.Errorf("dead reckoning of %v on %v from %v leads beyond %d° of latitude", distance, course, from, highest)
	}
	return p, nil
}
