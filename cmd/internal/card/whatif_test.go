package card

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// sailed is the state of a table's row put together by hand, with nothing of
// still.go: the boat really sails, along the parallel of the zone's middle, with
// the speed of the table. The sun's day is then a little longer or shorter than
// hers, hence the tolerances below.
type sailed struct {
	z       *Zone
	v       *sim.Voyage
	course  units.Degrees
	speed   units.Knots
	charge  units.Fraction
	loads   []int
	floor   units.Fraction
	limit   units.Hours
	sources []sim.Fitted
}

func (x sailed) voyage(t testing.TB) *sim.Voyage {
	t.Helper()
	east := units.Degrees(90) // by up to 90 days at 6 kn on 50° of latitude: less than half round
	if x.course > 180 {
		east = -90
	}
	there := track.Position{Lat: x.z.Place.Lat, Lon: units.Degrees(math.Remainder(float64(x.z.Place.Lon+east), 360))}
	route, err := track.NewRoute(track.Sphere{}, []track.Waypoint{{Position: x.z.Place}, {Position: there, Line: track.RhumbLine}})
	require.NoError(t, err)
	noon := x.z.Middle.Add(time.Duration(x.z.Ship) * time.Hour).Truncate(24 * time.Hour).Add(time.Duration(12-x.z.Ship) * time.Hour)
	out := &sim.Voyage{
		Depart: noon, Route: route, Limit: x.limit, Grid: x.v.Grid, Bank: x.v.Bank, Charge: x.charge, Fuel: 1000,
		Plan: []sim.Stretch{{Speed: x.speed, Heel: x.z.Heel}}, Sky: x.v.Sky, Goals: sim.Goals{Above: x.floor},
		Weather: func(int) sim.Weather {
			return climate.Fixed{Average: true, Sample: climate.Sample{WindSpeed: x.z.Wind, Cloud: x.z.Cloud, Air: x.z.Air, Sea: x.z.Sea}}
		},
		Sources: x.sources,
	}
	if x.speed == 0 {
		out.Plan[0].State = sim.Drifting
	}
	for _, l := range x.loads {
		out.Loads = append(out.Loads, sim.Fixed{Load: x.v.Loads[l].Load})
	}
	return out
}

func (x sailed) sail(t testing.TB) *sim.Result {
	t.Helper()
	r, err := x.voyage(t).Sail(t.Context(), sim.Options{})
	require.NoError(t, err)
	return r
}

// zoneTo returns a zone of a card whose course lies near east or west, so that
// sailing along the parallel is the same course within some degrees.
func zoneTo(t *testing.T, c *Card, name string) *Zone {
	t.Helper()
	for _, z := range c.Zones {
		if z.Name == name {
			return z
		}
	}
	t.Fatalf("no zone %s", name)
	return nil
}

func TestDaysLeftAgreeWithDirectSimulation(t *testing.T) {
	s := builtin(t, "southern-ocean")
	c := southernCard(t)
	z := zoneTo(t, c, "roaring forties")
	require.InDelta(t, 90, float64(z.Course), 10)
	finite := 0
	for _, row := range z.Lasts {
		for i, v := range z.Speeds {
			r := sailed{
				z: z, v: s.Voyage(), course: z.Course, speed: v, charge: row.Charge, loads: z.Ways[row.Way].Loads,
				floor: c.Floor, limit: 24 * Horizon, sources: s.Voyage().Sources,
			}.sail(t)
			broken := r.Verdict.Goals[0].Broken
			if math.IsInf(row.Days[i], 1) {
				assert.Nil(t, broken, "%v %s at %v", row.Charge, z.Ways[row.Way].Name, v)
				continue
			}
			if !assert.NotNil(t, broken, "%v %s at %v", row.Charge, z.Ways[row.Way].Name, v) {
				continue
			}
			days := broken.Time.Sub(r.Depart).Hours() / 24
			// 0.1 day, and 6 % at speed, where she outruns the sun and the small
			// net hangs on it.
			assert.InDelta(t, days, row.Days[i], 0.1+0.06*days*float64(min(v, 1)), "%v %s at %v", row.Charge, z.Ways[row.Way].Name, v)
			finite++
		}
	}
	assert.Greater(t, finite, 6, "the table must say something")
}

