package sim_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/hull"
)

// BenchmarkOdds240Days sails 240-day voyages at 10-minute steps through seeded
// weathers of the ocean climate, with speed by the wind, on all cores.
func BenchmarkOdds240Days(b *testing.B) {
	v := longVoyage(b, 240)
	polar := hull.IllustrativePolar().Times(hull.PassageFactor)
	v.Plan = []sim.Stretch{{
		Polar: polar, Heel: 12, Leeward: true,
		Seamanship: sim.Seamanship{HeaveTo: 40, HoveToSpeed: 1.5, DriftBelow: 1},
	}}
	v.Weather = func(member int) sim.Weather { return climate.NewSynthetic(climate.Ocean(), 1, member) }
	const members = 20
	b.ReportAllocs()
	for b.Loop() {
		o, err := v.Odds(b.Context(), sim.OddsOptions{Members: members})
		require.NoError(b, err)
		require.Equal(b, members, o.Done)
	}
	b.ReportMetric(b.Elapsed().Seconds()/float64(b.N)/members*1000, "s/1000")
}
