package sim_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/loads"
	"ampwake/loads/timetable"
	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/sky"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

func nightLight(t tester, when string) sim.Fixed {
	t.Helper()
	w, err := timetable.ParseList(when)
	require.NoError(t, err)
	l, err := loads.New(loads.Spec{Name: when, Draw: loads.Draw{Current: 0.1}, When: w})
	require.NoError(t, err)
	return sim.Fixed{Load: l}
}

// The lights obey the sun in every single step, with a boat that changes speed
// and course all the time, in all latitudes. The sun is asked from its place in
// the middle of the step by another way than the engine's.
func TestLightsObeyTheSun(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := dice{t}
		v := anyVoyage(t)
		v.Loads, v.Goals, v.Faults, v.Grid = []sim.Fixed{nightLight(t, "dusk to dawn"), nightLight(t, "sun below -6°")}, sim.Goals{}, nil, 10*time.Minute
		v.Charge = 1
		v.Bank = onBank(t, v, bank.Default(bank.AGM, 1000).Plain()).Bank
		v.Plan = nil
		for range 60 {
			v.Plan = append(v.Plan, sim.Stretch{For: units.Hours(d.float("for, h", 0.1, 3)), Speed: units.Knots(d.float("speed", 0, 15))})
		}
		res := sail(t, v)
		tr := res.Trace
		for i := range len(tr.Time) - 1 {
			mid := tr.Time[i].Add(tr.Time[i+1].Sub(tr.Time[i]) / 2)
			place := halfWay(tr, i)
			sun := sky.At(mid, place.Lat, place.Lon).Elevation
			for j, below := range []units.Degrees{-0.8333, -6} {
				if off := float64(sun - below); off > -0.01 && off < 0.01 {
					continue // a step of a second about the crossing itself
				}
				require.Equal(t, sun < below, tr.Loads[j][i] > 0, "%v with the sun at %v at %v, %v", res.Loads[j].Name, sun, mid, place)
			}
		}
	})
}

// halfWay is about the place in the middle of a step.
func halfWay(tr *sim.Trace, i int) track.Position {
	east := tr.Lon[i+1] - tr.Lon[i]
	if east > 180 {
		east -= 360
	} else if east < -180 {
		east += 360
	}
	return track.Position{Lat: (tr.Lat[i] + tr.Lat[i+1]) / 2, Lon: tr.Lon[i] + east/2}
}

// Steps are cut within a second of sunrise and sunset.
func TestStepsAreCutAtTheSun(t *testing.T) {
	v := quiet(t, 72)
	v.Loads = []sim.Fixed{nightLight(t, "dusk to dawn")}
	res := sail(t, v)
	tr := res.Trace
	cuts := 0
	for i := 1; i < len(tr.Time)-1; i++ {
		if (tr.Loads[0][i] > 0) == (tr.Loads[0][i-1] > 0) {
			continue
		}
		cuts++
		before := sky.At(tr.Time[i].Add(-time.Second), tr.Lat[i], tr.Lon[i]).Elevation
		after := sky.At(tr.Time[i], tr.Lat[i], tr.Lon[i]).Elevation
		assert.True(t, (before < sky.Limb) != (after < sky.Limb), "%v: %v and %v", tr.Time[i], before, after)
	}
	assert.Equal(t, 6, cuts)
}

// Polar night and polar day, and the days on which they end.
func TestPolarNightAndDay(t *testing.T) {
	for _, c := range []struct {
		month  time.Month
		lat    units.Degrees
		lo, hi float64 // hours a day that the light burns
	}{{time.June, 75, 0, 0}, {time.December, 75, 24, 24}, {time.December, -75, 0, 0}, {time.February, 75, 12, 22}, {time.June, -66, 19, 24}} {
		v := quiet(t, 240)
		v.Depart = time.Date(2027, c.month, 10, 12, 0, 0, 0, time.UTC)
		v.Route = routeOf(t, c.lat, 10, c.lat, 40)
		v.Loads = []sim.Fixed{nightLight(t, "dusk to dawn")}
		v.Bank, v.Charge = bankOf(t, plenty), 1
		res := sail(t, v)
		burnt := float64(res.Loads[0].Charge) / 0.1 * 24 / res.End.Sub(res.Depart).Hours()
		assert.GreaterOrEqual(t, burnt, c.lo-1e-9, "%v at %v: %v h", c.month, c.lat, burnt)
		assert.LessOrEqual(t, burnt, c.hi+1e-9, "%v at %v: %v h", c.month, c.lat, burnt)
		assert.Empty(t, res.Misses)
		lean, err := v.Sail(t.Context(), sim.Options{Lean: true})
		require.NoError(t, err)
		assert.Equal(t, res.Books, lean.Books)
	}
}

// Over the date line both ways, and from it both ways: the zone jumps by a day
// and the clock of the ship by none, the light burns through, the days of the
// result are UTC days as ever.
func TestDateLine(t *testing.T) {
	for name, c := range map[string]struct {
		from, to units.Degrees
		zones    []int8
	}{
		"east": {176, -176, []int8{12, -12}}, "west": {-176, 176, []int8{-12, 12}},
		"from it east": {180, -170, []int8{-12, -11}}, "from it west": {180, 170, []int8{12, 11}},
		"from minus it west": {-180, 170, []int8{12, 11}},
	} {
		v := quiet(t, 0)
		v.Route = routeOf(t, -10, c.from, -10, c.to)
		v.Plan = []sim.Stretch{{Speed: 8}}
		v.Loads = []sim.Fixed{nightLight(t, "dusk to dawn"), {Load: chart(span{1, 2}, span{25, 26})}}
		v.Charge, v.Bank = 1, bankOf(t, plenty)
		res := sail(t, v)
		tr := res.Trace
		var zones []int8
		burnt := 0.0
		for i := range len(tr.Time) - 1 {
			if len(zones) == 0 || zones[len(zones)-1] != tr.Zone[i] {
				zones = append(zones, tr.Zone[i])
			}
			require.True(t, tr.Lon[i] >= -180 && tr.Lon[i] <= 180)
			if sky.At(tr.Time[i].Add(time.Second), tr.Lat[i], tr.Lon[i]).Elevation < sky.Limb {
				burnt += tr.Time[i+1].Sub(tr.Time[i]).Hours()
			}
		}
		assert.Equal(t, c.zones, zones, name)
		assert.InDelta(t, burnt, float64(res.Loads[0].Charge)/0.1, 0.1, name)
		assert.Equal(t, 2, res.Loads[1].Kept, name)
		for i, d := range res.Days {
			assert.Equal(t, clock(-12).Add(time.Duration(i)*24*time.Hour), d.Date, name)
		}
	}
}
