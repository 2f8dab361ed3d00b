package sim

import (
	"math"
	"sort"
	"time"

	"ampwake/sim/hull"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// Stretch is a part of the passage sailed in one manner. It ends at the first
// of its limits that is set; the last stretch of a plan lasts to the end.
type Stretch struct {
	Name  string
	Until units.NauticalMiles // distance along the route, 0: no such limit
	For   units.Hours         // 0: no such limit
	By    time.Time           // zero: no such limit

	State State
	Speed units.Knots // through the water, before the drag of a generator
	// Along is the share of the way through the water that is made good along the
	// route, >= 0; above 1 with a fair current. 0 stands for 1; with a Polar it is
	// not used.
	Along float64
	// Polar, when not nil, gives the speed from the wind in place of Speed.
	Polar *hull.Polar
	Heel  units.Degrees // starboard down positive
	// Leeward turns the heel away from the wind, whatever its sign.
	Leeward bool
	// Seamanship holds only with a Polar.
	Seamanship Seamanship
}

// Seamanship says when a crew stops sailing by the polar. The zero value never
// does.
type Seamanship struct {
	HeaveTo     units.Knots // true wind from which the boat heaves to, 0: never
	HoveToSpeed units.Knots
	MotorBelow  units.Knots // boat speed under which the engine is used, 0: never
	MotorSpeed  units.Knots
	DriftBelow  units.Knots // boat speed under which she counts as drifting
}

// mark is a place along the route where a step ends.
type mark struct {
	at   float64 // nm
	stay int     // index into Stays, or -1
	zone int     // ship's zone from here on
}

// marks lists, in order of distance, where the boat stays, where a stretch ends
// and where the ship's clock changes, with the zone that holds from each on.
func marks(r *track.Route, stays []Stay, plan []Stretch, faults []Fault) []mark {
	length := r.Length()
	var ms []mark
	add := func(at units.NauticalMiles, stay int) {
		at = min(at, length) // what lies beyond is never reached
		zone, _ := r.ZoneAt(at)
		ms = append(ms, mark{at: float64(at), stay: stay, zone: zone})
	}
	for _, until := r.ZoneAt(0); until < length; _, until = r.ZoneAt(until) {
		add(until, -1)
	}
	for i, s := range stays {
		add(s.At, i)
	}
	for _, s := range plan {
		if s.Until > 0 {
			add(s.Until, -1)
		}
	}
	for _, f := range faults {
		for _, at := range []units.NauticalMiles{f.Mark, f.From} {
			if at > 0 && at < length {
				add(at, -1)
			}
		}
	}
	add(length, -1)
	sort.SliceStable(ms, func(i, j int) bool { return ms[i].at < ms[j].at })
	return ms
}

// over reports whether the stretch that began at start (Unix ns) is over.
func (s *Stretch) over(start, now int64, sailed float64) bool {
	return s.Until > 0 && sailed >= float64(s.Until) || now >= s.ends(start)
}

// ends returns when the stretch ends by the clock, Unix ns.
func (s *Stretch) ends(start int64) int64 {
	end := int64(math.MaxInt64)
	if s.For > 0 {
		end = start + nanos(s.For)
	}
	if !s.By.IsZero() {
		end = min(end, s.By.UnixNano())
	}
	return end
}

// trim is how she sails in one wind. The wind holds for longer than a step.
type trim struct {
	of        *Stretch // nil: none yet
	wind      units.Knots
	angle     float64
	speed     units.Knots // by the polar
	along     float64
	starboard bool // the wind comes over the starboard side
}

// set sees to it that the trim is that of a stretch in a wind at an angle from the
// course.
func (t *trim) set(s *Stretch, wind units.Knots, angle float64) {
	if t.of == s && t.wind == wind && t.angle == angle {
		return
	}
	*t = trim{of: s, wind: wind, angle: angle, starboard: math.Sin(angle*math.Pi/180) > 0}
	if s.Polar != nil {
		t.speed, t.along = s.sail(wind, angle)
	}
}

// motion returns what the boat does under the weather in c on a course, and
// which share of the speed through the water is made good along it: less than
// 1 when she beats.
func (s *Stretch) motion(c *Conditions, course units.Degrees, t *trim) (state State, speed units.Knots, heel units.Degrees, along float64) {
	state, speed, heel, along = s.State, s.Speed, s.Heel, orOne(s.Along)
	wind := c.Weather.WindSpeed
	if s.Polar != nil || s.Leeward {
		t.set(s, wind, float64(c.Weather.WindFrom-course)) // from the bow, clockwise
	}
	if s.Polar != nil {
		speed, along = t.speed, t.along
		sea := &s.Seamanship
		switch {
		case sea.HeaveTo > 0 && wind >= sea.HeaveTo:
			state, speed, along = HoveTo, sea.HoveToSpeed, 1
		case sea.MotorBelow > 0 && speed < sea.MotorBelow && c.Fuel > 0:
			state, speed, along = Motoring, sea.MotorSpeed, 1
		case speed < sea.DriftBelow:
			state = Drifting
		}
	}
	if s.Leeward {
		heel = units.Degrees(math.Abs(float64(heel)))
		if t.starboard {
			heel = -heel
		}
	}
	return state, speed, heel, along
}

// Angles from the true wind at which the boat may beat, and the angle under
// which beating is worth a thought.
var beats = [...]float64{45, 50, 55, 60}

const beatUnder = 60.0

// sail returns the speed by the polar with the wind at an angle from the course,
// and the share of it made good. Close to the wind she sails by turns with the
// wind at ±θ from the bow: the two tacks in such shares that they add up to the
// course a make good cos θ/cos a of her speed. θ is the best of beats.
func (s *Stretch) sail(wind units.Knots, angle float64) (speed units.Knots, along float64) {
	speed, along = s.Polar.Speed(wind, units.Degrees(angle)), 1
	off := math.Abs(math.Remainder(angle, 360))
	if off >= beatUnder {
		return speed, along
	}
	best := float64(speed)
	cos := math.Cos(off * math.Pi / 180)
	for _, beat := range beats {
		if beat <= off {
			continue
		}
		v := s.Polar.Speed(wind, units.Degrees(beat))
		share := math.Cos(beat*math.Pi/180) / cos
		if good := float64(v) * share; good > best {
			best, speed, along = good, v, share
		}
	}
	return speed, along
}

func nanos(h units.Hours) int64 { return int64(math.Round(float64(h) * 3.6e12)) }

func hours(ns int64) float64 { return float64(ns) / 3.6e12 }
