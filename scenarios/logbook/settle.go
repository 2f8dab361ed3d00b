package logbook

import (
	"fmt"
	"math"
	"strings"
	"time"

	"ampwake/sim/track"
	"ampwake/sim/units"
)

func (l *Log) drop(line int, column, format string, args ...any) {
	l.Problems = append(l.Problems, Problem{line, column, fmt.Sprintf(format, args...)})
}

// settle turns the log's clock into UTC and leaves out what contradicts the
// rest.
func (l *Log) settle(opt Options) {
	l.repeats()
	l.toUTC(opt)
	l.order()
	if l.fixes() && l.Clock.Ship { // a wrong position gave a wrong zone
		l.toUTC(opt)
		l.order()
	}
	l.hours()
	l.clockDoubts()
	l.gaps()
}

// repeats leaves out a line that says the same as one above it at the same time.
func (l *Log) repeats() {
	rows := l.Rows[:0]
	first := map[int64]int{} // index into rows, by the clock
	for i := range l.Rows {
		r := l.Rows[i]
		j, twice := first[r.Wall.Unix()]
		switch {
		case !twice:
			first[r.Wall.Unix()] = len(rows)
			rows = append(rows, r)
		case says(&rows[j]) == says(&r):
			l.drop(r.Line, "", "it repeats line %d: it was left out", rows[j].Line)
		default:
			l.drop(r.Line, "", "it has the time of line %d (%s) and other values: it was left out", rows[j].Line, r.Wall.Format("2 Jan 15:04"))
		}
	}
	l.Rows = rows
}

// says writes down what a row holds, to compare.
func says(r *Row) string {
	var b strings.Builder
	fmt.Fprint(&b, r.Place != nil)
	if r.Place != nil {
		fmt.Fprint(&b, *r.Place)
	}
	b.WriteString(number64(r.Run) + number64(r.Rested) + number64(r.Loaded) + number64(r.Load) + number64(r.Counter) +
		number64(r.Cloud) + number64(r.Speed) + number64(r.Generator) + number64(r.Engine) + number64(r.Air) + number64(r.Sea) + r.Remark)
	return b.String()
}

func number64[Q ~float64](q *Q) string {
	if q == nil {
		return "|"
	}
	return fmt.Sprintf("|%g", float64(*q))
}

// toUTC turns wall clocks into UTC. Ship's time is that of the zone of the last
// position above, else of the next below.
func (l *Log) toUTC(opt Options) {
	c := l.Clock
	if !c.Ship {
		for i := range l.Rows {
			l.Rows[i].Time = l.Rows[i].Wall.Add(-time.Duration(c.Hours) * time.Hour)
		}
		return
	}
	zones := l.zones(opt)
	for i := range l.Rows {
		l.Rows[i].Time = l.Rows[i].Wall.Add(-time.Duration(zones[i]) * time.Hour)
	}
}

// zones returns the ship's zone of each row.
func (l *Log) zones(opt Options) []int {
	zones := make([]int, len(l.Rows))
	var last *track.Position
	for i := range l.Rows {
		if l.Rows[i].Place != nil {
			last = l.Rows[i].Place
			break
		}
	}
	for i := range l.Rows {
		r := &l.Rows[i]
		if r.Place != nil {
			last = r.Place
		}
		switch {
		case last != nil:
			zones[i] = track.Zone(last.Lon)
		case opt.Zone != nil:
			zones[i] = opt.Zone(r.Wall)
		}
	}
	return zones
}

// order keeps the longest run of rows whose times rise: a mistyped date must not
// take all lines after it with it.
func (l *Log) order() {
	keep := chain(len(l.Rows), func(i, j int) bool { return l.Rows[i].Time.Before(l.Rows[j].Time) })
	var rows []Row
	last := -1
	for i := range l.Rows {
		if keep[i] {
			rows = append(rows, l.Rows[i])
			last = i
			continue
		}
		r := &l.Rows[i]
		where := "the lines after it"
		if last >= 0 && !l.Rows[last].Time.Before(r.Time) {
			where = fmt.Sprintf("line %d", l.Rows[last].Line)
			l.drop(r.Line, "", "its time, %s, is not later than that of %s, %s: it was left out", stamp(r.Wall), where, stamp(l.Rows[last].Wall))
			continue
		}
		l.drop(r.Line, "", "its time, %s, is later than that of %s: it was left out", stamp(r.Wall), where)
	}
	l.Rows = rows
}

func stamp(t time.Time) string { return t.Format("2 Jan 2006 15:04") }

// reach is how many entries back chain looks for the one before.
const reach = 60

// chain marks the longest run of entries of which each may follow the one before
// it; of two as long, the one that ends first.
func chain(n int, follows func(i, j int) bool) []bool {
	length, from := make([]int, n), make([]int, n)
	best := -1
	for j := range n {
		length[j], from[j] = 1, -1
		for i := max(0, j-reach); i < j; i++ {
			if length[i]+1 > length[j] && follows(i, j) {
				length[j], from[j] = length[i]+1, i
			}
		}
		if best < 0 || length[j] > length[best] {
			best = j
		}
	}
	keep := make([]bool, n)
	for ; best >= 0; best = from[best] {
		keep[best] = true
	}
	return keep
}

