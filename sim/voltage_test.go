package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/units"
)

// radioVoyage has a radio with a sched from the first hour to the second, and a
// lamp.
func radioVoyage(t testing.TB) *sim.Voyage {
	v := quiet(t, 6)
	v.Charge = 0.35
	radio := slots{"radio", sim.Demand{Current: 4, Peak: 25, Least: 11.5, Cable: 0.012, Idle: 1.5, What: "sched"}, []span{{1, 2}}}
	v.Loads = []sim.Fixed{{Load: radio}}
	always(v, "lamp", 2, false)
	return v
}

// How a radio really fails: the lamp burns, it receives, and it will not
// transmit.
func TestRadioThatCannotTransmit(t *testing.T) {
	v := radioVoyage(t)
	res := sail(t, v)
	closes(t, res)
	require.Len(t, res.Misses, 1, "once for the slot, not once a step")
	m := res.Misses[0]
	assert.Equal(t, sim.UnderVoltage, m.Cause)
	assert.Equal(t, "sched", m.What)
	assert.Equal(t, clock(1), m.At.Time)
	assert.Equal(t, clock(1), m.Slot)
	assert.True(t, m.Until.IsZero(), "a slot has no until")

	// The bank one hour on, the lamp having burnt, asked for lamp and peak.
	s := v.Bank.Start(v.Charge, 25)
	for range 6 {
		v.Bank.Step(&s, bank.Node{Current: 2, Temp: 25, Length: units.Hours(1.0 / 6)})
	}
	bus := v.Bank.Look(&s, bank.Node{Current: 27, Temp: 25}).Volts
	assert.InDelta(t, float64(bus)-25*0.012, float64(m.Volts), 1e-9, "the bus less the drop in the cable")
	assert.Less(t, float64(m.Volts), 11.5)

	assert.Equal(t, [2]int{1, 0}, [2]int{res.Loads[0].Due, res.Loads[0].Kept})
	assert.InDelta(t, 1, float64(res.Loads[0].Off), 1e-9)
	assert.InDelta(t, 1.5, float64(res.Loads[0].Charge), 1e-9, "it goes on listening")
	assert.Zero(t, res.Loads[1].Off, "the lamp burns on")
	assert.Equal(t, 1, res.Days[0].Misses)
}

// A charger that runs holds the voltage up, at the very same charge.
func TestChargerHelpsTheRadio(t *testing.T) {
	v := radioVoyage(t)
	v.Sources = []sim.Fitted{{Source: shining{"engine", 400, []span{{1, 2}}}}}
	res := sail(t, v)
	assert.Empty(t, res.Misses)
	assert.Equal(t, [2]int{1, 1}, [2]int{res.Loads[0].Due, res.Loads[0].Kept})
	assert.InDelta(t, 4, float64(res.Loads[0].Charge), 1e-9)
	without := sail(t, radioVoyage(t))
	i := stepAt(t, without, 1)
	assert.Equal(t, without.Trace.Charge[i], res.Trace.Charge[stepAt(t, res, 1)], "same charge when the sched begins")
}

// A sched that began well and fails in the middle is missed; one that the sun
// brings back is missed all the same.
func TestSlotThatFailsHalfWay(t *testing.T) {
	for _, sun := range [][]span{{{1, 1.25}}, {{1.5, 3}}} {
		v := radioVoyage(t)
		v.Charge = 0.25
		v.Sources = []sim.Fitted{{Source: shining{"sun", 400, sun}}}
		res := sail(t, v)
		require.Len(t, res.Misses, 1)
		assert.Equal(t, [2]int{1, 0}, [2]int{res.Loads[0].Due, res.Loads[0].Kept})
		off := 0.5
		if sun[0].from == 1 {
			off = 0.75
			assert.Equal(t, clock(1.25), res.Misses[0].At.Time, "when it failed")
			assert.Equal(t, clock(1), res.Misses[0].Slot, "when it began")
		}
		assert.InDelta(t, off, float64(res.Loads[0].Off), 1e-9)
	}
}

// A load without slots that lacks voltage through the night is one spell, which
// ends when it really works again, not a miss for every step.
func TestUnderVoltageOfALoadWithoutSlots(t *testing.T) {
	v := quiet(t, 24)
	v.Charge = 0.3
	v.Loads = []sim.Fixed{{Load: user{"fridge", sim.Demand{On: true, Current: 3, Least: 12, Idle: 0.1}}}}
	v.Sources = []sim.Fitted{{Source: shining{"sun", 100, []span{{15, 20}}}}}
	res := sail(t, v)
	require.Len(t, res.Misses, 2)
	m := res.Misses[0]
	assert.Equal(t, sim.UnderVoltage, m.Cause)
	assert.Equal(t, v.Depart, m.At.Time)
	assert.Equal(t, clock(15), m.Until)
	assert.True(t, res.Misses[1].At.Time.After(clock(20).Add(-1)), "again when the sun is gone: %v", res.Misses[1].At.Time)
	assert.Equal(t, res.End, res.Misses[1].Until)
	assert.InDelta(t, 15+res.End.Sub(res.Misses[1].At.Time).Hours(), float64(res.Loads[0].Off), 1e-9)
}

// A bank that could not give the peak at any voltage leaves none at the set.
func TestVoltageOfAnImpossiblePeak(t *testing.T) {
	v := radioVoyage(t)
	v.Loads[0].Load = slots{"radio", sim.Demand{Current: 4, Peak: 5000, Least: 11.5, Cable: 0.012}, []span{{1, 2}}}
	res := sail(t, v)
	require.Len(t, res.Misses, 1)
	assert.Zero(t, res.Misses[0].Volts)
}
