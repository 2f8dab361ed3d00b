package scenarios

import (
	"fmt"
	"math"
	"strings"

	"ampwake/scenarios/form"
	"ampwake/sim"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

func (a *assembly) pace() {
	last := len(a.file.Voyage.Pace) - 1
	if last < 0 {
		if a.clean("voyage.pace") {
			a.doc.Problem("voyage.pace", "a pace needs one stretch at least")
		}
		return
	}
	for i := range a.file.Voyage.Pace {
		p := &a.file.Voyage.Pace[i]
		at := fmt.Sprintf("voyage.pace[%d]", i)
		if !a.clean(at) {
			continue
		}
		s := sim.Stretch{Name: p.Note, For: p.For, State: p.State.state(), Speed: p.Speed.Knots, Heel: p.Heel.Angle, Leeward: p.Heel.Leeward}
		if p.By != nil {
			s.By = p.By.At(a.zone)
			if a.route != nil && !s.By.After(a.depart) {
				a.doc.Problem(at+".to date", "%v is not after the departure", *p.By)
			}
		}
		if p.Until != "" {
			s.Until = a.until(string(p.Until), at+".until")
		}
		if p.Speed.ByWind {
			s.Polar = a.polar()
			s.Seamanship = sim.Seamanship{HoveToSpeed: p.HoveTo, MotorSpeed: p.MotorAt, DriftBelow: p.DriftBelow}
			if p.HeaveTo != nil {
				s.Seamanship.HeaveTo = *p.HeaveTo
			}
			if p.MotorBelow != nil {
				s.Seamanship.MotorBelow = *p.MotorBelow
			}
			if w := &a.file.Weather; w.Wind == nil && w.From != "climate" && w.Record == "" && a.clean("weather") {
				want(a.doc.Problem(at+".speed", "by wind, but the weather has none"), "weather: climate, weather.wind or weather.record")
			}
		}
		limited := s.For > 0 || p.By != nil || p.Until != ""
		if !limited && i < last {
			want(a.doc.Problem(at, "this stretch has no end, so those after it are never sailed"), "until, for or to date")
		}
		if i == last && (s.For > 0 || p.By != nil || s.Until > 0 && a.route != nil && s.Until < a.route.Length()) {
			a.noted("pace", "the last stretch goes on after the end that it is given, since none follows")
		}
		if s.Speed == 0 && !p.Speed.ByWind && p.Until != "" && s.For == 0 && p.By == nil && i < last {
			a.doc.Problem(at+".speed", "at 0 kn she never gets there: give for or to date too")
		}
		if s.Speed == 0 && !p.Speed.ByWind && i == last && a.file.Voyage.For == 0 {
			a.doc.Problem(at+".speed", "the last stretch lasts to the end: at 0 kn she never arrives")
		}
		a.out.Plan = append(a.out.Plan, s)
	}
	if a.route == nil {
		return
	}
	if hours := float64(a.route.Length()) / math.Max(0.01, float64(a.file.Voyage.Pace[last].Speed.Knots)); a.clean("voyage") &&
		a.file.Voyage.For == 0 && !a.file.Voyage.Pace[last].Speed.ByWind && hours > 4*float64(sim.MaxLength) {
		a.doc.Problem(fmt.Sprintf("voyage.pace[%d].speed", last), "at this pace she is under way for more than %v: give a higher speed, or voyage.for", sim.MaxLength)
	}
}

// until finds the distance along the route of a waypoint or a latitude.
func (a *assembly) until(text, path string) units.NauticalMiles {
	if len(a.names) == 0 {
		return 0 // the GPX file has a problem already
	}
	var names []string
	for i, name := range a.names {
		if strings.EqualFold(name, strings.TrimSpace(text)) && i > 0 {
			if a.route == nil {
				return 0
			}
			return a.route.Mark(i)
		}
		if i > 0 && name != "" {
			names = append(names, name)
		}
	}
	lat, ok := latitude(text)
	if !ok {
		p := a.doc.Problem(path, "%q is neither a waypoint ahead nor a latitude like 5°N", text)
		p.Hint = form.Nearest(text, names)
		if len(names) > 0 {
			want(p, "one of "+strings.Join(names[:min(len(names), mostNames)], ", ")+", or a latitude")
		}
		return 0
	}
	if a.route == nil {
		return 0
	}
	d, found := crossing(a.route, lat)
	if !found {
		a.doc.Problem(path, "the route never reaches the latitude of %s", text)
	}
	return d
}

// latitude reads "5°N" or "12°30'S".
func latitude(text string) (units.Degrees, bool) {
	p, err := track.ParsePosition(strings.TrimSpace(text) + " 0°E")
	return p.Lat, err == nil
}

// crossing finds the first place, after the start, where the route passes a
// latitude.
func crossing(r *track.Route, lat units.Degrees) (units.NauticalMiles, bool) {
	length := float64(r.Length())
	side := func(d float64) bool {
		p, _ := r.At(units.NauticalMiles(d))
		return p.Lat >= lat
	}
	const pace = 10.0
	start := side(0)
	for d := pace; d < length+pace; d += pace {
		if side(math.Min(d, length)) == start {
			continue
		}
		lo, hi := d-pace, math.Min(d, length)
		for hi-lo > 1e-6 {
			if m := (lo + hi) / 2; side(m) == start {
				lo = m
			} else {
				hi = m
			}
		}
		return units.NauticalMiles(hi), true
	}
	return 0, false
}
