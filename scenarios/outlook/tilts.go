package outlook

import (
	"time"

	"ampwake/sim"
	"ampwake/sim/sky"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// Tilts is what a panel makes in a month at a place by how it is mounted.
type Tilts struct {
	Place track.Position
	Month time.Month
	// Towards is the true direction of the noon sun, 0° or 180°.
	Towards units.Degrees
	Trims   int // times a day that the crew turns it, for Tilt.Trimmed
	Rows    []Tilt
	// Free is what a panel makes that is turned Trims times a day, tilt and all.
	Free units.AmpHours
}

// Tilt is one tilt of the panel. Ampere-hours are a day, at BusVolts.
type Tilt struct {
	Tilt    units.Degrees
	Swings  units.AmpHours // the heading is by chance: mean over all of them
	Towards units.AmpHours // it looks to the noon sun, boat at rest
	Trimmed units.AmpHours // turned to the sun by the crew
}

// tilts of the table.
var tilts = []units.Degrees{0, 15, 30, 45, 60, 90}

// InMonth returns what a panel makes in a month at a place at tilts from flat to
// upright. Tilt, Facing, Trims and FreeTilt of the panel do not count. The errors
// are those of Months.
func InMonth(place track.Position, m time.Month, p Panel) (*Tilts, error) {
	_, weather, err := at(place, m)
	if err != nil {
		return nil, err
	}
	t := &Tilts{Place: place, Month: m, Towards: 180, Trims: 3}
	if north(place, m) {
		t.Towards = 0
	}
	type sum struct {
		of array
		to *units.AmpHours
	}
	var all []sum
	mount := func(to *units.AmpHours, tilt units.Degrees, swings bool, trims int, free bool) {
		q := p
		q.Tilt, q.Facing, q.Swings, q.Trims, q.FreeTilt = tilt, t.Towards, swings, trims, free
		a, bad := q.array()
		if bad != nil {
			err = bad
		}
		all = append(all, sum{a, to})
	}
	t.Rows = make([]Tilt, len(tilts))
	for i, tilt := range tilts {
		r := &t.Rows[i]
		r.Tilt = tilt
		mount(&r.Swings, tilt, true, 0, false)
		mount(&r.Towards, tilt, false, 0, false)
		mount(&r.Trimmed, tilt, false, t.Trims, false)
	}
	mount(&t.Free, 0, false, t.Trims, true)
	if err != nil {
		return nil, err
	}
	first, next := sunny(m, place)
	perDay := 24 / next.Sub(first).Hours() / float64(BusVolts)
	var model sky.Model
	skies := skiesOf(&weather, place.Lat)
	daylight(first, next, place, weather, &model, func(c *sim.Conditions, _ float64) {
		for i := range all {
			*all[i].to += units.AmpHours(all[i].of.offer(c, &model, &skies) * float64(c.Length) * perDay)
		}
	})
	return t, nil
}
