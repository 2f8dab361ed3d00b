package scenarios_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/sim"
	"ampwake/testdata/refdata"
)

// usualStep is the step that a file has when it says nothing, in minutes.
const usualStep = 10

// At the usual step the state of charge may be off by these, in points, against
// steps of one minute.
const (
	// Where the steps fall, a charger reaches its longest absorption, or a bank its
	// time under float, a step sooner or later: a quarter of an hour of the tail
	// current, rated/50, is half a point, and the moment of going to float itself is
	// found to a minute (bank.Flow.Long).
	offStaged = 0.25
	// Without stages only the light within a step, the voltage under which it
	// charges and the boat's place are rounded.
	offPlain = 0.01
)

// The built-in scenarios from 1 to 60 minutes a step. DEVELOPERS.md has the table.
func TestStepLengthOnBuiltins(t *testing.T) {
	for _, info := range scenarios.Builtin() {
		var fine, finePlain stepped
		for _, minutes := range []int{1, 2, 5, usualStep, 20, 30, 60} {
			x := atStep(t, info.Name, minutes)
			plain := atStep(t, info.Name, minutes, "model.charger=plain")
			if minutes == 1 {
				fine, finePlain = x, plain
			}
			row := x.row
			row.Scenario, row.Minutes = info.Name, minutes
			row.Off, row.Plain = x.off(t, fine), plain.off(t, finePlain)
			row.Tell(t)
			if minutes > usualStep {
				continue // told, not promised
			}
			name := fmt.Sprintf("%s at %d min", info.Name, minutes)
			assert.LessOrEqual(t, row.Off, offStaged, name)
			assert.LessOrEqual(t, row.Plain, offPlain, "%s, charger without stages", name)
			assert.InDelta(t, fine.row.Lowest, row.Lowest, offStaged, name)
			// Sun and speed are taken at the middle of a step, loads switch at its
			// ends: a thousandth, and no slot.
			assert.InEpsilon(t, fine.row.Made, row.Made, 1e-3, name)
			assert.InEpsilon(t, fine.row.Used, row.Used, 1e-3, name)
			assert.Equal(t, fine.row.Missed, row.Missed, name)
			assert.Equal(t, fine.row.Due, row.Due, name)
		}
	}
}

// stepped is a voyage sailed in steps of some length.
type stepped struct {
	row    refdata.StepRow
	charge map[time.Time]float64 // %, at whole hours
}

func atStep(t *testing.T, name string, minutes int, sets ...string) stepped {
	s, err := scenarios.Read(name, source(t, name), append(sets, fmt.Sprintf("model.step=%d min", minutes)), "")
	require.NoError(t, err)
	res, err := s.Voyage().Sail(t.Context(), sim.Options{Trace: true})
	require.NoError(t, err)
	closed(t, res)
	x := stepped{charge: map[time.Time]float64{}, row: refdata.StepRow{
		Lowest: 100 * float64(res.Lowest.Charge), Made: float64(res.Books.Made - res.Books.Lost), Used: float64(res.Books.Used),
	}}
	for _, l := range res.Loads {
		x.row.Missed += l.Due - l.Kept
		x.row.Due += l.Due
	}
	for i, at := range res.Trace.Time {
		if at.Equal(at.Truncate(time.Hour)) {
			x.charge[at] = 100 * float64(res.Trace.Charge[i])
		}
	}
	return x
}

// off is the largest difference of the state of charge at whole hours, points.
func (x stepped) off(t *testing.T, fine stepped) float64 {
	require.Len(t, x.charge, len(fine.charge))
	worst := 0.0
	for at, c := range x.charge {
		worst = math.Max(worst, math.Abs(c-fine.charge[at]))
	}
	return worst
}
