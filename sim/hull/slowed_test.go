package hull_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim/hull"
	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

func rotor(row refdata.Row) hull.Rotor {
	return hull.Rotor{Diameter: units.Metres(row.Float("rotor_diameter_m")), CP: row.Float("cp"), CT: row.Float("ct")}
}

// All 40 rows with the curve built from the yacht, and the table of speeds kept.
func TestSpeedLoss(t *testing.T) {
	kept := refdata.Check{
		Model: refdata.Water, Quantity: "speed kept with a rotor down",
		Source: "balance of forces, by root finding; printed to 0.001 kn", Status: refdata.Calculated, Tolerance: 0.001, Unit: "kn",
	}.Begin(t)
	r := exampleResistance(t)
	for _, row := range refdata.Read(t, "hydro/speed_loss_check.csv") {
		hindered := r.Times(row.Float("resistance_factor_rough_heel"))
		rot := rotor(row)
		require.NoError(t, rot.Check())
		v0 := units.Knots(row.Float("speed_without_kn"))
		assert.InDelta(t, row.Float("resistance_n_at_speed"), float64(hindered.At(v0)), 0.05+1e-4*float64(hindered.At(v0)), row.Text("id"))
		assert.InDelta(t, row.Float("rotor_drag_n_at_original_speed"), float64(rot.Thrust(v0)), 0.05+1e-9, row.Text("id"))
		// The reference states 0.003 kn; it is rounded to 0.001.
		v1 := hindered.Slowed(v0, rot.Thrust)
		kept.Within(float64(v1), row.Float("speed_with_kn"), row.Text("id"))
		assert.InDelta(t, row.Float("speed_with_kn"), float64(hull.NewSlowing(hindered, rot.Thrust).At(v0)), 0.0015, row.Text("id"))
		// The slowed boat feeds the cube: printed to 0.1 W.
		electrical := math.Min(row.Float("eta_electrical")*float64(rot.Shaft(v1)), row.Float("rated_w"))
		assert.InDelta(t, row.Float("electrical_w_at_new_speed"), electrical, 0.05+0.001*electrical, row.Text("id"))
	}
}

// The same with the resistance table as the reference legs use it. Row S11 ends
// below the table. S39 differs by 0.008 kn between the curve and the table, whose
// steps of 0.25 kn are coarse near hull speed.
func TestSpeedLossByTable(t *testing.T) {
	r := table(t)
	for _, row := range refdata.Read(t, "hydro/speed_loss_check.csv") {
		tol := 0.003 // as the reference states
		switch row.Text("id") {
		case "S11":
			continue
		case "S39":
			tol = 0.0085
		}
		v1 := r.Times(row.Float("resistance_factor_rough_heel")).Slowed(units.Knots(row.Float("speed_without_kn")), rotor(row).Thrust)
		assert.InDelta(t, row.Float("speed_with_kn"), float64(v1), tol, row.Text("id"))
	}
}

// Leg B of the reference legs: resistance times 1.5, a rotor of 0.28 m with CT
// 0.8. Planned and kept speeds are in its hourly trace to 1e-5 kn.
func TestSlowedAgainstReferenceLeg(t *testing.T) {
	r := table(t).Times(1.5)
	rot := hull.Rotor{Diameter: 0.28, CP: 0.35, CT: 0.8}
	fast := hull.NewSlowing(r, rot.Thrust)
	seen := map[float64]bool{}
	for _, row := range refdata.Read(t, "leg/leg_b_trace.csv") {
		plan, kept := row.Float("speed_plan_kn"), row.Float("speed_kn")
		if plan < 2.5 || seen[plan] { // lifted
			continue
		}
		seen[plan] = true
		assert.InDelta(t, kept, float64(r.Slowed(units.Knots(plan), rot.Thrust)), 1e-5, row.Where())
		assert.InDelta(t, kept, float64(fast.At(units.Knots(plan))), 0.002, row.Where())
	}
	assert.Len(t, seen, 5)
}

// Three forms of the loss for a hull whose resistance is a pure power.
func TestSpeedLossPowerLaw(t *testing.T) {
	for _, row := range refdata.Read(t, "hydro/speed_loss_powerlaw_check.csv") {
		p := hull.PowerLaw{Speed: units.Knots(row.Float("speed_kn")), Force: units.Newtons(row.Float("hull_resistance_n")), Exponent: row.Float("exponent_n")}
		drag := units.Newtons(row.Float("rotor_drag_n"))
		r, err := hull.NewResistance([]hull.Point{{p.Speed, p.Force}, {2 * p.Speed, p.Force * units.Newtons(math.Pow(2, p.Exponent))}})
		require.NoError(t, err)
		kept := r.Slowed(p.Speed, func(v units.Knots) units.Newtons { return drag * units.Newtons(v*v/(p.Speed*p.Speed)) })
		const half = 0.5e-5 + 1e-9 // tol: printed to 1e-5 kn
		assert.InDelta(t, row.Float("loss_kn_exact"), float64(p.Speed-kept), half, row.Text("id"))
		assert.InDelta(t, row.Float("loss_kn_linear_with_drag_relief"), float64(p.Loss(drag)), half, row.Text("id"))
		assert.InDelta(t, row.Float("loss_kn_simple"), float64(p.SimpleLoss(drag)), half, row.Text("id"))
		near := r.Near(p.Speed)
		assert.InDelta(t, p.Exponent, near.Exponent, 1e-9)
	}
}

