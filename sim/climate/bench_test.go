package climate

import (
	"testing"
	"time"

	"ampwake/sim/units"
)

// passage asks a weather every ten minutes, sailing 5 kn south-west.
func passage(b *testing.B, make func() Weather) {
	b.ReportAllocs()
	w := make()
	t, lat, lon := start, 40.0, -20.0
	for b.Loop() {
		w.At(t, place(lat, lon))
		t, lat, lon = t.Add(10*time.Minute), lat-0.01, lon-0.012
		if lat < 5 {
			b.StopTimer()
			lat, lon = 40, -20
			b.StartTimer()
		}
	}
}

func BenchmarkMean(b *testing.B) { passage(b, func() Weather { return NewMean(Ocean()) }) }
func BenchmarkSynthetic(b *testing.B) {
	passage(b, func() Weather { return NewSynthetic(Ocean(), 1, 0) })
}

func BenchmarkDated(b *testing.B) {
	var t Timetable
	t.Cloud.Steps = true
	for i := range 80 {
		t.Cloud.Knots = append(t.Cloud.Knots, Knot[units.Fraction]{hours(6 * float64(i)), 0.5})
		t.Air.Knots = append(t.Air.Knots, Knot[units.Celsius]{hours(6 * float64(i)), 20})
		t.Sea.Knots = append(t.Sea.Knots, Knot[units.Celsius]{hours(6 * float64(i)), 20})
	}
	passage(b, func() Weather {
		d, err := NewDated(t, Fixed{})
		if err != nil {
			b.Fatal(err)
		}
		return d
	})
}

func BenchmarkOverlay(b *testing.B) {
	passage(b, func() Weather {
		s := Calm(168)
		s.When = SouthOf(20)
		o, err := NewOverlay(NewSynthetic(Ocean(), 1, 0), s)
		if err != nil {
			b.Fatal(err)
		}
		return o
	})
}

func BenchmarkWalker(b *testing.B) {
	b.ReportAllocs()
	w := Ocean().Walk()
	t, lat := start, 40.0
	for b.Loop() {
		if _, err := w.At(t, place(lat, -25)); err != nil {
			b.Fatal(err)
		}
		if t, lat = t.Add(10*time.Minute), lat-0.01; lat < 0 {
			lat = 40
		}
	}
}

func BenchmarkTable(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Ocean().At(start, place(33, -25)); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNewSynthetic(b *testing.B) {
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		NewSynthetic(Ocean(), 1, i)
	}
}
