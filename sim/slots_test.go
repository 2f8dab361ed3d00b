package sim_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/loads"
	"ampwake/loads/timetable"
	"ampwake/sim"
	"ampwake/sim/units"
)

// chart returns a fax with a slot at each span.
func chart(spans ...span) slots { return slots{"fax", sim.Demand{Current: 1}, spans} }

func dueKept(l []sim.LoadTotal) [2]int { return [2]int{l[0].Due, l[0].Kept} }

// The voyage begins at noon: hour 12 is midnight.
func TestSlotsOverMidnight(t *testing.T) {
	v := quiet(t, 36)
	v.Loads = []sim.Fixed{{Load: chart(span{10, 12}, span{23, 25}, span{35.5, 36})}}
	res := sail(t, v)
	require.Len(t, res.Days, 2)
	assert.Equal(t, [2]int{3, 3}, dueKept(res.Loads))
	assert.Equal(t, [2]int{1, 1}, dueKept(res.Days[0].Loads), "one that ends at midnight is of the day before")
	assert.Equal(t, [2]int{2, 2}, dueKept(res.Days[1].Loads))

	// Over midnight itself, and failing after it: the day of its beginning is
	// charged with it.
	v.Loads[0].Load = slots{"fax", sim.Demand{Current: 1, Least: 13}, []span{{11.5, 12.5}}}
	v.Sources = []sim.Fitted{{Source: shining{"engine", 300, []span{{11.5, 12.25}}}}}
	res = sail(t, v)
	require.Len(t, res.Misses, 1)
	assert.Equal(t, clock(12.25), res.Misses[0].At.Time)
	assert.Equal(t, [2]int{1, 0}, dueKept(res.Loads))
	assert.Equal(t, [2]int{1, 0}, dueKept(res.Days[0].Loads))
	assert.Equal(t, [2]int{0, 0}, dueKept(res.Days[1].Loads))
	assert.Equal(t, [2]int{0, 1}, [2]int{res.Days[0].Misses, res.Days[1].Misses}, "the failure itself is of the second day")
}

// A voyage that begins or ends inside a slot has it due, and kept if it was
// served as far as she was there.
func TestSlotsAtBothEndsOfTheVoyage(t *testing.T) {
	v := quiet(t, 20)
	v.Loads = []sim.Fixed{{Load: chart(span{-1, 1}, span{5, 6}, span{19.5, 21}, span{30, 31})}}
	res := sail(t, v)
	assert.Equal(t, [2]int{3, 3}, dueKept(res.Loads))
	assert.InDelta(t, 1+1+0.5, float64(res.Loads[0].Charge), 1e-9)
	v.Charge = 0.001
	res = sail(t, v)
	assert.Equal(t, [2]int{3, 0}, dueKept(res.Loads))
	require.Len(t, res.Misses, 3)
	assert.Equal(t, clock(-1), res.Misses[0].Slot, "it began before she left")
	assert.WithinDuration(t, clock(0), res.Misses[0].At.Time, 5*time.Minute, "as soon as the bank is flat")
}

// Two slots that follow each other without a gap are two.
func TestSlotsBackToBack(t *testing.T) {
	v := quiet(t, 10)
	v.Loads = []sim.Fixed{{Load: chart(span{1, 2}, span{2, 3}, span{3, 3.25})}}
	res := sail(t, v)
	assert.Equal(t, [2]int{3, 3}, dueKept(res.Loads))
	assert.InDelta(t, 2.25, float64(res.Loads[0].Charge), 1e-9)
}

// Slots of the ship's clock, sailed west and east at 20 kn in high latitude so
// that the zone changes every day, and over the date line: as many as a watch
// that looks at the ship's clock every minute counts, an hour gained or lost.
func TestSlotsByShipsTime(t *testing.T) {
	for _, way := range [][4]units.Degrees{{60, 20, 60, -120}, {60, -20, 60, 120}, {58, 150, 60, -100}, {58, -150, 60, 100}} {
		w, err := timetable.ParseList("11:50-12:10 ship's time")
		require.NoError(t, err)
		lamp, err := loads.New(loads.Spec{Name: "lamp", Draw: loads.Draw{Current: 1}, When: w})
		require.NoError(t, err)
		v := quiet(t, 9*24)
		v.Charge = 1
		v.Route = routeOf(t, way[0], way[1], way[2], way[3])
		v.Plan = []sim.Stretch{{Speed: 20}}
		v.Loads = []sim.Fixed{{Load: lamp}}
		res := sail(t, v)
		due, on, minutes := 0, false, 0
		step := 0
		for at := v.Depart; at.Before(res.End); at = at.Add(time.Minute) {
			for !at.Before(res.Trace.Time[step+1]) {
				step++
			}
			ship := at.Add(time.Duration(res.Trace.Zone[step]) * time.Hour)
			m := ship.Hour()*60 + ship.Minute()
			is := m >= 11*60+50 && m < 12*60+10
			if is {
				minutes++
				if !on {
					due++
				}
			}
			on = is
		}
		name := fmt.Sprint(way)
		assert.Greater(t, due, 2, name)
		assert.Equal(t, due, res.Loads[0].Due, name)
		assert.Equal(t, due, res.Loads[0].Kept, name)
		assert.InDelta(t, float64(minutes)/60, float64(res.Loads[0].Charge), 0.3, name)
	}
}

// A radio that is left on and goes flat between its scheds has kept them: its
// goal is about its slots. The spell is told all the same.
func TestGoalOfALoadWithSlots(t *testing.T) {
	v := quiet(t, 12)
	v.Charge = 0.5
	v.Loads = []sim.Fixed{{Load: standby{chart(span{1, 2}), 3, 9}}}
	always(v, "heater", 9, false)
	v.Goals.Keep = []int{0, 1}
	res := sail(t, v)
	require.Len(t, res.Misses, 2, "both loads, once flat")
	radio, heater := res.Verdict.Goals[0], res.Verdict.Goals[1]
	assert.True(t, radio.Holds)
	assert.Nil(t, radio.First)
	assert.Equal(t, [2]int{1, 1}, [2]int{radio.Due, radio.Kept})
	assert.False(t, heater.Holds, "a load without slots is judged by its spells")
	assert.Equal(t, res.Misses[1], *heater.First)
	assert.False(t, res.Verdict.Holds)
}

// standby is a load with slots that also listens, without a slot, for a while.
type standby struct {
	slots
	from, to float64
}

func (s standby) Draw(c *sim.Conditions) sim.Demand {
	if (span{s.from, s.to}).holds(c.Time) {
		return sim.Demand{On: true, Current: 0.5}
	}
	return s.slots.Draw(c)
}

func (s standby) Edge(t time.Time, _ int) time.Time {
	return nextOf(append(s.spans, span{s.from, s.to}), t)
}