func TestSlowedEdges(t *testing.T) {
	r := exampleResistance(t)
	none := func(units.Knots) units.Newtons { return 0 }
	anchor := func(units.Knots) units.Newtons { return 1e6 }
	cutIn := func(v units.Knots) units.Newtons { // drags from 4 kn on
		if v < 4 {
			return 0
		}
		return 300
	}
	slowing := hull.NewSlowing(r, none)
	for _, v := range []units.Knots{-1, 0, 0.01, 5, 30} {
		assert.Equal(t, v, r.Slowed(v, none))
		assert.InDelta(t, float64(v), float64(slowing.At(v)), 1e-12)
	}
	assert.Zero(t, r.Slowed(5, anchor))
	assert.InDelta(t, 4, float64(r.Slowed(5, cutIn)), 1e-8)
	nan := units.Knots(math.NaN())
	assert.True(t, math.IsNaN(float64(r.Slowed(nan, none))))
	assert.True(t, math.IsNaN(float64(slowing.At(nan))))
	assert.Equal(t, r.Slowed(25, hull.Rotor{Diameter: 0.3, CT: 0.8}.Thrust), hull.NewSlowing(r, hull.Rotor{Diameter: 0.3, CT: 0.8}.Thrust).At(25))
}

// The equation holds, more drag slows more, more wind never slows, and the quick
// table stays within the 0.0015 kn its comment promises.
func TestSlowedLaws(t *testing.T) {
	curves := []*hull.Resistance{exampleResistance(t), table(t)}
	rapid.Check(t, func(t *rapid.T) {
		r := curves[rapid.IntRange(0, 1).Draw(t, "curve")].Times(rapid.Float64Range(0.5, 3).Draw(t, "factor"))
		small := hull.Rotor{Diameter: units.Metres(rapid.Float64Range(0.1, 0.5).Draw(t, "diameter")), CT: rapid.Float64Range(0.1, 1.2).Draw(t, "CT")}
		large := small
		large.CT *= 1.3
		slowing := hull.NewSlowing(r, small.Thrust)
		for range 20 {
			v0 := units.Knots(rapid.Float64Range(0.01, 20).Draw(t, "v0"))
			v1 := r.Slowed(v0, small.Thrust)
			if lack := float64(r.At(v1)+small.Thrust(v1)-r.At(v0)) / float64(r.At(v0)); math.Abs(lack) > 1e-6 {
				t.Fatalf("at %v kept %v, forces are out by %v", v0, v1, lack)
			}
			if v2 := r.Slowed(v0, large.Thrust); !(v2 < v1 && v1 < v0) {
				t.Fatalf("at %v kept %v, with more drag %v", v0, v1, v2)
			}
			if off := math.Abs(float64(slowing.At(v0) - v1)); off > 0.0015 {
				t.Fatalf("at %v: table %v, exact %v, off %v", v0, slowing.At(v0), v1, off)
			}
			if slowing.At(v0+0.1) < slowing.At(v0) {
				t.Fatalf("slower at %v than at %v", v0+0.1, v0)
			}
		}
	})
}

func TestSlowedDoesNotAllocate(t *testing.T) {
	r := exampleResistance(t)
	drag := hull.Rotor{Diameter: 0.28, CT: 0.8}.Thrust
	s := hull.NewSlowing(r, drag)
	assert.Zero(t, testing.AllocsPerRun(100, func() { r.Slowed(5.1, drag) }))
	assert.Zero(t, testing.AllocsPerRun(100, func() { s.At(5.1) }))
}

// At 5 kn a rotor of 28 cm costs the example yacht in a seaway 0.45 kn, and the
// power it makes is a quarter less than the 5 kn would have given.
func ExampleResistance_Slowed() {
	yacht := hull.Yacht{Waterline: 8.7, Displacement: 6500, WettedSquareMetres: 23.4}
	smooth, err := yacht.Resistance()
	if err != nil {
		fmt.Println(err)
		return
	}
	rotor := hull.Rotor{Diameter: 0.28, CP: 0.35, CT: 0.8}
	kept := smooth.Times(1.5).Slowed(5, rotor.Thrust)
	fmt.Printf("%.3f kn kept, shaft power %.0f %% of that at 5 kn\n", float64(kept), 100*float64(rotor.Shaft(kept)/rotor.Shaft(5)))
	// Output: 4.555 kn kept, shaft power 76 % of that at 5 kn
}

func BenchmarkSlowed(b *testing.B) {
	r := exampleResistance(b)
	drag := hull.Rotor{Diameter: 0.28, CT: 0.8}.Thrust
	b.ReportAllocs()
	v := units.Knots(0)
	for b.Loop() {
		if v += 0.1; v > 10 {
			v = 0.1
		}
		r.Slowed(v, drag)
	}
}

func BenchmarkSlowing(b *testing.B) {
	s := hull.NewSlowing(exampleResistance(b), hull.Rotor{Diameter: 0.28, CT: 0.8}.Thrust)
	b.ReportAllocs()
	v := units.Knots(0)
	for b.Loop() {
		if v += 0.1; v > 10 {
			v = 0.1
		}
		s.At(v)
	}
}

func BenchmarkNewSlowing(b *testing.B) {
	r := exampleResistance(b)
	drag := hull.Rotor{Diameter: 0.28, CT: 0.8}.Thrust
	for b.Loop() {
		hull.NewSlowing(r, drag)
	}
}
