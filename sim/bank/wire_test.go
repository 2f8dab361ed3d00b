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

func mm2(x float64) units.SquareMillimetres { return units.SquareMillimetres(x) }

// Source: [IEC 60228] on three public pages (conductors_iec60228.csv), exact.
func TestPerKilometre(t *testing.T) {
	ohms := refdata.Check{
		Model: refdata.Cables, Quantity: "resistance of conductors",
		Source: "IEC 60228, on three public pages", Status: refdata.Published, Tolerance: 0, Unit: "Ω/km",
	}.Begin(t)
	columns := map[string]Conductor{"class2_plain_ohm_per_km_20C": Class2Plain, "class2_tinned": Class2Tinned, "class5_plain": Class5Plain, "class5_tinned": Class5Tinned}
	for _, r := range refdata.Read(t, "battery/conductors_iec60228.csv") {
		for column, k := range columns {
			got, err := k.PerKilometre(mm2(r.Float("mm2")))
			require.NoError(t, err)
			ohms.Within(float64(got), r.Float(column), r.Where(), ": ", column)
		}
	}
	for _, k := range columns {
		last := math.Inf(1)
		for a := 0.5; a <= 120; a *= 1.01 { // thicker is never worse
			r, err := k.PerKilometre(mm2(a))
			require.NoError(t, err)
			require.Less(t, float64(r), last, "%v %g mm²", k, a)
			last = float64(r)
		}
	}
	for _, a := range []float64{0, -1, 0.4, 121, math.NaN()} {
		_, err := Class5Plain.PerKilometre(mm2(a))
		assert.ErrorContains(t, err, "0.5 to 120")
	}
}

// Source: [ASTM B258] (awg.csv); tol: printed digits.
func TestGauge(t *testing.T) {
	for _, r := range refdata.Read(t, "battery/awg.csv") {
		var g Gauge
		require.NoError(t, g.UnmarshalText([]byte(r.Text("awg"))), r.Where())
		assert.Equal(t, r.Text("awg")+" AWG", g.String())
		assert.InDelta(t, r.Float("diameter_mm"), g.Diameter(), 5.1e-5, r.Where())
		assert.InDelta(t, r.Float("area_mm2"), float64(g.Area()), 5.1e-4, r.Where())
		assert.InDelta(t, r.Float("circular_mils"), g.CircularMils(), 0.51, r.Where())
		assert.InDelta(t, r.Float("ohm_per_km_20C_annealed_copper"), float64(g.PerKilometre()), 5.1e-5, r.Where())
	}
	for _, word := range []string{"", "AWG", "5/0", "0/0", "41", "-1", "+4", "6 mm", "1/00", "٣"} {
		var g Gauge
		assert.ErrorContains(t, g.UnmarshalText([]byte(word)), "wire gauge", word)
	}
}

func FuzzGauge(f *testing.F) {
	for _, seed := range []string{"6 AWG", "awg 2/0", "4/0", "40", "6", ""} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, word string) {
		var g, h Gauge
		if g.UnmarshalText([]byte(word)) != nil {
			return
		}
		require.NoError(t, h.UnmarshalText([]byte(g.String())))
		require.Equal(t, g, h)
	})
}

// Source: voltage_drop_hf.csv: 25 A on a 6 m run; 0.5 mV.
func TestDropHF(t *testing.T) {
	for _, r := range refdata.Read(t, "battery/voltage_drop_hf.csv") {
		require.Equal(t, "class5 plain", r.Text("conductor"))
		c := Cable{Run: units.Metres(r.Float("one_way_m")), Area: mm2(r.Float("mm2")), Make: Class5Plain, Temp: units.Celsius(r.Float("T_C"))}
		i := units.Amps(r.Float("current_A"))
		loop, err := c.Loop()
		require.NoError(t, err)
		assert.InDelta(t, r.Float("loop_resistance_mohm"), 1000*float64(loop), 5.1e-5, r.Where())
		assert.InDelta(t, r.Float("drop_V"), float64(Drop(loop, i)), 5e-4, r.Where())
		assert.Equal(t, r.Text("meets_3pct_of_12V") == "yes", Drop(loop, i) <= 0.36, r.Where())
		c.Extra = 0.005
		loop, err = c.Loop()
		require.NoError(t, err)
		assert.InDelta(t, r.Float("drop_V_with_5mohm_fuse_switch_connectors"), float64(Drop(loop, i)), 5e-4, r.Where())
		assert.InDelta(t, r.Float("min_battery_terminal_V_for_11.56_at_radio"), 11.56+float64(Drop(loop, i)), 5e-4, r.Where())
	}
}

