package sky

import (
	"errors"
	"math"
	"time"

	"ampwake/sim/units"
)

// Answers of RiseSet where the sun does not pass the altitude.
var (
	ErrPolarDay   = errors.New("the sun stays above the altitude")
	ErrPolarNight = errors.New("the sun stays below the altitude")
)

// Day is one day's light at a fixed place.
type Day struct {
	Rise time.Time // last rise before Noon; zero if there is none
	Noon time.Time // upper transit
	Set  time.Time // first set after Noon; zero if there is none
}

// Length returns the time from rise to set: 0 in polar night. In polar day,
// and where one of the two is missing at its border, ok is false.
func (d Day) Length() (length units.Hours, ok bool) {
	switch {
	case d.Rise.IsZero() != d.Set.IsZero():
		return 0, false
	case d.Rise.IsZero():
		return 0, false
	}
	return units.Hours(d.Set.Sub(d.Rise).Hours()), true
}

// RiseSet returns when the true elevation of the sun passes an altitude around
// the upper transit of the given UTC date at a fixed place; with Limb these are
// sunrise and sunset. Rise and set may fall on the neighbouring dates. Accuracy
// 10 s below 60° of latitude, worse where the sun rises at a small slant.
//
// Noon is always given. If the sun is down at noon the error is ErrPolarNight.
// If it is up but does not rise in the half day before, or does not set in the
// half day after, the error is ErrPolarDay and that field is zero; at the
// border of the polar day the other one may be there.
func RiseSet(date time.Time, lat, lon, altitude units.Degrees) (Day, error) {
	var a Almanac
	w := watch{&a, math.Sin(float64(altitude) * rad), func(time.Time) (units.Degrees, units.Degrees) { return lat, lon }}
	d := Day{Noon: Transit(date, lon)}
	noon := w.look(d.Noon.UnixNano())
	if !noon.above() {
		return d, ErrPolarNight
	}
	// The midnights before and after, half a turn off; the equation of time
	// moves them by 15 s at most, which moves the elevation by nothing.
	before, after := w.look(noon.ns-day/2), w.look(noon.ns+day/2)
	var err error
	if before.above() {
		err = ErrPolarDay
	} else {
		d.Rise = time.Unix(0, w.root(before, noon)).UTC()
	}
	if after.above() {
		err = ErrPolarDay
	} else {
		d.Set = time.Unix(0, w.root(noon, after)).UTC()
	}
	return d, err
}

// Transit returns the upper transit of the sun (apparent noon) that falls on a
// UTC date. Near the date line a date can be without one, since transits drift
// by up to 30 s a day: then the nearest is returned. Accuracy 5 s.
func Transit(date time.Time, lon units.Degrees) time.Time {
	y, m, d := date.UTC().Date()
	from := time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	at := transitNear(from.Add(12*time.Hour), lon)
	switch {
	case at.Before(from):
		if next := transitNear(at.Add(24*time.Hour), lon); next.Before(from.Add(24 * time.Hour)) {
			return next
		}
	case !at.Before(from.Add(24 * time.Hour)):
		if last := transitNear(at.Add(-24*time.Hour), lon); !last.Before(from) {
			return last
		}
	}
	return at
}

// LocalNoon returns the apparent noon of a date of the calendar that a ship at
// this longitude keeps: the transit near 12 h - longitude/15 UTC, where the date
// of the transit in UTC may be another. Longitude is in [-180°, 180°]. Accuracy 5 s.
func LocalNoon(date time.Time, lon units.Degrees) time.Time {
	y, m, d := date.Date()
	mean := time.Duration((12 - float64(lon)/15) * float64(time.Hour))
	return transitNear(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Add(mean), lon)
}

// transitNear returns the upper transit nearest to t: 12 h less longitude and
// equation of time, found by turning back the hour angle.
func transitNear(t time.Time, lon units.Degrees) time.Time {
	ns := t.UnixNano()
	for range 3 { // the equation of time moves 30 s a day: the second is exact to 10 ms
		m := meeusAt(centuries(ns))
		ns -= int64(wrap(m.fast(ns).greenwich+float64(lon)*rad) / turning)
	}
	return time.Unix(0, ns).UTC()
}
