package timetable

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim"
	"ampwake/sim/units"
)

// clockAt sets both clocks as the engine does.
func clockAt(t time.Time, zone int) sim.Clock {
	day, sec := split(t.Unix())
	shipDay, shipSec := split(t.Unix() + int64(zone)*3600)
	return sim.Clock{UTC: sec, Ship: shipSec, Day: day, ShipDay: shipDay, Zone: zone}
}

func parse(t testing.TB, text string) When {
	t.Helper()
	w, err := Parse(text)
	require.NoError(t, err)
	return w
}

func compile(t testing.TB, texts ...string) Tables {
	t.Helper()
	var slots []Slot
	for i, s := range texts {
		slots = append(slots, Slot{When: parse(t, s), Tag: int32(i)})
	}
	tables, err := Compile(slots, Date{})
	require.NoError(t, err)
	return tables
}

func utc(t testing.TB, s string) time.Time {
	t.Helper()
	x, err := time.Parse("2006-01-02T15:04:05", s)
	require.NoError(t, err)
	return x
}

// Whether a window holds, worked out by hand from a calendar (5 January 2027 is
// a Tuesday).
func TestAtByHand(t *testing.T) {
	for _, c := range []struct {
		when string
		at   string // UTC
		zone int
		want string // start of the slot in UTC; "" off
	}{
		{"08:00-08:15 UTC", "2027-01-05T08:00:00", 5, "2027-01-05T08:00:00"},
		{"08:00-08:15 UTC", "2027-01-05T08:14:59", 5, "2027-01-05T08:00:00"},
		{"08:00-08:15 UTC", "2027-01-05T08:15:00", 5, ""},
		{"08:00-08:15 UTC", "2027-01-05T07:59:59", 5, ""},
		{"23:30-00:30 UTC", "2027-01-05T00:10:00", 0, "2027-01-04T23:30:00"},
		{"23:30-00:30 UTC", "2027-01-05T00:30:00", 0, ""},
		{"00:00-24:00 UTC", "2027-01-05T00:00:00", 0, "2027-01-05T00:00:00"},
		{"22:00-24:00 UTC", "2027-01-05T23:59:59", 0, "2027-01-05T22:00:00"},
		{"22:00-24:00 UTC", "2027-01-06T00:00:00", 0, ""},
		{"19:00-21:00 ship's time", "2027-01-05T21:30:00", -2, "2027-01-05T21:00:00"},
		{"19:00-21:00 ship's time", "2027-01-05T19:30:00", -2, ""},
		{"19:00-21:00 ship's time", "2027-01-05T08:30:00", 11, "2027-01-05T08:00:00"},
		{"Tue 08:00-09:00 UTC", "2027-01-05T08:30:00", 0, "2027-01-05T08:00:00"},
		{"Wed 08:00-09:00 UTC", "2027-01-05T08:30:00", 0, ""},
		// Past midnight the window still belongs to Tuesday.
		{"Tue 23:00-01:00 UTC", "2027-01-06T00:30:00", 0, "2027-01-05T23:00:00"},
		{"Tue 23:00-01:00 UTC", "2027-01-05T00:30:00", 0, ""},
		// Sunday to Monday runs over the end of the ring.
		{"Sat 23:00-01:00 UTC", "2027-01-10T00:30:00", 0, "2027-01-09T23:00:00"},
		// 23:30 UTC on Tuesday is Wednesday on the clock of zone +3.
		{"Wed 02:00-03:00 ship's time", "2027-01-05T23:30:00", 3, "2027-01-05T23:00:00"},
		{"Tue 02:00-03:00 ship's time", "2027-01-05T23:30:00", 3, ""},
		{"every 3 days 12:00-13:00 UTC from 2027-01-05", "2027-01-05T12:00:00", 0, "2027-01-05T12:00:00"},
		{"every 3 days 12:00-13:00 UTC from 2027-01-05", "2027-01-06T12:00:00", 0, ""},
		{"every 3 days 12:00-13:00 UTC from 2027-01-05", "2027-01-11T12:00:00", 0, "2027-01-11T12:00:00"},
		{"every 3 days 12:00-13:00 UTC from 2027-01-05", "2027-01-02T12:00:00", 0, ""}, // before the first
		{"12:00-13:00 UTC until 2027-01-05", "2027-01-05T12:59:59", 0, "2027-01-05T12:00:00"},
		{"12:00-13:00 UTC until 2027-01-05", "2027-01-06T12:30:00", 0, ""},
		{"23:00-01:00 UTC until 2027-01-05", "2027-01-06T00:30:00", 0, "2027-01-05T23:00:00"},
	} {
		ck := clockAt(utc(t, c.at), c.zone)
		h, on := compile(t, c.when).At(&ck)
		got := ""
		if on {
			got = time.Unix(h.Start, 0).UTC().Format("2006-01-02T15:04:05")
		}
		assert.Equal(t, c.want, got, "%s at %s, zone %+d", c.when, c.at, c.zone)
	}
}

