package loads

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/loads/fax"
	"ampwake/loads/timetable"
	"ampwake/sim"
	"ampwake/sim/units"
)

// conditions sets what a load may look at, as the engine does.
func conditions(t time.Time, zone int) *sim.Conditions {
	shift := int64(zone) * 3600
	u, s := t.Unix(), t.Unix()+shift
	day := func(x int64) int { return int((x - (x%86400+86400)%86400) / 86400) }
	sec := func(x int64) int { return int((x%86400 + 86400) % 86400) }
	return &sim.Conditions{Start: t, Time: t, Clock: sim.Clock{UTC: sec(u), Ship: sec(s), Day: day(u), ShipDay: day(s), Zone: zone}}
}

// run goes from edge to edge for some days and adds up hours on and charge, as
// a current at 12 V.
func run(t testing.TB, l sim.Load, from time.Time, days, zone int) (hours, ampHours float64, slots map[int64]bool) {
	t.Helper()
	slots = map[int64]bool{}
	end := from.AddDate(0, 0, days)
	for now, n := from, 0; now.Before(end); n++ {
		require.Less(t, n, 100000, "edges without end")
		next := l.Edge(now, zone)
		if next.IsZero() || next.After(end) {
			next = end
		}
		require.True(t, next.After(now), "edge %v is not after %v", next, now)
		// The middle, floored to seconds like the clock of a step.
		d := l.Draw(conditions(now.Add(next.Sub(now)/2), zone))
		h := next.Sub(now).Hours()
		if d.On {
			hours += h
		}
		if d.Slot != 0 {
			slots[d.Slot] = true
		}
		ampHours += h * (float64(d.Current) + float64(d.Power)/12)
		now = next
	}
	return hours, ampHours, slots
}

func list(t testing.TB, texts ...string) timetable.List {
	t.Helper()
	l, err := timetable.ParseList(texts...)
	require.NoError(t, err)
	return l
}

func plain(t testing.TB, s Spec, when ...string) sim.Load {
	t.Helper()
	if s.Name == "" {
		s.Name = "lamp"
	}
	s.When = list(t, when...)
	l, err := New(s)
	require.NoError(t, err)
	return l
}

// 5 January 2027 is a Tuesday.
var jan5 = time.Date(2027, 1, 5, 0, 0, 0, 0, time.UTC)

// Ampere-hours over some days, by hand.
func TestChargeOverDays(t *testing.T) {
	amp := Draw{Current: 1}
	for _, c := range []struct {
		spec Spec
		when []string
		days int
		zone int
		want float64
	}{
		{Spec{Draw: amp}, nil, 1, 0, 24},
		{Spec{Draw: amp}, []string{"always"}, 2, 0, 48},
		{Spec{Draw: Draw{Power: 6}, Share: 0.5}, []string{"always"}, 1, 0, 6},
		{Spec{Draw: amp}, []string{"3 h a day"}, 1, 0, 3},
		{Spec{Draw: amp}, []string{"always from 2027-01-06 until 2027-01-07"}, 5, 0, 48},
		{Spec{Draw: amp}, []string{"08:00-08:15 UTC"}, 4, 0, 1},
		{Spec{Draw: amp}, []string{"23:30-00:30 ship's time"}, 4, -2, 4},
		{Spec{Draw: amp}, []string{"08:00-10:00 UTC", "09:00-11:00 UTC"}, 1, 0, 3}, // drawn once
		{Spec{Draw: amp}, []string{"08:00-10:00 UTC", "08:00-10:00 ship's time"}, 1, 1, 3},
		{Spec{Draw: amp}, []string{"Tue,Fri 08:00-10:00 UTC"}, 7, 0, 4},
		{Spec{Draw: amp, Start: timetable.DateOf(jan5)}, []string{"every 3 days 08:00-10:00 UTC"}, 7, 0, 6},
		{Spec{Draw: amp, Share: 0.25, Period: 0.5}, []string{"always"}, 1, 0, 6},
	} {
		l := plain(t, c.spec, c.when...)
		_, got, _ := run(t, l, jan5, c.days, c.zone)
		assert.InDelta(t, c.want, got, 1e-9, "%v over %d days", c.when, c.days)
	}
}

