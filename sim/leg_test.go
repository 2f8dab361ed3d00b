package sim_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

// The reference legs were computed outside this project (pvlib's sun and light,
// an own bank stepper checked against an ODE solver) in 30-second steps. The
// tolerances are those their README states; ours steps 10 minutes, cut at edges.
const (
	tolCharge   = 0.005 // of 1, at every whole hour
	tolPlace    = 1e-5  // degrees, with the same radius
	tolHydro    = 0.1   // W; panels and sun against the same rows: package sources
	tolSpeed    = 0.005 // kn
	tolVolts    = 0.03  // V, not within a step of a change
	tolSolarDay = 0.003 // of the larger of the day and 50 Wh
	tolSpilled  = 0.005
)

func sail(t tester, v *sim.Voyage) *sim.Result {
	t.Helper()
	res, err := v.Sail(t.Context(), sim.Options{Trace: true})
	require.NoError(t, err)
	return res
}

func TestReferenceLegs(t *testing.T) {
	for _, id := range []string{"leg_a", "leg_b", "leg_a_flat"} {
		t.Run(id, func(t *testing.T) {
			leg := readLeg(t, id)
			res := sail(t, leg.voyage(t, 10*time.Minute))
			rows := refdata.Read(t, "leg/"+id+"_trace.csv")
			compareTrace(t, res, rows)
			compareDays(t, id, res)
			compareTotals(t, id, res)
			closes(t, res)
		})
	}
}

// hourly finds the trace index of a row's hour.
func hourly(tr *sim.Trace) map[time.Time]int {
	at := map[time.Time]int{}
	for i, x := range tr.Time {
		at[x] = i
	}
	return at
}

func compareTrace(t *testing.T, res *sim.Result, rows []refdata.Row) {
	tr := res.Trace
	at := hourly(tr)
	worst, volts := 0.0, 0
	charge := refdata.Check{
		Model: refdata.Legs, Quantity: "state of charge at every hour",
		Source: "an independent calculation in 30 s steps", Status: refdata.Calculated, Tolerance: 100 * tolCharge, Unit: "points",
	}.Begin(t)
	there := refdata.Check{
		Model: refdata.Legs, Quantity: "place at every hour",
		Source: "an independent calculation in 30 s steps", Status: refdata.Calculated, Tolerance: tolPlace, Unit: "°",
	}.Begin(t)
	speed := refdata.Check{
		Model: refdata.Legs, Quantity: "speed, slowed by the generator",
		Source: "an independent calculation in 30 s steps", Status: refdata.Calculated, Tolerance: tolSpeed, Unit: "kn",
	}.Begin(t)
	var watts *refdata.Checked
	if len(res.Sources) > 2 {
		watts = refdata.Check{
			Model: refdata.Legs, Quantity: "power of the generator",
			Source: "an independent calculation in 30 s steps", Status: refdata.Calculated, Tolerance: tolHydro, Unit: "W",
		}.Begin(t)
	}
	bus := refdata.Check{
		Model: refdata.Legs, Quantity: "bus voltage, away from switchings",
		Source: "an independent calculation in 30 s steps", Status: refdata.Calculated, Tolerance: tolVolts, Unit: "V",
	}.Begin(t)
	for n, row := range rows {
		i, ok := at[row.Time("utc")]
		require.True(t, ok, "%s: no step begins at %s", row.Where(), row.Text("utc"))
		d := math.Abs(float64(tr.Charge[i]) - row.Float("soc"))
		worst = math.Max(worst, d)
		charge.Within(100*float64(tr.Charge[i]), 100*row.Float("soc"), row.Where())
		there.Within(float64(tr.Lat[i]), row.Float("lat_deg"), row.Where())
		there.Within(float64(tr.Lon[i]), row.Float("lon_deg"), row.Where())
		require.Equal(t, int(row.Float("ship_zone_h")), int(tr.Zone[i]), "zone, %s", row.Where())
		if n < len(rows)-1 {
			speed.Within(float64(tr.Speed[i]), row.Float("speed_kn"), row.Where())
		}
		if watts != nil && n < len(rows)-1 {
			watts.Within(float64(tr.Sources[2][i]), row.Float("hydro_w"), row.Where())
		}
		if calm(tr, i) {
			volts++
			bus.Within(float64(tr.Bus[i-1]+tr.Bus[i])/2, row.Float("terminal_v"), row.Where())
		}
	}
	require.Greater(t, volts, len(rows)/2, "hours far enough from a change to compare the voltage")
	t.Logf("worst SoC difference at whole hours: %.3f points over %d hours; voltage compared at %d", 100*worst, len(rows), volts)
}

// calm reports whether nothing is switched and no cloud block, stretch or change
// between charging and discharging lies within a step of step i. The reference
// gives the voltage of the instant, the trace that of the steps before and after.
func calm(tr *sim.Trace, i int) bool {
	if i == 0 || i+2 >= len(tr.Time) {
		return false
	}
	for k := i - 1; k <= i+1; k++ {
		if tr.Cloud[k] != tr.Cloud[i] || tr.Plan[k] != tr.Plan[i] || (tr.Battery[k] > 0) != (tr.Battery[i] > 0) {
			return false
		}
		for _, w := range tr.Loads {
			if math.Abs(float64(w[k]-w[i])) > 0.2 {
				return false
			}
		}
	}
	return true
}