func TestEdgeByHand(t *testing.T) {
	for _, c := range []struct {
		when string
		at   string
		zone int
		want string
	}{
		{"08:00-08:15 UTC", "2027-01-05T07:00:00", 0, "2027-01-05T08:00:00"},
		{"08:00-08:15 UTC", "2027-01-05T08:00:00", 0, "2027-01-05T08:15:00"},
		{"08:00-08:15 UTC", "2027-01-05T08:15:00", 9, "2027-01-06T08:00:00"},
		{"19:00-21:00 ship's time", "2027-01-05T20:00:00", -2, "2027-01-05T21:00:00"},
		{"19:00-21:00 ship's time", "2027-01-05T20:00:00", -1, "2027-01-05T22:00:00"},
		{"Mon 08:00-08:15 UTC", "2027-01-05T07:00:00", 0, "2027-01-11T08:00:00"},
		{"every 30 days 00:00-24:00 UTC from 2027-01-05", "2027-01-06T00:00:00", 0, "2027-02-04T00:00:00"},
		{"every 30 days 00:00-24:00 UTC from 2027-01-05", "2020-01-06T00:00:00", 0, "2027-01-05T00:00:00"},
		// A window of all day is a new slot at each midnight.
		{"00:00-24:00 UTC", "2027-01-05T07:00:00", 0, "2027-01-06T00:00:00"},
		{"12:00-13:00 UTC until 2027-01-05", "2027-01-05T12:00:00", 0, "2027-01-05T13:00:00"},
		{"12:00-13:00 UTC until 2027-01-05", "2027-01-05T13:00:00", 0, ""},
		{"Mon 12:00-13:00 UTC from 2027-01-05 until 2027-01-08", "2027-01-01T13:00:00", 0, ""}, // never
	} {
		e := compile(t, c.when).Edge(utc(t, c.at), c.zone)
		got := ""
		if !e.IsZero() {
			got = e.Format("2006-01-02T15:04:05")
		}
		assert.Equal(t, c.want, got, "%s after %s, zone %+d", c.when, c.at, c.zone)
	}
	// Strictly after, also between whole seconds and on the boundary itself.
	w := compile(t, "08:00-08:15 UTC")
	at := utc(t, "2027-01-05T08:00:00")
	assert.Equal(t, at, w.Edge(at.Add(-time.Nanosecond), 0))
	assert.Equal(t, at.Add(15*time.Minute), w.Edge(at.Add(time.Nanosecond), 0))
}

func TestPartsAroundAWindow(t *testing.T) {
	tables, err := Compile([]Slot{
		{When: parse(t, "08:00-08:10 UTC"), Before: 1.0 / 60, After: 1.0 / 60, Tag: 7},
		{When: parse(t, "08:11-08:20 UTC"), Before: 1.0 / 60, After: 1.0 / 60, Tag: 8},
		{When: parse(t, "00:10-00:20 UTC"), Before: 0.5, Tag: 9},
	}, Date{})
	require.NoError(t, err)
	require.Len(t, tables, 1)
	for _, c := range []struct {
		at   string
		want Hit
	}{
		{"07:59:00", Hit{8 * 3600, 7, Before}},
		{"08:00:00", Hit{8 * 3600, 7, Body}},
		// Between two windows the minute belongs to the one that comes.
		{"08:10:30", Hit{8*3600 + 660, 8, Before}},
		{"08:11:00", Hit{8*3600 + 660, 8, Body}},
		{"08:20:30", Hit{8*3600 + 660, 8, After}},
		{"23:45:00", Hit{86400 + 600, 9, Before}},
		{"00:05:00", Hit{600, 9, Before}},
	} {
		ck := clockAt(utc(t, "1970-01-01T"+c.at), 0)
		h, on := tables.At(&ck)
		assert.True(t, on, c.at)
		assert.Equal(t, c.want, h, c.at)
	}
	for _, off := range []string{"07:58:59", "08:21:00", "00:20:00", "23:39:59"} {
		ck := clockAt(utc(t, "1970-01-01T"+off), 0)
		_, on := tables.At(&ck)
		assert.False(t, on, off)
	}
}

