package sources_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/units"
	"ampwake/sources"
)

func lift(t testing.TB, l sources.Lifting) *sources.LiftRule {
	t.Helper()
	r, err := sources.NewLiftRule(l)
	require.NoError(t, err)
	return r
}

func TestLifting(t *testing.T) {
	l := sources.DefaultLifting()
	l.Gap, l.WindGap = 0.5, 5
	r := lift(t, l)
	tests := []struct {
		state sim.State
		plan  units.Knots
		wind  units.Knots
		inUse bool
		want  bool
		why   string
	}{
		{sim.UnderSail, 5, 15, true, true, "fast enough"},
		{sim.UnderSail, 5, 15, false, true, "fast enough"},
		{sim.UnderSail, 2.5, 15, true, true, "fast enough"}, // the limit itself is not under it
		{sim.UnderSail, 2.49, 15, true, false, "too slow"},
		{sim.UnderSail, 2.9, 15, false, false, "too slow"},
		{sim.UnderSail, 3, 15, false, true, "fast enough"},
		{sim.UnderSail, 10, 15, true, true, "fast enough"},
		{sim.UnderSail, 10.1, 15, true, false, "too fast"},
		{sim.UnderSail, 9.6, 15, false, false, "too fast"},
		{sim.UnderSail, 9.5, 15, false, true, "fast enough"},
		{sim.UnderSail, 5, 35.1, true, false, "too much wind"},
		{sim.UnderSail, 5, 31, false, false, "too much wind"},
		{sim.UnderSail, 5, 30, false, true, "fast enough"},
		{sim.HoveTo, 3, 30, true, true, "fast enough"},
		{sim.AtAnchor, 5, 15, true, false, "not sailing"},
		{sim.Alongside, 5, 15, true, false, "not sailing"},
		{sim.Motoring, 5, 15, true, false, "not sailing"},
	}
	for _, tt := range tests {
		c := &sim.Conditions{State: tt.state, Plan: tt.plan, Weather: climate.Sample{WindSpeed: tt.wind}}
		use, why := r.Decide(c, tt.inUse, 1)
		assert.Equal(t, tt.want, use, "%+v", tt)
		assert.Equal(t, tt.why, why, "%+v", tt)
	}
	use, _ := lift(t, sources.Lifting{}).Decide(&sim.Conditions{State: sim.AtAnchor}, false, 0)
	assert.True(t, use, "no limits, never lifted")
}

func TestLiftingByThePlanNotTheSlowedSpeed(t *testing.T) {
	r := lift(t, sources.DefaultLifting())
	use, _ := r.Decide(&sim.Conditions{Plan: 2.6, Speed: 2.2}, true, 1)
	assert.True(t, use)
}

func TestLiftingRefused(t *testing.T) {
	for _, l := range []sources.Lifting{
		{Below: -1},
		{Gap: units.Knots(math.NaN())},
		{Below: 5, Above: 4},
		{Below: 5, Above: 5},
		{Below: 3, Above: 4, Gap: 0.5},
		{Above: 4, Gap: 4},
		{Wind: 30, WindGap: 30},
	} {
		_, err := sources.NewLiftRule(l)
		assert.Error(t, err, "%+v", l)
	}
	_, err := sources.NewLiftRule(sources.Lifting{Below: 3, Above: 4, Gap: 0.5})
	assert.EqualError(t, err, "lifting: the generator would never go down again: "+
		"the upper speed less the hysteresis must lie above the lower speed plus the hysteresis")
}

// changes drives a rule with a value that wanders and counts how often it
// changes its mind.
func changes(r sim.Rule, c *sim.Conditions, set func(x float64), xs []float64) int {
	n, inUse, since := 0, false, 0.0
	for i, x := range xs {
		set(x)
		use, _ := r.Decide(c, inUse, units.Hours(since))
		since += 1.0 / 6
		if use != inUse {
			if i > 0 {
				n++
			}
			inUse, since = use, 1.0/6
		}
	}
	return n
}