// hoursOnly lets a source work in the first hours.
type hoursOnly struct{ until time.Time }

func (h hoursOnly) Decide(c *sim.Conditions, _ bool, _ units.Hours) (bool, string) {
	return c.Time.Before(h.until), "test"
}

func TestBreakEvenAgreesWithDirectSimulation(t *testing.T) {
	s := builtin(t, "southern-ocean")
	c := southernCard(t)
	z := zoneTo(t, c, "roaring forties")
	v := s.Voyage()
	require.Equal(t, "hydro", z.Helper)
	net := func(speed units.Knots, way int, hours float64) float64 {
		x := sailed{z: z, v: v, course: z.Course, speed: speed, charge: (1 + c.Floor) / 2, loads: z.Ways[way].Loads, limit: 24}
		for _, f := range v.Sources {
			if f.Source.Name() == z.Helper {
				noon := x.voyage(t).Depart
				f.Rule = hoursOnly{noon.Add(time.Duration(hours * 3.6e12))}
			}
			x.sources = append(x.sources, f)
		}
		return float64(x.sail(t).Books.StoreChange)
	}
	found := 0
	for _, row := range z.Runs {
		for i, speed := range z.Speeds {
			h := float64(row.Hours[i])
			switch {
			case speed < 3: // lifted: its own rule says so
			case math.IsNaN(h):
				assert.Negative(t, net(speed, row.Way, 24), "%v", speed)
			case h == 0:
				assert.GreaterOrEqual(t, net(speed, row.Way, 0), -0.3)
			default:
				// Half an hour more or less than the table says turns the sign: a
				// step of the direct voyage is 10 min, and the sun not quite the same.
				assert.Negative(t, net(speed, row.Way, h-0.5), "%v %s", speed, z.Ways[row.Way].Name)
				assert.Positive(t, net(speed, row.Way, h+0.5), "%v %s", speed, z.Ways[row.Way].Name)
				found++
			}
		}
	}
	assert.Greater(t, found, 4)
	// The speed that breaks even, with the generator down all day.
	even := z.Even
	assert.Negative(t, net(even-0.2, 0, 24))
	assert.Positive(t, net(even+0.2, 0, 24))
}

// A boat that loses or gains by her speed alone: with a direct voyage of a day.
func TestNetAgreesWithDirectSimulation(t *testing.T) {
	s := builtin(t, "southern-ocean")
	c := southernCard(t)
	z := zoneTo(t, c, "roaring forties")
	for i, speed := range z.Speeds {
		r := sailed{
			z: z, v: s.Voyage(), course: z.Course, speed: speed, charge: (1 + c.Floor) / 2, loads: z.Ways[0].Loads,
			limit: 24, sources: s.Voyage().Sources,
		}.sail(t)
		// A fifth of an Ah: her noon comes some minutes early.
		assert.InDelta(t, float64(r.Books.StoreChange), float64(z.Net[i]), 0.5, "%v", speed)
	}
}

func TestEngineAgreesWithDirectSimulation(t *testing.T) {
	for _, own := range []bool{false, true} {
		var set []string
		if own {
			set = []string{"sources.engine.alternator=80A", "sources.engine.hot=70%"}
		}
		s := builtin(t, "radio-cover", set...)
		c := cardOf(t, s, 3)
		z := c.Zones[0]
		e := z.Engine
		require.Equal(t, own, e.Own)
		require.Len(t, e.Rows, 3)
		f, _ := engineOf(s.Voyage())
		f.Rule = nil
		for _, row := range e.Rows {
			r := sailed{z: z, v: s.Voyage(), charge: row.From, loads: z.Ways[0].Loads, limit: row.Hours, sources: []sim.Fitted{f}}.sail(t)
			// To 10 s of engine: a tenth of a point at 60 A.
			assert.InDelta(t, float64(e.To), float64(r.Last), 0.001)
			assert.InDelta(t, float64(r.Fuel), float64(row.Litres), 0.01)
			assert.Positive(t, float64(row.Litres))
		}
	}
}

