package outlook

import (
	"context"
	"fmt"
	"math"
	"time"

	"ampwake/scenarios"
	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/sky"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// Day is 24 hours of a passage, or several days together.
type Day struct {
	From  time.Time      // UTC
	Hours units.Hours    // 24 or a multiple; less only if the whole passage is shorter
	Place track.Position // in the middle of it
	Means                // by the day; of the whole if Hours is less than 24
	Drawn units.AmpHours // by the loads, a day
	sums  sums
}

// Until returns the end of the span.
func (d *Day) Until() time.Time {
	return d.From.Add(time.Duration(float64(d.Hours) * float64(time.Hour)))
}

// Passage is a voyage through the climate's mean weather.
type Passage struct {
	Title       string
	Depart, End time.Time
	Arrived     bool
	Sailed      units.NauticalMiles
	Panels      []string // names of the panels
	Days        []Day    // of 24 hours from departure on
	// Left is the time at the end that makes no whole day and is in none of Days.
	Left  units.Hours
	Mean  Day // of all days
	Notes []sim.Note
}

// Along sails a scenario's voyage through the climate's mean weather, in place of
// what the file says of the weather, and returns what it meets day by day.
// Ampere-hours are reckoned at the bus voltage of each step, as in the ledgers of
// the voyage; what the panels offer counts in full, also where the bank refuses
// it.
//
// The error wraps climate.ErrInland where the route leads past no sea, or is that
// of the context.
func Along(ctx context.Context, s *scenarios.Scenario) (*Passage, error) {
	v, kinds := s.Voyage(), s.Kinds()
	w := *v
	w.Weather = func(int) sim.Weather { return climate.NewMean(climate.Ocean()) }
	res, err := w.Sail(ctx, sim.Options{Trace: true})
	if err != nil {
		return nil, err
	}
	p := &Passage{Title: res.Title, Depart: res.Depart, End: res.End, Arrived: res.Arrived, Sailed: res.Sailed, Notes: notes(s)}
	l := log{voyage: v, trace: res.Trace, table: climate.Ocean().Walk(), solar: make([]bool, len(res.Sources))}
	for i, s := range res.Sources {
		if l.solar[i] = kinds[s.Name] == "solar"; l.solar[i] {
			p.Panels = append(p.Panels, s.Name)
		}
	}
	if err := l.read(); err != nil {
		return nil, err
	}
	var all sums
	for i := range l.days {
		d := &l.days[i]
		if d.hours < 24-1e-6 && i > 0 {
			p.Left = units.Hours(d.hours)
			break
		}
		all.add(d)
		from := res.Depart.Add(time.Duration(i) * 24 * time.Hour)
		p.Days = append(p.Days, l.day(from, d))
	}
	if len(p.Days) > 0 {
		p.Mean = l.day(res.Depart, &all)
	}
	return p, nil
}

// notes tells what is left out of the file, and what of its own notes holds for
// where the boat is when.
func notes(s *scenarios.Scenario) []sim.Note {
	var ns []sim.Note
	w := &s.File.Weather
	byWind := false
	for i := range s.File.Voyage.Pace {
		byWind = byWind || s.File.Voyage.Pace[i].Speed.ByWind
	}
	own := w.From != "climate" || w.Record != "" || w.Wind != nil || len(w.Spells) > 0 ||
		w.Cloud.Amount != nil || len(w.Cloud.Values)+len(w.Cloud.Table) > 0 ||
		w.Air.Value != nil || w.Sea.Value != nil || len(w.Air.Points)+len(w.Sea.Points) > 0
	switch {
	case own && byWind:
		ns = append(ns, sim.Note{About: "weather", Text: "the climate's mean in place of what the file says: she sails by its wind, so that places and dates differ from those of run"})
	case own:
		ns = append(ns, sim.Note{About: "weather", Text: "the climate's mean in place of what the file says"})
	}
	if byWind {
		ns = append(ns, sim.Note{About: "pace", Text: "by the mean wind: no calm and no gale holds her up"})
	}
	for _, n := range s.Voyage().Notes {
		if n.About == "polar" || n.About == "drag" {
			ns = append(ns, n)
		}
	}
	return ns
}

// Spans joins days so that there are at most most of them, each of the same
// number of days but the last.
func (p *Passage) Spans(most int) []Day {
	every := 1
	for _, n := range []int{1, 2, 3, 4, 5, 7, 10, 14, 21, 28, 42, 56} {
		if every = n; (len(p.Days)+n-1)/n <= most {
			break
		}
	}
	var out []Day
	for i := 0; i < len(p.Days); i += every {
		part := p.Days[i:min(i+every, len(p.Days))]
		var s sums
		for j := range part {
			s.add(&part[j].sums)
		}
		d := newDay(part[0].From, &s)
		// The place in the middle: between two days where their number is even.
		d.Place = part[len(part)/2].Place
		if len(part)%2 == 0 {
			d.Place = between(part[len(part)/2-1].Place, d.Place, 0.5)
		}
		out = append(out, d)
	}
	return out
}

// log reads a trace.
type log struct {
	voyage *sim.Voyage
	trace  *sim.Trace
	table  climate.Walker
	solar  []bool
	days   []sums
}

// read sums the trace by days from departure.
func (l *log) read() error {
	t := l.trace
	const day = 24 * time.Hour
	var almanac sky.Almanac
	for k := 0; k+1 < len(t.Time); k++ {
		from, to := t.Time[k].Sub(t.Time[0]), t.Time[k+1].Sub(t.Time[0])
		middle := t.Time[k].Add((to - from) / 2)
		place := between(l.place(k), l.place(k+1), 0.5)
		cell, err := l.table.At(middle, place)
		if err != nil {
			return fmt.Errorf("the route lies inland near %v, on %s: %w", place, middle.Format("2 Jan 2006"), climate.ErrInland)
		}
		sun := almanac.Sun(middle, place.Lat, place.Lon)
		clear := float64(l.voyage.Sky.ClearGlobal(&sun))
		solar, drawn := 0.0, 0.0
		for i, w := range t.Sources {
			if l.solar[i] {
				solar += float64(w[k])
			}
		}
		for _, w := range t.Loads {
			drawn += float64(w[k])
		}
		// A step may lie in two days.
		for a := from; a < to; {
			b := min(to, a-a%day+day)
			h := (b - a).Hours()
			s := l.of(int(a / day))
			s.weather(&cell, h)
			s.clear += clear * h
			s.expected += float64(t.Global[k]) * h
			s.array += solar / float64(t.Bus[k]) * h
			s.drawn += drawn / float64(t.Bus[k]) * h
			if t.Sun[k] < sky.Limb {
				s.night += h
			}
			a = b
		}
	}
	for i := range l.days {
		l.days[i].scatter()
	}
	return nil
}

// of returns the sums of a day.
func (l *log) of(day int) *sums {
	for len(l.days) <= day {
		l.days = append(l.days, sums{})
	}
	return &l.days[day]
}

func (l *log) place(k int) track.Position {
	return track.Position{Lat: l.trace.Lat[k], Lon: l.trace.Lon[k]}
}

// day makes a day of its sums.
func (l *log) day(from time.Time, s *sums) Day {
	d := newDay(from, s)
	middle := from.Add(d.Until().Sub(from) / 2)
	k := 0
	for k+2 < len(l.trace.Time) && !l.trace.Time[k+1].After(middle) {
		k++
	}
	share := float64(middle.Sub(l.trace.Time[k])) / float64(l.trace.Time[k+1].Sub(l.trace.Time[k]))
	d.Place = between(l.place(k), l.place(k+1), max(0, min(1, share)))
	return d
}

func newDay(from time.Time, s *sums) Day {
	hours := units.Hours(math.Round(s.hours*1e6) / 1e6)
	return Day{From: from, Hours: hours, Means: s.means(), Drawn: units.AmpHours(s.drawn / max(1, s.hours/24)), sums: *s}
}

// between returns the place at a share of the way from one place to another one
// near it, the shorter way round.
func between(a, b track.Position, share float64) track.Position {
	turn := math.Remainder(float64(b.Lon-a.Lon), 360)
	lon := float64(a.Lon) + share*turn
	switch {
	case lon > 180:
		lon -= 360
	case lon <= -180:
		lon += 360
	}
	return track.Position{Lat: a.Lat + units.Degrees(share*float64(b.Lat-a.Lat)), Lon: units.Degrees(lon)}
}
