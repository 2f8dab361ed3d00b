package card

import (
	"time"

	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// still is a boat that stands in the middle of a zone, in its mean weather and
// under the sun of the median date, whatever her log says: what-if is asked of
// her. Her generator does not slow her: speeds are those that the log shows with
// the generator down.
type still struct {
	v      *sim.Voyage
	floor  units.Fraction
	route  *track.Route
	depart time.Time // ship's noon
	heel   units.Degrees
	sample climate.Sample
	sea    units.Celsius
}

// stand puts the boat into the middle of a zone.
func stand(v *sim.Voyage, z *Zone, c *Card) *still {
	route, err := track.Standing(track.Waypoint{Position: z.Place}, z.Course)
	if err != nil {
		panic("card: " + err.Error()) // a place of a route is a place
	}
	ship, _ := route.ZoneAt(0)
	noon := time.Unix(int64(shipDay(z.Middle, ship))*86400+43200-3600*int64(ship), 0).UTC()
	from := v.Weather(0).At(z.Middle, z.Place).WindFrom
	if c.Seeded {
		from = climate.NewMean(climate.Ocean()).At(z.Middle, z.Place).WindFrom
	}
	return &still{
		v: v, floor: c.Floor, route: route, depart: noon, heel: z.Heel, sea: z.Sea,
		sample: climate.Sample{WindSpeed: z.Wind, WindFrom: from, Cloud: z.Cloud, Air: z.Air, Sea: z.Sea},
	}
}

// asked is what is asked of a still boat.
type asked struct {
	speed   units.Knots
	charge  units.Fraction
	loads   []sim.Fixed
	sources []sim.Fitted
	hours   units.Hours
	floor   units.Fraction // a goal to stay above, 0: none
}

// voyage returns the voyage that answers.
func (b *still) voyage(a asked) *sim.Voyage {
	state := sim.UnderSail
	if a.speed <= 0 {
		state = sim.Drifting
	}
	weather := climate.Fixed{Sample: b.sample, Average: true}
	return &sim.Voyage{
		Depart: b.depart, Route: b.route, Limit: a.hours, Grid: b.v.Grid,
		Plan: []sim.Stretch{{Speed: a.speed, Heel: b.heel, State: state}},
		Bank: b.v.Bank, Charge: a.charge, Fuel: 1e4,
		Sources: a.sources, Loads: a.loads, Sky: b.v.Sky,
		Weather: func(int) sim.Weather { return weather },
		Goals:   sim.Goals{Above: a.floor},
	}
}

// running returns the loads with these indexes, without the rules by which the
// crew would shed them: what is kept running is kept running.
func (b *still) running(loads []int) []sim.Fixed {
	out := make([]sim.Fixed, len(loads))
	for i, l := range loads {
		out[i] = sim.Fixed{Load: b.v.Loads[l].Load, Spare: b.v.Loads[l].Spare}
	}
	return out
}

// free returns the sources that burn nothing and wait for no shore. If helper is
// not nil, those that it picks work for so many hours from ship's noon on.
func (b *still) free(helper func(sim.Source) bool, hours units.Hours) []sim.Fitted {
	var out []sim.Fitted
	for _, f := range b.v.Sources {
		if _, burns := f.Source.(sim.Burner); burns && (helper == nil || !helper(f.Source)) {
			continue
		}
		if _, follows := f.Source.(sim.Follower); follows {
			if _, burns := f.Source.(sim.Burner); !burns {
				continue
			}
		}
		if helper != nil && helper(f.Source) {
			if _, burns := f.Source.(sim.Burner); burns {
				f.Rule = nil // whenever the crew likes
			}
			f.Rule = until{f.Rule, b.depart.Add(time.Duration(float64(hours) * 3.6e12))}
		}
		out = append(out, f)
	}
	return out
}

// until is a rule that holds up to a moment.
type until struct {
	rule sim.Rule // nil: always
	end  time.Time
}

// Decide implements sim.Rule.
func (u until) Decide(c *sim.Conditions, inUse bool, since units.Hours) (use bool, why string) {
	switch {
	case !c.Start.Before(u.end):
		return false, "its hours are over"
	case u.rule == nil:
		return true, "asked for"
	}
	return u.rule.Decide(c, inUse, since)
}

// Edge cuts a step at the end.
func (u until) Edge(t time.Time, zone int) time.Time {
	next := time.Time{}
	if timed, ok := u.rule.(sim.Timed); ok {
		next = timed.Edge(t, zone)
	}
	if t.Before(u.end) && (next.IsZero() || u.end.Before(next)) {
		next = u.end
	}
	return next
}
