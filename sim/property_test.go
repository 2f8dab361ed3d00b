package sim_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// What must hold of every voyage, whatever the kit and the weather.
func TestAnyVoyage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := anyVoyage(t)
		res := sail(t, v)
		closes(t, res)
		checkTrace(t, v, res)
		checkDays(t, res)
		checkMisses(t, v, res)
		checkRest(t, v, res)
	})
}

// Keeping a trace changes nothing, in any latitude and season and with a speed
// that changes all the time: at night the sun is not looked at without one.
func TestTraceChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := dice{t}
		v := anyVoyage(t)
		v.Grid, v.Limit, v.Faults = 10*time.Minute, 240, nil
		lat := d.float("latitude", -80, 80)
		var err error
		v.Route, err = track.NewRoute(track.Sphere{}, []track.Waypoint{
			{Position: track.Position{Lat: units.Degrees(lat), Lon: 170}},
			{Position: track.Position{Lat: units.Degrees(max(-84, min(84, lat+d.float("north", -20, 20)))), Lon: units.Degrees(d.float("to", 120, 169))}, Line: track.RhumbLine},
		})
		require.NoError(t, err)
		v.Plan = nil
		for range 30 {
			v.Plan = append(v.Plan, sim.Stretch{For: units.Hours(d.float("for, h", 1, 20)), Speed: units.Knots(d.float("speed", 0, 10))})
		}
		v.Loads, v.Goals, v.Stays = v.Loads[:0], sim.Goals{}, nil
		v = plusPanel(t, v, 100)
		without, err := v.Sail(t.Context(), sim.Options{})
		require.NoError(t, err)
		with := sail(t, v)
		with.Trace = nil
		require.Equal(t, with, without)
	})
}

// checkTrace: the steps tile the voyage, the charge stays within its bounds, the
// boat within her route, and every step balances.
func checkTrace(t *rapid.T, v *sim.Voyage, res *sim.Result) {
	tr := res.Trace
	n := len(tr.Time) - 1
	require.Equal(t, res.Steps, n)
	require.True(t, tr.Time[0].Equal(v.Depart) && tr.Time[n].Equal(res.End), "%v to %v", tr.Time[0], tr.Time[n])
	require.False(t, res.End.After(v.Depart.Add(time.Duration(math.Round(float64(v.Limit)*3.6e12)))), "after the limit")
	lowest, sailed := units.Fraction(2), 0.0
	for i := range n + 1 {
		lowest = min(lowest, tr.Charge[i])
		require.True(t, tr.Charge[i] >= 0 && tr.Charge[i] <= 1, "charge %v", tr.Charge[i])
		at, _ := v.Route.At(units.NauticalMiles(sailed))
		require.InDelta(t, float64(at.Lat), float64(tr.Lat[i]), 1e-5, "latitude at %v, %.3f nm", tr.Time[i], sailed)
		require.InDelta(t, 0, math.Remainder(float64(at.Lon-tr.Lon[i]), 360), 2e-5, "longitude at %v", tr.Time[i])
		if i == n {
			break
		}
		length := tr.Time[i+1].Sub(tr.Time[i])
		require.True(t, length > 0 && length <= v.Grid, "step of %v", length)
		require.GreaterOrEqual(t, float64(tr.Speed[i]), 0.0)
		require.LessOrEqual(t, float64(tr.Speed[i]), float64(tr.Plan[i]))
		sailed += float64(tr.Speed[i]) * length.Hours()
		balance := float64(tr.Battery[i])*float64(tr.Bus[i]) - float64(tr.Spilled[i])
		for _, s := range tr.Sources {
			require.GreaterOrEqual(t, float64(s[i]), 0.0)
			balance += float64(s[i])
		}
		for _, l := range tr.Loads {
			require.GreaterOrEqual(t, float64(l[i]), 0.0)
			balance -= float64(l[i])
		}
		require.InDelta(t, 0, balance, 1e-6, "watts at %v", tr.Time[i])
		require.GreaterOrEqual(t, float64(tr.Spilled[i]), 0.0)
	}
	require.InDelta(t, sailed, float64(res.Sailed), 1e-5)
	require.InDelta(t, float64(lowest), float64(res.Lowest.Charge), 1e-12)
	require.Equal(t, res.Last, tr.Charge[n])
	if res.Arrived {
		require.InDelta(t, float64(v.Route.Length()), float64(res.Sailed), 1e-9)
	}
}

