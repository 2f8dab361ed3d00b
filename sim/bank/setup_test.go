package bank

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim/units"
)

func TestNewRefuses(t *testing.T) {
	for want, spoil := range map[string]func(*Setup){
		"rated capacity":         func(s *Setup) { s.Rated = 0 },
		"rated capacity must":    func(s *Setup) { s.Rated = units.AmpHours(math.NaN()) },
		"cells":                  func(s *Setup) { s.Cells = 0 },
		"health":                 func(s *Setup) { s.Health = 1.2 },
		"tanks":                  func(s *Setup) { s.Tanks.C = 1 },
		"capacity against":       func(s *Setup) { s.Capacity = Factor{} },
		"see entry 2":            func(s *Setup) { s.Capacity.Table = []Warm{{20, 1}, {10, 0.9}} },
		"discharge curve":        func(s *Setup) { s.Discharge.Curve.D = 0.9 },
		"charge curve: voltages": func(s *Setup) { s.Charge.Curve.Grid = []units.Volts{12, 13, 12.5} },
		"needs two":              func(s *Setup) { s.Charge.Curve.Grid = []units.Volts{12} },
		"charge resistance must": func(s *Setup) { s.Charge.Ohm = 0 },
		"acceptance":             func(s *Setup) { s.Acceptance = -1 },
		"largest":                func(s *Setup) { s.Largest = 0 },
		"efficiency":             func(s *Setup) { s.Efficiency.Full = 0.99 },
		"in the cold":            func(s *Setup) { s.Cold = Cold{Never: 0, Fully: 5} },
		"self-discharge":         func(s *Setup) { s.SelfDischarge = 1 },
		"reset":                  func(s *Setup) { s.Reset = 9 },
		"float <= absorption":    func(s *Setup) { s.Charger.Float = 15 },
		"compensation must":      func(s *Setup) { s.Charger.PerKelvin = 0.03 },
		"range of temperature":   func(s *Setup) { s.Charger.Coldest = 60 },
		"longest time":           func(s *Setup) { s.Charger.Longest = 0 },
		"chemistry 7":            func(s *Setup) { s.Chemistry = 7 },
	} {
		s := Default(AGM, 100)
		spoil(&s)
		_, err := New(s)
		assert.ErrorContains(t, err, want)
	}
	for _, c := range Chemistries() {
		for _, s := range []Setup{Default(c, 100), Default(c, 100).Plain(), Default(c, 100).Series(2)} {
			_, err := New(s)
			assert.NoError(t, err, c.String())
		}
	}
}

// Every kind's charging side lies above its discharging side, and the lead-acid
// ones meet their own absorption voltage where AGM meets 14.4 V.
func TestSidesApart(t *testing.T) {
	for _, c := range Chemistries() {
		s := Default(c, 100)
		for x := units.Fraction(0); x <= 1; x += 0.01 {
			assert.Greater(t, float64(s.Charge.Curve.Volts(x)), float64(s.Discharge.Curve.Volts(x)), "%v at %v", c, x)
		}
		if c.Lead() {
			assert.InDelta(t, float64(s.Charger.Absorption), float64(s.Charge.Curve.Volts(0.966)), 0.005, c.String())
		}
	}
}

// A 20 h discharge of each kind ends about where the rated capacity is.
func TestRatedCapacity(t *testing.T) {
	for _, c := range Chemistries() {
		m := model(t, Default(c, 100))
		s := m.Start(1, 25)
		in := Node{Current: 5, Temp: 25, Length: 1.0 / 60}
		var drawn float64
		var last Flow
		for f := m.Step(&s, in); !f.Flat; f = m.Step(&s, in) {
			drawn += float64(f.Drawn)
			last = f
		}
		t.Logf("%v: %.1f Ah, last at %.2f V", c, drawn, float64(last.Volts))
		// tol: the tanks' fits; the protection of LFP leaves 2.5 % under 10 V.
		assert.InDelta(t, 100, drawn, 2.5, c.String())
	}
}

func FuzzChemistry(f *testing.F) {
	for _, c := range Chemistries() {
		f.Add(c.String())
	}
	f.Add(" AGM ")
	f.Add("lead")
	f.Fuzz(func(t *testing.T, word string) {
		var c, d Chemistry
		if err := c.UnmarshalText([]byte(word)); err != nil {
			require.ErrorContains(t, err, "expected agm, flooded, gel or lfp")
			return
		}
		require.NoError(t, d.UnmarshalText([]byte(c.String())))
		require.Equal(t, c, d)
	})
}