func compareDays(t *testing.T, id string, res *sim.Result) {
	days := map[string]*sim.Day{}
	for i := range res.Days {
		days[res.Days[i].Date.Format("2006-01-02")] = &res.Days[i]
	}
	worst := 0.0
	solar := refdata.Check{
		Model: refdata.Legs, Quantity: "solar energy of a day (of it, or of 50 Wh)",
		Source: "an independent calculation in 30 s steps", Status: refdata.Calculated, Tolerance: 100 * tolSolarDay, Unit: "%",
	}.Begin(t)
	for _, row := range refdata.Read(t, "leg/"+id+"_daily.csv") {
		d := days[row.Text("utc_date")]
		require.NotNil(t, d, row.Where())
		if id == "leg_a_flat" && math.Abs(float64(d.Hours)-row.Float("hours")) > 0.001 {
			continue // the reference ends where the bank runs flat; ours sails on
		}
		got := float64(d.Sources[0].Energy + d.Sources[1].Energy)
		want := row.Float("in_rail_wh") + row.Float("in_aft_wh")
		diff := math.Abs(got-want) / math.Max(want, 50)
		worst = math.Max(worst, diff)
		solar.Within(100*diff, 0, row.Text("utc_date"))
		for i, l := range res.Loads {
			want := row.Float("out_" + l.Name + "_wh")
			tol := 0.005 // constant-current loads: needs V
			if want < 1 {
				tol = 0.01
			}
			require.InDelta(t, want, float64(d.Loads[i].Energy), tol*math.Max(want, 1), "%s Wh on %s", l.Name, row.Text("utc_date"))
		}
	}
	t.Logf("worst daily solar difference: %.3f %%", 100*worst)
}

func compareTotals(t *testing.T, id string, res *sim.Result) {
	want := map[string]float64{}
	var flat time.Time
	for _, row := range refdata.Read(t, "leg/"+id+"_totals.csv") {
		switch row.Text("item") {
		case "flat_utc":
			if row.Has("value") {
				flat = row.Time("value")
			}
		case "duration", "distance", "spilled_wh", "used_wh", "soc_min", "soc_end", "spilled_ah", "self_discharge_ah", "charge_inefficiency_ah":
			want[row.Text("item")] = row.Float("value")
		}
	}
	if !flat.IsZero() {
		m := firstFlat(res)
		require.NotNil(t, m, "runs flat")
		t.Logf("flat at %s, want %s", m.At.Time.Format(time.RFC3339), flat.Format(time.RFC3339))
		refdata.Check{
			Model: refdata.Legs, Quantity: "moment of running flat",
			Source: "an independent calculation in 30 s steps", Status: refdata.Calculated, Tolerance: 15, Unit: "min",
		}.Begin(t).Within(m.At.Time.Sub(flat).Minutes(), 0)
		return
	}
	require.Nil(t, firstFlat(res))
	require.InDelta(t, want["distance"], float64(res.Sailed), 0.01)
	require.InDelta(t, want["soc_min"], float64(res.Lowest.Charge), tolCharge)
	require.InDelta(t, want["soc_end"], float64(res.Last), tolCharge)
	refdata.Check{
		Model: refdata.Legs, Quantity: "energy spilled",
		Source: "an independent calculation in 30 s steps", Status: refdata.Calculated, Tolerance: 100 * tolSpilled, Unit: "%",
	}.Begin(t).Ratio(float64(res.Books.Spilled), want["spilled_wh"])
	require.InEpsilon(t, want["spilled_ah"], float64(res.Books.SpilledCharge), tolSpilled)
	refdata.Check{
		Model: refdata.Legs, Quantity: "energy used",
		Source: "an independent calculation in 30 s steps", Status: refdata.Calculated, Tolerance: 0.2, Unit: "%",
	}.Begin(t).Ratio(float64(res.Books.Used), want["used_wh"])
	require.InEpsilon(t, want["self_discharge_ah"], float64(res.Books.SelfDischarge), 0.005)
	require.InEpsilon(t, want["charge_inefficiency_ah"], float64(res.Books.Taken-res.Books.Charged), 0.01)
	t.Logf("lowest SoC %.5f, want %.5f; spilled %.1f Wh, want %.1f", res.Lowest.Charge, want["soc_min"], float64(res.Books.Spilled), want["spilled_wh"])
}

func firstFlat(res *sim.Result) *sim.Miss {
	for i := range res.Misses {
		if res.Misses[i].Cause == sim.Flat {
			return &res.Misses[i]
		}
	}
	return nil
}

// closes asserts both ledgers to 1 part in 10⁹.
func closes(t tester, res *sim.Result) {
	t.Helper()
	k := &res.Books
	require.LessOrEqual(t, math.Abs(float64(k.BusGap())), 1e-9*math.Max(1, float64(k.Made+k.BankOut)), "bus ledger: %+v", *k)
	require.LessOrEqual(t, math.Abs(float64(k.BankGap())), 1e-9*math.Max(1, float64(k.Charged+k.Drawn)), "bank ledger: %+v", *k)
	var byDay units.WattHours
	for _, d := range res.Days {
		for _, s := range d.Sources {
			byDay += s.Energy + s.Lost
		}
	}
	require.InDelta(t, float64(k.Made), float64(byDay), 1e-6*math.Max(1, float64(k.Made)), "the days add up")
}