func TestNight(t *testing.T) {
	at := func(l sim.Load, elevation units.Degrees) bool {
		c := conditions(jan5, 0)
		c.Sun.Elevation = elevation
		return l.Draw(c).On
	}
	l := plain(t, Spec{Draw: Draw{Power: 3}}, "dusk to dawn")
	assert.True(t, at(l, -0.8334))
	assert.False(t, at(l, -0.8333)) // the disc is gone only below
	assert.False(t, at(l, 10))
	w, ok := l.(sim.SunWatcher)
	require.True(t, ok)
	assert.Equal(t, []units.Degrees{-0.8333}, w.Altitudes())
	assert.True(t, l.Edge(jan5, 0).IsZero())
	civil := plain(t, Spec{Draw: Draw{Power: 3}}, "sun below -6° until 2027-01-05")
	assert.True(t, at(civil, -6.1))
	assert.False(t, at(civil, -5.9))
	assert.Equal(t, jan5.AddDate(0, 0, 1), civil.Edge(jan5, 0))

	// Several reasons in one load: on when one holds, drawn once.
	both := plain(t, Spec{Draw: Draw{Power: 3}}, "dusk to dawn", "sun below -6°", "00:00-01:00 UTC")
	assert.Equal(t, []units.Degrees{-6, -0.8333}, both.(sim.SunWatcher).Altitudes())
	c := conditions(jan5, 0)
	c.Sun.Elevation = -10
	assert.Equal(t, units.Watts(3), both.Draw(c).Power)
	c.Sun.Elevation = 10
	assert.True(t, both.Draw(c).On)
	c = conditions(jan5.Add(time.Hour), 0)
	c.Sun.Elevation = 10
	assert.False(t, both.Draw(c).On)
	assert.Equal(t, jan5.Add(time.Hour), both.Edge(jan5, 0))
}

// States limit every kind of load.
func TestStates(t *testing.T) {
	sail := sim.States(0).With(sim.UnderSail)
	radio, err := NewRadio(RadioSpec{Name: "r", AllDay: true, Receive: 1, States: sail})
	require.NoError(t, err)
	set, err := NewFax(FaxSpec{Name: "f", Draw: Draw{Power: 1}, Slots: list(t, "00:00-24:00 UTC"), States: sail})
	require.NoError(t, err)
	s := Spec{Draw: Draw{Power: 1}, States: sail}
	cycling := s
	cycling.Share, cycling.Period = 0.5, 1
	for _, l := range []sim.Load{
		radio, set, plain(t, s, "always"), plain(t, s, "dusk to dawn"), plain(t, cycling),
		plain(t, s, "00:00-24:00 UTC"), plain(t, s, "00:00-24:00 UTC", "dusk to dawn"), plain(t, s, "1 h a day"),
	} {
		c := conditions(jan5, 0)
		c.Sun.Elevation = -20
		assert.True(t, l.Draw(c).On, "%T", l)
		c.State = sim.AtAnchor
		assert.Equal(t, sim.Demand{}, l.Draw(c), "%T", l)
	}
}

// A mean is drawn, but what flows while the load runs decides on its voltage.
func TestPeakOfAMean(t *testing.T) {
	c := conditions(jan5, 0)
	d := plain(t, Spec{Draw: Draw{Current: 4.5}, Share: 0.24, Supply: Supply{Least: 10.4, Cable: 0.02}}).Draw(c)
	assert.InDelta(t, 1.08, float64(d.Current), 1e-12)
	d.Current = 0
	assert.Equal(t, sim.Demand{On: true, Least: 10.4, Cable: 0.02, Peak: 4.5}, d)
	assert.Equal(t, units.Amps(2), plain(t, Spec{Draw: Draw{Current: 2}}, "3 h a day").Draw(c).Peak)
	assert.Zero(t, plain(t, Spec{Draw: Draw{Current: 2}}).Draw(c).Peak)
	assert.Equal(t, units.Amps(7), plain(t, Spec{Draw: Draw{Current: 2}, Share: 0.5, Supply: Supply{Peak: 7}}).Draw(c).Peak)
}

func TestSlotOfAWindow(t *testing.T) {
	l := plain(t, Spec{Draw: Draw{Power: 1}}, "23:00-01:00 ship's time")
	_, _, slots := run(t, l, jan5, 3, -2)
	assert.Equal(t, map[int64]bool{
		jan5.Add(1 * time.Hour).Unix():  true, // 23:00 in zone -2 is 01:00 UTC
		jan5.Add(25 * time.Hour).Unix(): true,
		jan5.Add(49 * time.Hour).Unix(): true,
	}, slots)
}

// In leg B the clock goes forward inside the window of a lamp: the lamp burns
// for an hour less. Leg README section 3.
func TestZoneChangeInsideAWindow(t *testing.T) {
	l := plain(t, Spec{Draw: Draw{Current: 1}}, "21:00-23:00 ship's time")
	start := time.Date(2027, 6, 14, 10, 0, 0, 0, time.UTC)
	assert.True(t, l.Draw(conditions(start.Add(90*time.Minute), 10)).On)   // 21:30
	assert.False(t, l.Draw(conditions(start.Add(70*time.Minute), 9)).On)   // 20:10: back
	assert.True(t, l.Draw(conditions(start.Add(90*time.Minute), 11)).On)   // 22:30
	assert.False(t, l.Draw(conditions(start.Add(120*time.Minute), 11)).On) // 23:00: cut
	assert.Equal(t, start.Add(3*time.Hour), l.Edge(start.Add(90*time.Minute), 10))
	assert.Equal(t, start.Add(2*time.Hour), l.Edge(start.Add(90*time.Minute), 11))
}

