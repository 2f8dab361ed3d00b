package sky

import (
	"math"
	"time"

	"ampwake/sim/units"
)

// knot is the spacing at which an Almanac computes the slow terms in full.
const knot = 6 * int64(time.Hour)

// Almanac gives the sun quickly. It computes the slow terms (declination,
// equation of time, distance) at 00, 06, 12 and 18 h UTC and goes straight
// between, which moves the sun by less than 1e-4° on the sky (7e-5° of it in the
// declination). Answers depend only on the question, not on earlier ones.
//
// The zero value is ready. An Almanac remembers what it computed, so it belongs
// to one voyage: it is not safe for concurrent use.
type Almanac struct {
	pages [16]page // four days
}

// page holds the slow terms of one span between knots: values at its start and
// their change per nanosecond. greenwich contains the turning of the earth.
type page struct {
	start     int64 // Unix ns
	value     fast
	slope     fast
	end       meeus // at the end of the span, the start of the next
	something bool
}

// Sun returns the sun at t from one place in standard air, as At does.
func (a *Almanac) Sun(t time.Time, lat, lon units.Degrees) Sun {
	return a.at(t.UnixNano()).sun(float64(lat)*rad, float64(lon)*rad)
}

// SinElevation returns the sine of the true elevation of the sun's centre: the
// cheapest question.
func (a *Almanac) SinElevation(t time.Time, lat, lon units.Degrees) float64 {
	up, _, _ := a.at(t.UnixNano()).height(float64(lat)*rad, float64(lon)*rad)
	return up
}

// at returns the sun for all places at an instant.
func (a *Almanac) at(ns int64) fast {
	k := ns / knot
	if k*knot > ns {
		k-- // before 1970
	}
	p := &a.pages[uint64(k)%uint64(len(a.pages))]
	if p.start != k*knot || !p.something {
		a.turnTo(k)
	}
	dt := float64(ns - p.start)
	return fast{
		greenwich: p.value.greenwich + float64(dt*p.slope.greenwich),
		sinDec:    p.value.sinDec + float64(dt*p.slope.sinDec),
		dec:       p.value.dec + float64(dt*p.slope.dec),
		distance:  p.value.distance + float64(dt*p.slope.distance),
	}
}

// turnTo fills the page of span k.
func (a *Almanac) turnTo(k int64) {
	n := uint64(len(a.pages))
	p, before := &a.pages[uint64(k)%n], &a.pages[uint64(k-1)%n]
	start := k * knot
	first := before.end
	if before.start != start-knot || !before.something {
		first = meeusAt(centuries(start))
	}
	last := meeusAt(centuries(start + knot))
	u, v := first.fast(start), last.fast(start+knot)
	const span = float64(knot)
	*p = page{
		start: start,
		value: u,
		slope: fast{
			greenwich: 2*math.Pi/float64(day) + (last.equation-first.equation)/span,
			sinDec:    (v.sinDec - u.sinDec) / span,
			dec:       (v.dec - u.dec) / span,
			distance:  (v.distance - u.distance) / span,
		},
		end:       last,
		something: true,
	}
}