func TestCompileRefuses(t *testing.T) {
	for when, say := range map[string]string{
		"08:00 UTC":                    "has no end",
		"dusk to dawn":                 "is no window",
		"every 3 days 08:00-09:00 UTC": "from which day",
	} {
		_, err := Compile([]Slot{{When: parse(t, when)}}, Date{})
		assert.ErrorContains(t, err, say, when)
	}
	w := parse(t, "08:00-09:00 UTC")
	_, err := Compile([]Slot{{When: w, Before: 23.5}}, Date{})
	assert.ErrorContains(t, err, "longer than a day")
	_, err = Compile([]Slot{{When: w, Before: 25}}, Date{})
	assert.ErrorContains(t, err, "0 to 24 h")
	_, err = Compile([]Slot{{When: w, After: -1}}, Date{})
	assert.ErrorContains(t, err, "0 to 24 h")
}

// drawWhen draws a random window.
func drawWhen(t *rapid.T) When {
	w := When{
		Kind:  Window,
		From:  TimeOfDay(rapid.IntRange(0, 1439).Draw(t, "from")),
		To:    TimeOfDay(rapid.IntRange(1, 1440).Draw(t, "to")),
		Clock: Clock(rapid.IntRange(0, 1).Draw(t, "clock")),
	}
	if w.From == w.To {
		w.To = w.To%1440 + 1
	}
	base := 20000
	switch rapid.IntRange(0, 2).Draw(t, "rule") {
	case 1:
		w.Days = Weekdays(rapid.IntRange(1, 127).Draw(t, "days"))
	case 2:
		w.Every = rapid.IntRange(2, 9).Draw(t, "every")
	}
	if rapid.Bool().Draw(t, "begins") {
		w.Dates.From = DateOfDay(base + rapid.IntRange(-5, 5).Draw(t, "first"))
	}
	if rapid.Bool().Draw(t, "ends") {
		w.Dates.Until = DateOfDay(base + rapid.IntRange(-5, 9).Draw(t, "last"))
	}
	return w
}

// byDefinition finds the slot of one window from the calendar of package time.
func byDefinition(s Slot, start Date, now time.Time, zone int) (best Hit, on bool) {
	if s.When.Clock == UTC {
		zone = 0
	}
	local := now.Add(time.Duration(zone) * time.Hour)
	for d := -4; d <= 4; d++ {
		date := time.Date(local.Year(), local.Month(), local.Day()+d, 0, 0, 0, 0, time.UTC)
		day, _ := DateOf(date).Day()
		if !s.When.Days.Holds(date.Weekday()) || !s.When.Dates.Holds(day) {
			continue
		}
		if n := s.When.Every; n > 1 {
			anchor := s.When.Dates.From
			if !anchor.given {
				anchor = start
			}
			if floorMod(day-anchor.day, n) != 0 {
				continue
			}
		}
		begin := date.Add(time.Duration(s.When.From) * time.Minute)
		end := begin.Add(time.Duration(s.When.Minutes()) * time.Minute)
		before := begin.Add(-time.Duration(float64(s.Before)*60+0.5) * time.Minute)
		after := end.Add(time.Duration(float64(s.After)*60+0.5) * time.Minute)
		h := Hit{Start: begin.Unix() - int64(zone)*3600, Tag: s.Tag}
		switch {
		case local.Before(before) || !local.Before(after):
			continue
		case local.Before(begin):
			h.Rank = Before
		case local.Before(end):
			h.Rank = Body
		default:
			h.Rank = After
		}
		if h.Rank > best.Rank || h.Rank == best.Rank && h.Start > best.Start {
			best, on = h, true
		}
	}
	return best, on
}

