package sources_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim"
	"ampwake/sim/hull"
	"ampwake/sim/units"
	"ampwake/sources"
	"ampwake/testdata/refdata"
)

func points(speeds []units.Knots, amps []units.Amps) []sources.CurvePoint {
	ps := make([]sources.CurvePoint, len(speeds))
	for i := range ps {
		ps[i] = sources.CurvePoint{Speed: speeds[i], Current: amps[i]}
	}
	return ps
}

// The generators of the two reference legs.
func legCurve(leg string) sources.Curve {
	if leg == "a" {
		return sources.Curve{
			Name: "leg a", Volts: 14, CutIn: 3, Limit: 280,
			Points: points([]units.Knots{3, 4, 5, 6, 7, 8}, []units.Amps{0.8, 1.8, 3.5, 6.1, 9.7, 14.5}),
		}
	}
	return sources.Curve{
		Name: "leg b", Volts: 14, CutIn: 3, Limit: 280,
		Rotor: hull.Rotor{Diameter: 0.28, CT: 0.8, Density: 1025},
		Points: points([]units.Knots{3, 3.5, 4, 4.5, 5, 5.5, 6, 6.5, 7},
			[]units.Amps{2.32, 3.68, 5.5, 7.83, 10.74, 14.3, 18.56, 20, 20}),
	}
}

func TestReferenceLegs(t *testing.T) {
	watts := refdata.Check{
		Model: refdata.Legs, Quantity: "power of the generator",
		Source: "an independent calculation in 30 s steps", Status: refdata.Calculated, Tolerance: 0.1, Unit: "W",
	}.Begin(t)
	// Both legs lift under 2.5 kn planned. Tolerance 0.1 W, as the reference
	// states. Its speed is printed with 5 decimals.
	rule, err := sources.NewLiftRule(sources.Lifting{Below: 2.5})
	require.NoError(t, err)
	for _, leg := range []string{"a", "b"} {
		h, err := sources.NewCurve(legCurve(leg))
		require.NoError(t, err)
		inUse, lifted, made := false, 0, 0
		for _, row := range refdata.Read(t, "leg/leg_"+leg+"_trace.csv") {
			c := &sim.Conditions{Plan: units.Knots(row.Float("speed_plan_kn")), Bus: units.Volts(row.Float("terminal_v"))}
			inUse, _ = rule.Decide(c, inUse, 1)
			c.Speed = units.Knots(row.Float("speed_kn"))
			got := 0.0
			if inUse {
				got = float64(h.Offer(c).Power)
			} else {
				lifted++
				assert.Equal(t, c.Plan, c.Speed, "%s: lifted, but the reference is slowed", row.Where())
			}
			if got > 0 {
				made++
			}
			watts.Within(got, row.Float("hydro_w"), row.Where())
		}
		assert.Positive(t, lifted)
		assert.Positive(t, made)
	}
}

func TestReferenceLegSlowed(t *testing.T) {
	// The resistance of leg B, times 1.5 for waves and heel. Tolerances as the
	// reference states: 0.005 kn, 0.1 W.
	newtons := []units.Newtons{
		75, 93.4, 114.3, 138, 163.9, 193.3, 226.4, 264.4, 307.3, 355.5, 409.9, 473.2, 543.3,
		620.5, 722.6, 850.7, 1033.8, 1266.3, 1581.7, 1973.6, 2447.8, 3010.9,
	}
	var points []hull.Point
	for i, n := range newtons {
		points = append(points, hull.Point{Speed: 2.5 + 0.25*units.Knots(i), Force: n})
	}
	resistance, err := hull.NewResistance(points)
	require.NoError(t, err)
	resistance = resistance.Times(1.5)
	h, err := sources.NewCurve(legCurve("b"))
	require.NoError(t, err)
	slowed := 0
	for _, row := range refdata.Read(t, "leg/leg_b_trace.csv") {
		plan := units.Knots(row.Float("speed_plan_kn"))
		if plan < 2.5 {
			continue
		}
		slowed++
		v := resistance.Slowed(plan, h.Drag)
		assert.InDelta(t, row.Float("speed_kn"), float64(v), 0.005, row.Where())
		assert.InDelta(t, row.Float("hydro_w"), float64(h.Offer(under(v, 13)).Power), 0.1, row.Where())
	}
	assert.Positive(t, slowed)
}

