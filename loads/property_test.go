package loads

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"ampwake/loads/fax"
	"ampwake/loads/timetable"
	"ampwake/sim"
	"ampwake/sim/units"
)

// anyWhen draws a window or a start.
func anyWhen(t *rapid.T) timetable.When {
	w := timetable.Daily(timetable.TimeOfDay(rapid.IntRange(0, 1439).Draw(t, "from")), rapid.IntRange(1, 900).Draw(t, "minutes"),
		timetable.Clock(rapid.IntRange(0, 1).Draw(t, "clock")))
	if rapid.Bool().Draw(t, "weekly") {
		w.Days = timetable.Weekdays(rapid.IntRange(1, 126).Draw(t, "days"))
	}
	if rapid.Bool().Draw(t, "start only") {
		w.Kind, w.To = timetable.Moment, 0
	}
	return w
}

// anyLoad draws a load of a kind that has edges.
func anyLoad(t *rapid.T) sim.Load {
	var times timetable.List
	for range rapid.IntRange(1, 3).Draw(t, "times") {
		times = append(times, anyWhen(t))
	}
	length := units.Hours(rapid.IntRange(1, 120).Draw(t, "length")) / 60
	var l sim.Load
	var err error
	switch rapid.IntRange(0, 3).Draw(t, "load") {
	case 0:
		l, err = NewRadio(RadioSpec{
			Name: "x", Receive: 2, Transmit: Transmit{Peak: 20, Share: 0.2}, Scheds: times, Length: length,
			Standby: units.Hours(rapid.IntRange(0, 60).Draw(t, "standby")) / 60, AllDay: rapid.Bool().Draw(t, "all day"),
		})
	case 1:
		charts, e := fax.Published().Choose(rapid.SampledFrom([]string{"Boston", "Northwood", "Wiluna"}).Draw(t, "station"), "all")
		if e != nil {
			t.Fatal(e)
		}
		l, err = NewFax(FaxSpec{Name: "x", Draw: Draw{Power: 8}, Charts: charts, Margin: fax.Margin, Slots: times, Length: length})
	case 2:
		l, err = New(Spec{
			Name: "x", Draw: Draw{Power: 8}, Share: units.Fraction(rapid.IntRange(1, 9).Draw(t, "share")) / 10,
			Period: units.Hours(rapid.IntRange(10, 90).Draw(t, "period")) / 60,
		})
	default:
		for i := range times {
			if times[i], err = times[i].Lasting(length); err != nil {
				t.Fatal(err)
			}
		}
		l, err = New(Spec{Name: "x", Draw: Draw{Current: 1}, When: times})
	}
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// Between two edges the demand is one and the same, in any zone, and edges come
// strictly one after another.
func TestDrawIsConstantBetweenEdges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLoad(t)
		zone := rapid.IntRange(-12, 12).Draw(t, "zone")
		now := time.Unix(int64(rapid.IntRange(-1e9, 2e9).Draw(t, "now")), 0).UTC()
		for range 30 {
			next := l.Edge(now, zone)
			if !next.After(now) {
				t.Fatalf("edge %v is not after %v", next, now)
			}
			if next.Nanosecond() != 0 || next.Location() != time.UTC {
				t.Fatalf("edge %v is no whole second of UTC", next)
			}
			first := l.Draw(conditions(now, zone))
			for range 10 {
				at := now.Add(time.Duration(rapid.Int64Range(0, int64(next.Sub(now))-1).Draw(t, "between")))
				if d := l.Draw(conditions(at, zone)); d != first {
					t.Fatalf("%v between %v and %v: %v, want %v", at, now, next, d, first)
				}
			}
			now = next
		}
	})
}
