package sim_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// longVoyage is the kit of reference leg B on a way round the world, for so
// many days, through weather in blocks of six hours.
func longVoyage(t testing.TB, days int) *sim.Voyage {
	leg := readLeg(t, "leg_b")
	v := leg.voyage(t, 0)
	at := func(lat, lon units.Degrees) track.Waypoint {
		return track.Waypoint{Position: track.Position{Lat: lat, Lon: lon}, Line: track.RhumbLine}
	}
	var err error
	v.Route, err = track.NewRoute(track.Sphere{}, []track.Waypoint{
		at(48, -5), at(0, -25), at(-40, 10), at(-47, 110), at(-50, 180), at(-57, -67), at(0, -30), at(48, -5), at(0, -25), at(-40, 10),
	})
	require.NoError(t, err)
	v.Limit = units.Hours(24 * days)
	v.Plan = nil
	for range days/14 + 1 {
		for _, s := range leg.Segments {
			v.Plan = append(v.Plan, sim.Stretch{For: units.Hours(s.Hours), Speed: units.Knots(s.Speed), Heel: units.Degrees(s.Heel)})
		}
	}
	blocks := leg.Weather.Cloud
	leg.Weather.Cloud = nil
	for len(leg.Weather.Cloud) < 4*days {
		leg.Weather.Cloud = append(leg.Weather.Cloud, blocks...)
	}
	v.Weather = leg.weather(t)
	return v
}

func benchmarkVoyage(b *testing.B, days int) {
	v := longVoyage(b, days)
	steps := 0
	b.ReportAllocs()
	for b.Loop() {
		res, err := v.Sail(b.Context(), sim.Options{})
		if err != nil {
			b.Fatal(err)
		}
		steps = res.Steps
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(steps), "ns/step")
	b.ReportMetric(float64(steps), "steps")
}

func BenchmarkLeg30Days(b *testing.B)     { benchmarkVoyage(b, 30) }
func BenchmarkVoyage240Days(b *testing.B) { benchmarkVoyage(b, 240) }

var _ = climate.Sample{}