func TestCycling(t *testing.T) {
	l := plain(t, Spec{Draw: Draw{Current: 5}, Share: 0.4, Period: 0.5}) // 12 min of 30
	assert.Equal(t, jan5.Add(12*time.Minute), l.Edge(jan5, 3))
	assert.Equal(t, jan5.Add(30*time.Minute), l.Edge(jan5.Add(12*time.Minute), 3))
	assert.Equal(t, units.Amps(5), l.Draw(conditions(jan5.Add(11*time.Minute), 0)).Current)
	assert.False(t, l.Draw(conditions(jan5.Add(12*time.Minute), 0)).On)
	before := time.Date(1969, 1, 1, 0, 10, 0, 0, time.UTC)
	assert.True(t, l.Draw(conditions(before, 0)).On)
	assert.Equal(t, before.Add(2*time.Minute), l.Edge(before, 0))
}

func TestNewRefuses(t *testing.T) {
	ok := Spec{Name: "lamp", Draw: Draw{Power: 1}}
	for say, change := range map[string]func(*Spec){
		"name: it is missing":      func(s *Spec) { s.Name = " " },
		"draw: both":               func(s *Spec) { s.Draw.Current = 1 },
		"draw: a draw must not":    func(s *Spec) { s.Draw.Power = -1 },
		"share 150 %":              func(s *Spec) { s.Share = 1.5 },
		"share -100 %":             func(s *Spec) { s.Share = -1 },
		"cannot be one of several": func(s *Spec) { s.When = list(t, "3 h a day", "dusk to dawn") },
		"has no end":               func(s *Spec) { s.When = list(t, "08:00 UTC") },
		"from which day":           func(s *Spec) { s.When = list(t, "every 3 days 08:00-09:00 UTC") },
		"lowest working voltage":   func(s *Spec) { s.Supply.Least = -1 },
		"period 36 s":              func(s *Spec) { s.Period, s.Share = 0.01, 0.5 },
		"a part of the period":     func(s *Spec) { s.Period = 1 },
		"always on, so it":         func(s *Spec) { s.Period, s.Share, s.When = 1, 0.5, list(t, "dusk to dawn") },
	} {
		s := ok
		change(&s)
		_, err := New(s)
		assert.ErrorContains(t, err, say)
	}
}

// Nothing asked once a step allocates.
func TestNoAllocation(t *testing.T) {
	for name, l := range kinds(t) {
		c := conditions(jan5.Add(8*time.Hour), -3)
		c.Sun.Elevation = -10
		assert.Zero(t, testing.AllocsPerRun(100, func() {
			l.Draw(c)
			l.Edge(c.Time, -3)
			if w, ok := l.(sim.SunWatcher); ok {
				w.Altitudes()
			}
		}), name)
	}
}

// kinds is one load of each kind, all but the last on at 8 in the morning.
func kinds(t testing.TB) map[string]sim.Load {
	s := Spec{Name: "x", Draw: Draw{Current: 1}}
	cycling := s
	cycling.Share, cycling.Period = 0.5, 0.5
	radio, err := NewRadio(RadioSpec{
		Name: "radio", Receive: 2.5, Transmit: Transmit{Peak: 30, Share: 0.1},
		Scheds: list(t, "08:00 UTC", "20:00 UTC"), Length: 0.25, Standby: 0.5,
	})
	require.NoError(t, err)
	charts, err := fax.Published().Choose("Boston", "0755", "0805", "surface analysis")
	require.NoError(t, err)
	set, err := NewFax(FaxSpec{Name: "fax", Draw: Draw{Power: 8}, Charts: charts, Margin: fax.Margin})
	require.NoError(t, err)
	return map[string]sim.Load{
		"steady":    plain(t, s, "always"),
		"night":     plain(t, s, "dusk to dawn"),
		"scheduled": plain(t, s, "05:00-06:00 ship's time"),
		"cycling":   plain(t, cycling),
		"any":       plain(t, s, "05:00-06:00 ship's time", "dusk to dawn"),
		"radio":     radio,
		"fax":       set,
		"off":       plain(t, s, "12:00-13:00 UTC"),
	}
}

func BenchmarkDraw(b *testing.B) {
	for name, l := range kinds(b) {
		for when, at := range map[string]time.Duration{"8h": 8 * time.Hour, "noon": 12 * time.Hour} {
			c := conditions(jan5.Add(at), -3)
			b.Run(fmt.Sprintf("%s/%s", name, when), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					l.Draw(c)
				}
			})
		}
	}
}

func BenchmarkEdge(b *testing.B) {
	for name, l := range kinds(b) {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				l.Edge(jan5, -3)
			}
		})
	}
}