func TestCurveShape(t *testing.T) {
	h, err := sources.NewCurve(sources.Curve{
		Name: "curve", Limit: 100,
		Points: points([]units.Knots{3, 5, 6, 8}, []units.Amps{1, 5, 9, 6}),
	})
	require.NoError(t, err)
	for _, tt := range []struct {
		speed units.Knots
		want  units.Watts
	}{
		{-2, 0}, {0, 0}, {2.999, 0}, {3, 14}, {4, 42}, {5, 70}, {5.5, 98}, {6, 100}, {7.9, 86.1}, {8, 84}, {20, 84},
	} {
		assert.InDelta(t, float64(tt.want), float64(h.Offer(under(tt.speed, 12)).Power), 1e-9, "Offer(%v)", tt.speed)
	}
	assert.Zero(t, h.Drag(6), "no rotor is given")

	// The same in watts, and by a limit in amperes at the stated voltage.
	same, err := sources.NewCurve(sources.Curve{
		Name: "curve", LimitAmps: 5, Volts: 20, CutIn: 4,
		Points: []sources.CurvePoint{{Speed: 3, Power: 14}, {Speed: 5, Power: 70}, {Speed: 6, Power: 126}, {Speed: 8, Power: 84}},
	})
	require.NoError(t, err)
	for v := units.Knots(4); v < 10; v += 0.1 {
		assert.InDelta(t, float64(h.Offer(under(v, 12)).Power), float64(same.Offer(under(v, 12)).Power), 1e-9, "Offer(%v)", v)
	}
	assert.Zero(t, same.Offer(under(3.9, 12)).Power, "under the cut-in")
}

func TestCurveRefused(t *testing.T) {
	tests := []struct {
		change  func(c *sources.Curve)
		message string
	}{
		{func(c *sources.Curve) { c.Points = nil }, "leg b: a curve needs at least one point"},
		{func(c *sources.Curve) { c.Points[3].Power = 3 }, "leg b: point 4 of the curve has a current and a power, want one"},
		{func(c *sources.Curve) { c.Points[1].Speed = 3 }, "leg b: point 2 of the curve must lie beyond point 1"},
		{func(c *sources.Curve) { c.Points[1].Current = -1 }, "leg b: point 2 of the curve must not be negative"},
		{func(c *sources.Curve) { c.Volts = -14 }, "leg b: point 1 of the curve must not be negative"},
		{func(c *sources.Curve) { c.CutIn = -1 }, "leg b: the cut-in speed must not be negative"},
		{func(c *sources.Curve) { c.LimitAmps = -1 }, "leg b: a limit must not be negative"},
		{func(c *sources.Curve) { c.Fouling = -1 }, "leg b: the fouling must lie between 0 and 100 %"},
		{func(c *sources.Curve) { c.Rotor.Diameter = -1 }, "leg b, by its curve: rotor diameter -1 m is not a length above 0 m"},
	}
	for _, tt := range tests {
		spec := legCurve("b")
		tt.change(&spec)
		_, err := sources.NewCurve(spec)
		assert.EqualError(t, err, tt.message)
	}
	// 0.28 is CP times the efficiency of that generator; the least CT for it lies
	// between those of 0.25 and 0.30, 0.270 and 0.330 (reference, least drag).
	spec := legCurve("b")
	spec.Rotor.CT = 0.26
	_, err := sources.NewCurve(spec)
	assert.ErrorContains(t, err, "leg b, by its curve: thrust coefficient 0.26")
	spec.Rotor.CT = 0.33
	_, err = sources.NewCurve(spec)
	assert.NoError(t, err)
	// What the limit cuts off is not taken from the water.
	spec.Points[8].Current = 200
	_, err = sources.NewCurve(spec)
	assert.NoError(t, err)
	spec.Limit = 0
	_, err = sources.NewCurve(spec)
	assert.ErrorContains(t, err, "Betz")
	// A third of the disc: more than the limit of Betz.
	spec = legCurve("b")
	spec.Rotor.Diameter = 0.16
	_, err = sources.NewCurve(spec)
	assert.ErrorContains(t, err, "Betz")
}

func TestCurveProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "points")
		spec := sources.Curve{Name: "curve", Limit: units.Watts(rapid.Float64Range(0, 300).Draw(t, "limit"))}
		var v units.Knots
		var a units.Amps
		for range n {
			v += units.Knots(rapid.Float64Range(0.1, 2).Draw(t, "further"))
			a += units.Amps(rapid.Float64Range(0, 5).Draw(t, "more"))
			spec.Points = append(spec.Points, sources.CurvePoint{Speed: v, Current: a})
		}
		h, err := sources.NewCurve(spec)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range spec.Points { // through every point
			want := float64(p.Current) * 14
			if spec.Limit > 0 {
				want = min(want, float64(spec.Limit))
			}
			if got := float64(h.Offer(under(p.Speed, 12)).Power); got < want-1e-9 || got > want+1e-9 {
				t.Fatalf("Offer(%v) = %v, want %v", p.Speed, got, want)
			}
		}
		slow := units.Knots(rapid.Float64Range(0, 20).Draw(t, "slow"))
		fast := slow + units.Knots(rapid.Float64Range(0, 5).Draw(t, "faster by"))
		// A hair of rounding is allowed where two pieces of the curve meet.
		if low, high := h.Offer(under(slow, 12)).Power, h.Offer(under(fast, 12)).Power; low < 0 || high < low-1e-9 {
			t.Fatalf("Offer(%v) = %v, Offer(%v) = %v", slow, low, fast, high)
		}
	})
}

func BenchmarkCurveOffer(b *testing.B) {
	h, err := sources.NewCurve(legCurve("b"))
	require.NoError(b, err)
	c := under(5.87, 13)
	b.ReportAllocs()
	for b.Loop() {
		h.Offer(c)
	}
}
