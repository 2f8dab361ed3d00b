package trial

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"ampwake/scenarios"
	"ampwake/scenarios/logbook"
	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// Logged is the boat of a scenario on the way of a log: its voyage has the log's
// weather, speeds and decisions.
type Logged struct {
	Scenario *scenarios.Scenario
	Log      *logbook.Log
	Voyage   *sim.Voyage
	// Miles is how far along the route of the voyage each row of the log is.
	Miles []float64
	// Own tells that the way is the log's own positions, not the scenario's route.
	Own bool
	// Notes tell what was taken for what the log does not say, Warnings what looks
	// wrong with the log beside this scenario.
	Notes, Warnings []string
}

// near is how far a log may begin from the scenario's departure to be of that
// voyage.
const near = 36 * time.Hour

// ErrShort is the error of a log of a single line.
var ErrShort = errors.New("one usable line is no trial: want two at least")

// OptionsFor returns what a log in ship's time without positions needs to know
// of a scenario: the zones of its route as planned.
func OptionsFor(s *scenarios.Scenario) logbook.Options {
	v := s.Voyage()
	return logbook.Options{Zone: func(wall time.Time) int {
		hours := wall.Sub(v.Depart).Hours()
		at := float64(v.Route.Length()) * max(0, hours) / max(1, planned(v))
		zone, _ := v.Route.ZoneAt(units.NauticalMiles(at))
		return zone
	}}
}

// planned is about how many hours the plan takes, by the speeds written in it.
func planned(v *sim.Voyage) float64 {
	hours, from := 0.0, 0.0
	for i := range v.Plan {
		s := &v.Plan[i]
		to := float64(v.Route.Length())
		if s.Until > 0 {
			to = min(to, float64(s.Until))
		}
		speed := float64(s.Speed)
		if speed <= 0 {
			speed = 5 // by the wind
		}
		leg := max(0, to-from) / speed
		if s.For > 0 && leg > float64(s.For) {
			leg = float64(s.For)
			to = from + leg*speed
		}
		hours += leg
		from = max(from, to)
	}
	return hours
}

// NewLogged puts the boat of a scenario on the way of a log.
func NewLogged(s *scenarios.Scenario, log *logbook.Log) (*Logged, error) {
	if len(log.Rows) < 2 {
		if n := len(log.Problems); n > 0 {
			return nil, fmt.Errorf("%s: %w; %d more were left out, such as %s", log.Name, ErrShort, n, log.Problems[0])
		}
		return nil, fmt.Errorf("%s: %w", log.Name, ErrShort)
	}
	l := &Logged{Scenario: s, Log: log, Notes: append([]string(nil), log.Notes...), Warnings: append([]string(nil), log.Warnings...)}
	from, to := log.Span()
	if to.Sub(from).Hours() > float64(sim.MaxLength) {
		return nil, fmt.Errorf("%s: its lines span %.0f days, more than the %.0f that a voyage may last: is a year mistyped?", log.Name, to.Sub(from).Hours()/24, float64(sim.MaxLength)/24)
	}
	plan := s.Voyage()
	v := *plan
	v.Depart, v.Limit = from, units.Hours(to.Sub(from).Hours())
	// The speeds of the log have the drag of the generator in them already.
	v.Hull, v.Faults, v.Stays, v.Zones, v.Notes = nil, nil, nil, nil, nil
	v.Goals = sim.Goals{}
	l.Voyage = &v
	l.departure(plan)
	if err := l.way(plan); err != nil {
		return nil, fmt.Errorf("%s: %w", log.Name, err)
	}
	if err := l.weather(plan); err != nil {
		return nil, fmt.Errorf("%s: %w", log.Name, err)
	}
	l.decisions()
	return l, nil
}

// Beside reports whether the log is of the scenario's own voyage, by its dates.
func (l *Logged) Beside() bool {
	from, _ := l.Log.Span()
	depart := l.Scenario.Voyage().Depart
	return from.After(depart.Add(-near)) && from.Before(depart.Add(time.Duration(planned(l.Scenario.Voyage())*float64(time.Hour))+near))
}

// departure looks whether the log begins when the voyage does, by the right
// clock.
func (l *Logged) departure(plan *sim.Voyage) {
	first := &l.Log.Rows[0]
	off := plan.Depart.Sub(first.Time)
	zone, _ := plan.Route.ZoneAt(0)
	if zone == 0 || off == 0 {
		return
	}
	ship := time.Duration(-zone) * time.Hour // what a ship's clock lags by
	switch {
	case !l.Log.Clock.Ship && (off-ship).Abs() <= 20*time.Minute:
		l.Warnings = append(l.Warnings, fmt.Sprintf("the log begins at %s by %s, the scenario departs at %s UTC, which is that hour by ship's time: if the clock was the ship's, head the column time [ship]",
			first.Wall.Format("15:04"), l.Log.Clock, plan.Depart.Format("15:04")))
	case l.Log.Clock.Ship && (off+ship).Abs() <= 20*time.Minute:
		l.Warnings = append(l.Warnings, fmt.Sprintf("the log begins at %s ship's time, the scenario departs at %s UTC: if the clock showed UTC, head the column time [UTC]",
			first.Wall.Format("15:04"), plan.Depart.Format("15:04")))
	}
}

