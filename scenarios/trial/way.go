package trial

import (
	"fmt"
	"math"
	"time"

	"ampwake/scenarios/logbook"
	"ampwake/sim"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// way puts the voyage on the log's positions, or on the scenario's route if there
// are fewer than two, at the log's speeds.
func (l *Logged) way(plan *sim.Voyage) error {
	rows := l.Log.Rows
	var fixes []fix
	for i := range rows {
		if rows[i].Place != nil {
			fixes = append(fixes, fix{row: i, place: *rows[i].Place})
		}
	}
	speeds := l.speeds()
	if len(fixes) < 2 {
		return l.along(plan, speeds)
	}
	l.Own = true
	if err := l.between(plan, fixes, speeds); err != nil {
		return err
	}
	l.disputed(fixes, speeds)
	if _, off := nearest(plan.Route, fixes[0].place, math.NaN()); l.Beside() && off > elsewhere {
		l.Warnings = append(l.Warnings, fmt.Sprintf("line %d stands %.0f miles off the route of the scenario, at the time of its voyage: if E and W or N and S changed places, the sun stands elsewhere", rows[fixes[0].row].Line, off))
	}
	return nil
}

// disputed warns where the speeds of the log do not come to the miles between its
// positions: by half as much again and more than a current of the open sea makes
// in the time, in half of the stretches.
func (l *Logged) disputed(fixes []fix, speeds []float64) {
	const (
		differ  = 1.5
		current = 1.0 // kn
	)
	bad, all := 0, 0
	for i := 1; i < len(fixes); i++ {
		run, way := fixes[i].miles-fixes[i-1].miles, 0.0
		for k := fixes[i-1].row; k < fixes[i].row; k++ {
			way += speeds[k] * l.Log.Rows[k+1].Time.Sub(l.Log.Rows[k].Time).Hours()
		}
		if math.IsNaN(way) {
			continue
		}
		all++
		hours := l.Log.Rows[fixes[i].row].Time.Sub(l.Log.Rows[fixes[i-1].row].Time).Hours()
		if max(run, way) > differ*min(run, way) && math.Abs(run-way) > current*hours {
			bad++
		}
	}
	if bad >= 3 && 2*bad >= all {
		l.Warnings = append(l.Warnings, fmt.Sprintf("the speeds do not come to the miles between the positions in %d of %d stretches: did the speed change places with another column, or is it in another unit?", bad, all))
	}
}

// fix is a position of the log.
type fix struct {
	row   int
	place track.Position
	miles float64 // along the route
}

// speeds returns the speed through the water between each row and the next, NaN
// where the log does not say: the reading at the end of it, which is the mean
// since the row before or as good as that, else the one at its beginning.
func (l *Logged) speeds() []float64 {
	rows := l.Log.Rows
	out := make([]float64, len(rows)-1)
	for i := range out {
		switch {
		case rows[i+1].Speed != nil:
			out[i] = float64(*rows[i+1].Speed)
		case rows[i].Speed != nil:
			out[i] = float64(*rows[i].Speed)
		default:
			out[i] = math.NaN()
		}
	}
	return out
}

// between builds a route through the fixes. What lies before the first and after
// the last of them is sailed on by the speeds.
func (l *Logged) between(plan *sim.Voyage, fixes []fix, speeds []float64) error {
	var sphere track.Sphere
	points := []track.Waypoint{{Position: fixes[0].place, Line: track.RhumbLine}}
	for i := 1; i < len(fixes); i++ {
		leg, err := sphere.RhumbLine(points[len(points)-1].Position, fixes[i].place)
		if err != nil {
			return err
		}
		fixes[i].miles = fixes[i-1].miles
		if leg.Length() > 0.05 { // else she has not moved
			fixes[i].miles += float64(leg.Length())
			points = append(points, track.Waypoint{Position: fixes[i].place, Line: track.RhumbLine})
		}
	}
	known := make([]float64, len(l.Log.Rows))
	for i := range known {
		known[i] = math.NaN()
	}
	for _, f := range fixes {
		known[f.row] = f.miles
	}
	for i := range fixes[0].row { // lies at the first fix until then
		known[i] = 0
	}
	l.fill(known, speeds)
	// On past the last fix, and some miles more so that she does not arrive.
	last := points[len(points)-1].Position
	course := units.Degrees(90)
	if n := len(points); n > 1 {
		leg, err := sphere.RhumbLine(points[n-2].Position, last)
		if err != nil {
			return err
		}
		_, course = leg.At(0)
	}
	beyond := known[len(known)-1] - fixes[len(fixes)-1].miles + 20
	end, err := sphere.DeadReckon(track.RhumbLine, last, course, units.NauticalMiles(beyond))
	if err != nil {
		return err
	}
	points = append(points, track.Waypoint{Position: end, Line: track.RhumbLine})
	route, err := track.NewRoute(sphere, points)
	if err != nil {
		return err
	}
	l.Voyage.Route = route
	l.stretches(plan, known, speeds)
	return nil
}

// along keeps to the scenario's route, from its beginning, by the runs of the log
// or else by its speeds, or else by the plan's.
func (l *Logged) along(plan *sim.Voyage, speeds []float64) error {
	rows := l.Log.Rows
	if !l.Beside() {
		l.Warnings = append(l.Warnings, "the log has no positions and is of another time than the scenario's voyage: the way of the scenario is taken, though the sun may stand elsewhere; give positions")
	}
	known := make([]float64, len(rows))
	for i := range known {
		known[i] = math.NaN()
	}
	known[0] = 0
	runs := 0
	at := 0.0
	for i := 1; i < len(rows); i++ {
		if rows[i].Run != nil {
			at += float64(*rows[i].Run)
			known[i] = at
			runs++
		}
	}
	some := false
	for _, s := range speeds {
		some = some || !math.IsNaN(s)
	}
	if runs == 0 && !some {
		l.note("the log has no positions, runs or speeds: she sails as planned")
		l.planned(plan)
		return nil
	}
	l.note("the log has no positions: the way is that of the scenario")
	l.fill(known, speeds)
	most := float64(plan.Route.Length()) * 0.999
	for i := range known {
		known[i] = min(known[i], most)
	}
	l.stretches(plan, known, speeds)
	return nil
}

// planned finds where the plan has her at each row.
func (l *Logged) planned(plan *sim.Voyage) {
	l.Voyage.Plan = plan.Plan
	l.Miles = make([]float64, len(l.Log.Rows))
	hours := planned(plan)
	for i := range l.Miles {
		h := l.Log.Rows[i].Time.Sub(l.Log.Rows[0].Time).Hours()
		l.Miles[i] = float64(plan.Route.Length()) * min(1, h/max(1, hours))
	}
}

// fill gives every row a distance: between two that are known in proportion to
// the speeds, and beyond the last by the speeds.
func (l *Logged) fill(known, speeds []float64) {
	hours := func(i int) float64 { return l.Log.Rows[i+1].Time.Sub(l.Log.Rows[i].Time).Hours() }
	mean, n := 0.0, 0
	for _, s := range speeds {
		if !math.IsNaN(s) {
			mean += s
			n++
		}
	}
	mean /= float64(max(1, n))
	speed := func(i int) float64 {
		if math.IsNaN(speeds[i]) {
			return mean
		}
		return speeds[i]
	}
	last := 0
	for i := 1; i < len(known); i++ {
		if math.IsNaN(known[i]) {
			continue
		}
		way, run := 0.0, known[i]-known[last]
		for k := last; k < i; k++ {
			way += speed(k) * hours(k)
		}
		sum, all := 0.0, l.Log.Rows[i].Time.Sub(l.Log.Rows[last].Time).Hours()
		for k := last; k < i-1; k++ {
			share := hours(k) / all
			if way > 0 {
				share = speed(k) * hours(k) / way
			}
			sum += share
			known[k+1] = known[last] + float64(run*sum)
		}
		last = i
	}
	for i := last + 1; i < len(known); i++ {
		known[i] = known[i-1] + float64(speed(i-1)*hours(i-1))
	}
}

// slowest is the speed at which the engine moves a boat that lies still: none
// would never end.
const slowest = 0.05

// stretches makes one stretch of the plan for each time between two rows, with
// the speed of the log and what is made good of it along the route. Heel and
// state are those of the scenario's plan at that distance.
func (l *Logged) stretches(plan *sim.Voyage, miles, speeds []float64) {
	rows := l.Log.Rows
	l.Miles = miles
	l.Voyage.Plan = nil
	for i := range speeds {
		h := rows[i+1].Time.Sub(rows[i].Time).Hours()
		good := (miles[i+1] - miles[i]) / h
		speed := speeds[i]
		if math.IsNaN(speed) {
			speed = good
		}
		s := like(plan, miles[i], l.Own && !l.Beside())
		s.Speed = units.Knots(max(slowest, speed))
		s.Along = max(1e-6, good/float64(s.Speed)) // 0 would stand for 1
		s.By = rows[i+1].Time
		l.Voyage.Plan = append(l.Voyage.Plan, s)
	}
}

// like returns heel and state of the plan's stretch at a distance, those of its
// first one elsewhere.
func like(plan *sim.Voyage, miles float64, elsewhere bool) sim.Stretch {
	k := 0
	for !elsewhere && k < len(plan.Plan)-1 && plan.Plan[k].Until > 0 && miles >= float64(plan.Plan[k].Until) {
		k++
	}
	s := &plan.Plan[k]
	return sim.Stretch{Name: s.Name, State: s.State, Heel: s.Heel, Leeward: s.Leeward}
}

// Now returns the last row with the time, and how far the log goes.
func (l *Logged) Now() (row *logbook.Row, at time.Time) {
	row = &l.Log.Rows[len(l.Log.Rows)-1]
	return row, row.Time
}
