package track_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim/track"
	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

func TestComposite(t *testing.T) {
	for _, row := range refdata.Read(t, "voyage/composite_sailing_check.csv") {
		from, to := place(row, "lat1", "lon1"), place(row, "lat2", "lon2")
		limit := units.Degrees(row.Float("limit_lat"))
		points, err := mean.Composite(from, to, limit)
		require.NoError(t, err, row.Where())
		require.Len(t, points, 3, row.Where())
		samePlace(t, points[0].Position, track.Position{Lat: limit, Lon: units.Degrees(row.Float("tangent_lon_1"))}, 1e-6, row.Text("id"))
		samePlace(t, points[1].Position, track.Position{Lat: limit, Lon: units.Degrees(row.Float("tangent_lon_2"))}, 1e-6, row.Text("id"))
		route, err := track.NewRoute(mean, append([]track.Waypoint{{Position: from}}, points...))
		require.NoError(t, err, row.Where())
		// tol: the table prints 1e-5 nm
		assert.InDelta(t, row.Float("first_gc_nm"), float64(route.Mark(1)), 1e-5, row.Text("id"))
		assert.InDelta(t, row.Float("parallel_nm"), float64(route.Mark(2)-route.Mark(1)), 1e-5, row.Text("id"))
		assert.InDelta(t, row.Float("last_gc_nm"), float64(route.Mark(3)-route.Mark(2)), 1e-5, row.Text("id"))
		assert.InDelta(t, row.Float("total_nm_sphere"), float64(route.Length()), 1e-5, row.Text("id"))
	}
}

func TestCompositeNotNeeded(t *testing.T) {
	from, to := track.Position{Lat: -33.9, Lon: 18.4}, track.Position{Lat: -15.92, Lon: -5.75}
	points, err := mean.Composite(from, to, -50)
	require.NoError(t, err)
	assert.Equal(t, []track.Waypoint{{Position: to, Line: track.GreatCircle}}, points)
}

// Ends on the limit itself: the parallel is the way, 60 miles by the cosine of
// 60° for each degree.
func TestCompositeAlongTheLimit(t *testing.T) {
	from, to := track.Position{Lat: -60, Lon: 170}, track.Position{Lat: -60, Lon: -150}
	points, err := track.Sphere{}.Composite(from, to, -60)
	require.NoError(t, err)
	require.Equal(t, []track.Waypoint{{Position: to, Line: track.RhumbLine}}, points)
	route, err := track.NewRoute(track.Sphere{}, []track.Waypoint{{Position: from}, points[0]})
	require.NoError(t, err)
	assert.InDelta(t, 40*60*0.5, float64(route.Length()), 1e-9)
}

func TestCompositeRefuses(t *testing.T) {
	cape, horn := track.Position{Lat: -34.45, Lon: 115.05}, track.Position{Lat: -55.98, Lon: -67.27}
	for _, c := range []struct {
		from, to track.Position
		limit    units.Degrees
		want     string
	}{
		{cape, horn, -50, "beyond the limiting latitude"},
		{cape, horn, 0, "not between the equator and 85°"},
		{cape, horn, -89, "not between the equator and 85°"},
		{track.Position{Lat: 30, Lon: 0}, track.Position{Lat: -30, Lon: 180}, -50, "opposite points"},
	} {
		_, err := mean.Composite(c.from, c.to, c.limit)
		assert.ErrorContains(t, err, c.want)
	}
}

// The limit is kept and costs distance, and a limit the great circle just
// touches costs none.
func TestCompositeLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from, to := drawPlace(t, "from"), drawPlace(t, "to")
		gc, err := mean.GreatCircle(from, to)
		if err != nil {
			t.Skip(err)
		}
		lowest := math.Max(math.Abs(float64(from.Lat)), math.Abs(float64(to.Lat)))
		high := float64(gc.Highest())
		limit := math.Copysign(lowest+(84.9-lowest)*rapid.Float64Range(1e-6, 1).Draw(t, "limit"), high)
		points, err := mean.Composite(from, to, units.Degrees(limit))
		if err != nil {
			t.Fatal(err)
		}
		route, err := track.NewRoute(mean, append([]track.Waypoint{{Position: from}}, points...))
		if err != nil {
			t.Skip(err) // no way at all
		}
		if route.Length() < gc.Length()-1e-6 {
			t.Fatalf("with a limit %v, without %v", route.Length(), gc.Length())
		}
		for i := range 100 {
			p, _ := route.At(route.Length() * units.NauticalMiles(i) / 100)
			if math.Abs(float64(p.Lat)) > math.Abs(limit)+1e-7 {
				t.Fatalf("%v is beyond %v", p, limit)
			}
		}
		if len(points) == 1 && route.Length() > gc.Length()+1e-6 {
			t.Fatalf("one leg of %v for %v", route.Length(), gc.Length())
		}
	})
}
