package timetable

import (
	"time"

	"ampwake/sim"
)

// Rank says which part of a slot a moment falls in. Where parts overlap the
// higher rank wins, and among equals the slot that began later.
type Rank uint8

// The parts of a slot.
const (
	After  Rank = iota + 1 // the time added at the end
	Before                 // the time added ahead of the start
	Body                   // the window itself
)

// Hit is the slot that a moment belongs to.
type Hit struct {
	Start int64 // of the window itself, Unix seconds
	Tag   int32 // as given to Compile
	Rank  Rank  // Body, Before or After
}

// Table is one set of windows that share a clock and a rule for their days. It
// is immutable.
//
// The days repeat after period days, so that the table is a ring of
// period x 86400 seconds, divided into cells by the boundaries of the windows.
type Table struct {
	ship    bool
	period  int     // days: 1 daily, 7 for weekdays, n for every n days
	anchor  int     // a day on which the ring begins
	limited bool    // whether dates leave out any day
	dates   Dates   // by the day on which the window starts
	from    []int32 // start of each cell in seconds of the ring; from[0] = 0
	cell    []entry // what holds in each
}

// entry is what a cell holds: a part of a slot, or nothing (rank 0).
type entry struct {
	start int32 // of the window, seconds of the ring; may lie outside it
	tag   int32
	rank  Rank
}

// At returns the slot that holds at c, and false when there is none.
func (t *Table) At(c *sim.Clock) (Hit, bool) {
	if t.ship {
		return t.at(c.ShipDay, c.Ship, c.Zone)
	}
	return t.at(c.Day, c.UTC, 0)
}

// at looks up the second sec of the day on a clock that is zone hours ahead of
// UTC.
func (t *Table) at(day, sec, zone int) (Hit, bool) {
	pos := int32(sec)
	if t.period > 1 {
		pos += int32(floorMod(day-t.anchor, t.period) * secondsADay)
	}
	e := &t.cell[t.find(pos)]
	if e.rank == 0 {
		return Hit{}, false
	}
	start := int64(day)*secondsADay + int64(sec) - int64(pos) + int64(e.start)
	if t.limited && !t.dates.Holds(floorDiv(start, secondsADay)) {
		return Hit{}, false
	}
	return Hit{start - int64(zone)*3600, e.tag, e.rank}, true
}

// find returns the last cell that starts at or before pos.
func (t *Table) find(pos int32) int {
	lo, hi := 0, len(t.from)
	for hi-lo > 1 {
		mid := int(uint(lo+hi) >> 1)
		if t.from[mid] <= pos {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// Edge returns the first instant strictly after now at which At gives another
// answer while the ship keeps the zone (hours to add to UTC), and the zero time
// when there is none.
func (t *Table) Edge(now time.Time, zone int) time.Time {
	if !t.ship {
		zone = 0
	}
	shift := int64(zone) * 3600
	local := now.Unix() + shift // floored, like the clocks
	if t.limited {
		first, last := t.dates.bounds()
		// Nothing happens until the day before the first, on which the time
		// ahead of a window may begin, nor later than two days after the last.
		local = max(local, int64(first-2)*secondsADay)
		if local > int64(last+3)*secondsADay {
			return time.Time{}
		}
	}
	day, sec := split(local)
	was, on := t.at(day, sec, 0)
	// One whole ring, and the margin of days above, holds a change or none comes.
	for end := local + int64(t.period+4)*secondsADay; local <= end; {
		local = t.next(local)
		day, sec = split(local)
		is, onThen := t.at(day, sec, 0)
		if on != onThen || is != was {
			return time.Unix(local-shift, 0).UTC()
		}
	}
	return time.Time{}
}

// next returns the first boundary of a cell strictly after the local second.
func (t *Table) next(local int64) int64 {
	day, sec := split(local)
	pos := int32(sec)
	if t.period > 1 {
		pos += int32(floorMod(day-t.anchor, t.period) * secondsADay)
	}
	end := int32(t.period) * secondsADay
	if i := t.find(pos) + 1; i < len(t.from) {
		end = t.from[i]
	}
	return local + int64(end-pos)
}

// split returns the day since 1970-01-01 and the second of that day.
func split(seconds int64) (day, sec int) {
	day = floorDiv(seconds, secondsADay)
	return day, int(seconds - int64(day)*secondsADay)
}

// Tables are several tables of one load.
type Tables []Table

// At returns the slot of highest rank that holds at c; among equals that of the
// earlier table.
func (ts Tables) At(c *sim.Clock) (best Hit, ok bool) {
	if len(ts) == 1 {
		return ts[0].At(c)
	}
	for i := range ts {
		h, on := ts[i].At(c)
		if on && h.Rank > best.Rank {
			best, ok = h, true
		}
	}
	return best, ok
}

// Edge returns the first instant strictly after now at which one of the tables
// gives another answer, or the zero time.
func (ts Tables) Edge(now time.Time, zone int) (first time.Time) {
	for i := range ts {
		first = Sooner(first, ts[i].Edge(now, zone))
	}
	return first
}

// Sooner returns the earlier of two instants; the zero time stands for never.
func Sooner(a, b time.Time) time.Time {
	if a.IsZero() || !b.IsZero() && b.Before(a) {
		return b
	}
	return a
}
