package bank

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

// Source: [IEEE 485] table (temp_ieee485.csv), exact.
func TestColdFactor(t *testing.T) {
	factor := refdata.Check{
		Model: refdata.Bank, Quantity: "size for the cold",
		Source: "IEEE 485 table", Status: refdata.Published, Tolerance: 1e-9,
	}.Begin(t)
	for _, r := range refdata.Read(t, "battery/temp_ieee485.csv") {
		c := (r.Float("T_F") - 32) * 5 / 9
		factor.Within(ColdFactor(units.Celsius(c)), r.Float("K_multiply_capacity"), r.Where())
	}
	assert.Equal(t, 1.52, ColdFactor(-40))
	assert.Equal(t, 0.85, ColdFactor(80))
}

// Source: published and worked cases (sizing_cases.csv), 0.5 %.
func TestSizingCases(t *testing.T) {
	size := refdata.Check{
		Model: refdata.Bank, Quantity: "sizing of bank and array",
		Source: "public worked cases, simplified", Status: refdata.Published, Tolerance: 0.5, Unit: "%",
	}.Begin(t)
	house := Sizing{Daily: 42, Days: 3, Deepest: 0.8, EndOfLife: 0.8, DailyDeep: 0.20, Cold: ColdFactor(10), Margin: 1.10}
	five := house
	five.Days, five.Margin = 5, 1.15
	got := map[string]float64{
		"S1":  float64(Sizing{Daily: 1000.0 / 12, Days: 2.5, Deepest: 0.5, Cold: 1.30}.Capacity()),
		"S2":  float64(Sizing{Daily: 1000.0 / 12, Days: 5, Deepest: 1}.Capacity()),
		"S3":  float64(house.Capacity()),
		"S4":  float64(five.Capacity()),
		"S5":  float64(FunctionalHours(five.Unadjusted(), 25)),
		"S6":  float64(CellsInSeries(15, 2.5)),
		"S7":  float64(Strings(359.2, 100)),
		"S8":  float64(ArrayStrings(42, 1.3, 8.5, 3.5, 0.15)),
		"S9":  ArrayToLoad(3, 42, 8.5, 3.5, 0.15),
		"S10": float64(Sizing{Daily: 42, Days: 3, Deepest: 0.8, Cold: 1 / 0.9, Margin: 1.1}.Capacity()),
		"S11": ColdFactor(7),
	}
	rows := refdata.Read(t, "battery/sizing_cases.csv")
	require.Len(t, rows, len(got))
	for _, r := range rows {
		x, ok := got[r.Text("case")]
		require.True(t, ok, r.Where())
		if r.Has("published") {
			size.Ratio(x, r.Float("result"), r.Text("case"))
		}
		within(t, x, r.Float("result"), 0.005, r.Text("case"))
	}
}

// Source: published examples (gmdss_cases.csv), 0.5 %.
func TestGMDSSCases(t *testing.T) {
	need := refdata.Check{
		Model: refdata.Bank, Quantity: "reserve for the distress radio",
		Source: "examples of the SOLAS IV/13 rule in manuals", Status: refdata.Published, Tolerance: 0.5, Unit: "%",
	}.Begin(t)
	console := GMDSS{Transmit: 38, Receive: 8.1, Other: 2.5}
	hf := GMDSS{Transmit: 28, Receive: 2.5, Other: 1.5}
	// The rows of the ship's list: half the largest current and the standby,
	// but for the AIS, which is on for a share of the time.
	var list float64
	for _, r := range refdata.Read(t, "battery/gmdss_rows.csv") {
		var g GMDSS
		if r.Has("I_max_A") {
			g.Transmit = units.Amps(r.Float("I_max_A"))
		}
		g.Receive = units.Amps(r.Float("I_standby_A"))
		total := r.Float("qty") * float64(g.Need(1, 1))
		if r.Text("equipment_class")[:3] == "AIS" {
			g.Transmit *= 2 * 0.0133
			total = float64(g.Need(1, 1))
		}
		assert.InDelta(t, r.Float("row_total_A"), total, 0.006, r.Where())
		list += total
	}
	got := map[string]float64{
		"24V_console_1h":     float64(console.Need(1, 1.4)),
		"24V_console_6h":     float64(console.Need(6, 1.4)),
		"24V_charger":        float64(GMDSSCharger(86)),
		"ship_list_1h":       list,
		"ship_list_K1":       list * 1.25,
		"ship_list_K_cold":   list * 1.25 / 0.55,
		"ship_list_K5":       list * 1.25 / 0.55 / 0.65,
		"small_yacht_hf_1h":  float64(hf.Need(1, 1)),
		"small_yacht_hf_6h":  float64(hf.Need(6, 1.4)),
		"small_yacht_vhf_6h": float64(GMDSS{Transmit: 5.5, Receive: 0.4, Other: 0.5}.Need(6, 1.4)),
	}
	rows := refdata.Read(t, "battery/gmdss_cases.csv")
	require.Len(t, rows, len(got))
	for _, r := range rows {
		x, ok := got[r.Text("case")]
		require.True(t, ok, r.Where())
		if r.Has("published") {
			need.Ratio(x, r.Float("result"), r.Text("case"))
		}
		within(t, x, r.Float("result"), 0.005, r.Text("case"))
	}
}

// Source: published and worked examples (peukert_examples.csv), 0.5 %.
func TestPeukert(t *testing.T) {
	peukert := refdata.Check{
		Model: refdata.Bank, Quantity: "Peukert's law",
		Source: "public worked examples", Status: refdata.Published, Tolerance: 0.5, Unit: "%",
	}.Begin(t)
	for _, r := range refdata.Read(t, "battery/peukert_examples.csv") {
		in := inputs(t, r.Text("inputs"))
		p := Peukert{ah(in["C"]), units.Hours(in["H"]), in["n"]}
		i := units.Amps(in["I"])
		var got float64
		switch r.Text("case") {
		case "P1": // the capacity of 1 A in 1 h
			got = float64(Peukert{ah(in["Cp"]), units.Hours(in["Cp"]), in["n"]}.Lasts(i))
		case "P2", "P7", "P8", "P9":
			got = float64(p.Lasts(i))
		case "P3", "P4":
			got = PeukertExponent(units.Amps(in["I1"]), units.Hours(in["t1"]), units.Amps(in["I2"]), units.Hours(in["t2"]))
		case "P5":
			got = PeukertExponent(54.2, 5, 16.5, 20)
		case "P6":
			got = float64(p.Delivers(i, 1e9))
		default:
			t.Fatalf("%s: no such case", r.Where())
		}
		if r.Has("published_value") {
			peukert.Ratio(got, r.Float("result"), r.Text("case"))
		}
		within(t, got, r.Float("result"), 0.005, r.Text("case"))
	}
	p := Peukert{100, 20, 1.15}
	assert.EqualValues(t, 105.6, p.Delivers(0.5, 105.6), "not more than qmax")
}
