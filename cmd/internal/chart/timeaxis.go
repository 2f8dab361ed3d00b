package chart

import (
	"fmt"
	"math"
	"time"

	"gonum.org/v1/plot/vg"

	"ampwake/sim"
)

const (
	minute = 60.0
	hour   = 60 * minute
	day    = 24 * hour
)

// Noon is a ship's noon: 12:00 in the zone kept on board.
type Noon struct {
	At   float64
	Zone int // hours to add to UTC
}

// Noons returns the ship's noons of a voyage. When a change of zone jumps over
// noon there is none that day; when it jumps back there are two.
func Noons(t *sim.Trace) []Noon {
	var out []Noon
	for i := 0; i+1 < len(t.Time) && i < len(t.Zone); i++ {
		from, to, zone := seconds(t.Time[i]), seconds(t.Time[i+1]), int(t.Zone[i])
		offset := float64(12-zone) * hour
		for k := math.Floor((from - offset) / day); ; k++ {
			at := float64(k*day) + offset
			if at >= to {
				break
			}
			if at >= from {
				out = append(out, Noon{at, zone})
			}
		}
	}
	return out
}

// noons draws ship's noon along the top of a panel, with the zone where it is
// new.
func (p *Page) noons(s *scene, f *frame) {
	y := f.whole.Max.Y
	var last Noon
	for i, n := range p.Noons {
		if n.At < f.x0 || n.At > f.x1 {
			continue
		}
		x := f.x(n.At)
		s.segment(x, y, x, y+3, quiet, 0.6)
		if i > 0 && n.Zone == last.Zone {
			continue
		}
		last = n
		w := put(zone(n.Zone), noonStyle, centre, x, y+4.5)
		if w.box.Max.X <= f.data.Max.X && s.free(grown(w.box, 0.8)) {
			s.add(w)
		}
	}
	if len(p.Noons) > 0 {
		s.segment(f.data.Min.X, y, f.data.Max.X, y, hair, 0.4)
		s.text("ship’s noon", noonStyle, left, f.data.Max.X+nameGap, y+4.5)
	}
}

// zone writes a ship's zone.
func zone(hours int) string {
	switch {
	case hours < 0:
		return fmt.Sprintf("UTC−%d", -hours)
	case hours > 0:
		return fmt.Sprintf("UTC+%d", hours)
	}
	return "UTC"
}

// axis writes the ticks and words below a panel. Of words that would touch, the
// later is left out.
type axis struct {
	s   *scene
	f   *frame
	end vg.Length // no word goes further to the right
}

// newAxis returns the axis of a panel that has the page to itself.
func newAxis(s *scene, f *frame) axis { return axis{s, f, s.width - edge} }

func (a axis) tick(at float64, length vg.Length) {
	if at < a.f.x0 || at > a.f.x1 {
		return
	}
	x, y := a.f.x(at), a.f.data.Min.Y
	a.s.segment(x, y, x, y-length, quiet, 0.5)
}

// word sets text in a row, 0 or 1, in the middle of a stretch or at its left
// end, as far as the stretch is on the axis. It is left out where it does not
// fit.
func (a axis) word(text string, row int, al align, from, to float64) {
	point := to == from
	from, to = max(from, a.f.x0), min(to, a.f.x1)
	if to < from || to == from && !point {
		return
	}
	x0, x1 := a.f.x(from), a.f.x(to)
	x := x0 + vg.Length(al)*(x1-x0)
	w := put(text, tickStyle, al, x, a.row(row))
	fits := point || al == left || w.box.Max.X-w.box.Min.X <= x1-x0
	if fits && w.box.Min.X >= 2 && w.box.Max.X <= a.end && a.s.free(grown(w.box, 1.2)) {
		a.s.add(w)
	}
}

// timeAxis draws the axis of UTC below a panel and names it.
func timeAxis(s *scene, f *frame, byDay bool) {
	a := newAxis(s, f)
	s.text("UTC", tickStyle, left, f.data.Max.X+nameGap, a.row(1))
	a.time(byDay)
}

// time draws the axis of UTC, as fine as there is room for, but no finer than days
// if the data are by the day.
func (a axis) time(byDay bool) {
	f := a.f
	a.s.segment(f.data.Min.X, f.data.Min.Y, f.data.Max.X, f.data.Min.Y, quiet, 0.5)
	span := f.x1 - f.x0
	perDay := (f.data.Max.X - f.data.Min.X) / vg.Length(span/day)
	switch {
	case span <= 3*day && !byDay:
		a.hours(perDay)
	case perDay >= 30:
		a.days("Mon 2", !byDay, false)
	case perDay >= 10.5:
		a.days("2", perDay >= 16 && !byDay, true)
	case perDay >= 4.5:
		a.weeks()
	default:
		a.months(perDay)
	}
}

