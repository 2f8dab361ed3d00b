package bank

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim/units"
)

// anyModel draws a bank of any kind, size, age and of most settings.
func anyModel(t *rapid.T) *Model {
	s := Default(rapid.SampledFrom(Chemistries()).Draw(t, "chemistry"), ah(rapid.Float64Range(20, 800).Draw(t, "rated")))
	s.Health = units.Fraction(rapid.Float64Range(0.5, 1).Draw(t, "health"))
	if rapid.Bool().Draw(t, "plain") {
		s = s.Plain()
	}
	s.Efficiency.Copetti = s.Chemistry.Lead() && rapid.Bool().Draw(t, "copetti")
	s.Trickle = rapid.SampledFrom([]float64{0, s.Trickle, 1}).Draw(t, "trickle")
	m, err := New(s)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// anyNode draws loads and sources, in and out of what a bank can carry.
func anyNode(t *rapid.T, rated float64) Node {
	return Node{
		Supply:  units.Watts(rapid.SampledFrom([]float64{0, 1, 1, 1}).Draw(t, "supplied") * rated * rapid.Float64Range(0, 8).Draw(t, "supply")),
		Power:   units.Watts(rapid.SampledFrom([]float64{0, 0.1, 1}).Draw(t, "powered") * rated * rapid.Float64Range(0, 4).Draw(t, "power")),
		Current: units.Amps(rapid.SampledFrom([]float64{0, 0.01, 0.3}).Draw(t, "loaded") * rated * rapid.Float64Range(0, 1).Draw(t, "current")),
		Temp:    units.Celsius(rapid.Float64Range(-5, 45).Draw(t, "temp")),
		Length:  units.Hours(rapid.SampledFrom([]float64{1.0 / 3600, 0.05, 1.0 / 6, 1, 6}).Draw(t, "length")),
	}
}

// Laws of every step: both ledgers close, charge stays within its bounds, the
// bus stays within the charger's voltage, a flat bank stays as it was.
func TestStepLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyModel(t)
		rated := float64(m.setup.Rated)
		s := m.Start(units.Fraction(rapid.Float64Range(0, 1).Draw(t, "soc")), 25)
		for n := range rapid.IntRange(1, 40).Draw(t, "steps") {
			in := anyNode(t, rated)
			before := s
			f := m.Step(&s, in)
			if f.Flat {
				if s.q1 != before.q1 || s.q2 != before.q2 || s.stage != before.stage || s.held != before.held ||
					s.under != before.under || s.top != before.top {
					t.Fatalf("step %d: flat, but the state moved", n)
				}
				if f.In != 0 || f.Out != 0 || f.Charged != 0 || f.Drawn != 0 || f.SelfDischarge != 0 {
					t.Fatalf("step %d: flat, but something flowed: %+v", n, f)
				}
				continue
			}
			dt := float64(in.Length)
			supply := float64(in.Supply) * dt
			loads := (float64(in.Power) + float64(f.Volts)*float64(in.Current)) * dt
			off := supply - loads - float64(f.Spilled)*dt - float64(f.In-f.Out)
			if scale := supply + loads + float64(f.In+f.Out); math.Abs(off) > 1e-9*scale {
				t.Fatalf("step %d: bus off by %g of %g Wh: %+v", n, off, scale, f)
			}
			moved := s.q1 + s.q2 - before.q1 - before.q2
			if off := float64(f.Charged-f.Drawn-f.SelfDischarge) - moved; math.Abs(off) > 2e-12*rated {
				t.Fatalf("step %d: charge off by %g Ah: %+v", n, off, f)
			}
			if c := m.Charge(&s, in.Temp); !(s.q1 >= 0) || !(s.q2 >= -1e-12*rated) || !(c >= 0 && c <= 1) {
				t.Fatalf("step %d: charge out of bounds: %g, %g, %g", n, s.q1, s.q2, float64(c))
			}
			if qmax := float64(m.Capacity(in.Temp)); f.Charged > 0 && s.q1 > m.setup.Tanks.C*qmax*(1+1e-12) {
				t.Fatalf("step %d: overfilled the tank at hand: %g of %g", n, s.q1, m.setup.Tanks.C*qmax)
			}
			limit, float := m.Limits(in.Temp)
			if f.Stage == Floating {
				limit = float
			}
			if f.Current <= 0 && f.Volts > limit && f.Volts > m.setup.Discharge.Curve.Volts(1) {
				t.Fatalf("step %d: bus at %v above the charger's %v", n, f.Volts, limit)
			}
			if f.Spilled < 0 || f.In < 0 || f.Out < 0 || f.Charged < 0 || f.Drawn < 0 || f.SelfDischarge < 0 || !(f.Volts > 0) {
				t.Fatalf("step %d: below zero: %+v", n, f)
			}
			if eta := float64(f.Charged) / -float64(f.Current) / dt; f.In > 0 && (eta > 1+1e-9 || eta < 0) {
				t.Fatalf("step %d: efficiency %g", n, eta)
			}
			if f.In > 0 && f.Out > 0 {
				t.Fatalf("step %d: charges and discharges: %+v", n, f)
			}
		}
	})
}

