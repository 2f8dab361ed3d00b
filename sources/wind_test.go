package sources_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/units"
	"ampwake/sources"
	"ampwake/testdata/refdata"
)

const knotsPerMetre = 3600.0 / 1852 // kn for a m/s

func TestWindTurbine(t *testing.T) {
	rows := refdata.Read(t, "hydro/wind_turbine_check.csv")
	require.Len(t, rows, 32)
	for _, row := range rows {
		w, err := sources.NewWindTurbine(sources.WindTurbine{
			Name: "wind", Diameter: units.Metres(row.Float("diameter_m")), CP: row.Float("overall_cp"),
			CutIn: units.Knots(row.Float("cut_in_ms") * knotsPerMetre), CutOut: units.Knots(row.Float("cut_out_ms") * knotsPerMetre),
			Rated: units.Watts(row.Float("rated_w")),
		})
		require.NoError(t, err)
		at := units.Knots(row.Float("apparent_wind_ms") * knotsPerMetre)
		near(t, row.Float("apparent_wind_kn"), float64(at), 1e-3, row.Where())
		// A boat at rest feels the true wind.
		p := float64(w.Offer(&sim.Conditions{Weather: climate.Sample{WindSpeed: at}}).Power)
		near(t, row.Float("power_w"), p, 1e-3, row.Where())
		near(t, row.Float("amps_at_14V"), p/14, 1e-3, row.Where())
	}
}

func TestTurbineFeelsApparentWind(t *testing.T) {
	// Without limits the output tells the apparent wind by its cube root.
	w, err := sources.NewWindTurbine(sources.WindTurbine{Name: "wind", Diameter: 1.1, CP: 0.25})
	require.NoError(t, err)
	factor := 1.225 / 2 * math.Pi / 4 * 1.1 * 1.1 * 0.25
	rows := refdata.Read(t, "hydro/apparent_wind_check.csv")
	require.Len(t, rows, 60)
	for i, row := range rows {
		// The angle is from the bow: on any heading, and to either side.
		heading, side := float64(i*37%360), float64(1-2*(i%2))
		p := w.Offer(&sim.Conditions{
			Speed: units.Knots(row.Float("boat_speed_kn")), Heading: units.Degrees(heading),
			Weather: climate.Sample{
				WindSpeed: units.Knots(row.Float("true_wind_kn")),
				WindFrom:  units.Degrees(math.Mod(heading+side*row.Float("true_wind_angle_deg")+360, 360)),
			},
		}).Power
		near(t, row.Float("apparent_wind_kn"), math.Cbrt(float64(p)/factor)*knotsPerMetre, 1e-4, row.Where())
	}
}

func TestDefaultTurbineAgainstPractice(t *testing.T) {
	day := refdata.Check{
		Model: refdata.Others, Quantity: "a day of the usual turbine before the trade wind",
		Source: "a magazine: about 80 Ah", Status: refdata.Practice, Tolerance: 8, Unit: "Ah",
	}.Begin(t)
	w, err := sources.NewWindTurbine(sources.DefaultWindTurbine())
	require.NoError(t, err)
	at := func(kn units.Knots) float64 {
		return float64(w.Offer(&sim.Conditions{Weather: climate.Sample{WindSpeed: kn}}).Power)
	}
	// A magazine calls 40 W at 10 kn good, which needs an overall CP of 0.5.
	assert.InDelta(t, 20, at(10), 1)
	// About 80 Ah a day on a run before the trade wind (the same magazine): 3.3 A
	// at 14 V, which this turbine makes in 13 to 14 kn over the deck.
	day.Within(at(13.3)/14*24, 80)
	assert.Zero(t, at(5.8))
	assert.Equal(t, 300.0, at(38))
	assert.Zero(t, at(39))
}

func TestWindTurbineRefused(t *testing.T) {
	tests := []struct {
		change  func(w *sources.WindTurbine)
		message string
	}{
		{func(w *sources.WindTurbine) { w.Diameter = 0 }, "wind turbine: the diameter must be above 0"},
		{func(w *sources.WindTurbine) { w.CP = 0.6 }, "wind turbine: cp must be above 0 and not above 16/27, the limit of Betz"},
		{func(w *sources.WindTurbine) { w.CutIn = -1 }, "wind turbine: the cut-in wind must not be negative"},
		{func(w *sources.WindTurbine) { w.CutOut = 2 }, "wind turbine: the cut-out wind must lie above the cut-in"},
		{func(w *sources.WindTurbine) { w.Rated = -1 }, "wind turbine: the rated power must not be negative"},
		{func(w *sources.WindTurbine) { w.Density = -1 }, "wind turbine: the density of the air must be above 0"},
	}
	for _, tt := range tests {
		spec := sources.DefaultWindTurbine()
		tt.change(&spec)
		_, err := sources.NewWindTurbine(spec)
		assert.EqualError(t, err, tt.message)
	}
}

func TestWindProperties(t *testing.T) {
	w, err := sources.NewWindTurbine(sources.DefaultWindTurbine())
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		c := sim.Conditions{
			Speed:   units.Knots(rapid.Float64Range(0, 12).Draw(t, "speed")),
			Heading: units.Degrees(rapid.Float64Range(0, 360).Draw(t, "heading")),
			Weather: climate.Sample{
				WindSpeed: units.Knots(rapid.Float64Range(0, 60).Draw(t, "wind")),
				WindFrom:  units.Degrees(rapid.Float64Range(0, 360).Draw(t, "from")),
			},
		}
		p := w.Offer(&c).Power
		if !(p >= 0 && p <= 300) {
			t.Fatalf("Offer = %v", p)
		}
		mirrored := c
		mirrored.Weather.WindFrom = 2*c.Heading - c.Weather.WindFrom
		if q := w.Offer(&mirrored).Power; p > 0 && q > 0 && math.Abs(float64(p-q)) > 1e-6 {
			t.Fatalf("%v from one side, %v from the other", p, q)
		}
	})
}

func BenchmarkWindOffer(b *testing.B) {
	w, err := sources.NewWindTurbine(sources.DefaultWindTurbine())
	require.NoError(b, err)
	c := &sim.Conditions{Speed: 5, Heading: 200, Weather: climate.Sample{WindSpeed: 16, WindFrom: 50}}
	b.ReportAllocs()
	for b.Loop() {
		w.Offer(c)
	}
}
