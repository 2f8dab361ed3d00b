package track_test

import (
	"math"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim/track"
	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

func newRoute(t testing.TB, points ...track.Waypoint) *track.Route {
	t.Helper()
	r, err := track.NewRoute(track.Sphere{}, points)
	require.NoError(t, err)
	return r
}

func pacific(t testing.TB) *track.Route {
	return newRoute(t,
		track.Waypoint{Name: "Papeete", Position: track.Position{Lat: -17.53, Lon: -149.57}},
		track.Waypoint{Name: "Raoul", Position: track.Position{Lat: -29.2, Lon: -177.9}, Line: track.GreatCircle},
		track.Waypoint{Name: "Opua", Position: track.Position{Lat: -35.25, Lon: 174.2}, Line: track.RhumbLine},
		track.Waypoint{Name: "Hobart", Position: track.Position{Lat: -43.1, Lon: 147.4}, Line: track.GreatCircle})
}

// The reference legs: positions, courses and zones hour by hour, computed
// outside with rotations (great circle) and quadrature (rhumb line) on the
// sphere of one mile a minute. The distance is the sum of the speeds.
func TestRouteAgainstReferenceLegs(t *testing.T) {
	for _, leg := range []struct {
		file     string
		from, to track.Position
		line     track.Line
	}{
		{"leg/leg_a_trace.csv", track.Position{Lat: 16, Lon: -24.5}, track.Position{Lat: -20, Lon: -34}, track.GreatCircle},
		{"leg/leg_b_trace.csv", track.Position{Lat: -46, Lon: 148}, track.Position{Lat: -51.5, Lon: -158}, track.RhumbLine},
	} {
		r := newRoute(t, track.Waypoint{Position: leg.from}, track.Waypoint{Position: leg.to, Line: leg.line})
		c := r.Cursor()
		var sailed float64
		for _, row := range refdata.Read(t, leg.file) {
			d := units.NauticalMiles(sailed)
			p, course := c.At(d)
			// tol: the trace prints 6 and 4 digits, and the speeds 5: 1e-5 kn for
			// 450 hours, at random, is less than 1e-3 nm.
			samePlace(t, p, place(row, "lat_deg", "lon_deg"), 1e-5, row.Where())
			assert.InDelta(t, 0, turn(float64(course), row.Float("course_deg")), 1e-4, row.Where())
			zone, _ := r.ZoneAt(d)
			assert.Equal(t, int(row.Float("ship_zone_h")), zone, row.Where())
			assert.Equal(t, track.Zone(p.Lon), zone, row.Where())
			sailed += row.Float("speed_kn")
		}
	}
}

func TestRouteMarks(t *testing.T) {
	r := pacific(t)
	require.Equal(t, 4, r.Len())
	assert.Zero(t, r.Mark(0))
	assert.Equal(t, r.Length(), r.Mark(3))
	for i := range r.Len() {
		p, _ := r.At(r.Mark(i))
		samePlace(t, p, r.Waypoint(i).Position, 1e-12, i)
		if i > 0 {
			assert.InDelta(t, float64(r.Leg(i).Length()), float64(r.Mark(i)-r.Mark(i-1)), 1e-9)
		}
	}
	// At a waypoint the course is that of the leg ahead.
	_, c := r.At(r.Mark(1))
	_, want := r.Leg(2).At(0)
	assert.Equal(t, want, c)
	// Beyond the end the boat stays there, and before the start.
	p, c := r.At(r.Length() + 500)
	_, want = r.Leg(3).At(r.Leg(3).Length())
	assert.Equal(t, r.Waypoint(3).Position, p)
	assert.Equal(t, want, c)
	p, _ = r.At(-3)
	assert.Equal(t, r.Waypoint(0).Position, p)
}

func TestRouteOfOnePlace(t *testing.T) {
	horta := track.Position{Lat: 38.53, Lon: -28.63}
	r := newRoute(t, track.Waypoint{Name: "Horta", Position: horta})
	assert.Zero(t, r.Length())
	cursor := r.Cursor()
	for _, at := range []func(units.NauticalMiles) (track.Position, units.Degrees){r.At, cursor.At} {
		p, c := at(12)
		assert.Equal(t, horta, p)
		assert.Zero(t, c)
	}
	assert.Zero(t, cursor.Next())
	zone, until := r.ZoneAt(0)
	assert.Equal(t, -2, zone)
	assert.True(t, math.IsInf(float64(until), 1))
}

func TestNewRouteRefuses(t *testing.T) {
	horta := track.Position{Lat: 38.53, Lon: -28.63}
	for _, c := range []struct {
		points []track.Waypoint
		want   string
	}{
		{nil, "route has no waypoints"},
		{[]track.Waypoint{{Name: "Alert", Position: track.Position{Lat: 86, Lon: -62}}}, "waypoint 1 (Alert): latitude of 86°00.0'N 062°00.0'W is beyond 85°"},
		{[]track.Waypoint{{Position: horta}, {Name: "Horta", Position: horta}}, "waypoint 2 (Horta): is at the same place"},
		{[]track.Waypoint{{Position: horta}, {Position: track.Position{Lat: 60, Lon: 152}}}, "waypoint 2: great circle from 38°31.8'N 028°37.8'W passes beyond 85°"},
	} {
		_, err := track.NewRoute(track.Sphere{}, c.points)
		assert.ErrorContains(t, err, c.want)
	}
}

// A cursor says what the route says, wherever it was before.
func TestCursorAgreesWithRoute(t *testing.T) {
	r := pacific(t)
	rapid.Check(t, func(t *rapid.T) {
		c := r.Cursor()
		for _, d := range rapid.SliceOfN(rapid.Float64Range(-10, float64(r.Length())+10), 1, 20).Draw(t, "distances") {
			p, course := c.At(units.NauticalMiles(d))
			q, want := r.At(units.NauticalMiles(d))
			if p != q || course != want {
				t.Fatalf("cursor at %v: %v %v, route: %v %v", d, p, course, q, want)
			}
			next := c.Next()
			if d >= 0 && d < float64(r.Length()) && (units.NauticalMiles(d) >= r.Mark(next) || units.NauticalMiles(d) < r.Mark(next-1)) {
				t.Fatalf("at %v the next waypoint is said to be %d", d, next)
			}
		}
	})
}

func TestRouteIsShared(t *testing.T) {
	r := pacific(t)
	var wait sync.WaitGroup
	for range 4 {
		wait.Go(func() {
			c := r.Cursor()
			for d := units.NauticalMiles(0); d < r.Length(); d += 5 {
				p, _ := c.At(d)
				if q, _ := r.At(d); p != q {
					t.Errorf("at %v: %v and %v", d, p, q)
				}
				r.ZoneAt(d)
			}
		})
	}
	wait.Wait()
}

func TestNothingAllocates(t *testing.T) {
	r := pacific(t)
	c := r.Cursor()
	d := units.NauticalMiles(0)
	assert.Zero(t, testing.AllocsPerRun(200, func() {
		d += 17
		c.At(d)
		r.At(d)
		r.ZoneAt(d)
	}))
}

func TestStanding(t *testing.T) {
	at := track.Waypoint{Name: "hove to", Position: track.Position{Lat: 10, Lon: -30}}
	for course, want := range map[units.Degrees]units.Degrees{0: 0, 90: 90, 359.5: 359.5, 360: 0, -90: 270, 725: 5} {
		r, err := track.Standing(at, course)
		require.NoError(t, err)
		for _, d := range []units.NauticalMiles{0, 100} {
			p, bow := r.At(d)
			require.Equal(t, at.Position, p)
			require.Equal(t, want, bow)
			c := r.Cursor()
			p, bow = c.At(d)
			require.Equal(t, at.Position, p)
			require.Equal(t, want, bow)
		}
		require.Zero(t, r.Length())
	}
	_, err := track.Standing(at, units.Degrees(math.NaN()))
	require.ErrorContains(t, err, "hove to")
	_, err = track.Standing(track.Waypoint{Position: track.Position{Lat: 88}}, 0)
	require.ErrorContains(t, err, "beyond 85°")
}

func BenchmarkCursorAt(b *testing.B) {
	r := pacific(b)
	c := r.Cursor()
	d := units.NauticalMiles(0)
	b.ReportAllocs()
	for b.Loop() {
		if d++; d > r.Length() {
			d = 0
		}
		c.At(d)
	}
}

func BenchmarkRouteAt(b *testing.B) {
	r := pacific(b)
	d := units.NauticalMiles(0)
	b.ReportAllocs()
	for b.Loop() {
		if d++; d > r.Length() {
			d = 0
		}
		r.At(d)
	}
}