// Tables give what the definition of a window gives, and Edge is exactly the
// first change.
func TestTablesAgreeWithTheDefinition(t *testing.T) {
	start := DateOfDay(19998)
	rapid.Check(t, func(t *rapid.T) {
		var slots []Slot
		for i := range rapid.IntRange(1, 3).Draw(t, "slots") {
			w := drawWhen(t)
			spare := 1440 - w.Minutes()
			before := rapid.IntRange(0, min(spare, 90)).Draw(t, "before")
			after := rapid.IntRange(0, min(spare-before, 60)).Draw(t, "after")
			slots = append(slots, Slot{
				When: w, Before: units.Hours(before) / 60, After: units.Hours(after) / 60, Tag: int32(i),
			})
		}
		tables, err := Compile(slots, start)
		if err != nil {
			t.Fatal(err)
		}
		zone := rapid.IntRange(-12, 12).Draw(t, "zone")
		at := func(now time.Time) (Hit, bool) {
			ck := clockAt(now, zone)
			return tables.At(&ck)
		}
		now := time.Unix(20000*86400+int64(rapid.IntRange(-8*86400, 12*86400).Draw(t, "now")), 0).UTC()
		for range 20 {
			got, on := at(now)
			var want Hit
			wantOn := false
			for _, s := range slots {
				h, ok := byDefinition(s, start, now, zone)
				if ok && h.Rank > want.Rank {
					want, wantOn = h, true
				}
			}
			// Windows of equal rank may share a moment, and which of them has it
			// is settled by start within a table and by order between tables:
			// compare what does not depend on that.
			if on != wantOn || got.Rank != want.Rank {
				t.Fatalf("%v at %v zone %d: got %v %v, want %v %v", slots, now, zone, got, on, want, wantOn)
			}
			if on {
				h, _ := byDefinition(slots[got.Tag], start, now, zone)
				if got != h {
					t.Fatalf("%v at %v: slot %v, want %v", slots, now, got, h)
				}
			}
			edge := tables.Edge(now, zone)
			was, wasOn := got, on
			next := now.Truncate(time.Minute)
			for {
				next = next.Add(time.Minute)
				if next.Sub(now) > 14*24*time.Hour {
					if !edge.IsZero() && edge.Before(next) {
						t.Fatalf("%v after %v: edge %v, but nothing changes", slots, now, edge)
					}
					return
				}
				is, isOn := at(next)
				if is == was && isOn == wasOn {
					continue
				}
				// A change may also be of no account to the best hit of all
				// tables: an edge may come early, never late.
				if edge.IsZero() || edge.After(next) || !edge.After(now) {
					t.Fatalf("%v after %v: edge %v, but it changes at %v", slots, now, edge, next)
				}
				if len(tables) == 1 && !edge.Equal(next) {
					t.Fatalf("%v after %v: edge %v, want %v", slots, now, edge, next)
				}
				break
			}
			now = edge
		}
	})
}

// A day holds 24 h of clock: going from edge to edge and adding up what is on
// gives the length of the windows.
func TestADayAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawWhen(t)
		w.Days, w.Every, w.Dates = 0, 0, Dates{}
		tables, err := Compile([]Slot{{When: w}}, Date{})
		if err != nil {
			t.Fatal(err)
		}
		zone := rapid.IntRange(-12, 12).Draw(t, "zone")
		now := time.Unix(int64(rapid.IntRange(0, 2e9).Draw(t, "now")), 0).UTC()
		end := now.AddDate(0, 0, 1)
		var on time.Duration
		for now.Before(end) {
			next := tables.Edge(now, zone)
			if next.IsZero() || next.After(end) {
				next = end
			}
			ck := clockAt(now, zone)
			if _, ok := tables.At(&ck); ok {
				on += next.Sub(now)
			}
			now = next
		}
		if want := time.Duration(w.Minutes()) * time.Minute; on != want {
			t.Fatalf("%v: on for %v a day, want %v", w, on, want)
		}
	})
}

func BenchmarkTables(b *testing.B) {
	var texts []string
	for i := range 8 {
		texts = append(texts, Daily(TimeOfDay(180*i), 13, UTC).String())
	}
	daily, weekly := compile(b, texts...), compile(b, "Mon,Thu 08:00-08:15 UTC")
	at := utc(b, "2027-01-05T08:07:00")
	ck := clockAt(at, -3)
	b.Run("daily", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			daily.At(&ck)
		}
	})
	b.Run("weekly", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			weekly.At(&ck)
		}
	})
	b.Run("edge", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			daily.Edge(at, -3)
		}
	})
}