func TestRulesNeverChatter(t *testing.T) {
	// A value that shakes within less than the hysteresis about any level makes
	// a rule change its mind at most once.
	rapid.Check(t, func(t *rapid.T) {
		gap := rapid.Float64Range(0.01, 1).Draw(t, "gap")
		level := rapid.Float64Range(0, 12).Draw(t, "level")
		shake := rapid.SliceOfN(rapid.Float64Range(-0.499, 0.499), 2, 60).Draw(t, "shake")
		xs := make([]float64, len(shake))
		for i := range xs {
			xs[i] = level + gap*shake[i]
		}
		lr, err := sources.NewLiftRule(sources.Lifting{Below: 2.5, Above: 10, Gap: units.Knots(gap)})
		if err != nil {
			t.Fatal(err)
		}
		c := &sim.Conditions{Fuel: 10}
		if n := changes(lr, c, func(x float64) { c.Plan = units.Knots(x) }, xs); n > 1 {
			t.Fatalf("lifting changed its mind %d times", n)
		}
		cr, err := sources.NewChargeRule(sources.Charging{Below: 0.5, Above: units.Fraction(0.5 + gap/12*0.9)})
		if err != nil {
			t.Fatal(err)
		}
		if n := changes(cr, c, func(x float64) { c.Charge = units.Fraction(0.5 + (x-level)/12*0.9) }, xs); n > 1 {
			t.Fatalf("charging changed its mind %d times", n)
		}
	})
}

const hour = 3600

func TestCharging(t *testing.T) {
	r, err := sources.NewChargeRule(sources.Charging{
		Daily: []sources.Window{{From: 8 * hour, To: 9 * hour}},
		Below: 0.5, Above: 0.8, Least: 0.5,
		Quiet: []sources.Window{{From: 22 * hour, To: 6 * hour}},
	})
	require.NoError(t, err)
	tests := []struct {
		what   string
		clock  int
		charge units.Fraction
		state  sim.State
		fuel   units.Litres
		inUse  bool
		since  units.Hours
		want   bool
		why    string
	}{
		{"demand", 12 * hour, 0.49, sim.UnderSail, 10, false, 9, true, "low charge"},
		{"not yet", 12 * hour, 0.50, sim.UnderSail, 10, false, 9, false, "no longer needed"},
		{"hysteresis", 12 * hour, 0.79, sim.UnderSail, 10, true, 3, true, "not yet charged"},
		{"done", 12 * hour, 0.80, sim.UnderSail, 10, true, 3, false, "charged"},
		{"shortest run", 12 * hour, 0.90, sim.UnderSail, 10, true, 0.4, true, "shortest run"},
		{"shortest run over", 12 * hour, 0.90, sim.UnderSail, 10, true, 0.5, false, "charged"},
		{"no fuel", 12 * hour, 0.10, sim.UnderSail, 0, true, 0.1, false, "no fuel left"},
		{"no fuel, motoring", 12 * hour, 0.10, sim.Motoring, 0, true, 0.1, false, "no fuel left"},
		{"quiet", 23 * hour, 0.10, sim.UnderSail, 10, true, 0.1, false, "quiet hours"},
		{"quiet after midnight", 5*hour + 3599, 0.10, sim.UnderSail, 10, false, 9, false, "quiet hours"},
		{"quiet over", 6 * hour, 0.10, sim.UnderSail, 10, false, 9, true, "low charge"},
		{"motoring in quiet hours", 23 * hour, 0.99, sim.Motoring, 10, false, 9, true, "motoring"},
		{"daily", 8 * hour, 0.95, sim.UnderSail, 10, false, 9, true, "daily charging hours"},
		{"daily over", 9 * hour, 0.95, sim.UnderSail, 10, true, 1, false, "charged"},
	}
	for _, tt := range tests {
		c := &sim.Conditions{State: tt.state, Charge: tt.charge, Fuel: tt.fuel, Clock: sim.Clock{Ship: tt.clock}}
		use, why := r.Decide(c, tt.inUse, tt.since)
		assert.Equal(t, tt.want, use, tt.what)
		assert.Equal(t, tt.why, why, tt.what)
	}
}

func TestChargingOnlyByMotoring(t *testing.T) {
	r, err := sources.NewChargeRule(sources.Charging{})
	require.NoError(t, err)
	use, _ := r.Decide(&sim.Conditions{Fuel: 1, Charge: 0.01}, false, 1)
	assert.False(t, use)
	use, _ = r.Decide(&sim.Conditions{Fuel: 1, Charge: 0.01, State: sim.Motoring}, false, 1)
	assert.True(t, use)
	assert.True(t, r.Edge(time.Unix(0, 0), 0).IsZero())
}

func TestChargingRefused(t *testing.T) {
	tests := []struct {
		charging sources.Charging
		message  string
	}{
		{sources.Charging{Below: 0.5}, "charging: want a charge to start below and a higher one, up to 100 %, to stop at"},
		{sources.Charging{Below: 0.5, Above: 0.5}, "charging: want a charge to start below and a higher one, up to 100 %, to stop at"},
		{sources.Charging{Below: 0.5, Above: 1.1}, "charging: want a charge to start below and a higher one, up to 100 %, to stop at"},
		{sources.Charging{Least: -1}, "charging: the shortest run must not be negative"},
		{sources.Charging{Daily: []sources.Window{{100, 100}}}, "charging: hours from 100 s to 100 s are no part of a day"},
		{sources.Charging{Quiet: []sources.Window{{86400, 3600}}}, "charging: hours from 86400 s to 3600 s are no part of a day"},
	}
	for _, tt := range tests {
		_, err := sources.NewChargeRule(tt.charging)
		assert.EqualError(t, err, tt.message)
	}
}

