package card

import (
	"fmt"
	"math"

	"ampwake/sim"
	"ampwake/sim/units"
)

// part is a zone, or a part of a long one: two sides of the card.
type part struct {
	sim.Zone
	no, of int // part no of so many; 1 of 1 for a whole zone
}

// Limits of a card: legs of a route are put together until there are no more
// than mostLegs and none that is sailed in less than shortLeg; a part of a zone
// that takes longer than longPart is cut, so that its days fit on one sheet.
const (
	mostLegs = 6
	shortLeg = 48.0 // h
	longPart = 22 * 24.0
)

// parts cuts the passage into what each gets two sides of the card. at tells, for
// a distance along the route, the hours from departure when she has sailed it
// (those of one voyage: the cut need not be exact).
func parts(v *sim.Voyage, at func(units.NauticalMiles) float64) []part {
	zones := named(v)
	if zones == nil {
		zones = legs(v, at)
	}
	var ps []part
	for _, z := range zones {
		begin, end := at(z.From), at(z.To)
		if math.IsInf(begin, 1) {
			break // she never gets there in the time given
		}
		if math.IsInf(end, 1) {
			end = at(units.NauticalMiles(math.Inf(1)))
		}
		n := max(1, int(math.Ceil((end-begin)/longPart-1e-9)))
		from := z.From
		for i := 1; i <= n; i++ {
			to := z.To
			if i < n {
				to = reached(at, begin+(end-begin)*float64(i)/float64(n), from, z.To)
			}
			if to > from || n == 1 {
				ps = append(ps, part{sim.Zone{Name: z.Name, From: from, To: to}, i, n})
			}
			from = to
		}
	}
	// A long stay at one place cannot be cut by miles: number what is left.
	for i := range ps {
		n := 0
		for j := range ps {
			if ps[j].Name == ps[i].Name {
				n++
			}
		}
		if ps[i].of > 1 {
			ps[i].of = n
		}
		if i > 0 && ps[i].of > 1 && ps[i-1].Name == ps[i].Name {
			ps[i].no = ps[i-1].no + 1
		} else {
			ps[i].no = 1
		}
	}
	return ps
}

// reached returns the distance in [lo, hi] that she has sailed after the hours.
func reached(at func(units.NauticalMiles) float64, hours float64, lo, hi units.NauticalMiles) units.NauticalMiles {
	for hi-lo > 0.1 {
		if mid := (lo + hi) / 2; at(mid) < hours {
			lo = mid
		} else {
			hi = mid
		}
	}
	return units.NauticalMiles(math.Round(float64(hi)))
}

// named returns the zones that the voyage names, and one more for what lies
// beyond the last; nil if it names none.
func named(v *sim.Voyage) []sim.Zone {
	if len(v.Zones) == 0 {
		return nil
	}
	zones := append([]sim.Zone(nil), v.Zones...)
	r := v.Route
	if last := zones[len(zones)-1].To; last < r.Length() {
		zones = append(zones, sim.Zone{Name: "to " + r.Waypoint(r.Len()-1).Name, From: last, To: r.Length()})
	}
	return zones
}

// legs returns the legs of the route, short ones put to a neighbour.
func legs(v *sim.Voyage, at func(units.NauticalMiles) float64) []sim.Zone {
	r := v.Route
	if r.Len() == 1 {
		return []sim.Zone{{Name: r.Waypoint(0).Name}}
	}
	marks := make([]int, r.Len()) // indexes of the waypoints that still part two legs
	for i := range marks {
		marks[i] = i
	}
	takes := func(i int) float64 {
		a, b := at(r.Mark(marks[i])), at(r.Mark(marks[i+1]))
		if math.IsInf(b, 1) {
			return 1e6 // never at its end
		}
		return b - a
	}
	for len(marks) > 2 {
		shortest := 0
		for i := range len(marks) - 1 {
			if takes(i) < takes(shortest) {
				shortest = i
			}
		}
		if takes(shortest) >= shortLeg && len(marks)-1 <= mostLegs {
			break
		}
		// Its end or its beginning goes, towards the shorter neighbour.
		drop := shortest + 1
		if shortest == len(marks)-2 || shortest > 0 && takes(shortest-1) < takes(shortest+1) {
			drop = shortest
		}
		marks = append(marks[:drop], marks[drop+1:]...)
	}
	var zones []sim.Zone
	for i := 1; i < len(marks); i++ {
		from, to := marks[i-1], marks[i]
		zones = append(zones, sim.Zone{
			Name: fmt.Sprintf("%s – %s", r.Waypoint(from).Name, r.Waypoint(to).Name),
			From: r.Mark(from), To: r.Mark(to),
		})
	}
	return zones
}