// The least voltage for the radio: just above it the simulator serves the sched,
// just below it the set is short of voltage.
func TestNeedAgreesWithDirectSimulation(t *testing.T) {
	for _, name := range []string{"radio-cover", "southern-ocean"} {
		s := builtin(t, name)
		v := s.Voyage()
		c := cardOf(t, s, 3)
		for _, z := range c.Zones {
			require.Len(t, z.Needs, 1)
			n := z.Needs[0]
			require.Positive(t, float64(n.Charge))
			for _, off := range []units.Fraction{-0.01, 0.01} {
				var loads []int
				for i := range v.Loads {
					loads = append(loads, i)
				}
				sky := nightAt(t, z, v)
				w := sailed{z: z, v: v, charge: n.Charge + off, loads: loads, limit: 24}.voyage(t)
				w.Depart = sky
				w.Limit = 0.1
				r, err := w.Sail(t.Context(), sim.Options{})
				require.NoError(t, err)
				missed := 0
				for _, m := range r.Misses {
					if r.Loads[m.Load].Name == n.Load && m.Cause == sim.UnderVoltage {
						missed++
					}
				}
				if off < 0 {
					assert.Equal(t, 1, missed, "%s %s: %v under %v", name, z.Name, off, n)
				} else {
					assert.Zero(t, missed, "%s %s: %v over %v", name, z.Name, off, n)
				}
			}
			// The rested voltage is the curve's.
			assert.InDelta(t, float64(z.RestAt(n.Charge)), float64(n.Rest), 0.005)
		}
	}
}

// nightAt returns the start of the sched for which the need holds: the last of the
// day in the dark.
func nightAt(t *testing.T, z *Zone, v *sim.Voyage) time.Time {
	t.Helper()
	for _, sl := range z.Slots {
		if sl.Radio && (sl.Ship >= 20*60 || sl.Ship < 4*60 || sl.Ship >= 18*60+0) {
			day := z.Middle.Truncate(24 * time.Hour)
			return day.Add(time.Duration(sl.UTC) * time.Minute)
		}
	}
	t.Fatal("no sched by night")
	return time.Time{}
}

func TestSlots(t *testing.T) {
	c := cardOf(t, builtin(t, "radio-cover"), 2)
	z := c.Zones[0]
	require.Len(t, z.Slots, 6)
	sum := units.AmpHours(0)
	for _, s := range z.Slots {
		assert.False(t, s.ByShip)
		assert.Equal(t, 7, s.Of)
		assert.Equal(t, ((s.UTC+60*z.Ship)%1440+1440)%1440, s.Ship)
		if s.Radio {
			// By hand: 45 min standby at 2.5 A, then 15 min of which 15 % at 10 A.
			assert.InDelta(t, 0.75*2.5+0.25*(0.85*2.5+0.15*10), float64(s.Ah), 1e-9)
			assert.Equal(t, 15, s.Minutes)
			sum += s.Ah
		}
	}
	assert.Equal(t, 270, z.Slots[0].UTC)
	assert.InEpsilon(t, float64(z.Out[8].Ah), float64(sum), 0.05, "two scheds are a day of the radio, to a part of a day at its ends")

	z = southernCard(t).Zones[0]
	require.Len(t, z.Slots, 6)
	for _, s := range z.Slots {
		assert.Equal(t, s.Radio, s.ByShip, "scheds go by the ship's clock, charts by UTC")
		if !s.Radio {
			assert.Contains(t, s.Station, "Wiluna")
		}
	}

	z = cardOf(t, written(t, meridian+"\nquestion: x\n"), 1).Zones[0]
	require.Len(t, z.Slots, 1, "a fan is no sched")
}

func TestSlotsNotDaily(t *testing.T) {
	s := builtin(t, "radio-cover", "loads[HF radio].when=[every 3 days 08:00-08:15 UTC, 20:00 UTC]")
	n := map[int]int{}
	for _, x := range cardOf(t, s, 1).Zones[0].Slots {
		if x.Radio {
			n[x.UTC] = x.Of
		}
	}
	assert.Equal(t, 7, n[1200])
	assert.Contains(t, []int{2, 3}, n[480])
}