func TestChargingEdges(t *testing.T) {
	r, err := sources.NewChargeRule(sources.Charging{
		Daily: []sources.Window{{From: 8 * hour, To: 9 * hour}},
		Quiet: []sources.Window{{From: 22 * hour, To: 24 * hour}},
	})
	require.NoError(t, err)
	at := func(s string) time.Time {
		x, err := time.Parse(time.RFC3339Nano, s)
		require.NoError(t, err)
		return x
	}
	for _, tt := range []struct {
		from string
		zone int
		want string
	}{
		{"2027-01-05T00:00:00Z", 0, "2027-01-05T08:00:00Z"},
		{"2027-01-05T07:59:59.5Z", 0, "2027-01-05T08:00:00Z"},
		{"2027-01-05T08:00:00Z", 0, "2027-01-05T09:00:00Z"}, // strictly after
		{"2027-01-05T08:00:00.5Z", 0, "2027-01-05T09:00:00Z"},
		{"2027-01-05T09:30:00Z", 0, "2027-01-05T22:00:00Z"},
		{"2027-01-05T22:30:00Z", 0, "2027-01-06T00:00:00Z"}, // 24:00 is midnight
		{"2027-01-05T00:00:00Z", -2, "2027-01-05T02:00:00Z"},
		{"2027-01-05T00:00:00Z", 10, "2027-01-05T12:00:00Z"},
		{"1969-12-31T12:00:00Z", 0, "1969-12-31T22:00:00Z"},
	} {
		assert.Equal(t, at(tt.want), r.Edge(at(tt.from), tt.zone), "%+v", tt)
	}
}

func TestDecisionChangesOnlyAtAnEdge(t *testing.T) {
	// With charge and state at rest, two instants without an edge between them
	// get the same decision.
	rapid.Check(t, func(t *rapid.T) {
		window := func(what string) sources.Window {
			from := rapid.IntRange(0, 86399).Draw(t, what+" from")
			return sources.Window{From: from, To: (from+rapid.IntRange(0, 86398).Draw(t, what+" length"))%86400 + 1}
		}
		d, q := window("daily"), window("quiet")
		if d.From == d.To || q.From == q.To {
			t.Skip("no part of a day")
		}
		r, err := sources.NewChargeRule(sources.Charging{Daily: []sources.Window{d}, Quiet: []sources.Window{q}})
		if err != nil {
			t.Fatal(err)
		}
		zone := rapid.IntRange(-12, 12).Draw(t, "zone")
		decide := func(at int64) bool {
			use, _ := r.Decide(&sim.Conditions{Fuel: 1, Clock: sim.Clock{Ship: int((at + int64(zone)*3600 + 86400) % 86400)}}, false, 9)
			return use
		}
		start := rapid.Int64Range(1_800_000_000, 1_800_100_000).Draw(t, "start")
		edge := r.Edge(time.Unix(start, 0), zone).Unix()
		if edge <= start || edge > start+86400 {
			t.Fatalf("edge %d s after the start", edge-start)
		}
		between := rapid.Int64Range(start, edge-1).Draw(t, "between")
		if decide(start) != decide(between) {
			t.Fatalf("changed between %d and %d, edge at %d", start, between, edge)
		}
	})
}

func BenchmarkLiftDecide(b *testing.B) {
	r := lift(b, sources.DefaultLifting())
	c := &sim.Conditions{Plan: 5.5, Weather: climate.Sample{WindSpeed: 15}}
	b.ReportAllocs()
	for b.Loop() {
		r.Decide(c, true, 3)
	}
}

func BenchmarkChargeDecide(b *testing.B) {
	r, err := sources.NewChargeRule(sources.Charging{
		Daily: []sources.Window{{From: 8 * hour, To: 9 * hour}}, Below: 0.5, Above: 0.8,
		Quiet: []sources.Window{{From: 22 * hour, To: 6 * hour}},
	})
	require.NoError(b, err)
	c := &sim.Conditions{Fuel: 10, Charge: 0.7, Clock: sim.Clock{Ship: 50000}}
	b.ReportAllocs()
	for b.Loop() {
		r.Decide(c, false, 3)
	}
}
