package loads

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/loads/timetable"
	"ampwake/sim"
	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

// Source: radio/hf_sched_energy_check.csv, 48 rows of charge per sched. Both
// ways of giving the average are tried.
func TestSchedEnergy(t *testing.T) {
	charge := refdata.Check{
		Model: refdata.Radio, Quantity: "charge of a sched",
		Source: "closed form; printed to 1e-5", Status: refdata.Calculated, Tolerance: 0.000005, Unit: "Ah",
	}.Begin(t)
	rows := refdata.Read(t, "radio/hf_sched_energy_check.csv")
	assert.Len(t, rows, 48)
	for _, r := range rows {
		s := RadioSpec{
			Name: "hf", Receive: units.Amps(r.Float("receive_a")), Scheds: list(t, "08:00 UTC"),
			Length: units.Hours(r.Float("sched_min") / 60),
			Transmit: Transmit{
				Peak: units.Amps(r.Float("transmit_peak_a")), Share: units.Fraction(r.Float("transmit_fraction")),
				Ratio: units.Fraction(r.Float("average_over_peak")),
			},
		}
		byRatio, err := NewRadio(s)
		require.NoError(t, err)
		s.Transmit.Ratio, s.Transmit.Average = 0, units.Amps(r.Float("transmit_average_a"))
		byAverage, err := NewRadio(s)
		require.NoError(t, err)
		for _, l := range []*Radio{byRatio, byAverage} {
			hours, ah, slots := run(t, l, jan5, 1, 0)
			assert.InDelta(t, r.Float("sched_min")/60, hours, 1e-12)
			charge.Within(ah, r.Float("charge_ah_per_sched"), r.Where()) // tol: 5 digits printed
			assert.InDelta(t, r.Float("mean_current_a"), ah/hours, 0.00005, r.Where())
			assert.Len(t, slots, 1)
		}
	}
}

func TestRadio(t *testing.T) {
	s := RadioSpec{
		Name: "hf", Receive: 2.5, Transmit: Transmit{Peak: 30, Share: 0.1},
		Scheds: list(t, "00:10 UTC", "20:00-20:30 ship's time"), Length: 0.25, Standby: 0.5,
		Supply: Supply{Least: 11.8, Cable: 0.01},
	}
	r, err := NewRadio(s)
	require.NoError(t, err)
	at := func(h, m int) sim.Demand {
		return r.Draw(conditions(jan5.Add(time.Duration(h)*time.Hour+time.Duration(m)*time.Minute), -2))
	}
	sched := sim.Demand{
		On: true, Current: 3.75, Least: 11.8, Peak: 30, Cable: 0.01, Idle: 2.5,
		Slot: jan5.Add(10 * time.Minute).Unix(), What: "sched 00:10 UTC",
	}
	assert.Equal(t, sched, at(0, 10))
	assert.Equal(t, sched, at(0, 24))
	sched.Slot, sched.What = jan5.Add(22*time.Hour).Unix(), "sched 20:00 ship's time"
	assert.Equal(t, sched, at(22, 29))
	// The standby is no slot, and works at any voltage.
	standby := sim.Demand{On: true, Current: 2.5}
	assert.Equal(t, standby, at(0, 0))
	assert.Equal(t, standby, at(23, 40)) // for the sched after midnight
	assert.Equal(t, standby, at(21, 30))
	assert.Equal(t, sim.Demand{}, at(0, 25))
	assert.Equal(t, sim.Demand{}, at(21, 29))

	s.AllDay = true
	all, err := NewRadio(s)
	require.NoError(t, err)
	assert.Equal(t, standby, all.Draw(conditions(jan5.Add(12*time.Hour), -2)))
	_, ah, slots := run(t, all, jan5, 1, -2)
	assert.InDelta(t, 24*2.5+0.75*1.25, ah, 1e-9) // receiver all day, 45 min of scheds 1.25 A above it
	assert.Len(t, slots, 2)

	// One who only listens has no peak above his receiver.
	s.Transmit = Transmit{}
	mute, err := NewRadio(s)
	require.NoError(t, err)
	assert.Zero(t, mute.Draw(conditions(jan5.Add(10*time.Minute), 0)).Peak)
}

func TestNewRadioRefuses(t *testing.T) {
	for say, change := range map[string]func(*RadioSpec){
		"name: it is missing":       func(s *RadioSpec) { s.Name = "" },
		"receive:":                  func(s *RadioSpec) { s.Receive = -1 },
		"transmit peak:":            func(s *RadioSpec) { s.Transmit.Peak = -1 },
		"transmit share 150 %":      func(s *RadioSpec) { s.Transmit.Share = 1.5 },
		"transmit ratio 200 %":      func(s *RadioSpec) { s.Transmit.Ratio = 2 },
		"not both":                  func(s *RadioSpec) { s.Transmit.Ratio, s.Transmit.Average = 0.5, 10 },
		"transmit average 31 A":     func(s *RadioSpec) { s.Transmit.Average = 31 },
		"sched 1: length":           func(s *RadioSpec) { s.Length = 0 },
		"cable resistance":          func(s *RadioSpec) { s.Supply.Cable = -1 },
		"longer than a day":         func(s *RadioSpec) { s.Standby = 24 },
		"is no window":              func(s *RadioSpec) { s.Scheds = list(t, "dusk to dawn") },
		"scheds: \"every 3 days 08": func(s *RadioSpec) { s.Scheds = list(t, "every 3 days 08:00 UTC") },
	} {
		s := RadioSpec{Name: "hf", Receive: 2, Transmit: Transmit{Peak: 30}, Scheds: list(t, "08:00 UTC"), Length: 0.25}
		change(&s)
		_, err := NewRadio(s)
		assert.ErrorContains(t, err, say)
	}
}

// The worked figure of the reference pack: a sched of 15 min with a tenth of it
// spent talking takes 0.94 Ah.
func ExampleNewRadio() {
	r, err := NewRadio(RadioSpec{
		Name: "hf radio", Receive: 2.5, Transmit: Transmit{Peak: 30, Share: 0.1},
		Scheds: timetable.List{{Kind: timetable.Moment, From: 8 * 60, Clock: timetable.UTC}}, Length: 0.25,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	d := r.Draw(conditions(jan5.Add(8*time.Hour), 0))
	fmt.Printf("%s: %.2f Ah\n", d.What, float64(d.Current)*0.25)
	// Output: sched 08:00 UTC: 0.94 Ah
}
