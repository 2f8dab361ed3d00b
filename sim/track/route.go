package track

import (
	"fmt"
	"math"
	"sort"

	"ampwake/sim/units"
)

// Waypoint is a place a route leads to.
type Waypoint struct {
	Name     string // may be empty
	Position Position
	Line     Line // of the leg that leads here; of no effect at the first waypoint
}

// Route is a track through waypoints. It never changes and serves any number of
// goroutines at once.
type Route struct {
	points []Waypoint
	legs   []Leg
	marks  []units.NauticalMiles // distance from the start, of each waypoint
	zones  []zoneMark
	bow    units.Degrees // where she points if there is but one waypoint
}

// NewRoute returns the route through the waypoints on a sphere. One waypoint
// alone is a boat that stays where she is.
//
// Errors name the waypoint: none at all, one at the place of the one before it,
// a great circle that passes beyond 85° of latitude, and what Sphere.GreatCircle
// and Sphere.RhumbLine refuse.
func NewRoute(s Sphere, waypoints []Waypoint) (*Route, error) {
	if len(waypoints) == 0 {
		return nil, fmt.Errorf("route has no waypoints: want at least one")
	}
	r := &Route{
		points: append([]Waypoint(nil), waypoints...),
		marks:  make([]units.NauticalMiles, len(waypoints)),
	}
	for i := range r.points {
		w := &r.points[i]
		p, err := w.Position.check()
		if err != nil {
			return nil, fmt.Errorf("%s: %w", w.label(i), err)
		}
		w.Position = p
		if i == 0 {
			continue
		}
		leg, err := s.Leg(w.Line, r.points[i-1].Position, p)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", w.label(i), err)
		}
		if math.Abs(float64(leg.Highest())) > highest {
			return nil, fmt.Errorf("%s: great circle from %v passes beyond %d° of latitude: sail a rhumb line, or set a waypoint or a limiting latitude",
				w.label(i), leg.from, highest)
		}
		if leg.length == 0 {
			return nil, fmt.Errorf("%s: is at the same place as the one before it, %v", w.label(i), p)
		}
		r.legs = append(r.legs, leg)
		r.marks[i] = r.marks[i-1] + leg.Length()
	}
	r.zones = zones(r.legs, r.marks)
	if len(r.zones) == 0 {
		r.zones = []zoneMark{{0, Zone(r.points[0].Position.Lon)}}
	}
	return r, nil
}

// Standing returns the route of a boat that stays at a place with her bow on a
// course, which At then tells in place of 0. The error is that of NewRoute.
func Standing(at Waypoint, course units.Degrees) (*Route, error) {
	r, err := NewRoute(Sphere{}, []Waypoint{at})
	if err != nil {
		return nil, err
	}
	if !finite(float64(course)) {
		return nil, fmt.Errorf("%s: course is no number: want degrees from true north", at.label(0))
	}
	if r.bow = units.Degrees(math.Mod(float64(course), 360)); r.bow < 0 {
		r.bow += 360
	}
	return r, nil
}

// label names waypoint i for people, who count from 1.
func (w *Waypoint) label(i int) string {
	if w.Name == "" {
		return fmt.Sprintf("waypoint %d", i+1)
	}
	return fmt.Sprintf("waypoint %d (%s)", i+1, w.Name)
}

// Length returns the length of the route, 0 if it has but one waypoint.
func (r *Route) Length() units.NauticalMiles { return r.marks[len(r.marks)-1] }

// Len returns the number of waypoints, at least 1.
func (r *Route) Len() int { return len(r.points) }

// Waypoint returns waypoint i, counted from 0.
func (r *Route) Waypoint(i int) Waypoint { return r.points[i] }

// Mark returns the distance from the start to waypoint i, along the route.
func (r *Route) Mark(i int) units.NauticalMiles { return r.marks[i] }

// Leg returns the leg that leads to waypoint i, in [1, Len()).
func (r *Route) Leg(i int) *Leg { return &r.legs[i-1] }

// At returns the position and the course at the given distance from the start,
// found by bisection. Before the start and beyond the end the boat stays there.
// At a waypoint the course is that of the leg that begins there; at the last one
// that on which it was reached. It does not allocate. A Cursor is quicker for a
// boat that sails on.
func (r *Route) At(d units.NauticalMiles) (Position, units.Degrees) {
	if len(r.legs) == 0 {
		return r.points[0].Position, r.bow
	}
	i := sort.Search(len(r.legs)-1, func(i int) bool { return d < r.marks[i+1] })
	return r.legs[i].At(d - r.marks[i])
}

// ZoneAt returns the ship's zone at the given distance from the start, and the
// distance at which ship's time next changes, +Inf if it does not until the end.
// At the very border the next zone holds.
func (r *Route) ZoneAt(d units.NauticalMiles) (zone int, until units.NauticalMiles) {
	i := sort.Search(len(r.zones)-1, func(i int) bool { return d < r.zones[i+1].at })
	if i+1 == len(r.zones) {
		return r.zones[i].zone, units.NauticalMiles(math.Inf(1))
	}
	return r.zones[i].zone, r.zones[i+1].at
}

// Cursor walks along a route and remembers the leg it was on last. Asking
// forward costs no search; asking back is right too. It belongs to one
// goroutine; a copy is another cursor.
type Cursor struct {
	route *Route
	leg   int
}

// Cursor returns a cursor at the start.
func (r *Route) Cursor() Cursor { return Cursor{route: r} }

// At returns what Route.At returns.
func (c *Cursor) At(d units.NauticalMiles) (Position, units.Degrees) {
	r := c.route
	if len(r.legs) == 0 {
		return r.points[0].Position, r.bow
	}
	for c.leg+1 < len(r.legs) && d >= r.marks[c.leg+1] {
		c.leg++
	}
	for c.leg > 0 && d < r.marks[c.leg] {
		c.leg--
	}
	return r.legs[c.leg].At(d - r.marks[c.leg])
}

// Next returns the index of the waypoint ahead of the place last asked for: the
// last one at and beyond the end, and 0 if there is but one.
func (c *Cursor) Next() int { return min(c.leg+1, len(c.route.points)-1) }
