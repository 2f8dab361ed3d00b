package sim

import (
	"math"
	"time"

	"ampwake/sim/sky"
	"ampwake/sim/units"
)

// horizon watches the sun pass one altitude.
type horizon struct {
	altitude units.Degrees
	next     int64   // Unix ns of the next crossing as last predicted, or never
	look     int64   // when to predict again
	up       bool    // the sun was above in the middle of the last step
	seen     bool    // the sun was looked at since it was predicted
	speed    float64 // along the route when it was predicted
	steady   bool    // it has been so ever since
	asked    int64   // when it was predicted
}

// sameAltitude is how close two altitudes count as one, degrees: the sun passes
// from one to the other within a second.
const sameAltitude = 0.001

// newHorizons lists the altitudes at which steps are cut: sunrise and sunset,
// and what the loads watch.
func newHorizons(loads []Fixed) []horizon {
	hs := []horizon{{altitude: sky.Limb}}
	for _, l := range loads {
		w, ok := l.Load.(SunWatcher)
		if !ok {
			continue
		}
	each:
		for _, a := range w.Altitudes() {
			for _, h := range hs {
				if math.Abs(float64(h.altitude-a)) < sameAltitude {
					continue each
				}
			}
			hs = append(hs, horizon{altitude: a})
		}
	}
	return hs
}

// A prediction uses the present speed. An error of 8 kn moves the sun's passage
// by at most about 0.5 min for each hour of forecast below 60° of latitude, so
// looking again half an hour before leaves the last prediction exact. Beyond that
// latitude it is also made anew every hour in between when the speed has changed:
// towards the poles half a day of another speed is worth hours.
const (
	polar    = units.Degrees(60)
	nearLook = int64(30 * time.Minute)
	again    = int64(time.Hour)
)

// sunCut returns the earliest crossing in (now, end), or end.
func (p *passage) sunCut(end int64) int64 {
	for i := range p.horizons {
		h := &p.horizons[i]
		if h.speed != p.good() {
			h.steady = false
		}
		stale := !h.steady && (p.now >= h.look || h.next < end || p.now >= h.asked+again && p.polar())
		if p.now >= h.next || stale || h.next == never && p.now >= h.look {
			p.predict(h)
		}
		if h.next < end {
			end = h.next
		}
	}
	return end
}

// watchSun has the loads asked again when the sun stands on the other side of an
// altitude than in the step before. It looks at the sun itself and not at the
// forecast: should that have been wrong by some seconds (the boat changed her
// speed just then), a light must still not burn till the next crossing.
func (p *passage) watchSun() {
	for i := range p.horizons {
		h := &p.horizons[i]
		h.seen = true
		if up := p.c.Sun.Elevation >= h.altitude; up != h.up {
			h.up, p.dirty = up, true
		}
	}
}

// polar reports whether a forecast of the sun is soon out of date.
func (p *passage) polar() bool { return math.Abs(float64(p.c.Place.Lat)) > float64(polar) }

// good is the speed along the route.
func (p *passage) good() float64 { return float64(p.c.Speed) * p.along }

// early is how long before the sun may rise the night ends for the purposes of
// skipping it: the forecast of a sunrise hours ahead may be some minutes off.
const early = int64(20 * time.Minute)

// dark reports whether a step to end lies in the night, so that there is no need
// to ask for the sun. A trace wants it all the same, and so does a load that
// watches another altitude; towards the poles a forecast for another speed does not
// tell.
func (p *passage) dark(end int64) bool {
	h := &p.horizons[0]
	return !h.up && h.seen && p.trace == nil && len(p.horizons) == 1 && (h.steady || !p.polar()) && end < min(h.next, h.look+nearLook)-early
}

// predict finds the next crossing from the present place and speed.
func (p *passage) predict(h *horizon) {
	h.speed, h.seen, h.steady, h.asked = p.good(), false, true, p.now
	from := time.Unix(0, p.now).UTC()
	at, found := sky.NextCrossing(&p.almanac, from, 30*time.Hour, h.altitude, p.position)
	if !found {
		h.next, h.look = never, p.now+int64(12*time.Hour)
		return
	}
	h.next = at.UnixNano()
	if h.look = h.next - nearLook; h.look <= p.now {
		h.look = h.next
	}
}
