package climate

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim/units"
)

func TestOverlayByDate(t *testing.T) {
	under := &recorder{Sample: Sample{WindSpeed: 10, WindFrom: 60, Cloud: 0.5, Through: 0.9, Air: 25, Sea: 26}}
	spell := Gale(24)
	spell.From, spell.CloudLeast, spell.CloudMost = hours(6.5), 0.8, 1
	o, err := NewOverlay(under, spell)
	require.NoError(t, err)

	assert.Equal(t, under.Sample, o.At(hours(6.49), place(0, 0)))
	assert.Equal(t, hours(6.5), o.Edge(hours(0)))
	assert.Equal(t, hours(30.5), o.Edge(hours(6.5)))
	assert.Zero(t, o.Edge(hours(30.5)))
	under.edge = hours(8)
	assert.Equal(t, hours(6.5), o.Edge(hours(0)))
	assert.Equal(t, hours(8), o.Edge(hours(6.5)))

	s := o.At(hours(6.5), place(0, 0))
	assert.InDelta(t, 40.5, float64(s.WindSpeed), 1e-9) // 10 kn lies half way
	assert.InDelta(t, 0.9, float64(s.Cloud), 1e-9)
	assert.InDelta(t, float64(Through(0.9)), float64(s.Through), 1e-6)
	assert.Equal(t, under.WindFrom, s.WindFrom)
	assert.Equal(t, under.Air, s.Air)
	assert.NotEqual(t, under.Sample, o.At(hours(30.49), place(0, 0)))
	assert.Equal(t, under.Sample, o.At(hours(30.5), place(0, 0)))
}

// "Calm: 7 d from the first day north of 5°N": it begins at the whole hour after
// the boat was seen there, holds although she drifts back, and comes once.
func TestOverlayByPlace(t *testing.T) {
	spell := Calm(7 * 24)
	spell.When = NorthOf(5)
	o, err := NewOverlay(Fixed{Sample: Sample{WindSpeed: 15, Cloud: 0.5}}, spell)
	require.NoError(t, err)
	assert.Equal(t, units.Knots(15), o.At(hours(0), place(4.9, -30)).WindSpeed)
	assert.Zero(t, o.Edge(hours(0)))
	_, _, known := o.Span()
	assert.False(t, known)

	assert.Equal(t, units.Knots(15), o.At(hours(5.3), place(5.1, -30)).WindSpeed)
	assert.Equal(t, hours(6), o.Edge(hours(5.3)))
	from, to, known := o.Span()
	assert.True(t, known)
	assert.Equal(t, hours(6), from)
	assert.Equal(t, hours(6+168), to)

	assert.InDelta(t, 1.8, float64(o.At(hours(6), place(5.1, -30)).WindSpeed), 1e-9)
	assert.InDelta(t, 1.8, float64(o.At(hours(100), place(4.5, -30)).WindSpeed), 1e-9, "latched")
	assert.Equal(t, units.Fraction(0.5), o.At(hours(100), place(4.5, -30)).Cloud, "left alone")
	assert.Equal(t, hours(174), o.Edge(hours(100)))
	assert.Equal(t, units.Knots(15), o.At(hours(175), place(6, -30)).WindSpeed, "once")
	assert.Equal(t, units.Knots(15), o.At(hours(500), place(6, -30)).WindSpeed)
}

func TestTriggers(t *testing.T) {
	var now time.Time
	home := place(16, -25)
	assert.True(t, NorthOf(5)(now, place(5, 0), home))
	assert.False(t, NorthOf(5)(now, place(4.99, 0), home))
	assert.True(t, SouthOf(-40)(now, place(-40.1, 0), home))
	assert.False(t, SouthOf(-40)(now, place(-39, 0), home))
	assert.False(t, Crossing(5)(now, place(5.1, 0), home))
	assert.True(t, Crossing(5)(now, place(4.9, 0), home))
	assert.False(t, Crossing(5)(now, place(4.9, 0), place(-3, 0)))
	assert.True(t, Crossing(5)(now, place(5.1, 0), place(-3, 0)))
}

func TestOverlayAverage(t *testing.T) {
	spell := Spell{From: hours(0), Length: 10, CloudLeast: 0.7, CloudMost: 0.8, Average: true}
	o, err := NewOverlay(Fixed{Sample: Sample{WindSpeed: 15, Cloud: 0.4}}, spell)
	require.NoError(t, err)
	s := o.At(hours(1), place(5, 0))
	assert.Equal(t, units.Knots(15), s.WindSpeed, "left alone")
	assert.InDelta(t, 0.74, float64(s.Cloud), 1e-12)
	assert.InDelta(t, float64(MeanThrough(0.74, 3)), float64(s.Through), 0.0007)
}

// In the spell the wind lies in its range and a stronger wind stays the stronger
// one; outside, nothing is changed.
func TestOverlayRange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lo := rapid.Float64Range(0, 60).Draw(t, "least")
		hi := lo + rapid.Float64Range(0.1, 60).Draw(t, "range")
		o, err := NewOverlay(NewSynthetic(Ocean(), rapid.Uint64().Draw(t, "seed"), 0),
			Spell{From: hours(10), Length: 20, WindLeast: units.Knots(lo), WindMost: units.Knots(hi)})
		if err != nil {
			t.Fatal(err)
		}
		last, lastUnder := -1.0, -1.0
		for h := 0.5; h < 40; h++ {
			s := o.At(hours(h), place(45, -30))
			under := o.under.At(hours(h), place(45, -30))
			if h < 10 || h >= 30 {
				if s != under {
					t.Fatal("changed outside the spell")
				}
				continue
			}
			w, u := float64(s.WindSpeed), float64(under.WindSpeed)
			if w < lo || w > hi || last >= 0 && (w > last) != (u > lastUnder) && w != last {
				t.Fatalf("wind %g within %g..%g from %g after %g from %g", w, lo, hi, u, last, lastUnder)
			}
			last, lastUnder = w, u
		}
	})
}

func TestOverlayErrors(t *testing.T) {
	_, err := NewOverlay(Fixed{}, Spell{Length: -1, WindLeast: 5, WindMost: 3, CloudMost: 1.5})
	require.Error(t, err)
	for _, want := range []string{
		"spell: needs either a first moment or a place where it begins",
		"spell: a length of -1 h is not above 0 and within 100000 h",
		"spell: wind 5 kn to 3 kn is no range within 0..200 kn",
		"spell: cloud 0 % to 150 % is no range within 0..100 %",
	} {
		assert.Contains(t, err.Error(), want)
	}
	_, err = NewOverlay(Fixed{}, Spell{From: start, When: NorthOf(3), Length: 1})
	require.Error(t, err, "both")
	assert.Panics(t, func() { _, _ = NewOverlay(nil, Spell{}) })
}
