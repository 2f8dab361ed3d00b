package bank

import (
	"testing"

	"ampwake/sim/units"
)

// benchStep runs one kind of step from the same charge, over and over.
func benchStep(b *testing.B, in Node, soc units.Fraction, drift units.Celsius) {
	m, err := New(Default(AGM, 230))
	if err != nil {
		b.Fatal(err)
	}
	start := m.Start(soc, 24)
	s := start
	b.ReportAllocs()
	for b.Loop() {
		s.q1, s.q2, s.stage = start.q1, start.q2, Bulk
		in.Temp += drift
		drift = -drift
		m.Step(&s, in)
	}
}

func BenchmarkStep(b *testing.B) {
	const dt = 1.0 / 6
	night := Node{Power: 12, Current: 1.8, Temp: 24, Length: dt}
	day := Node{Supply: 110, Power: 12, Current: 1.8, Temp: 24, Length: dt}
	b.Run("discharge", func(b *testing.B) { benchStep(b, night, 0.7, 0) })
	b.Run("charge", func(b *testing.B) { benchStep(b, day, 0.7, 0) })
	b.Run("charge at the limit", func(b *testing.B) { benchStep(b, day, 0.955, 0) })
	b.Run("discharge, temperature moving", func(b *testing.B) { benchStep(b, night, 0.7, 0.01) })
	b.Run("charge, temperature moving", func(b *testing.B) { benchStep(b, day, 0.7, 0.01) })
}

func BenchmarkLook(b *testing.B) {
	m, _ := New(Default(AGM, 230))
	s := m.Start(0.5, 24)
	in := Node{Power: 12, Current: 26.8, Temp: 24}
	b.ReportAllocs()
	for b.Loop() {
		m.Look(&s, in)
	}
}
