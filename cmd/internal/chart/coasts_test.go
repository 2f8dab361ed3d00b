package chart

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The rings hold the land and leave out the sea, by counting how often a line to
// the north pole passes them. The places are a few hundred miles from any coast.
func TestCoasts(t *testing.T) {
	rings := Coasts()
	require.Greater(t, len(rings), 50)
	for _, r := range rings {
		for _, p := range r {
			require.LessOrEqual(t, math.Abs(p[0]), 180.0)
			require.LessOrEqual(t, math.Abs(p[1]), 90.0)
		}
	}
	ashore := func(lon, lat float64) bool {
		n := 0
		for _, r := range rings {
			for i, a := range r {
				b := r[(i+1)%len(r)]
				if (a[0] > lon) != (b[0] > lon) && a[1]+(lon-a[0])/(b[0]-a[0])*(b[1]-a[1]) > lat {
					n++
				}
			}
		}
		return n%2 == 1
	}
	for name, at := range map[string][2]float64{"Sahara": {10.2, 23.1}, "Mato Grosso": {-55.3, -13.2}, "Kazakhstan": {68.7, 48.3}, "Simpson Desert": {137.2, -25.4}, "Kansas": {-98.6, 38.4}} {
		assert.True(t, ashore(at[0], at[1]), name)
	}
	for name, at := range map[string][2]float64{"North Atlantic": {-40.3, 35.2}, "South Atlantic": {-15.4, -30.1}, "Indian Ocean": {80.2, -30.3}, "North Pacific": {-150.7, 40.2}, "Southern Ocean": {120.3, -55.2}} {
		assert.False(t, ashore(at[0], at[1]), name)
	}
}
