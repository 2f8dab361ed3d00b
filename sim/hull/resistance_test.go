package hull_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim/hull"
	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

// example is the yacht of the reference tables.
var example = hull.Yacht{Waterline: 8.7, Displacement: 6500, WettedSquareMetres: 23.4}

func exampleResistance(t testing.TB) *hull.Resistance {
	r, err := example.Resistance()
	require.NoError(t, err)
	return r
}

// table is the reference table as a resistance curve, as the reference legs use
// it.
func table(t testing.TB) *hull.Resistance {
	var points []hull.Point
	for _, row := range refdata.Read(t, "hydro/example_yacht_resistance.csv") {
		points = append(points, hull.Point{Speed: units.Knots(row.Float("boat_speed_kn")), Force: units.Newtons(row.Float("total_upright_smooth_n"))})
	}
	r, err := hull.NewResistance(points)
	require.NoError(t, err)
	return r
}

func TestExampleYacht(t *testing.T) {
	r := exampleResistance(t)
	for _, row := range refdata.Read(t, "hydro/example_yacht_resistance.csv") {
		v := units.Knots(row.Float("boat_speed_kn"))
		// tol: the table prints 0.1 N; of the sum both parts are rounded first or
		// not, and our curve is within 1e-4 of it.
		assert.InDelta(t, row.Float("friction_n"), float64(example.Friction(v)), 0.05+1e-9, "at %v", v)
		assert.InDelta(t, row.Float("residuary_n"), float64(example.Residuary(v)), 0.05+1e-9, "at %v", v)
		total := row.Float("total_upright_smooth_n")
		assert.InDelta(t, total, float64(r.At(v)), 0.05+1e-4*total, "at %v", v)
	}
}

// The residuary table in the code is that of the series.
func TestResiduaryIsTheSeries(t *testing.T) {
	residuary := refdata.Check{
		Model: refdata.Water, Quantity: "residuary resistance",
		Source: "Delft systematic series, 22 hulls: mean of the medium hulls", Status: refdata.Measured, Tolerance: 1e-4, Unit: "%",
	}.Begin(t)
	unit := math.Sqrt(9.80665*8.7) * 3600 / 1852 // knots at Froude number 1
	for _, row := range refdata.Read(t, "hydro/residuary_resistance_series.csv") {
		got := example.Residuary(units.Knots(row.Float("froude") * unit))
		residuary.Ratio(float64(got), row.Float("medium_ldr4p78_mean")/1000*6500*9.80665, row.Where())
	}
}

func TestYachtCurveIsTheSum(t *testing.T) {
	r := exampleResistance(t)
	for v := units.Knots(0.3); v < 10; v += 0.013 {
		assert.InEpsilon(t, float64(example.Friction(v)+example.Residuary(v)), float64(r.At(v)), 1e-4, "at %v", v)
	}
	assert.Zero(t, example.Friction(0))
	assert.Zero(t, example.Residuary(0))
}

func TestYachtRefuses(t *testing.T) {
	for _, c := range []struct {
		yacht hull.Yacht
		want  string
	}{
		{hull.Yacht{}, "waterline"},
		{hull.Yacht{Waterline: 9}, "displacement"},
		{hull.Yacht{Waterline: 9, Displacement: 6000, WettedSquareMetres: math.NaN()}, "wetted area"},
	} {
		_, err := c.yacht.Resistance()
		assert.ErrorContains(t, err, c.want)
	}
}

func TestResistanceNodesAndPowers(t *testing.T) {
	// 10 v² to 4 kn, then 160 (v/4)⁵; worked by head.
	r, err := hull.NewResistance([]hull.Point{{2, 40}, {4, 160}, {8, 5120}})
	require.NoError(t, err)
	for v, want := range map[units.Knots]float64{0: 0, -1: 0, 1: 10, 2: 40, 3: 90, 4: 160, 8: 5120, 16: 163840} {
		assert.InDelta(t, want, float64(r.At(v)), 1e-9*want, "At(%v)", v)
	}
	assert.InDelta(t, 240, float64(r.Times(1.5).At(4)), 1e-9)
	assert.InDelta(t, 360, float64(r.Times(1.5).Times(1.5).At(4)), 1e-9)
	near := r.Near(5)
	assert.InDelta(t, 5, near.Exponent, 1e-12)
	assert.Equal(t, r.At(5), near.Force)
	assert.Panics(t, func() { r.Times(0) })
	assert.Panics(t, func() { r.Times(math.NaN()) })
}

func TestNewResistanceRefuses(t *testing.T) {
	for _, c := range []struct {
		points []hull.Point
		want   string
	}{
		{[]hull.Point{{3, 100}}, "1 points: want at least 2"},
		{[]hull.Point{{0, 0}, {3, 100}}, "point 1 is 0 N at 0 kn"},
		{[]hull.Point{{3, 100}, {3, 120}}, "does not rise"},
		{[]hull.Point{{3, 100}, {4, 100}}, "does not rise from 100 N at 3 kn to 100 N at 4 kn"},
		{[]hull.Point{{3, 100}, {4, units.Newtons(math.Inf(1))}}, "point 2"},
	} {
		_, err := hull.NewResistance(c.points)
		assert.ErrorContains(t, err, c.want)
	}
}

// Whatever the table, resistance rises with speed and meets its points.
func TestResistanceRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := []hull.Point{{1, 10}}
		for range rapid.IntRange(1, 8).Draw(t, "more points") {
			last := points[len(points)-1]
			points = append(points, hull.Point{
				Speed: last.Speed * units.Knots(rapid.Float64Range(1.01, 2).Draw(t, "speed")),
				Force: last.Force * units.Newtons(rapid.Float64Range(1.01, 9).Draw(t, "force")),
			})
		}
		r, err := hull.NewResistance(points)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range points {
			if math.Abs(float64(r.At(p.Speed)/p.Force)-1) > 1e-12 {
				t.Fatalf("at %v: %v, want %v", p.Speed, r.At(p.Speed), p.Force)
			}
		}
		a := units.Knots(rapid.Float64Range(0.5, 30).Draw(t, "a"))
		b := a + units.Knots(rapid.Float64Range(1e-6, 5).Draw(t, "b"))
		if r.At(a) >= r.At(b) {
			t.Fatalf("%v at %v, %v at %v", r.At(a), a, r.At(b), b)
		}
	})
}