// hours labels hours, with the date below.
func (a axis) hours(perDay vg.Length) {
	steps := []float64{5 * minute, 10 * minute, 15 * minute, 30 * minute, hour, 2 * hour, 3 * hour, 6 * hour, 12 * hour, day}
	k := 0
	for k < len(steps)-1 && perDay*vg.Length(steps[k]/day) < 32 {
		k++
	}
	finer := steps[max(k-1, 0)]
	for t := ceil(a.f.x0, finer); t <= a.f.x1; t += finer {
		a.tick(t, 2.5)
	}
	for t := ceil(a.f.x0, steps[k]); t <= a.f.x1; t += steps[k] {
		a.tick(t, 4.5)
		a.word(moment(t).Format("15:04"), 0, centre, t, t)
	}
	a.word(moment(a.f.x0).Format("Mon 2 Jan 2006"), 1, left, a.f.x0, a.f.x1)
	for t := ceil(a.f.x0, day); t <= a.f.x1; t += day {
		a.tick(t, 7)
		a.word(moment(t).Format("Mon 2 Jan"), 1, left, t, a.f.x1)
	}
}

// days labels each day in the middle of its column, with the month below.
func (a axis) days(format string, quarters, mondays bool) {
	if quarters {
		for t := ceil(a.f.x0, day/4); t <= a.f.x1; t += day / 4 {
			a.tick(t, 2)
		}
	}
	a.monthNames(1)
	for t := math.Floor(a.f.x0/day) * day; t <= a.f.x1; t += day {
		a.tick(t, 4.5)
		a.word(moment(t).Format(format), 0, centre, t, t+day)
		if mondays && moment(t).Weekday() == time.Monday {
			a.word("Mon", 1, centre, t+day/2, t+day/2)
		}
	}
}

// monthNames sets the month and year where each begins on the axis.
func (a axis) monthNames(row int) {
	for t := monthOf(a.f.x0); t <= a.f.x1; t = nextMonth(t) {
		format := "Jan"
		if t <= a.f.x0 || moment(t).Month() == time.January {
			format = "Jan 2006"
		}
		a.word(moment(t).Format(format), row, left, t, a.f.x1)
	}
}

// weeks labels Mondays.
func (a axis) weeks() {
	for t := ceil(a.f.x0, day); t <= a.f.x1; t += day {
		if moment(t).Weekday() == time.Monday {
			a.tick(t, 4.5)
			a.word(moment(t).Format("2 Jan"), 0, centre, t, t)
		} else {
			a.tick(t, 2)
		}
	}
	a.word(moment(a.f.x0).Format("2006")+", Mondays", 1, left, a.f.x0, a.f.x1)
}

// months labels months in the middle of their columns, with the year below.
func (a axis) months(perDay vg.Length) {
	if perDay*7 >= 4 {
		for t := ceil(a.f.x0, day); t <= a.f.x1; t += day {
			if moment(t).Weekday() == time.Monday {
				a.tick(t, 2)
			}
		}
	}
	a.word(moment(a.f.x0).Format("2006"), 1, left, a.f.x0, a.f.x1)
	for t := monthOf(a.f.x0); t <= a.f.x1; t = nextMonth(t) {
		a.tick(t, 5.5)
		a.word(moment(t).Format("Jan"), 0, centre, t, nextMonth(t))
		if moment(t).Month() == time.January {
			a.word(moment(t).Format("2006"), 1, left, t, a.f.x1)
		}
	}
}

// row returns the baseline of a row of words.
func (a axis) row(n int) vg.Length {
	return a.f.data.Min.Y - 6.5 - tickStyle.size*capHeight - vg.Length(n)*9.5
}

func ceil(x, step float64) float64 {
	return math.Ceil(x/step) * step
}

func monthOf(x float64) float64 {
	t := moment(x)
	return seconds(time.Date(t.Year(), t.Month(), 1, 0, 0, 0, 0, time.UTC))
}

func nextMonth(x float64) float64 {
	t := moment(x)
	return seconds(time.Date(t.Year(), t.Month()+1, 1, 0, 0, 0, 0, time.UTC))
}
