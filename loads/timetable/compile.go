package timetable

import (
	"fmt"
	"math"
	"slices"

	"ampwake/sim/units"
)

// Slot is a window together with the time a set is switched on around it.
type Slot struct {
	When          When        // a Window
	Before, After units.Hours // on top of it, to the second, >= 0; with the window at most 24 h
	Tag           int32       // of the caller's choice, found again in Hit
}

// rule is what windows of one table share.
type rule struct {
	clock  Clock
	days   Weekdays
	every  int
	dates  Dates
	alone  int // tells limited windows apart: each has a table of its own
	anchor int
}

// Compile makes the tables of some slots. Windows for "every n days" without a
// date of their own are counted from start, the day of departure; it is an
// error if that is not given either. A slot that is no Window is an error.
func Compile(slots []Slot, start Date) (Tables, error) {
	var rules []rule
	groups := map[rule][]part{}
	for i := range slots {
		r, parts, err := slots[i].parts(start, i+1)
		if err != nil {
			return nil, err
		}
		if _, known := groups[r]; !known {
			rules = append(rules, r)
		}
		groups[r] = append(groups[r], parts...)
	}
	tables := make(Tables, 0, len(rules))
	for _, r := range rules {
		tables = append(tables, r.table(groups[r]))
	}
	return tables, nil
}

// part is one stretch of a slot in seconds from the midnight that begins the
// day on which its window starts.
type part struct {
	from, to int
	entry
}

// parts cuts a slot into what comes before, the window and what comes after.
func (s *Slot) parts(start Date, number int) (rule, []part, error) {
	w := s.When
	if w.Kind == Moment {
		return rule{}, nil, fmt.Errorf("%q has no end: write %v-%v %v, or add for 15 min", w, w.From, w.From.Add(15), w.Clock)
	}
	if w.Kind != Window {
		return rule{}, nil, fmt.Errorf("%q is no window: want two times of day and their clock, like 19:00-21:00 ship's time", w)
	}
	before, err := margin(s.Before)
	if err != nil {
		return rule{}, nil, err
	}
	after, err := margin(s.After)
	if err != nil {
		return rule{}, nil, err
	}
	r := rule{clock: w.Clock, days: w.Days, every: w.Every, dates: w.Dates}
	if w.Dates.Limited() {
		r.alone = number
	}
	if w.Every > 1 {
		from := w.Dates.From
		if !from.given {
			from = start
		}
		if !from.given {
			return rule{}, nil, fmt.Errorf("%q does not say from which day to count: add from and a date", w)
		}
		r.anchor = from.day
	}
	begin, end := 60*int(w.From), 60*(int(w.From)+w.Minutes())
	if end-begin+before+after > secondsADay {
		return rule{}, nil, fmt.Errorf("%q with %v before and %v after is longer than a day", w, s.Before, s.After)
	}
	e := entry{start: int32(begin), tag: s.Tag}
	var parts []part
	for _, p := range []struct {
		from, to int
		rank     Rank
	}{{begin - before, begin, Before}, {begin, end, Body}, {end, end + after, After}} {
		if p.to > p.from {
			e.rank = p.rank
			parts = append(parts, part{p.from, p.to, e})
		}
	}
	return r, parts, nil
}

// margin reads the time around a window in whole seconds.
func margin(h units.Hours) (int, error) {
	if !(h >= 0 && h <= 24) {
		return 0, fmt.Errorf("%v before or after a window: want 0 to 24 h", h)
	}
	return int(math.Round(float64(h) * 3600)), nil
}

// table lays the parts on the ring.
func (r rule) table(parts []part) Table {
	t := Table{ship: r.clock == Ship, period: 1, dates: r.dates, limited: r.dates.Limited()}
	on := []int{0} // days of the ring on which windows start
	switch {
	case r.every > 1:
		t.period, t.anchor = r.every, r.anchor
	case r.days != 0:
		t.period, t.anchor = 7, 3 // 4 January 1970 was a Sunday
		on = on[:0]
		for d := range 7 {
			if r.days&(1<<d) != 0 {
				on = append(on, d)
			}
		}
	}
	ring := t.period * secondsADay
	// Parts reach at most 24 h back and 48 h on, so that in a ring of one day
	// two turns back and one on are needed.
	var laid []part
	cuts := []int{0}
	for _, p := range parts {
		for _, d := range on {
			for turn := -2; turn <= 1; turn++ {
				shift := d*secondsADay + turn*ring
				from, to := max(p.from+shift, 0), min(p.to+shift, ring)
				if from >= to {
					continue
				}
				e := p.entry
				e.start += int32(shift)
				laid = append(laid, part{from, to, e})
				cuts = append(cuts, from, to)
			}
		}
	}
	slices.Sort(cuts)
	for _, from := range slices.Compact(cuts) {
		if from == ring {
			break
		}
		best := entry{}
		for _, p := range laid {
			if p.from <= from && from < p.to && p.beats(best) {
				best = p.entry
			}
		}
		if n := len(t.cell); n > 0 && t.cell[n-1] == best {
			continue
		}
		t.from, t.cell = append(t.from, int32(from)), append(t.cell, best)
	}
	return t
}

// beats reports whether e has the moment where both cover it.
func (e entry) beats(o entry) bool {
	if e.rank != o.rank {
		return e.rank > o.rank
	}
	if e.start != o.start {
		return e.start > o.start
	}
	return e.tag < o.tag
}
