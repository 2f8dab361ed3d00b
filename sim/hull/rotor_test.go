package hull_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"ampwake/sim/hull"
	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

const printed6 = 0.5e-6 + 1e-9 // tol: six digits printed

func TestActuatorDisc(t *testing.T) {
	for _, row := range refdata.Read(t, "hydro/actuator_disc_check.csv") {
		a := row.Float("induction_a")
		if row.Text("induction_a") == "0.333333" {
			a = 1.0 / 3
		}
		cp, ct := hull.DiscPower(a), hull.DiscThrust(a)
		assert.InDelta(t, row.Float("CP"), cp, printed6, row.Where())
		assert.InDelta(t, row.Float("CT"), ct, printed6, row.Where())
		if a == 0 {
			assert.Zero(t, hull.Induction(0))
			continue
		}
		// Drag power per shaft watt is CT/CP = 1/(1-a).
		assert.InDelta(t, row.Float("drag_power_per_shaft_watt_CT_over_CP"), ct/cp, printed6, row.Where())
		if a < 1.0/3 { // the lesser root gets back
			assert.InDelta(t, a, hull.Induction(cp), 1e-9, row.Where())
		}
	}
}

func TestLeastThrust(t *testing.T) {
	for _, row := range refdata.Read(t, "hydro/ideal_minimum_drag_for_cp_check.csv") {
		cp := row.Float("CP")
		if row.Text("CP") == "0.592593" {
			cp = hull.Betz
		}
		ct := hull.LeastThrust(cp)
		assert.InDelta(t, row.Float("induction_a_low_branch"), hull.Induction(cp), printed6, row.Where())
		assert.InDelta(t, row.Float("CT_min"), ct, printed6, row.Where())
		assert.InDelta(t, row.Float("drag_power_per_shaft_watt_min"), ct/cp, printed6, row.Where())
	}
	assert.True(t, math.IsNaN(hull.LeastThrust(0.6)), "beyond Betz")
}

// No induction makes more power than Betz's limit, and the solution of the cubic
// gives the power back.
func TestInductionInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cp := rapid.Float64Range(0, hull.Betz).Draw(t, "CP")
		a := hull.Induction(cp)
		if !(a >= 0 && a <= 1.0/3+1e-12) || math.Abs(hull.DiscPower(a)-cp) > 1e-14 {
			t.Fatalf("Induction(%v) = %v, which makes %v", cp, a, hull.DiscPower(a))
		}
		if any := rapid.Float64Range(0, 0.5).Draw(t, "a"); hull.DiscPower(any) > hull.Betz+1e-15 {
			t.Fatalf("induction %v beats Betz", any)
		}
	})
}

// ½ ρ A CP v³ and ½ ρ A CT v² by hand: 0.28 m, 1025 kg/m³, 5 kn = 2.5722 m/s:
// A 0.061575 m², 208.8 N of pressure, 167.0 N at CT 0.8 and 188.0 W at CP 0.35.
func TestRotor(t *testing.T) {
	r := hull.Rotor{Diameter: 0.28, CP: 0.35, CT: 0.8}
	assert.InDelta(t, 167.0, float64(r.Thrust(5)), 0.05)
	assert.InDelta(t, 188.0, float64(r.Shaft(5)), 0.05)
	fresh := r
	fresh.Density = 1000
	assert.InDelta(t, float64(r.Shaft(5))/1.025, float64(fresh.Shaft(5)), 1e-9)
	assert.Zero(t, r.Shaft(0))
}

func TestRotorCheck(t *testing.T) {
	good := hull.Rotor{Diameter: 0.28, CP: 0.35, CT: 0.8}
	assert.NoError(t, good.Check())
	for want, change := range map[string]func(*hull.Rotor){
		"diameter":                  func(r *hull.Rotor) { r.Diameter = 0 },
		"density":                   func(r *hull.Rotor) { r.Density = -1 },
		"Betz's limit":              func(r *hull.Rotor) { r.CP = 0.6 },
		"0.394, the least that a":   func(r *hull.Rotor) { r.CT = 0.35 },
		"and 2":                     func(r *hull.Rotor) { r.CT = 2.5 },
		"power coefficient 0 of":    func(r *hull.Rotor) { r.CP = 0 },
		"thrust coefficient NaN of": func(r *hull.Rotor) { r.CT = math.NaN() },
	} {
		r := good
		change(&r)
		assert.ErrorContains(t, r.Check(), want)
	}
}

func TestMeanCube(t *testing.T) {
	for _, row := range refdata.Read(t, "hydro/speed_variability_check.csv") {
		mean := row.Float("mean_kn")
		got := hull.MeanCube(units.Knots(mean), units.Knots(row.Float("sd_kn")))
		assert.InEpsilon(t, row.Float("mean_of_cube_normal"), got, 1e-6, row.Where())
		assert.InDelta(t, row.Float("factor"), got/(mean*mean*mean), 0.5e-5+1e-9, row.Where())
	}
}

func TestSeawaterDensity(t *testing.T) {
	unesco := refdata.Check{
		Model: refdata.Water, Quantity: "density of sea water, four test values",
		Source: "UNESCO 44 (1983)", Status: refdata.Memory, Tolerance: 0.5e-5 + 1e-9, Unit: "kg/m³",
	}.Begin(t)
	for _, row := range refdata.Read(t, "hydro/seawater_density_check.csv") {
		got := hull.SeawaterDensity(row.Float("practical_salinity"), units.Celsius(row.Float("temperature_C")))
		assert.InDelta(t, row.Float("rho_eos80_kg_m3"), got, 0.5e-4+1e-9, row.Where()) // tol: four digits printed
		if s := row.Float("practical_salinity"); s >= 33 {
			assert.InEpsilon(t, hull.SeaWater, got, 0.0055, row.Where()) // as SeaWater's comment says
		}
	}
	// The four test values of UNESCO 44 (values from memory).
	for _, c := range []struct{ s, t, want float64 }{
		{0, 5, 999.96675}, {35, 5, 1027.67547}, {0, 25, 997.04796}, {35, 25, 1023.34306},
	} {
		unesco.Within(hull.SeawaterDensity(c.s, units.Celsius(c.t)), c.want)
	}
}
