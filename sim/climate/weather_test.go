package climate

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim/track"
	"ampwake/sim/units"
)

var start = time.Date(2027, 1, 5, 10, 0, 0, 0, time.UTC)

func hours(h float64) time.Time { return start.Add(time.Duration(h * float64(time.Hour))) }

// All weathers can serve a voyage.
var _ = []Weather{Fixed{}, (*Mean)(nil), (*Synthetic)(nil), (*Dated)(nil), (*Overlay)(nil)}

func TestFixed(t *testing.T) {
	s := Sample{WindSpeed: 12, WindFrom: 60, Cloud: 0.5, Through: 0.9, Air: 25, Sea: 26}
	assert.Equal(t, s, Fixed{Sample: s}.At(start, place(10, 20)))
	assert.Zero(t, Fixed{Sample: s}.Edge(start))

	mean := Fixed{Sample: s, Average: true}
	assert.InDelta(t, 0.864, float64(mean.At(start, place(10, 20)).Through), 0.001) // synth_expected.csv, nu 3.0
	assert.InDelta(t, float64(MeanThrough(0.5, 1.2)), float64(mean.At(start, place(-45, 20)).Through), 0.0007)
}

// The average weather is the climate's, with the expectation of the sun factor.
func TestMean(t *testing.T) {
	m := NewMean(Ocean())
	when := midOf(2027, 7)
	c, err := Ocean().At(when, place(38, -28))
	require.NoError(t, err)
	s := m.At(when, place(38, -28))
	assert.Equal(t, c.WindSpeed, s.WindSpeed)
	assert.Equal(t, c.Cloud, s.Cloud)
	assert.Equal(t, c.Air, s.Air)
	assert.Equal(t, c.Sea, s.Sea)
	assert.InDelta(t, float64(c.WindFrom()), float64(s.WindFrom), 1e-6)
	assert.InDelta(t, float64(MeanThrough(c.Cloud, Concentration(38))), float64(s.Through), 0.0007)
	assert.Less(t, s.Through, Through(c.Cloud), "not the factor of the mean")
	assert.Zero(t, m.Edge(when))
	assert.Zero(t, m.Quality())

	m.At(when, place(36, 15)) // Ionian Sea
	assert.NotZero(t, m.Quality()&FilledCloud)
	m.At(when, place(38, -28))
	assert.NotZero(t, m.Quality()&FilledCloud, "doubts are kept")

	synthetic := NewSynthetic(Ocean(), 1, 0)
	synthetic.At(when, place(36, 15))
	assert.NotZero(t, synthetic.Quality()&FilledCloud)
	assert.Zero(t, synthetic.Quality()&Inland)
	synthetic.At(when, place(46, 105))
	assert.NotZero(t, synthetic.Quality()&Inland)
}

// recorder is a weather that counts what it is asked.
type recorder struct {
	Sample
	edge  time.Time
	asked int
}

func (r *recorder) At(time.Time, track.Position) Sample { r.asked++; return r.Sample }
func (r *recorder) Edge(time.Time) time.Time            { return r.edge }

// Nothing that is asked once a step allocates.
func TestNoAllocation(t *testing.T) {
	dated, err := NewDated(Timetable{Cloud: steps[units.Fraction](0.1, 0.9, 0.5)}, NewMean(Ocean()))
	require.NoError(t, err)
	spell := Calm(48)
	spell.When = SouthOf(39)
	overlay, err := NewOverlay(NewSynthetic(Ocean(), 1, 0), spell)
	require.NoError(t, err)
	for name, w := range map[string]Weather{"mean": NewMean(Ocean()), "synthetic": NewSynthetic(Ocean(), 1, 0), "dated": dated, "overlay": overlay} {
		m := 0
		n := testing.AllocsPerRun(3000, func() {
			w.At(start.Add(time.Duration(m)*time.Minute), place(40-float64(m)*1e-3, -20))
			w.Edge(start.Add(time.Duration(m) * time.Minute))
			m += 7
		})
		assert.Zero(t, n, name)
	}
}
