package trial

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// south is a voyage due south at 6 kn from 20°N to 0° and on to 10°S, with a stay
// and stretches of each kind.
func south(t *testing.T) *sim.Voyage {
	t.Helper()
	at := func(name string, lat units.Degrees) track.Waypoint {
		return track.Waypoint{Name: name, Position: track.Position{Lat: lat, Lon: -30}, Line: track.RhumbLine}
	}
	r, err := track.NewRoute(track.Sphere{}, []track.Waypoint{at("north", 20), at("middle", 10), at("line", 0), at("south", -10)})
	require.NoError(t, err)
	m, err := bank.New(bank.Default(bank.AGM, 200))
	require.NoError(t, err)
	depart := utc(t, "2027-01-01 00:00")
	return &sim.Voyage{
		Title: "south", Depart: depart, Route: r, Limit: 600, Bank: m, Charge: 0.9,
		Plan: []sim.Stretch{
			{Name: "to 15°N", Until: 300, Speed: 6},
			{Name: "two days", For: 48, Speed: 5},
			{Name: "to the line", Until: 1200, Speed: 4},
			{Name: "by date", By: depart.Add(20 * 24 * time.Hour), Speed: 6},
			{Name: "the rest", Speed: 5},
		},
		Stays:  []sim.Stay{{At: 600, For: 24}, {At: 1200, For: 12}},
		Zones:  []sim.Zone{{Name: "a", To: 500}, {Name: "b", From: 500, To: 1500}, {Name: "c", From: 1500, To: 1800}},
		Faults: []sim.Fault{{What: "x", At: depart.Add(time.Hour), Source: -1, Load: -1}, {What: "y", Mark: 1300, Source: -1, Load: -1}, {What: "z", Mark: 700, Source: -1, Load: -1}},
		Weather: func(int) sim.Weather {
			return climate.Fixed{Sample: climate.Sample{Through: 1, Air: 25, Sea: 25}}
		},
	}
}

func TestRemaining(t *testing.T) {
	v := south(t)
	now := utc(t, "2027-01-08 12:00")
	a, err := remaining(v, now, track.Position{Lat: 5, Lon: -30.5}, 0.6, 880)
	require.NoError(t, err)
	w := a.voyage
	assert.InDelta(t, 900, a.miles, 0.5)
	assert.InDelta(t, 30*math.Cos(5*math.Pi/180), a.off, 0.1)
	assert.Equal(t, "line", a.next)
	assert.Equal(t, now, w.Depart)
	assert.Equal(t, units.Fraction(0.6), w.Charge)
	assert.InDelta(t, 600-7.5*24, float64(w.Limit), 1e-9)
	// To the line and on: 301.5 miles of the new leg stand for 300 of the old.
	leg := float64(w.Route.Mark(1))
	assert.InDelta(t, math.Hypot(300, 29.9), leg, 0.2)
	assert.InDelta(t, leg+600, float64(w.Route.Length()), 0.01)
	require.Len(t, w.Plan, 3)
	assert.Equal(t, "to the line", w.Plan[0].Name)
	assert.InDelta(t, leg, float64(w.Plan[0].Until), 0.01)
	assert.Equal(t, "by date", w.Plan[1].Name)
	require.Len(t, w.Stays, 1)
	assert.InDelta(t, leg, float64(w.Stays[0].At), 0.01)
	require.Len(t, w.Zones, 2)
	assert.Equal(t, "b", w.Zones[0].Name)
	assert.InDelta(t, 0, float64(w.Zones[0].From), 1e-9)
	assert.InDelta(t, leg+300, float64(w.Zones[0].To), 0.01)
	require.Len(t, w.Faults, 1)
	assert.InDelta(t, leg+100, float64(w.Faults[0].Mark), 0.01)
	assert.Len(t, a.notes, 1, "two faults lie behind")
	r, err := w.Sail(t.Context(), sim.Options{})
	require.NoError(t, err)
	assert.True(t, r.Arrived)
	assert.Len(t, v.Plan, 5, "the plan itself is left alone")
	assert.InDelta(t, 300, float64(v.Plan[0].Until), 0)
}

// A stretch that ends after a time goes on for the rest of it.
func TestRemainingOfASpan(t *testing.T) {
	v := south(t)
	// 300 miles in two days, then one day of the two.
	a, err := remaining(v, v.Depart.Add(72*time.Hour), track.Position{Lat: 12.5, Lon: -30}, 0.6, 450)
	require.NoError(t, err)
	assert.Equal(t, "two days", a.voyage.Plan[0].Name)
	assert.InDelta(t, 24, float64(a.voyage.Plan[0].For), 0.1)
	assert.Equal(t, "middle", a.next)
	assert.Len(t, a.voyage.Stays, 2)
	// On the very waypoint the next one is made for, and what is left is right.
	a, err = remaining(v, v.Depart.Add(100*time.Hour), track.Position{Lat: 10, Lon: -30}, 0.6, math.NaN())
	require.NoError(t, err)
	assert.Equal(t, "line", a.next)
	assert.InDelta(t, 1200, float64(a.voyage.Route.Length()), 0.01)
	_, err = remaining(v, v.Depart.Add(300*time.Hour), track.Position{Lat: -10, Lon: -30}, 0.6, 1800)
	assert.ErrorContains(t, err, "at the last waypoint")
	a, err = remaining(v, v.Depart.Add(100*time.Hour), track.Position{Lat: 10, Lon: -28}, 0.6, 600)
	require.NoError(t, err)
	assert.Contains(t, a.notes[0], "miles off the planned route")
}

// Where a route comes by the same place twice, the miles sailed choose.
func TestNearestTwice(t *testing.T) {
	at := func(lat, lon units.Degrees) track.Waypoint {
		return track.Waypoint{Position: track.Position{Lat: lat, Lon: lon}, Line: track.RhumbLine}
	}
	r, err := track.NewRoute(track.Sphere{}, []track.Waypoint{at(0, 0), at(10, 0), at(0, 0.02)})
	require.NoError(t, err)
	place := track.Position{Lat: 5, Lon: 0.005}
	out, _ := nearest(r, place, 310)
	back, _ := nearest(r, place, 880)
	assert.InDelta(t, 300, out, 1)
	assert.InDelta(t, 900, back, 2)
}
