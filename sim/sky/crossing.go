package sky

import (
	"math"
	"time"

	"ampwake/sim/units"
)

// NextCrossing returns the next instant after from, up to about from+horizon,
// at which the true elevation of the sun passes the given altitude, rising or
// setting, as seen from a boat that moves: where tells her place at any moment
// of that span. found is false if there is none, as in polar day and night.
//
// The instant is the first whole second with the sun on the other side, so it
// is up to 1 s late, never early, and asking again from it finds the next
// crossing, not the same one. It can lie up to 1 s past the horizon.
//
// Grazing passes near the poles are found too unless they last less than about
// a minute, for latitudes within ±85° and speeds up to 30 knots.
func NextCrossing(a *Almanac, from time.Time, horizon time.Duration, altitude units.Degrees,
	where func(time.Time) (lat, lon units.Degrees),
) (at time.Time, found bool) {
	w := watch{a, math.Sin(float64(altitude) * rad), where}
	start := from.UnixNano()
	end := start + int64(horizon)
	for p := w.look(start); p.ns < end; {
		q := w.extreme(p, end)
		if p.above() == q.above() {
			q = w.graze(p, q)
		}
		if p.above() != q.above() {
			return w.settle(p, q), true
		}
		p = q
	}
	return time.Time{}, false
}

// watch is a boat looking at the sun against one altitude.
type watch struct {
	almanac *Almanac
	sine    float64 // of the altitude
	where   func(time.Time) (lat, lon units.Degrees)
}

// sight is what she sees at one instant.
type sight struct {
	ns    int64
	hour  float64 // local hour angle, (-π, π]
	over  float64 // sine of the elevation less that of the altitude
	swing float64 // cos φ cos δ
}

func (s sight) above() bool { return s.over >= 0 }

// turning is how fast the hour angle grows for a boat at rest, rad/ns. A boat
// under way changes it by a few per cent, which the searches iterate out.
const turning = 2 * math.Pi / float64(day)

func (w *watch) look(ns int64) sight {
	lat, lon := w.where(time.Unix(0, ns).UTC())
	up, hour, swing := w.almanac.at(ns).height(float64(lat)*rad, float64(lon)*rad)
	return sight{ns, hour, up - w.sine, swing}
}

// extreme returns the sight at the next noon or midnight (hour angle 0 or π)
// after p, or at the end if that comes first. Between two of these the sun
// climbs or sinks all the time, but for the boat's own motion: see graze.
func (w *watch) extreme(p sight, end int64) sight {
	const close = 2e-3 // rad, 27 s: p may itself be an extreme, found so well
	target := math.Pi
	if p.hour < -close || p.hour > math.Pi-close {
		target = 0
	}
	ahead := target - p.hour
	if ahead < 0 {
		ahead += 2 * math.Pi
	}
	ns := p.ns + int64(ahead/turning)
	for range 8 { // one round at rest, two at 10 knots, more near the poles
		if ns >= end {
			break
		}
		q := w.look(ns)
		off := wrap(q.hour - target)
		if math.Abs(off) < close {
			return q
		}
		ns = max(ns-int64(off/turning), p.ns+int64(time.Minute))
	}
	return w.look(min(ns, end))
}

// Limits of the search for grazing passes: see graze.
const (
	fastest = 30.0 / 60 * rad / float64(time.Hour) // speed of the boat on the sphere, rad/ns
	nearby  = 3 * int64(time.Hour)                 // how far motion shifts an extreme
)

// graze looks for the opposite side between two sights on the same side and
// returns q if there is none. The sun's elevation is then highest or lowest a
// little beside noon or midnight, because the boat sails towards or from it:
// with the elevation's rate v from the motion, beside by v/(swing·ω²) and
// higher by v²/(2·swing·ω²), or four times that seen from where the slope of
// the turning is still under v.
func (w *watch) graze(p, q sight) sight {
	for _, s := range [2]sight{p, q} {
		slope := math.Abs(s.swing * math.Sin(s.hour) * turning)
		reach := 2 * fastest * fastest / (s.swing * turning * turning)
		if slope > fastest || math.Abs(s.over) > reach {
			continue // cannot turn round here, or not far enough
		}
		lo, hi := max(p.ns, s.ns-nearby), min(q.ns, s.ns+nearby)
		if g, ok := w.otherSide(lo, hi, p.above()); ok {
			return g
		}
	}
	return q
}

// otherSide looks for the other side within [lo, hi] by golden section towards
// it, to half a minute.
func (w *watch) otherSide(lo, hi int64, above bool) (sight, bool) {
	const golden = 0.6180339887498949
	sign := 1.0
	if !above {
		sign = -1
	}
	x := w.look(hi - int64(golden*float64(hi-lo)))
	y := w.look(lo + int64(golden*float64(hi-lo)))
	for hi-lo > 30*int64(time.Second) {
		switch {
		case x.above() != above:
			return x, true
		case y.above() != above:
			return y, true
		}
		if sign*x.over < sign*y.over {
			hi, y = y.ns, x
			x = w.look(hi - int64(golden*float64(hi-lo)))
		} else {
			lo, x = x.ns, y
			y = w.look(lo + int64(golden*float64(hi-lo)))
		}
	}
	return sight{}, false
}

// settle returns the first whole second after the crossing between p and q.
func (w *watch) settle(p, q sight) time.Time {
	const second = int64(time.Second)
	root := w.root(p, q)
	at := root - root%second
	for at < root || at <= p.ns {
		at += second
	}
	// The root is good to a millisecond: make sure of the side.
	for i := 0; i < 2 && at < q.ns && w.look(at).above() == p.above(); i++ {
		at += second
	}
	return time.Unix(0, at).UTC()
}

// root returns the crossing between two sights on different sides, in Unix ns
// to a millisecond: Newton's method on the hour angle, kept inside the bracket.
func (w *watch) root(p, q sight) int64 {
	const enough = int64(time.Millisecond)
	lo, hi := p.ns, q.ns
	below := !p.above() // then the sun rises in between
	// First guess: p's latitude and declination held.
	x := clockFor(p, below)
	for last := hi - lo; hi-lo > enough; {
		if x <= lo || x >= hi {
			x = lo + (hi-lo)/2
		}
		s := w.look(x)
		if s.above() == p.above() {
			lo = x
		} else {
			hi = x
		}
		step := -s.over / (-s.swing * math.Sin(s.hour) * turning) // Newton
		if !(math.Abs(step) < float64(last)/2) {                  // or NaN
			last = hi - lo
			x = lo + last/2
			continue
		}
		last = int64(math.Abs(step))
		if last <= enough {
			return x + int64(step)
		}
		x += int64(step)
	}
	return hi
}

// clockFor returns when the sun would pass the altitude if p's latitude and
// declination held, on the way up or down: the half arc of [Meeus 1998] eq. 15.1.
func clockFor(p sight, rising bool) int64 {
	arc := math.Acos(max(-1, min(1, math.Cos(p.hour)-p.over/p.swing)))
	if rising {
		arc = -arc
	}
	ahead := arc - p.hour
	if ahead < 0 {
		ahead += 2 * math.Pi
	}
	return p.ns + int64(ahead/turning)
}
