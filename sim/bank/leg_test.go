package bank

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

// legSetup is the bank of the reference legs: the defaults without charger
// stages and trickle, and self-discharge given at 25 °C.
func legSetup(rated units.AmpHours) Setup {
	s := Default(AGM, rated).Plain()
	s.SelfDischargeAt = 25
	return s
}

// legNode reads the node at a row's instant. Loads in W and in A are told apart
// as the leg's inputs have them.
func legNode(r refdata.Row) Node {
	in := Node{Temp: units.Celsius(r.Float("sea_c"))}
	for _, source := range []string{"solar_rail_w", "solar_aft_w", "hydro_w"} {
		in.Supply += units.Watts(r.Float(source))
	}
	for _, load := range []string{"ais_alarm", "heater_fan", "tricolour", "weather_fax", "laptop"} {
		if column := "load_" + load + "_w"; r.Has(column) {
			in.Power += units.Watts(r.Float(column))
		}
	}
	for _, load := range []string{"instruments", "fridge", "self_steering", "chart_light", "hf_radio"} {
		if column := "load_" + load + "_w"; r.Has(column) {
			in.Current += units.Amps(r.Float(column) / r.Float("terminal_v"))
		}
	}
	return in
}

var legs = []struct {
	file  string
	rated units.AmpHours
}{{"leg/leg_a_trace.csv", 230}, {"leg/leg_b_trace.csv", 230}, {"leg/leg_a_flat_trace.csv", 115}}

// Source: the state of the bus at every hour of the reference legs, computed by
// another program; tolerances a few digits of the trace. Its figures are those
// of its first step of 30 s.
func TestNodeAtHours(t *testing.T) {
	for _, leg := range legs {
		m := model(t, legSetup(leg.rated))
		var worstV, worstI, worstW float64
		rows := refdata.Read(t, leg.file)
		for _, r := range rows {
			s := m.Hold(ah(r.Float("q1_ah")), ah(r.Float("q2_ah")))
			in := legNode(r)
			in.Length = 0.5 / 60
			assert.InDelta(t, r.Float("soc"), float64(m.Charge(&s, in.Temp)), 4e-6, r.Where()) // sea_c has 3 digits
			f := m.Step(&s, in)
			require.False(t, f.Flat, r.Where())
			dv, di, dw := float64(f.Volts)-r.Float("terminal_v"), float64(f.Current)-r.Float("battery_a"), float64(f.Spilled)-r.Float("spilled_w")
			worstV, worstI, worstW = max(worstV, math.Abs(dv)), max(worstI, math.Abs(di)), max(worstW, math.Abs(dw))
			tolI := 2e-3
			if room := m.setup.Tanks.C*float64(m.Capacity(in.Temp)) - r.Float("q1_ah"); room < 0.05 {
				// The tank at hand is full but for what the step brings in:
				// half a digit of sea_c moves its wall by 0.34 mAh, which is
				// 0.04 A over 30 s, over the efficiency.
				tolI = 0.075
			}
			assert.InDelta(t, 0, di, tolI, "%s: A", r.Where())
			assert.InDelta(t, 0, dv, 2e-4+tolI*m.rc*1.5, "%s: V", r.Where())
			assert.InDelta(t, 0, dw, 0.01+tolI*15, "%s: spilled W", r.Where())
		}
		t.Logf("%s: %d hours, worst %.5f V, %.5f A, %.4f W", leg.file, len(rows), worstV, worstI, worstW)
	}
}

// A rough run through the legs: mean power of each hour, in steps of 10 min, all
// loads as power. State of charge to 0.5 points at whole hours.
func TestLegsRoughly(t *testing.T) {
	for _, leg := range legs {
		m := model(t, legSetup(leg.rated))
		rows := refdata.Read(t, leg.file)
		s := m.Hold(ah(rows[0].Float("q1_ah")), ah(rows[0].Float("q2_ah")))
		var worst, spilled, want float64
		for i, r := range rows[:len(rows)-1] {
			temp := units.Celsius((r.Float("sea_c") + rows[i+1].Float("sea_c")) / 2)
			d := math.Abs(float64(m.Charge(&s, units.Celsius(r.Float("sea_c")))) - r.Float("soc"))
			worst = max(worst, d)
			require.Less(t, d, 0.005, "%s: state of charge", r.Where())
			in := Node{
				Supply: units.Watts(r.Float("h_solar_wh") + r.Float("h_hydro_wh")),
				Power:  units.Watts(r.Float("h_load_wh")), Temp: temp, Length: 1.0 / 6,
			}
			for range 6 {
				f := m.Step(&s, in)
				require.False(t, f.Flat, r.Where())
				spilled += float64(f.Spilled) / 6
			}
			want += r.Float("h_spilled_wh")
		}
		t.Logf("%s: worst %.3f points, spilled %.0f Wh of %.0f", leg.file, 100*worst, spilled, want)
		assert.InDelta(t, want, spilled, 0.005*want+2, "%s: spilled", leg.file)
	}
}

// Source: the change of the bank's store by day in the reference legs; tol: the
// digits of charge and temperature in the trace.
func TestStoreByDay(t *testing.T) {
	for _, leg := range []string{"leg_a", "leg_b"} {
		m := model(t, legSetup(230))
		midnight := map[string]units.WattHours{}
		for _, r := range refdata.Read(t, "leg/"+leg+"_trace.csv") {
			if day, ok := strings.CutSuffix(r.Text("utc"), "T00:00:00Z"); ok {
				s := m.Hold(ah(r.Float("q1_ah")), ah(r.Float("q2_ah")))
				midnight[day] = m.Store(&s, units.Celsius(r.Float("sea_c")))
			}
		}
		tested := 0
		for _, r := range refdata.Read(t, "leg/"+leg+"_daily.csv") {
			day := r.Time("utc_date")
			from, ok := midnight[day.Format("2006-01-02")]
			to, ok2 := midnight[day.AddDate(0, 0, 1).Format("2006-01-02")]
			if !ok || !ok2 {
				continue
			}
			tested++
			assert.InDelta(t, r.Float("store_change_wh"), float64(to-from), 0.003, r.Where())
		}
		assert.Greater(t, tested, 10)
	}
}
