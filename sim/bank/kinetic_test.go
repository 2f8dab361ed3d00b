package bank

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

func ah(x float64) units.AmpHours { return units.AmpHours(x) }

// tanksOf reads the tanks of a row.
func tanksOf(r refdata.Row) Tanks {
	return Tanks{C: r.Float("c"), K: r.Float("k_per_h"), Over: 1}
}

// Source: closed form against an ODE solver run separately (kibam_steps.csv).
func TestTanksStep(t *testing.T) {
	tanks := refdata.Check{
		Model: refdata.Charge, Quantity: "two tanks after a step",
		Source: "two tanks (Manwell & McGowan 1993) by an ODE solver", Status: refdata.Calculated, Tolerance: 1e-6, Unit: "Ah",
	}.Begin(t)
	for _, r := range refdata.Read(t, "battery/kibam_steps.csv") {
		q1, q2 := tanksOf(r).Step(ah(r.Float("q1_start_Ah")), ah(r.Float("q2_start_Ah")),
			units.Amps(r.Float("I_A_discharge_positive")), units.Hours(r.Float("dt_h")))
		tanks.Within(float64(q1), r.Float("q1_end_ode"), r.Where(), ": at hand")
		tanks.Within(float64(q2), r.Float("q2_end_ode"), r.Where(), ": bound")
	}
}

// The same rows through the node: loads and sources that make the row's current.
func TestStepFollowsTanks(t *testing.T) {
	tanks := refdata.Check{
		Model: refdata.Charge, Quantity: "two tanks after a step",
		Source: "two tanks (Manwell & McGowan 1993) by an ODE solver", Status: refdata.Calculated, Tolerance: 1e-6, Unit: "Ah",
	}.Begin(t)
	for _, r := range refdata.Read(t, "battery/kibam_steps.csv") {
		m := model(t, straight(tanksOf(r), r.Float("qmax_Ah"), 12, 0, 1e-9))
		i := r.Float("I_A_discharge_positive")
		s := m.Hold(ah(r.Float("q1_start_Ah")), ah(r.Float("q2_start_Ah")))
		in := Node{Current: units.Amps(max(i, 0)), Supply: units.Watts(12 * max(-i, 0)), Temp: 25, Length: units.Hours(r.Float("dt_h"))}
		f := m.Step(&s, in)
		require.False(t, f.Flat, r.Where())
		q1, q2 := s.Tanks()
		tanks.Within(float64(q1), r.Float("q1_end_ode"), r.Where(), ": at hand")
		tanks.Within(float64(q2), r.Float("q2_end_ode"), r.Where(), ": bound")
	}
}

// Source: currents that an ODE solver brings to the wall of the tank
// (kibam_limits.csv).
func TestLimits(t *testing.T) {
	for _, r := range refdata.Read(t, "battery/kibam_limits.csv") {
		tanks, dt := tanksOf(r), units.Hours(r.Float("dt_h"))
		q1, q2, qmax := ah(r.Float("q1_Ah")), ah(r.Float("q2_Ah")), ah(r.Float("qmax_Ah"))
		within(t, float64(tanks.DischargeLimit(q1, q2, dt)), r.Float("I_dis_max_A"), 1e-5, r.Where()+": discharge")
		charge := tanks.ChargeLimit(q1, q2, qmax, dt)
		within(t, float64(charge), r.Float("I_chg_max_kibam_A_neg"), 1e-5, r.Where()+": charge")
		rate := RateLimit(r.Float("alpha_per_h"), qmax-q1-q2, dt)
		within(t, float64(rate), r.Float("I_chg_max_rate_A_neg"), 1e-5, r.Where()+": rate")
		within(t, float64(max(charge, rate, -units.Amps(r.Float("Imax_A")))), r.Float("I_chg_limit_used_A_neg"), 1e-5, r.Where()+": used")
	}
}

// Step is flat exactly above the discharge limit, and fills the tank at hand
// exactly at the charge limit.
func TestStepKeepsLimits(t *testing.T) {
	for _, r := range refdata.Read(t, "battery/kibam_limits.csv") {
		m := model(t, straight(tanksOf(r), r.Float("qmax_Ah"), 12, 0, 1e-6))
		in := Node{Temp: 25, Length: units.Hours(r.Float("dt_h"))}
		most := units.Amps(r.Float("I_dis_max_A"))
		for _, c := range []struct {
			share units.Amps
			flat  bool
		}{{1 - 1e-6, false}, {1 + 1e-6, true}} {
			s := m.Hold(ah(r.Float("q1_Ah")), ah(r.Float("q2_Ah")))
			in.Current = most * c.share
			assert.Equal(t, c.flat, m.Step(&s, in).Flat, "%s: %v of the limit", r.Where(), c.share)
		}
		s := m.Hold(ah(r.Float("q1_Ah")), ah(r.Float("q2_Ah")))
		in.Current, in.Supply = 0, 1e5
		want := r.Float("I_chg_max_kibam_A_neg")
		if start := r.Float("q1_Ah") + r.Float("q2_Ah"); start >= r.Float("qmax_Ah") {
			want = 0
		}
		if -want > 100*r.Float("qmax_Ah") || -want*12 > 1e5 {
			continue // more than the battery of this test takes
		}
		got := float64(m.Step(&s, in).Current)
		assert.InDelta(t, want, got, 1e-5*math.Abs(want)+1e-9, "%s: charge", r.Where())
		q1, _ := s.Tanks()
		assert.InDelta(t, r.Float("c")*r.Float("qmax_Ah"), float64(q1), 1e-6, "%s: at hand", r.Where())
	}
}

