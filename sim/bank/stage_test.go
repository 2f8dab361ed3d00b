package bank

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim/units"
)

// days runs a bank through days of strong sun from 8 to 18 h and a steady load,
// and returns the stages and bus voltages by step of 10 min.
func days(t *testing.T, m *Model, s *State, n int, sun units.Watts, temp units.Celsius) (stages []Stage, bus []float64) {
	for i := range n * 144 {
		in := Node{Current: 3, Temp: temp, Length: 1.0 / 6}
		if hour := i % 144 / 6; hour >= 8 && hour < 18 {
			in.Supply = sun
		}
		f := m.Step(s, in)
		require.False(t, f.Flat)
		stages, bus = append(stages, f.Stage), append(bus, float64(f.Volts))
	}
	return stages, bus
}

// changes drops repeats.
func changes(stages []Stage) []Stage {
	var c []Stage
	for _, g := range stages {
		if len(c) == 0 || c[len(c)-1] != g {
			c = append(c, g)
		}
	}
	return c
}

// Each day goes once from bulk through absorption to float, at any temperature
// and chemistry, and the stages do not chatter.
func TestStagesOfDays(t *testing.T) {
	for _, c := range Chemistries() {
		for _, temp := range []units.Celsius{5, 15, 25, 35} {
			m := model(t, Default(c, 200))
			s := m.Start(0.7, temp)
			stages, bus := days(t, m, &s, 4, 450, temp)
			seen := changes(stages)
			assert.LessOrEqual(t, len(seen), 13, "%v at %v: %v", c, temp, seen)
			assert.Contains(t, seen, Floating, "%v at %v", c, temp)
			absorption, float := m.Limits(temp)
			for i, g := range stages {
				switch g {
				case Floating:
					if rest := float64(m.setup.Discharge.Curve.Volts(1)); bus[i] > max(float64(float), rest) {
						t.Fatalf("%v at %v: float at %.2f V, limit %v", c, temp, bus[i], float)
					}
				default:
					assert.LessOrEqual(t, bus[i], float64(absorption))
				}
			}
			noonish := 3*144 + 17*6
			assert.Equal(t, Floating, stages[noonish], "%v at %v: before dusk", c, temp)
			assert.InDelta(t, float64(float), bus[noonish], 1e-9, "%v at %v: the bus is the charger's", c, temp)
			assert.Equal(t, Bulk, stages[4*144-1], "%v at %v: a new bulk after dark", c, temp)
			assert.Greater(t, float64(m.Charge(&s, temp)), 0.6, "%v at %v", c, temp)
		}
	}
}

// Absorption ends at the tail current: C/50 of an AGM bank at 25 °C.
func TestTailCurrent(t *testing.T) {
	m := model(t, Default(AGM, 200))
	s := m.Start(0.9, 25)
	in := Node{Supply: 600, Temp: 25, Length: 1.0 / 60}
	var last Flow
	for range 600 {
		f := m.Step(&s, in)
		if f.Stage == Floating {
			break
		}
		last = f
	}
	assert.Equal(t, Floating, s.Stage())
	assert.Equal(t, Absorbing, last.Stage)
	assert.InDelta(t, 14.4, float64(last.Volts), 1e-9)
	assert.Less(t, -float64(last.Current), 200.0/50)
	assert.Greater(t, -float64(last.Current), 0.9*200/50)
}

// Without a tail current absorption lasts the longest time, and the trickle
// carries the bank past where the curve stalls.
func TestLongestAbsorption(t *testing.T) {
	set := Default(AGM, 200)
	set.Charger.Tail = 0
	hours := func(trickle float64) (hours float64, soc units.Fraction) {
		set.Trickle = trickle
		m := model(t, set)
		s := m.Start(0.9, 25)
		for s.Stage() != Floating {
			if f := m.Step(&s, Node{Supply: 600, Temp: 25, Length: 1.0 / 60}); f.Stage == Absorbing {
				hours += 1.0 / 60
			}
			require.Less(t, hours, 10.0)
		}
		return hours, m.Charge(&s, 25)
	}
	h, stalled := hours(0)
	assert.InDelta(t, 4, h, 0.03)
	assert.Less(t, float64(stalled), 0.967, "the curve meets 14.4 V at 96.6 %")
	h, carried := hours(0.1)
	assert.InDelta(t, 4, h, 0.03)
	assert.Greater(t, float64(carried), float64(stalled)+0.001)
}

// A lithium bank fresh from absorption stands above float: the supply rests
// until it has come down, and then carries the loads.
func TestLithiumComesDownToFloat(t *testing.T) {
	m := model(t, Default(LFP, 100))
	s := m.Start(0.97, 25)
	in := Node{Supply: 400, Current: 4, Temp: 25, Length: 1.0 / 6}
	for s.Stage() != Floating {
		m.Step(&s, in)
	}
	f := m.Step(&s, in)
	assert.Positive(t, f.Current, "the bank carries the loads")
	assert.InDelta(t, 400, float64(f.Spilled), 1e-9, "the supply rests")
	for range 100 {
		f = m.Step(&s, in)
	}
	assert.Equal(t, Floating, f.Stage)
	assert.InDelta(t, 13.4, float64(f.Volts), 1e-9)
	assert.InDelta(t, 0, float64(f.Current), 0.05, "the supply carries the loads")
	assert.Greater(t, float64(m.Charge(&s, 25)), 0.93)
}

// Plain leaves the charger in absorption for ever.
func TestPlain(t *testing.T) {
	m := model(t, Default(AGM, 200).Plain())
	s := m.Start(0.9, 25)
	stages, bus := days(t, m, &s, 3, 450, 25)
	assert.Equal(t, []Stage{Bulk}, changes(stages))
	assert.InDelta(t, 14.4, bus[2*144+17*6], 1e-9)
	assert.Equal(t, []string{"bulk", "absorption", "float"}, []string{Bulk.String(), Absorbing.String(), Floating.String()})
}