// More supply never leaves less charge at the end of a step, and never turns a
// step that could be carried into a flat one.
func TestMoreSupplyNeverLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyModel(t)
		rated := float64(m.setup.Rated)
		start := m.Start(units.Fraction(rapid.Float64Range(0, 1).Draw(t, "soc")), 25)
		start.stage = rapid.SampledFrom([]Stage{Bulk, Absorbing, Floating}).Draw(t, "stage")
		if m.setup.Charger.Float == 0 {
			start.stage = Bulk
		}
		in := anyNode(t, rated)
		a := start
		f := m.Step(&a, in)
		more := in
		more.Supply += units.Watts(rated * rapid.Float64Range(0, 5).Draw(t, "more"))
		b := start
		g := m.Step(&b, more)
		if f.Flat {
			return
		}
		if g.Flat {
			t.Fatalf("flat with %v, not with %v", more.Supply, in.Supply)
		}
		// tol: the search ends within 1e-4 V of the curve.
		if lost := (a.q1 + a.q2) - (b.q1 + b.q2); lost > 2e-5*rated*float64(in.Length) {
			t.Fatalf("%v gives %g Ah less than %v: %+v %+v", more.Supply, lost, in.Supply, f, g)
		}
	})
}

// Two halves of a step of at most 10 min do what the whole does, to 0.2 points.
// Below 20 and above 90 % some curves are too steep for that.
func TestHalves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyModel(t)
		rated := float64(m.setup.Rated)
		start := m.Start(units.Fraction(rapid.Float64Range(0.2, 0.9).Draw(t, "soc")), 25)
		in := anyNode(t, rated)
		in.Length = min(in.Length, 1.0/6)
		in.Supply = min(in.Supply, units.Watts(4*rated)) // up to C/3
		a, b := start, start
		f := m.Step(&a, in)
		in.Length /= 2
		g := m.Step(&b, in)
		h := m.Step(&b, in)
		if f.Flat || g.Flat || h.Flat || g.Stage != h.Stage {
			return
		}
		if d := math.Abs(float64(m.Charge(&a, in.Temp) - m.Charge(&b, in.Temp))); d > 0.002 {
			t.Fatalf("state of charge differs by %.4f points: %+v; %+v, %+v", 100*d, f, g, h)
		}
	})
}

// Bisection finds the moment a bank runs flat: a flat step becomes possible when
// it is shortened, and the bank is then empty at hand or at its cut-off.
func TestFlatMoment(t *testing.T) {
	for _, c := range Chemistries() {
		for _, i := range []units.Amps{2, 20, 60} {
			m := model(t, Default(c, 100))
			s := m.Start(0.5, 15)
			in := Node{Current: i, Power: 3, Temp: 15, Length: 1.0 / 6}
			f := m.Step(&s, in)
			for ; !f.Flat; f = m.Step(&s, in) {
				require.Positive(t, s.q1)
			}
			lo, hi := 0.0, float64(in.Length)
			for range 60 {
				try := s
				in.Length = units.Hours((lo + hi) / 2)
				if m.Step(&try, in).Flat {
					hi = float64(in.Length)
				} else {
					lo = float64(in.Length)
				}
			}
			if lo > 0 {
				in.Length = units.Hours(lo)
				f = m.Step(&s, in)
				require.False(t, f.Flat)
			}
			l := m.Look(&s, in)
			assert.True(t, s.q1 < 1e-6 || float64(l.Volts) < float64(m.setup.CutOff)+0.2,
				"%v at %v: flat with %.3f Ah at hand and %v", c, i, s.q1, l.Volts)
		}
	}
}

