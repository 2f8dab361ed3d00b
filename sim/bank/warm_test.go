package bank

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

// Source: temp_capacity.csv. The rows that the defaults follow; the others are
// for high rates or other models.
func TestCapacityTemperature(t *testing.T) {
	sheet := refdata.Check{
		Model: refdata.Charge, Quantity: "capacity in the cold, a data sheet at its own rate",
		Source: "an AGM battery of 40 Ah, data sheet", Status: refdata.Published, Tolerance: 0.0101,
	}.Begin(t)
	share := func(s Setup, temp float64) float64 {
		m := model(t, s)
		return float64(m.Capacity(units.Celsius(temp)) / m.Capacity(25))
	}
	fast := Default(AGM, 100)
	fast.Capacity.Slope = 0.010
	tested := 0
	for _, r := range refdata.Read(t, "battery/temp_capacity.csv") {
		item, temp, want := r.Text("item"), r.Float("T_C"), r.Float("fraction_of_25C_capacity")
		tested++
		switch {
		case strings.HasPrefix(item, "flooded/AGM slow"):
			for _, c := range []Chemistry{AGM, Flooded, Gel} {
				assert.InDelta(t, want, share(Default(c, 100), temp), 1e-9, r.Where())
			}
		case strings.HasPrefix(item, "flooded/AGM fast"):
			assert.InDelta(t, want, share(fast, temp), 1e-9, r.Where())
		case strings.HasPrefix(item, "AGM 40 Ah") && temp >= 10:
			// A data sheet, at a rate of its own; linear 0.6 %/K is within 0.01.
			sheet.Within(share(Default(AGM, 40), temp), want, r.Where())
		case strings.HasPrefix(item, "LFP cell"):
			assert.InDelta(t, want, share(Default(LFP, 2.06), temp), 1e-9, r.Where())
		case strings.HasPrefix(item, "LFP 12 V pack") && temp == -20:
			assert.InDelta(t, want, share(Default(LFP, 100), temp), 1e-9, r.Where())
		default:
			tested--
		}
	}
	assert.Equal(t, 9, tested, "rows used")
	assert.Equal(t, 1.08, share(Default(AGM, 100), 60), "upper bound")
	assert.Equal(t, 0.5, share(Default(AGM, 100), -70), "lower bound")

	own := Default(AGM, 100)
	own.Capacity = Factor{Table: []Warm{{0, 0.8}, {25, 1}, {40, 1.06}}}
	assert.InDelta(t, 0.88, share(own, 10), 1e-12, "own table")
	assert.InDelta(t, 0.80, share(own, -30), 1e-12, "beyond the table")
	assert.InDelta(t, 1.06, share(own, 90), 1e-12, "beyond the table")
}

// Charge in Ah stays when the temperature moves; the state of charge does not.
func TestCoolingKeepsCharge(t *testing.T) {
	m := model(t, Default(AGM, 100))
	s := m.Start(1, 25)
	a, b := s.Tanks()
	m.Look(&s, Node{Temp: 5})
	c, d := s.Tanks()
	assert.Equal(t, a+b, c+d)
	assert.EqualValues(t, 1, m.Charge(&s, 5), "more than full counts as full")
	s = m.Start(0.5, 25)
	within(t, float64(m.Charge(&s, 5)), 0.5/0.88, 1e-12, "half of the warm capacity")
}

// Source: self_discharge.csv: rates at 20 °C, halved at 10 °C; the worked example
// in its head.
func TestSelfDischarge(t *testing.T) {
	rest := func(s Setup, temp units.Celsius, days int) float64 {
		m := model(t, s)
		at := m.Start(1, temp)
		first := m.Charge(&at, temp)
		for range days * 24 {
			m.Step(&at, Node{Temp: temp, Length: 1})
		}
		return float64(m.Charge(&at, temp) / first)
	}
	s := Default(AGM, 200)
	within(t, 200*rest(s, 20, 30), 194.17, 2e-5, "AGM, 200 Ah, 30 days at 20 °C") // tol: printed digits
	for _, r := range refdata.Read(t, "battery/self_discharge.csv") {
		if !r.Has("pct_per_month_10C") {
			continue
		}
		for _, temp := range []units.Celsius{10, 20} {
			column := map[units.Celsius]string{10: "pct_per_month_10C", 20: "pct_per_month_20C"}[temp]
			s.SelfDischarge = units.Fraction(r.Float("pct_per_month_20C") / 100)
			want := math.Exp(-r.Float(column) / 100 * 720 / 730)
			within(t, rest(s, temp, 30), want, 1e-9, r.Where())
		}
		for word, c := range map[string]Chemistry{"VRLA AGM": AGM, "VRLA gel": Gel, "starter": Flooded, "LFP": LFP} {
			if strings.HasPrefix(r.Text("type"), word) {
				assert.InDelta(t, r.Float("pct_per_month_20C")/100, float64(Default(c, 100).SelfDischarge), 1e-9, r.Where())
			}
		}
	}
	// One step of a month and many short ones agree.
	m := model(t, s)
	long, short := m.Start(0.7, 30), m.Start(0.7, 30)
	m.Step(&long, Node{Temp: 30, Length: 720})
	for range 720 * 6 {
		m.Step(&short, Node{Temp: 30, Length: 1.0 / 6})
	}
	within(t, float64(m.Charge(&long, 30)), float64(m.Charge(&short, 30)), 1e-9, "long step")
}

// LFP takes nothing below 0 °C and a tenth of its capacity an hour below 5 °C
// (makers' pages; common practice).
func TestLithiumInTheCold(t *testing.T) {
	m := model(t, Default(LFP, 100))
	for _, c := range []struct {
		temp units.Celsius
		most float64
	}{{-5, 0}, {-0.01, 0}, {0, 10}, {4.9, 10}, {5, 50}, {20, 50}} {
		s := m.Start(0.5, c.temp)
		f := m.Step(&s, Node{Supply: 1500, Power: 20, Current: 1, Temp: c.temp, Length: 1.0 / 60})
		assert.InDelta(t, -c.most, float64(f.Current), 1e-9, "at %v", c.temp)
		if c.most == 0 {
			assert.EqualValues(t, 14.4, f.Volts, "the bus is the charger's")
			assert.InDelta(t, 1500-20-14.4, float64(f.Spilled), 1e-9)
		}
	}
}