// fastest is more than a yacht of this kind makes good over hours.
const fastest = 15 // kn

// fixes leaves out positions that she cannot have come to, and reports whether
// there were any.
func (l *Log) fixes() (any bool) {
	var at []*Row
	for i := range l.Rows {
		if l.Rows[i].Place != nil {
			at = append(at, &l.Rows[i])
		}
	}
	keep := chain(len(at), func(i, j int) bool { return made(at[i], at[j]).knots <= fastest })
	for j, r := range at {
		if keep[j] {
			continue
		}
		other := neighbour(keep, j)
		way := made(r, at[other])
		l.drop(r.Line, "position", "%.0f miles from that of line %d in %.1f h would be %.0f kn: it was left out", way.miles, at[other].Line, way.hours, way.knots)
		r.Place, any = nil, true
	}
	return any
}

// neighbour returns the kept entry nearest before j, else the first after it.
func neighbour(keep []bool, j int) int {
	for i := j - 1; i >= 0; i-- {
		if keep[i] {
			return i
		}
	}
	for i := j + 1; ; i++ { // a chain keeps one at least
		if keep[i] {
			return i
		}
	}
}

// way is what lies between two positions.
type way struct{ miles, hours, knots float64 }

func made(a, b *Row) way {
	w := way{hours: math.Abs(b.Time.Sub(a.Time).Hours()), miles: 10800} // of antipodes
	if leg, err := (track.Sphere{}).GreatCircle(*a.Place, *b.Place); err == nil {
		w.miles = float64(leg.Length())
	}
	w.knots = max(0, w.miles-1) / w.hours // a mile for the rounding of both
	return w
}

// hours leaves out spans that are longer than the time since the row before,
// and runs that she cannot have made.
func (l *Log) hours() {
	const slack = 0.25 // h: clocks are read to the quarter hour
	run := -1
	for i := range l.Rows {
		r := &l.Rows[i]
		if r.Run != nil {
			from := max(run, 0)
			if h := r.Time.Sub(l.Rows[from].Time).Hours(); i > 0 && float64(*r.Run) > fastest*h+1 {
				l.drop(r.Line, "run", "%.0f miles in the %.1f h since line %d would be %.0f kn: it was left out", float64(*r.Run), h, l.Rows[from].Line, float64(*r.Run)/h)
				r.Run = nil
			} else {
				run = i
			}
		}
		past := 0.0 // on the first line: since nothing
		if i > 0 {
			past = r.Time.Sub(l.Rows[i-1].Time).Hours()
		}
		for _, x := range []struct {
			name string
			of   **units.Hours
		}{{"generator", &r.Generator}, {"engine", &r.Engine}} {
			h := *x.of
			switch {
			case h == nil:
				continue
			case i == 0:
				if *h > 0 {
					l.drop(r.Line, x.name, "%.1f h since no line: it was left out", float64(*h))
				}
				*x.of = nil
				continue
			case float64(*h) > past+slack:
				l.drop(r.Line, x.name, "%.1f h in the %.1f h since line %d: it was left out", float64(*h), past, l.Rows[i-1].Line)
				*x.of = nil
				continue
			}
			if float64(*h) > past {
				whole := units.Hours(past)
				*x.of = &whole
			}
		}
	}
}

// clockDoubts looks for a clock that is not the one the header names. The noon
// run is entered at 12:00 by the ship's clock; if these entries stand at 12:00
// in a log by UTC, and 12:00 UTC is not noon where she is, the clock was the
// ship's.
func (l *Log) clockDoubts() {
	if l.Clock.Ship || !l.placed() {
		return
	}
	zones := l.zones(Options{})
	noons, atNoon, off := 0, 0, 0
	for i := range l.Rows {
		r := &l.Rows[i]
		if r.Run == nil && !strings.Contains(strings.ToLower(r.Remark), "noon") {
			continue
		}
		noons++
		minutes := r.Wall.Hour()*60 + r.Wall.Minute()
		if minutes >= 11*60+40 && minutes <= 12*60+20 && zones[i] != l.Clock.Hours {
			atNoon++
			off = zones[i]
		}
	}
	if atNoon >= 3 && 5*atNoon >= 4*noons {
		l.Warnings = append(l.Warnings, fmt.Sprintf("the noon runs stand at 12:00, which is noon by ship's time there (UTC%+d) and not by %s as the header says: if the clock was the ship's, head the column time [ship]",
			off, l.Clock))
	}
}

// placed reports whether any row has a position.
func (l *Log) placed() bool {
	return l.Count(func(r *Row) bool { return r.Place != nil }) > 0
}

// longGap is the time between two rows from which on it is worth a note.
const longGap = 36 * time.Hour

// gaps notes where days are missing.
func (l *Log) gaps() {
	for i := 1; i < len(l.Rows); i++ {
		if d := l.Rows[i].Time.Sub(l.Rows[i-1].Time); d > longGap {
			l.Notes = append(l.Notes, fmt.Sprintf("nothing for %.1f days between lines %d and %d (%s to %s): the values before and after stand in", d.Hours()/24,
				l.Rows[i-1].Line, l.Rows[i].Line, stamp(l.Rows[i-1].Wall), stamp(l.Rows[i].Wall)))
		}
	}
}