// Source: worked and published cases (voltage_drop_cases.csv), 0.5 %.
func TestDropCases(t *testing.T) {
	printed := refdata.Check{
		Model: refdata.Cables, Quantity: "gauge for a drop, two cases",
		Source: "a marine manual and a catalogue after ABYC E-11", Status: refdata.Published, Tolerance: 0.5, Unit: "%",
	}.Begin(t)
	loss := func(i, run, area, temp float64, k Conductor) float64 {
		loop, err := Cable{Run: units.Metres(run), Area: mm2(area), Make: k, Temp: units.Celsius(temp)}.Loop()
		require.NoError(t, err)
		return float64(Drop(loop, units.Amps(i)))
	}
	hf := Cable{Run: 6, Make: Class5Plain, Temp: 20}
	size, ok := hf.SizeFor(25, 0.36)
	require.True(t, ok)
	got := map[string]float64{
		"abyc_ssb":             CircularMilsFor(30, 20, 0.36),
		"abyc_bilge":           CircularMilsFor(10, 21, 1.2),
		"area_3pct":            float64(AreaFor(25, 6, 0.36)),
		"nav_light":            loss(2.1, 25, 1.5, 20, Class5Plain),
		"led_tricolor":         loss(0.2, 25, 1.5, 20, Class5Plain),
		"fridge":               loss(5, 4, 2.5, 40, Class5Tinned),
		"charger_alternator":   loss(60, 2.5, 25, 40, Class5Plain),
		"smallest_iec_3pct_hf": float64(size),
	}
	left := len(got)
	for _, r := range refdata.Read(t, "battery/voltage_drop_cases.csv") {
		if x, ok := got[r.Text("case")]; ok {
			within(t, x, r.Float("result"), 0.005, r.Text("case"))
			if strings.HasPrefix(r.Text("case"), "abyc") {
				printed.Ratio(x, r.Float("result"), r.Text("case"))
			}
			left--
		}
	}
	assert.Zero(t, left, "cases without a row")
	for mils, want := range map[float64]string{17917: "6 AWG", 1881: "16 AWG"} { // published
		g, ok := GaugeFor(mils)
		require.True(t, ok)
		assert.Equal(t, want, g.String())
	}
	_, ok = hf.SizeFor(500, 0.36)
	assert.False(t, ok, "no cable is that thick")
	_, ok = GaugeFor(1e6)
	assert.False(t, ok)
}

// Source: radio_can_transmit.csv: 25 A from an AGM bank through 6 m of cable;
// 1 mV. This is the whole question "can the radio transmit?" through Look.
func TestRadioCanTransmit(t *testing.T) {
	volts := refdata.Check{
		Model: refdata.Cables, Quantity: "volts at the radio under 25 A, by charge, size and cold",
		Source: "AGM curve and IEC 60228, worked", Status: refdata.Calculated, Tolerance: 0.001, Unit: "V",
	}.Begin(t)
	marginal := 0
	for _, r := range refdata.Read(t, "battery/radio_can_transmit.csv") {
		temp := units.Celsius(r.Float("T_C"))
		m := model(t, level(AGM, ah(r.Float("Q_Ah"))))
		s := m.Start(units.Fraction(r.Float("soc_pct")/100), temp)
		bus := m.Look(&s, Node{Current: 25, Temp: temp})
		require.False(t, bus.Flat)
		volts.Within(float64(bus.Volts), r.Float("battery_terminal_V"), r.Where())
		loop, err := Cable{Run: 6, Area: mm2(r.Float("cable_mm2")), Make: Class5Plain, Temp: temp, Extra: 0.005}.Loop()
		require.NoError(t, err)
		radio := bus.Volts - Drop(loop, 25)
		volts.Within(float64(radio), r.Float("radio_V"), r.Where())
		for column, least := range map[string]units.Volts{"tx_ok_11.56": 11.56, "tx_ok_11.73": 11.73} {
			want := r.Text(column) == "yes"
			assert.Equal(t, want, radio >= least, "%s: %s", r.Where(), column)
			switch v := Judge(radio, least); v {
			case Marginal:
				marginal++
				assert.LessOrEqual(t, math.Abs(float64(radio-least)), 0.1)
			default:
				assert.Equal(t, want, v == Yes, "%s: %s", r.Where(), column)
			}
		}
	}
	assert.NotZero(t, marginal)
}

// A charger holds up the bus: pack README 8, "with any charger running at 13.5 V
// or more: yes".
func TestChargerHelpsRadio(t *testing.T) {
	m := model(t, Default(AGM, 200))
	s := m.Start(0.4, 5)
	with := m.Look(&s, Node{Supply: 600, Current: 25, Temp: 5})
	without := m.Look(&s, Node{Current: 25, Temp: 5})
	assert.Greater(t, float64(with.Volts), 12.6)
	assert.Less(t, float64(without.Volts), 12.0)
	assert.Negative(t, float64(with.Current))
}

func TestJudge(t *testing.T) {
	for volts, want := range map[units.Volts]Verdict{11.40: No, 11.47: Marginal, 11.65: Marginal, 11.67: Yes} {
		assert.Equal(t, want, Judge(volts, 11.56), "%v", volts)
	}
	assert.Equal(t, "no marginal yes", strings.Join([]string{No.String(), Marginal.String(), Yes.String()}, " "))
	_, err := Cable{Run: -1, Area: 10}.Loop()
	assert.ErrorContains(t, err, "below 0")
}