// weather lays the log's weather over that of the scenario, or of the climate
// where the log is of another time or place.
func (l *Logged) weather(plan *sim.Voyage) error {
	t := l.timetable()
	under := plan.Weather
	if l.Own && !l.Beside() {
		if _, err := climate.Ocean().At(l.Voyage.Depart, start(l.Voyage.Route)); err == nil {
			under = func(int) sim.Weather { return climate.NewMean(climate.Ocean()) }
			l.note("what the log does not say of the weather is the mean of the ocean climate there")
		} else {
			l.note("what the log does not say of the weather is that of the scenario, though it is of another time")
		}
	}
	if from, _ := t.Span(); from.IsZero() {
		l.Voyage.Weather = under
		return nil
	}
	if _, err := climate.NewDated(t, climate.Fixed{}); err != nil {
		return err
	}
	l.Voyage.Weather = func(member int) sim.Weather {
		d, err := climate.NewDated(t, under(member))
		if err != nil {
			panic("trial: " + err.Error()) // tried above
		}
		return d
	}
	return nil
}

func start(r *track.Route) track.Position { p, _ := r.At(0); return p }

// note takes something for granted, once: a fit that sets out again says it again.
func (l *Logged) note(format string, args ...any) {
	if text := fmt.Sprintf(format, args...); !slices.Contains(l.Notes, text) {
		l.Notes = append(l.Notes, text)
	}
}

// steadySky is the time between cloud readings up to which they are taken for
// the sky itself and not for its mean.
const steadySky = 12 * time.Hour

// timetable makes the log's weather a timetable: a cloud holds from the middle
// between its reading and the one before to the middle to the next.
func (l *Logged) timetable() climate.Timetable {
	var t climate.Timetable
	var last time.Time
	var between time.Duration
	n := 0
	for i := range l.Log.Rows {
		r := &l.Log.Rows[i]
		if r.Cloud != nil {
			at := r.Time
			if n > 0 {
				between += r.Time.Sub(last)
				at = last.Add(r.Time.Sub(last) / 2)
			}
			t.Cloud.Knots = append(t.Cloud.Knots, climate.Knot[units.Fraction]{At: at, Value: *r.Cloud})
			last = r.Time
			n++
		}
		if r.Air != nil {
			t.Air.Knots = append(t.Air.Knots, climate.Knot[units.Celsius]{At: r.Time, Value: *r.Air})
		}
		if r.Sea != nil {
			t.Sea.Knots = append(t.Sea.Knots, climate.Knot[units.Celsius]{At: r.Time, Value: *r.Sea})
		}
	}
	t.Cloud.Steps = true
	switch {
	case n == 0:
		l.note("the log has no cloud: that of the scenario stands in")
	case n > 1:
		t.Average = between/time.Duration(n-1) > steadySky
	default:
		t.Average = true
	}
	return t
}

// hasWay reports whether a row tells of the way made.
func hasWay(r *logbook.Row) bool { return r.Place != nil || r.Run != nil || r.Speed != nil }

// given counts the rows that say how long something was in use.
func (l *Logged) given(of func(*logbook.Row) *units.Hours) int {
	return l.Log.Count(func(r *logbook.Row) bool { return of(r) != nil })
}

func downHours(r *logbook.Row) *units.Hours { return r.Generator }
func runHours(r *logbook.Row) *units.Hours  { return r.Engine }

// decisions has the generator and the engine in use when the log says so.
func (l *Logged) decisions() {
	kinds := l.Scenario.Kinds()
	fitted := append([]sim.Fitted(nil), l.Voyage.Sources...)
	has := map[string]bool{}
	for i := range fitted {
		f := &fitted[i]
		kind := kinds[f.Source.Name()]
		has[kind] = true
		switch {
		case kind == "hydro" && l.given(downHours) > 0:
			f.Rule = l.rule(f.Rule, downHours)
		case kind == "engine" && l.given(runHours) > 0:
			f.Rule = l.rule(f.Rule, runHours)
		}
	}
	l.Voyage.Sources = fitted
	for _, x := range []struct {
		kind, name string
		of         func(*logbook.Row) *units.Hours
	}{{"hydro", "generator", downHours}, {"engine", "engine", runHours}} {
		used := l.Log.Count(func(r *logbook.Row) bool { h := x.of(r); return h != nil && *h > 0 })
		switch n := l.given(x.of); {
		case used > 0 && !has[x.kind]:
			l.Warnings = append(l.Warnings, fmt.Sprintf("the log has hours of the %s, the scenario has none: they were left out", x.name))
		case n == 0 && has[x.kind]:
			l.note("the log does not say when the %s was in use: the scenario's own rule decides", x.name)
		case n > 0 && has[x.kind] && n < len(l.Log.Rows)-1:
			l.note("hours of the %s are missing in %d of %d lines: the scenario's own rule decides there", x.name, len(l.Log.Rows)-1-n, len(l.Log.Rows)-1)
		}
	}
}