// checkDays: the days follow each other and add up to the totals.
func checkDays(t *rapid.T, res *sim.Result) {
	var hours units.Hours
	var sailed units.NauticalMiles
	var spilled units.AmpHours
	lowest := res.Start
	sources, loads := make([]sim.SourceTotal, len(res.Sources)), make([]sim.LoadTotal, len(res.Loads))
	for i, d := range res.Days {
		if i > 0 {
			require.Equal(t, 24*time.Hour, d.Date.Sub(res.Days[i-1].Date))
		}
		require.True(t, d.Hours > 0 && d.Hours <= 24+1e-9)
		require.True(t, d.Low <= d.Close && d.Close <= d.High && d.Low <= d.AtNoon && d.AtNoon <= d.High)
		require.False(t, d.LowAt.Before(d.Date) || d.LowAt.Sub(d.Date) > 24*time.Hour, "low at %v", d.LowAt)
		hours, sailed, spilled, lowest = hours+d.Hours, sailed+d.Sailed, spilled+d.Spilled, min(lowest, d.Low)
		for j, s := range d.Sources {
			k := &sources[j]
			k.Energy, k.Charge, k.Lost, k.InUse = k.Energy+s.Energy, k.Charge+s.Charge, k.Lost+s.Lost, k.InUse+s.InUse
		}
		for j, l := range d.Loads {
			k := &loads[j]
			require.True(t, l.Due >= l.Kept && l.Kept >= 0, "%s on %v: %d kept of %d due", l.Name, d.Date, l.Kept, l.Due)
			k.Energy, k.Charge, k.Due, k.Kept, k.Off = k.Energy+l.Energy, k.Charge+l.Charge, k.Due+l.Due, k.Kept+l.Kept, k.Off+l.Off
		}
	}
	near := func(want, got float64, what string) {
		require.InDelta(t, want, got, 1e-8*math.Max(1, math.Abs(want)), what)
	}
	near(res.End.Sub(res.Depart).Hours(), float64(hours), "hours")
	require.InDelta(t, float64(res.Sailed), float64(sailed), 1e-5)
	near(float64(res.Books.SpilledCharge), float64(spilled), "spilled")
	require.InDelta(t, float64(res.Lowest.Charge), float64(lowest), 1e-12)
	var used units.WattHours
	for j, l := range res.Loads {
		require.Equal(t, [2]int{l.Due, l.Kept}, [2]int{loads[j].Due, loads[j].Kept}, l.Name)
		near(float64(l.Energy), float64(loads[j].Energy), l.Name)
		near(float64(l.Charge), float64(loads[j].Charge), l.Name)
		near(float64(l.Off), float64(loads[j].Off), l.Name)
		used += l.Energy
	}
	near(float64(used), float64(res.Books.Used), "used")
	var made units.WattHours
	for j, s := range res.Sources {
		near(float64(s.Energy), float64(sources[j].Energy), s.Name)
		near(float64(s.Charge), float64(sources[j].Charge), s.Name)
		near(float64(s.Lost), float64(sources[j].Lost), s.Name)
		near(float64(s.InUse), float64(sources[j].InUse), s.Name)
		made += s.Energy + s.Lost
	}
	near(float64(made), float64(res.Books.Made), "made")
}

// checkMisses: each has a cause and a place in the voyage, and agrees with the
// slots kept.
func checkMisses(t *rapid.T, v *sim.Voyage, res *sim.Result) {
	slots, until := make([]int, len(res.Loads)), make([]time.Time, len(res.Loads))
	last := res.Depart
	for _, m := range res.Misses {
		require.NotEmpty(t, m.What)
		require.NotEmpty(t, m.Cause.String())
		require.False(t, m.At.Time.Before(last) || m.At.Time.After(res.End), "out of order or out of the voyage: %+v", m)
		last = m.At.Time
		require.True(t, m.Volts == 0 || m.Cause == sim.UnderVoltage && m.Volts > 0, "%+v", m)
		require.True(t, m.Cause != sim.Shed || v.Loads[m.Load].Spare || v.Loads[m.Load].Rule != nil, "shed though not spare: %+v", m)
		if m.Until.IsZero() { // a slot
			slots[m.Load]++
			// A fax is switched on a little before its slot.
			require.True(t, m.Slot.Sub(m.At.Time) <= 10*time.Minute && m.At.Time.Sub(m.Slot) <= 26*time.Hour, "%+v", m)
			continue
		}
		require.Equal(t, m.At.Time, m.Slot)
		require.False(t, m.Until.Before(m.At.Time) || m.Until.After(res.End), "%+v", m)
		require.False(t, m.At.Time.Before(until[m.Load]), "spells overlap: %+v", m)
		until[m.Load] = m.Until
	}
	for i, l := range res.Loads {
		require.Equal(t, l.Due-l.Kept, slots[i], "slots of %s", l.Name)
		require.True(t, l.Kept >= 0 && l.Kept <= l.Due)
		if l.Off > 0 {
			require.True(t, slots[i] > 0 || !until[i].IsZero(), "%s was off for %v without a miss", l.Name, l.Off)
		}
	}
}

// checkRest: fuel, decisions, verdict, and that nothing hangs on the trace.
func checkRest(t *rapid.T, v *sim.Voyage, res *sim.Result) {
	require.True(t, res.Fuel >= 0 && res.Fuel <= v.Fuel, "fuel %v of %v", res.Fuel, v.Fuel)
	last := res.Depart
	for _, x := range res.Decisions {
		require.NotEmpty(t, x.Why)
		require.False(t, x.At.Time.Before(last) || !x.At.Time.Before(res.End), "out of order or of the voyage: %+v", x)
		last = x.At.Time
	}
	require.LessOrEqual(t, float64(res.Lowest.Charge), float64(res.Start)+1e-12)
	require.InDelta(t, float64(res.Lowest.Charge-res.Verdict.Floor), float64(res.Verdict.Margin), 1e-15)
	for _, g := range res.Verdict.Goals {
		if g.Load < 0 {
			require.Equal(t, g.Holds, g.Broken == nil)
			continue
		}
		require.Equal(t, g.Holds, g.First == nil)
		require.True(t, !g.Holds || g.Kept == g.Due)
	}
	lean, err := v.Sail(t.Context(), sim.Options{Lean: true})
	require.NoError(t, err)
	require.Equal(t, res.Books, lean.Books)
	require.Equal(t, res.Loads, lean.Loads)
	require.Equal(t, res.Misses, lean.Misses)
	require.Equal(t, res.Verdict, lean.Verdict)
}
