package track

import (
	"fmt"
	"math"

	"ampwake/sim/units"
)

// Composite returns the waypoints after the start of the shortest track from
// one position to another that stays on the equator's side of a limiting
// latitude: along the great circle that touches the limit, along the parallel,
// and along the second touching great circle to the end. Append them to a
// waypoint at the start and hand them to NewRoute.
//
// The limit is signed: -57° keeps a Southern Ocean passage north of 57° S. If
// the great circle itself stays clear of the limit, or turns back in the other
// hemisphere, only the end is returned.
//
// Errors: those of GreatCircle, an end beyond the limit, and a limit beyond 85°
// or at the equator.
func (s Sphere) Composite(from, to Position, limit units.Degrees) ([]Waypoint, error) {
	from, to, dλ, err := ends(from, to)
	if err != nil {
		return nil, err
	}
	if a := math.Abs(float64(limit)); !(a > 0 && a <= highest) {
		return nil, fmt.Errorf("limiting latitude %v is not between the equator and %d°", limit, highest)
	}
	south := limit < 0
	for _, p := range []Position{from, to} {
		if south && p.Lat < limit || !south && p.Lat > limit {
			return nil, fmt.Errorf("position %v is beyond the limiting latitude %v", p, limit)
		}
	}
	end := []Waypoint{{Position: to, Line: GreatCircle}}
	direct, err := s.GreatCircle(from, to)
	if err != nil {
		return nil, err
	}
	if high := direct.Highest(); south && high >= limit || !south && high <= limit {
		return end, nil
	}
	// Of the right-angled triangle of pole, place and tangent point:
	// cos(change of longitude) = tan(latitude) / tan(limit). It exists: between
	// places none of which is beyond the limit, only a circle from well within
	// the opposite latitude gets here.
	reach := func(p Position) float64 {
		return math.Acos(math.Tan(float64(p.Lat)*radian) / math.Tan(float64(limit)*radian))
	}
	first, last := reach(from), reach(to)
	if !(first+last < math.Abs(dλ)) { // it touches the limit but for rounding
		return end, nil
	}
	sign := math.Copysign(degree, dλ)
	var points []Waypoint
	if first > 0 { // else the start lies on the limit
		points = append(points, Waypoint{"limit", Position{limit, fold(from.Lon + units.Degrees(sign*first))}, GreatCircle})
	}
	if last == 0 { // the end lies on it
		return append(points, Waypoint{Position: to, Line: RhumbLine}), nil
	}
	return append(points, Waypoint{"limit", Position{limit, fold(to.Lon - units.Degrees(sign*last))}, RhumbLine}, end[0]), nil
}