// The bank cannot give more power than its voltage and resistance allow.
func TestTooMuchPower(t *testing.T) {
	m := model(t, Default(AGM, 10))
	s := m.Start(1, 25)
	f := m.Step(&s, Node{Power: 1e4, Temp: 25, Length: 0.001})
	assert.True(t, f.Flat)
	assert.True(t, m.Look(&s, Node{Power: 1e4, Temp: 25}).Flat)
	assert.True(t, m.Look(&s, Node{Current: 1e4, Temp: 25}).Flat)
}

// Under the cut-off the bank gives nothing; the supply may still carry the load.
func TestCutOff(t *testing.T) {
	set := Default(AGM, 100)
	set.CutOff, set.Reset = 11.8, 12.5
	m := model(t, set)
	s := m.Start(0.4, 25) // rests at 11.93 V
	in := Node{Current: 5, Temp: 25, Length: 0.1}
	assert.False(t, m.Step(&s, in).Flat)
	in.Current = 40
	f := m.Step(&s, in)
	assert.True(t, f.Flat && f.Low)
	assert.Less(t, f.Volts, set.CutOff)
	l := m.Look(&s, in)
	assert.True(t, l.Flat && l.Low)
	in.Supply = 450
	f = m.Step(&s, in)
	assert.False(t, f.Flat || f.Low)
}

// Between the curves no current flows and the bus is where supply and loads
// meet; nothing is spilled.
func TestBetweenCurves(t *testing.T) {
	m := model(t, legSetup(230))
	s := m.Start(0.8, 25) // 12.49 V down, 13.54 V up
	f := m.Step(&s, Node{Supply: 30 + 2*13, Power: 30, Current: 2, Temp: 25, Length: 1.0 / 6})
	assert.InDelta(t, 13, float64(f.Volts), 1e-12)
	assert.Zero(t, f.Current)
	assert.Zero(t, f.Spilled)
	f = m.Step(&s, Node{Temp: 25, Length: 1.0 / 6})
	assert.InDelta(t, 12.487, float64(f.Volts), 1e-3, "nothing on the bus: the bank at rest")
	assert.Zero(t, f.Current)
}

// Look is a step too short to move anything.
func TestLookIsShortStep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyModel(t)
		s := m.Start(units.Fraction(rapid.Float64Range(0.05, 0.95).Draw(t, "soc")), 25)
		in := anyNode(t, float64(m.setup.Rated))
		in.Length = 1e-7
		l := m.Look(&s, in)
		f := m.Step(&s, in)
		if l.Flat != f.Flat || math.Abs(float64(l.Volts-f.Volts)) > 1e-4 || math.Abs(float64(l.Current-f.Current)) > 1e-4*float64(m.setup.Rated) {
			t.Fatalf("look %+v, step %+v", l, f)
		}
	})
}

// A state may be carried on by another model, as when a cell fails.
func TestAnotherModel(t *testing.T) {
	five := Default(AGM, 100)
	five.Cells = 5
	six, lost := model(t, Default(AGM, 100)), model(t, five)
	in := Node{Current: 3, Temp: 20, Length: 1.0 / 6}
	a := six.Start(0.6, 20)
	b := a
	six.Step(&a, in)
	x := lost.Step(&a, in)
	six.Step(&b, in)
	q1, q2 := b.Tanks()
	c := lost.Hold(q1, q2)
	assert.Equal(t, lost.Step(&c, in), x)
}

func TestNoAllocation(t *testing.T) {
	m := model(t, Default(LFP, 100))
	s := m.Start(0.6, 20)
	in := Node{Supply: 300, Power: 10, Current: 3, Temp: 20, Length: 1.0 / 6}
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		in.Temp += 0.01
		m.Step(&s, in)
		m.Look(&s, in)
	}))
}

func TestPanics(t *testing.T) {
	m := model(t, Default(AGM, 100))
	for _, dt := range []units.Hours{0, -1, units.Hours(math.NaN()), units.Hours(math.Inf(1))} {
		s := m.Start(0.5, 20)
		assert.PanicsWithValue(t, "bank: step length must be above 0 and temperature finite", func() { m.Step(&s, Node{Temp: 20, Length: dt}) }, fmt.Sprint(dt))
	}
	assert.Panics(t, func() { m.Hold(-1, 3) })
	assert.Panics(t, func() { Default(99, 100) })
}
