package trial

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/scenarios/logbook"
	"ampwake/sim"
	"ampwake/sim/units"
)

// lived returns the fit of a log read off a boat as the scenario has her, without
// noise of the days.
func lived(t testing.TB, l *Logged) *Fit {
	t.Helper()
	m := modelOf(t, l)
	p, err := m.predict(t.Context(), make([]float64, len(m.pars)))
	require.NoError(t, err)
	for i, o := range m.obs {
		v := units.Volts(p.obs[i])
		switch o.Kind {
		case Rested:
			l.Log.Rows[o.row].Rested = &v
		case Loaded:
			l.Log.Rows[o.row].Loaded = &v
		}
	}
	f, err := New(t.Context(), l)
	require.NoError(t, err)
	return f
}

// A boat as planned is found to be as planned, with a spread.
func TestAsPlanned(t *testing.T) {
	s := open(t, "radio-cover")
	f := lived(t, readLog(t, s, days14(rand.New(rand.NewPCG(1, 1)))))
	for _, e := range f.Factors {
		assert.InDelta(t, 0, e.Mean, 0.02, "%s", e.Factor)
		assert.Greater(t, e.Spread, 0.02, "%s", e.Factor)
		assert.LessOrEqual(t, e.Spread, e.Prior*(1+1e-6), "%s", e.Factor)
	}
	assert.InDelta(t, 0, f.Use.Mean, 0.01)
	assert.InDelta(t, 0, float64(f.Offset), 0.005)
	assert.InDelta(t, 0.95, f.Start, 0.01)
	assert.False(t, f.Rough)
	assert.False(t, f.Poor)
	last := f.Charge[len(f.Charge)-1]
	assert.InDelta(t, last.Planned, last.Mean, 0.01)
	assert.True(t, last.Low < last.Mean && last.Mean < last.High)
}

// What the log says nothing of stays as it was thought: the generator was never
// down.
func TestNoInformation(t *testing.T) {
	s := open(t, "radio-cover")
	text := days14(rand.New(rand.NewPCG(2, 1)))
	lines := strings.Split(text, "\n")
	for i, line := range lines[1:] {
		if cells := strings.Split(line, ", "); len(cells) > 4 {
			cells[4] = "0"
			lines[i+1] = strings.Join(cells, ", ")
		}
	}
	l := readLog(t, s, strings.Join(lines, "\n"))
	for i := range l.Log.Rows { // and she does worse than planned
		if v := l.Log.Rows[i].Rested; v != nil {
			x := units.Volts(12.6 - 0.04*float64(i)/3)
			l.Log.Rows[i].Rested = &x
		}
	}
	f, err := New(t.Context(), l)
	require.NoError(t, err)
	e := estimateOf(t, f, scenarios.Generator)
	assert.InDelta(t, 0, e.Mean, 1e-9)
	assert.InDelta(t, e.Prior, e.Spread, 1e-9)
	assert.Equal(t, Open, e.Settled())
	assert.True(t, math.IsInf(e.More, 1), "no number of such days would tell")
	for i := range f.Factors {
		if f.Factors[i].Factor != scenarios.Generator {
			assert.InDelta(t, 0, f.Apart(i, 5), 1e-6)
		}
	}
	assert.Greater(t, math.Abs(estimateOf(t, f, scenarios.Panels).Mean), 0.05, "the rest moves")
}

// A slip of the pen is told, and moves the rest little.
func TestOddReading(t *testing.T) {
	if testing.Short() {
		t.Skip("many fits")
	}
	s := open(t, "radio-cover")
	l := readLog(t, s, days14(rand.New(rand.NewPCG(3, 1))))
	lived(t, l)
	slip := units.Volts(11.3)
	l.Log.Rows[18].Rested = &slip
	f, err := New(t.Context(), l)
	require.NoError(t, err)
	var odd []int
	for _, r := range f.Readings {
		if r.Odd {
			odd = append(odd, r.Line)
		}
	}
	assert.Equal(t, []int{l.Log.Rows[18].Line}, odd)
	for _, e := range f.Factors {
		assert.InDelta(t, 0, e.Mean, 1.2*e.Spread, "%s", e.Factor)
	}
}

// More days tell more: the spread of the use in all falls about as promised.
func TestMoreDays(t *testing.T) {
	if testing.Short() {
		t.Skip("long logs")
	}
	s := open(t, "radio-cover")
	volts := func(i int) string {
		if i%3 == 2 {
			return ", , -1"
		}
		return ", 12.5, -1"
	}
	fit := func(days int) *Fit {
		dice := rand.New(rand.NewPCG(9, 9))
		l := readLog(t, s, sailText(dice, days, ", volts rested [V], counter [Ah]", volts))
		m := modelOf(t, l)
		live(t, m, atSea{make([]float64, len(m.pars)), dice})
		f, err := New(t.Context(), l)
		require.NoError(t, err)
		return f
	}
	few, many := fit(7), fit(21)
	assert.Less(t, many.Use.Spread, few.Use.Spread)
	assert.Less(t, estimateOf(t, many, scenarios.Panels).Spread, 1.1*estimateOf(t, few, scenarios.Panels).Spread)
}

func TestNothingToFit(t *testing.T) {
	s := open(t, "radio-cover")
	_, err := New(t.Context(), readLog(t, s, "time [UTC], position, speed [kn]\n2027-01-10 09:00, 10°N 25°W, 5\n2027-01-11 09:00, 8°N 25°W, 5\n"))
	assert.ErrorContains(t, err, "no volts and no counter")
	log, err := logbook.Read("x", []byte("time [UTC], volts [V]\n2027-01-10 09:00, 12.5\n"), logbook.Options{})
	require.NoError(t, err)
	_, err = NewLogged(s, log)
	assert.ErrorIs(t, err, ErrShort)
}

// A meter that counts amp-hours stops at 0 when the bank is full; one that has been
// above 0 only adds up.
func TestCounter(t *testing.T) {
	s := open(t, "radio-cover")
	r, err := s.Voyage().Sail(t.Context(), sim.Options{Trace: true})
	require.NoError(t, err)
	read := newReader(r.Trace, s.Voyage().Bank)
	from, to := r.Depart, r.Depart.Add(96*time.Hour)
	i, _ := read.step(to)
	free := read.counter(-5, from, to, true)
	assert.InDelta(t, -5-read.drawn[i], free, 1)
	stopped := read.counter(-5, from, to, false)
	assert.Less(t, stopped, 0.0001)
	assert.Greater(t, free, stopped, "the generator gives more than she uses")
	// Taken up in the middle it comes to the same.
	mid := from.Add(41 * time.Hour)
	assert.InDelta(t, stopped, read.counter(read.counter(-5, from, mid, false), mid, to, false), 1e-9)
}

func BenchmarkFit(b *testing.B) {
	s := open(b, "radio-cover")
	src, err := logbook.Source("trial-sail")
	require.NoError(b, err)
	l := readLog(b, s, string(src))
	for b.Loop() {
		if _, err := New(b.Context(), l); err != nil {
			b.Fatal(err)
		}
	}
}
