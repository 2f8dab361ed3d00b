package sim_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/units"
)

// A flat bank: all loads go, with their cause, and come back when the bus has
// reached the reset voltage.
func TestFlatAndBack(t *testing.T) {
	v := quiet(t, 60)
	always(v, "lamp", 4, false)
	always(v, "pump", 1, false)
	sun := shining{"sun", 150, []span{{20, 30}}}
	v.Sources = []sim.Fitted{{Source: sun}}
	res := sail(t, v)
	closes(t, res)
	require.Len(t, res.Misses, 2+2, "both loads, flat once by day and once after")
	down, back := res.Misses[0], res.Misses[0].Until
	for i, m := range res.Misses {
		assert.Equal(t, sim.Flat, m.Cause)
		assert.Equal(t, []string{"lamp", "pump"}[i%2], m.What)
		assert.Equal(t, i%2, m.Load)
	}
	assert.Equal(t, down.At.Time, res.Misses[1].At.Time, "all go at once")
	assert.Equal(t, back, res.Misses[1].Until, "and come back at once")
	assert.Equal(t, res.End, res.Misses[3].Until, "or at the end")

	tr := res.Trace
	reset := v.Bank.Setup().Reset
	for i := range len(tr.Time) - 1 {
		off := !tr.Time[i].Before(down.At.Time) && tr.Time[i].Before(back)
		if !tr.Time[i].Before(res.Misses[2].At.Time) {
			break
		}
		require.Equal(t, off, tr.Loads[0][i] == 0, "lamp at %v", tr.Time[i])
		if off {
			require.Equal(t, tr.Time[i+1].Equal(back), tr.Bus[i] >= reset, "bus %v at %v, back at %v", tr.Bus[i], tr.Time[i], back)
		}
	}
	off := back.Sub(down.At.Time) + res.End.Sub(res.Misses[2].At.Time)
	assert.InDelta(t, off.Hours(), float64(res.Loads[0].Off), 1e-9)
}

// Without a cut-off the bank is flat when its tank at hand is empty: the moment
// by [Manwell 1993] eq. 8, which bank.Model.Delivers has in closed form.
func TestFlatAtTheRightMoment(t *testing.T) {
	for _, amps := range []units.Amps{2, 5, 20} {
		v := quiet(t, 80)
		v.Charge = 1
		v.Bank = bankOf(t, func(s *bank.Setup) { s.CutOff, s.SelfDischarge = 0, 0 })
		always(v, "lamp", amps, false)
		res := sail(t, v)
		require.NotEmpty(t, res.Misses)
		hours := units.Hours(res.Misses[0].At.Time.Sub(v.Depart).Hours())
		assert.InEpsilon(t, float64(amps)*float64(hours), float64(v.Bank.Delivers(hours, 25)), 1e-3, "flat after %v at %v", hours, amps)
	}
}

// Spare loads go first, and if that is enough nothing else does.
func TestSpareLoadsGoFirst(t *testing.T) {
	v := quiet(t, 30)
	v.Bank = bankOf(t, func(s *bank.Setup) { s.CutOff, s.Reset = 11.5, 12.4 })
	always(v, "heater", 25, true)
	always(v, "lamp", 0.3, false)
	v.Sources = []sim.Fitted{{Source: shining{"sun", 120, []span{{6, 9}}}}}
	res := sail(t, v)
	closes(t, res)
	require.NotEmpty(t, res.Misses)
	for _, m := range res.Misses {
		assert.Equal(t, "heater", m.What)
		assert.Equal(t, sim.Shed, m.Cause)
	}
	assert.Zero(t, res.Loads[1].Off, "the lamp burns on")
	first := res.Misses[0]
	require.True(t, first.Until.After(clock(6)) && first.Until.Before(clock(9)), "back while the sun shines: %v", first.Until)
	i := stepAt(t, res, first.Until.Sub(clock(0)).Hours())
	assert.NotZero(t, res.Trace.Loads[0][i], "the heater is on again")
	assert.GreaterOrEqual(t, float64(res.Trace.Bus[i-1]), 12.4)
}

// If it is not, the others follow, with the other cause.
func TestSpareLoadsAreNotEnough(t *testing.T) {
	v := quiet(t, 30)
	v.Charge = 0.2
	always(v, "fan", 0.5, true)
	always(v, "lamp", 3, false)
	res := sail(t, v)
	require.Len(t, res.Misses, 2)
	fan, lamp := res.Misses[0], res.Misses[1]
	assert.Equal(t, [2]sim.Cause{sim.Shed, sim.Flat}, [2]sim.Cause{fan.Cause, lamp.Cause})
	assert.True(t, lamp.At.Time.After(fan.At.Time), "the lamp holds out longer")
	assert.Equal(t, [2]time.Time{res.End, res.End}, [2]time.Time{fan.Until, lamp.Until})
	assert.InDelta(t, float64(res.Loads[0].Off), float64(res.End.Sub(fan.At.Time).Hours()), 1e-9)
}

// A load too heavy for the bank, which stands above the reset voltage as soon as
// it is off: it never runs, and that is one miss and not one a step.
func TestTooHeavyALoadIsOneSpell(t *testing.T) {
	v := quiet(t, 24)
	v.Charge = 0.9
	v.Bank = bankOf(t, func(s *bank.Setup) { s.CutOff, s.Reset = 12, 12.2 })
	always(v, "winch", 120, true)
	always(v, "lamp", 0.2, false)
	res := sail(t, v)
	require.Len(t, res.Misses, 1)
	assert.Equal(t, sim.Shed, res.Misses[0].Cause)
	assert.Equal(t, v.Depart, res.Misses[0].At.Time)
	assert.Equal(t, res.End, res.Misses[0].Until)
	assert.InDelta(t, 24, float64(res.Loads[0].Off), 1e-9)
	assert.Zero(t, res.Loads[0].Energy)
	assert.Zero(t, res.Loads[1].Off)
}
