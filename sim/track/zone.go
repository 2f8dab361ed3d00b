package track

import (
	"math"
	"slices"

	"ampwake/sim/units"
)

// Zone returns the ship's zone of time at a longitude: the hours to ADD to UTC
// for ship's time, in [-12, 12], positive in east longitude. Each zone is 15°
// wide about a multiple of 15°; a longitude exactly between two belongs to the
// one farther from Greenwich. Zone 12 is split at 180°, and both halves show
// the same clock a day apart.
//
// Printed "zone descriptions" have the opposite sign: see ZoneDescription.
func Zone(lon units.Degrees) int {
	x := float64(lon)
	if x < -180 || x > 180 {
		x = float64(fold(lon))
	}
	n := int(math.Abs(x)/15 + 0.5)
	if x < 0 {
		return -n
	}
	return n
}

// ZoneDescription returns the navigator's zone description of a zone: the hours
// to add to ship's time to get UTC, + in west longitude (97° W is +6, 117° E is
// -8). It is nothing but -zone; the two are easily mixed up.
func ZoneDescription(zone int) int { return -zone }

// zoneMark is a distance along a route from which on a zone holds.
type zoneMark struct {
	at   units.NauticalMiles
	zone int
}

// zones returns the distances along the legs at which ship's time changes. The
// first is the start.
func zones(legs []Leg, marks []units.NauticalMiles) []zoneMark {
	var list []zoneMark
	add := func(at units.NauticalMiles, zone int) {
		if n := len(list); n == 0 || list[n-1].zone != zone {
			list = append(list, zoneMark{at, zone})
		}
	}
	for i := range legs {
		l := &legs[i]
		start := float64(l.from.Lon)
		swing := float64(fold(l.to.Lon - l.from.Lon))
		// The zone that holds just past a longitude.
		past := func(east float64) int {
			if swing != 0 {
				east += math.Copysign(1e-9, swing)
			}
			return Zone(fold(units.Degrees(start + east)))
		}
		add(marks[i], past(0))
		for _, east := range borders(start, swing) {
			add(marks[i]+l.abeam(east), past(east))
		}
		add(marks[i+1], Zone(l.to.Lon))
	}
	return list
}

// borders returns how far east of start, degrees, the borders of zones lie that
// a swing of longitude passes, in the order it passes them: 7.5° and 15° on from
// there, and the date line.
func borders(start, swing float64) []float64 {
	var list []float64
	for b := -24; b < 24; b++ {
		list = append(list, float64(b)*15+7.5-start)
	}
	list = append(list, 180-start, -180-start)
	list = slices.DeleteFunc(list, func(x float64) bool { return !(x*swing > 0 && math.Abs(x) < math.Abs(swing)) })
	slices.SortFunc(list, func(a, b float64) int {
		if math.Abs(a) < math.Abs(b) {
			return -1
		}
		return 1
	})
	return list
}

// abeam returns the distance along the leg at which it has come the given
// degrees east of its start. The longitude only grows or only falls along a leg,
// so bisection finds it on either line.
func (l *Leg) abeam(east float64) units.NauticalMiles {
	lo, hi := 0.0, l.length
	for range 60 {
		mid := (lo + hi) / 2
		p, _ := l.At(units.NauticalMiles(mid))
		if math.Abs(float64(fold(p.Lon-l.from.Lon))) < math.Abs(east) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return units.NauticalMiles(hi)
}
