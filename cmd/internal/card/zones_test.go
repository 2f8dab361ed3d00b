package card

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// northward is a voyage of legs of so many miles, named by their waypoints.
func northward(t *testing.T, miles ...float64) *sim.Voyage {
	t.Helper()
	lat := -60.0
	points := []track.Waypoint{{Name: "A", Position: track.Position{Lat: units.Degrees(lat)}}}
	for i, m := range miles {
		lat += m / 60
		points = append(points, track.Waypoint{Name: string(rune('B' + i)), Position: track.Position{Lat: units.Degrees(lat)}, Line: track.RhumbLine})
	}
	r, err := track.NewRoute(track.Sphere{}, points)
	require.NoError(t, err)
	return &sim.Voyage{Route: r}
}

// atKnots is a voyage at a steady speed that ends after some miles.
func atKnots(speed, ends float64) func(units.NauticalMiles) float64 {
	return func(d units.NauticalMiles) float64 {
		switch {
		case math.IsInf(float64(d), 1):
			return ends / speed
		case float64(d) > ends+1e-6:
			return math.Inf(1)
		}
		return float64(d) / speed
	}
}

func names(ps []part) (out []string) {
	for _, p := range ps {
		out = append(out, p.Name)
	}
	return out
}

func TestParts(t *testing.T) {
	length := func(v *sim.Voyage) float64 { return float64(v.Route.Length()) }

	v := northward(t, 1000, 800)
	ps := parts(v, atKnots(5, length(v)))
	assert.Equal(t, []string{"A – B", "B – C"}, names(ps))
	assert.Equal(t, 1, ps[0].of)

	// Short legs go to a neighbour: 100 miles are 20 h.
	v = northward(t, 100, 1000, 120, 900)
	assert.Equal(t, []string{"A – C", "C – E"}, names(parts(v, atKnots(5, length(v)))))

	// No more than six.
	v = northward(t, 300, 300, 300, 300, 300, 310, 300, 300, 300)
	ps = parts(v, atKnots(5, length(v)))
	assert.Len(t, ps, mostLegs)
	for i := 1; i < len(ps); i++ {
		assert.Equal(t, ps[i-1].To, ps[i].From)
	}
	assert.Equal(t, v.Route.Length(), ps[len(ps)-1].To)

	// A long leg is cut: 4000 miles at 4 kn are 42 days.
	v = northward(t, 4000)
	ps = parts(v, atKnots(4, length(v)))
	require.Len(t, ps, 2)
	assert.Equal(t, []int{1, 2, 2, 2}, []int{ps[0].no, ps[0].of, ps[1].no, ps[1].of})
	assert.InDelta(t, 2000, float64(ps[0].To), 1)

	// Zones of the file stand, and what is beyond them is one more.
	v = northward(t, 1000, 1000)
	v.Zones = []sim.Zone{{Name: "forties", From: 0, To: 30}, {Name: "trades", From: 30, To: 900}}
	assert.Equal(t, []string{"forties", "trades", "to C"}, names(parts(v, atKnots(5, length(v)))))

	// What is never reached has no place.
	assert.Equal(t, []string{"forties", "trades"}, names(parts(v, atKnots(5, 500))))
}
