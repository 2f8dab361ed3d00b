package trial

import (
	"fmt"
	"math"
	"time"

	"ampwake/sim"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// ahead is what is left of a voyage.
type ahead struct {
	voyage *sim.Voyage
	miles  float64 // along the planned route, of the place nearest to her
	off    float64 // nm from there
	next   string  // the waypoint that she makes for
	notes  []string
}

const (
	offRoute  = 60.0   // nm off the planned route from which on it is worth a word
	elsewhere = 1000.0 // nm off it from which on it is no voyage along it
	passed    = 1.0    // nm from a waypoint that counts as there
)

// remaining returns what is left of a voyage at a time and place: from there to
// the next waypoint and on along the route. charge is hers then. gone is how far
// along the route she should be by the miles of the log, to choose where the route
// comes by the same place twice; NaN if nobody knows.
func remaining(v *sim.Voyage, now time.Time, place track.Position, charge units.Fraction, gone float64) (*ahead, error) {
	a := &ahead{}
	a.miles, a.off = nearest(v.Route, place, gone)
	if a.off > offRoute {
		a.notes = append(a.notes, fmt.Sprintf("she stands %.0f miles off the planned route", a.off))
	}
	r := v.Route
	next := 1
	for next < r.Len()-1 && float64(r.Mark(next)) <= a.miles+passed {
		next++
	}
	if r.Len() < 2 || float64(r.Length())-a.miles <= passed && a.off <= passed {
		return nil, fmt.Errorf("she is at the last waypoint: nothing is left of the voyage")
	}
	points := []track.Waypoint{{Name: "noon", Position: place}}
	for i := next; i < r.Len(); i++ {
		points = append(points, r.Waypoint(i))
	}
	a.next = points[1].Name
	route, err := track.NewRoute(track.Sphere{}, points)
	if err != nil {
		return nil, err
	}
	out := *v
	out.Route, out.Depart, out.Charge = route, now, charge
	if v.Limit > 0 {
		out.Limit = max(1, v.Limit-units.Hours(now.Sub(v.Depart).Hours()))
	}
	// Distances along the old route, on the new one.
	leg, old := float64(route.Mark(1)), math.Max(1e-6, float64(r.Mark(next))-a.miles)
	on := func(d units.NauticalMiles) units.NauticalMiles {
		if x := float64(d) - a.miles; x < old {
			return units.NauticalMiles(max(0, x) * leg / old)
		}
		return units.NauticalMiles(leg + float64(d-r.Mark(next)))
	}
	a.plan(v, &out, now, on)
	a.rest(v, &out, now, on)
	a.voyage = &out
	return a, nil
}

// plan takes over the stretches that are not over.
func (a *ahead) plan(v, out *sim.Voyage, now time.Time, on func(units.NauticalMiles) units.NauticalMiles) {
	began := v.Depart
	out.Plan = nil
	for k, s := range v.Plan {
		last := k == len(v.Plan)-1
		end := time.Time{}
		if s.For > 0 {
			end = began.Add(time.Duration(float64(s.For) * float64(time.Hour)))
		}
		if !s.By.IsZero() && (end.IsZero() || s.By.Before(end)) {
			end = s.By
		}
		overByTime := !end.IsZero() && !now.Before(end)
		overByPlace := s.Until > 0 && float64(s.Until) <= a.miles
		if len(out.Plan) == 0 && !last && (overByTime || overByPlace) {
			if overByPlace && !overByTime && a.miles > 0 { // when it was is not known: in proportion
				end = v.Depart.Add(time.Duration(float64(now.Sub(v.Depart)) * float64(s.Until) / a.miles))
			}
			began = end
			continue
		}
		if len(out.Plan) == 0 && s.For > 0 {
			s.For = units.Hours(max(0.1, end.Sub(now).Hours()))
		}
		if s.Until > 0 {
			s.Until = max(0.1, on(s.Until))
		}
		out.Plan = append(out.Plan, s)
	}
}

// rest takes over what else lies ahead: stays, zones, faults.
func (a *ahead) rest(v, out *sim.Voyage, now time.Time, on func(units.NauticalMiles) units.NauticalMiles) {
	out.Stays = nil
	for _, s := range v.Stays {
		if float64(s.At) > a.miles+passed {
			s.At = on(s.At)
			out.Stays = append(out.Stays, s)
		}
	}
	out.Zones = nil
	zones := v.Zones
	if len(zones) == 0 { // the legs of the route: those of the new one will do
		zones = nil
	}
	for _, z := range zones {
		if float64(z.To) > a.miles {
			z.From, z.To = on(z.From), on(z.To)
			out.Zones = append(out.Zones, z)
		}
	}
	out.Faults = nil
	gone := 0
	for _, f := range v.Faults {
		switch {
		case !f.At.IsZero() && f.At.Before(now), f.Mark > 0 && float64(f.Mark) <= a.miles:
			gone++
			continue
		case f.Mark > 0:
			f.Mark = on(f.Mark)
		}
		if f.From > 0 {
			f.From = on(f.From)
		}
		out.Faults = append(out.Faults, f)
	}
	if gone > 0 {
		a.notes = append(a.notes, fmt.Sprintf("%d faults of the scenario lie behind her and are left out: if they befell her, say so with --fault", gone))
	}
}

// nearest returns the distance along a route of the place on it nearest to a
// position, and how far that is. gone, if it is a number, pulls gently.
func nearest(r *track.Route, place track.Position, gone float64) (miles, off float64) {
	length := float64(r.Length())
	from := func(d float64) float64 {
		p, _ := r.At(units.NauticalMiles(d))
		return apart(p, place)
	}
	best := math.Inf(1)
	const pace = 10.0
	for d := 0.0; d < length+pace; d += pace {
		cost := from(min(d, length))
		if !math.IsNaN(gone) {
			cost += 0.05 * math.Abs(d-gone)
		}
		if cost < best {
			best, miles = cost, min(d, length)
		}
	}
	lo, hi := max(0, miles-pace), min(length, miles+pace)
	for hi-lo > 0.05 {
		a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
		if from(a) < from(b) {
			hi = b
		} else {
			lo = a
		}
	}
	miles = (lo + hi) / 2
	return miles, from(miles)
}

// apart returns the distance between two places, nm.
func apart(a, b track.Position) float64 {
	leg, err := track.Sphere{}.GreatCircle(a, b)
	if err != nil {
		return 10800 // antipodes
	}
	return float64(leg.Length())
}