// Source: constant-power steps; the current must be that of the same fixed
// point, the tanks those of an ODE with the current recomputed all the time
// (kibam_constant_power.csv).
func TestConstantPower(t *testing.T) {
	ends := refdata.Check{
		Model: refdata.Charge, Quantity: "two tanks after a step of constant power, up to 1 h",
		Source: "two tanks (Manwell & McGowan 1993) by an ODE solver", Status: refdata.Calculated, Tolerance: 0.01, Unit: "Ah",
	}.Begin(t)
	for _, r := range refdata.Read(t, "battery/kibam_constant_power.csv") {
		m := model(t, straight(tanksOf(r), r.Float("qmax_Ah"), r.Float("E_at_soc0_V"), r.Float("dE_dsoc_V"), r.Float("R_ohm")))
		s := m.Start(units.Fraction(r.Float("soc_start")), 25)
		p := r.Float("P_W_discharge_positive")
		in := Node{Power: units.Watts(max(p, 0)), Supply: units.Watts(max(-p, 0)), Temp: 25, Length: units.Hours(r.Float("dt_h"))}

		l := m.Look(&s, in)
		assert.InDelta(t, r.Float("I_at_start_A"), float64(l.Current), 1e-6, "%s: current at the start", r.Where())
		assert.InDelta(t, r.Float("V_terminal_at_start_V"), float64(l.Volts), 1e-6, "%s: voltage at the start", r.Where())

		f := m.Step(&s, in)
		assert.InDelta(t, r.Float("I_step_mean_A"), float64(f.Current), 1e-5, "%s: mean current", r.Where())
		q1, q2 := s.Tanks()
		assert.InDelta(t, r.Float("q1_end_step"), float64(q1), 1e-5, "%s: at hand", r.Where())
		assert.InDelta(t, r.Float("q2_end_step"), float64(q2), 1e-5, "%s: bound", r.Where())
		ends.Within(float64(q1), r.Float("q1_end_ode"), r.Where(), ": at hand")
		ends.Within(float64(q2), r.Float("q2_end_ode"), r.Where(), ": bound")
	}
}

// Source: lifetimes of a small battery published by Jongerden and Haverkort:
// 91 min, and 203 min for square waves (from memory of the paper). Their k is
// that of a valve between heads.
func TestPublishedLifetimes(t *testing.T) {
	life := refdata.Check{
		Model: refdata.Charge, Quantity: "life of a small battery, steady and in pulses",
		Source: "Jongerden & Haverkort 2009", Status: refdata.Memory, Tolerance: 0.3, Unit: "%",
	}.Begin(t)
	const c, valve = 0.625, 4.5e-5 // -, 1/s
	tanks := Tanks{C: c, K: valve / (c * (1 - c)) * 3600, Over: 1}
	lifetime := func(on, off float64) float64 { // s
		q1, q2 := ah(c*2), ah((1-c)*2)
		const dt = 0.5 // s
		var s float64
		for q1 > 0 {
			i := units.Amps(0.96)
			if on > 0 && math.Mod(s, on+off) >= on {
				i = 0
			}
			q1, q2 = tanks.Step(q1, q2, i, units.Hours(dt/3600))
			s += dt
		}
		return s / 60
	}
	rows := refdata.Read(t, "battery/kibam_published_lifetimes.csv")
	require.Len(t, rows, 3)
	for i, wave := range [][2]float64{{0, 0}, {0.5, 0.5}, {2.5, 2.5}} {
		life.Ratio(lifetime(wave[0], wave[1]), rows[i].Float("published"), rows[i].Where())
		within(t, lifetime(wave[0], wave[1]), rows[i].Float("own_result"), 0.001, rows[i].Where())
	}
}

// Delivered is what Step finds when the battery is run flat.
func TestDelivered(t *testing.T) {
	tanks := Default(AGM, 100).Tanks
	const qmax = 105.6
	for _, hours := range []units.Hours{0.5, 1, 5, 20, 100} {
		i := units.Amps(tanks.Delivered(qmax, hours) / units.AmpHours(hours))
		within(t, float64(tanks.DischargeLimit(ah(tanks.C*qmax), ah((1-tanks.C)*qmax), hours)), float64(i), 1e-12, "limit")
	}
}
