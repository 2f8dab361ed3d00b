package chart

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"
)

// tornadoOf is n inputs, each doing less than the one before.
func tornadoOf(n int) TornadoInput {
	in := TornadoInput{
		Title: "What matters", Facts: []string{"MOST the first.", "Then the second."}, Caption: "ampwake 0.1",
		What: "Change of the margin, points of charge", About: "each shifted alone", Edge: -7, EdgeName: "at the floor",
	}
	for i := range n {
		by := 12 / float64(i+1)
		in.Rows = append(in.Rows, TornadoRow{Name: fmt.Sprintf("input %d", i), Bars: []TornadoBar{{Shift: "−20 %", By: -by}, {Shift: "+20 %", By: by / 2}}})
	}
	return in
}

// tornadoes are the pictures of the gallery.
func tornadoes() map[string]laidOut {
	long := tornadoOf(6)
	for i := range long.Rows {
		long.Rows[i].Name = "the current of the water maker in the forepeak, with its pump and the ultraviolet lamp"
		long.Rows[i].Bars[0].Note = "12 missed"
	}
	same := tornadoOf(5)
	for i := range same.Rows {
		same.Rows[i].Bars[0].By *= -0.3
	}
	worse := tornadoOf(3)
	for i := range worse.Rows {
		worse.Rows[i].Bars = worse.Rows[i].Bars[:1]
	}
	still := tornadoOf(2)
	for i := range still.Rows {
		still.Rows[i].Bars = []TornadoBar{{Shift: "−1", By: 0}, {Shift: "+1", By: math.NaN()}}
	}
	return map[string]laidOut{
		"tornado": NewTornado(tornadoOf(25)), "tornado of one": NewTornado(tornadoOf(1)), "tornado, long names": NewTornado(long),
		"tornado, both ways the same": NewTornado(same), "tornado, one side": NewTornado(worse), "tornado of nothing": NewTornado(still),
		"tornado without rows": NewTornado(TornadoInput{}),
	}
}

func TestTornadoModel(t *testing.T) {
	in := tornadoOf(25)
	in.Rows[0], in.Rows[9] = in.Rows[9], in.Rows[0]
	m := NewTornado(in)
	require.Len(t, m.Rows, mostBars)
	for i, r := range m.Rows {
		require.Equal(t, fmt.Sprintf("input %d", i), r.Name, "the one that does most on top")
	}
	require.Equal(t, "7 more move it by less than 0.7 each", m.Rest)
	require.Equal(t, -12.0, m.Least)
	require.Equal(t, 6.0, m.Most)

	// What does a goal harm is never left out, however little it moves.
	in.Rows[24].Bars[0].Note = "10 missed"
	in.Rows[23].Bars = []TornadoBar{{Shift: "20 mΩ", By: 0, Note: "10 missed"}}
	m = NewTornado(in)
	require.Len(t, m.Rows, mostBars+2)
	require.Equal(t, "5 more move it by less than 0.7 each", m.Rest)
	require.Equal(t, "20 mΩ: 0, 10 missed", m.Rows[mostBars+1].Bars[0].words())

	// The floor is shown where it is near enough.
	in = tornadoOf(3)
	in.Edge = -20
	require.Equal(t, -20.0, NewTornado(in).Least)
	in.Edge = -40
	require.Equal(t, -12.0, NewTornado(in).Least)
	in.Rows[0].Bars = make([]TornadoBar, 3)
	require.Panics(t, func() { NewTornado(in) })
}

// Bars are as long as what they stand for, on one scale, from one zero.
func TestTornadoBars(t *testing.T) {
	m := NewTornado(tornadoOf(8))
	s := m.layout(m.Size())
	var worse, better []vg.Length
	zero := vg.Length(-1)
	for _, sh := range s.shapes {
		if len(sh.ring) != 4 {
			continue
		}
		from, to := sh.ring[0].X, sh.ring[1].X
		switch sh.fill {
		case over(alarm.Fill, white, 0.75):
			worse, zero = append(worse, to-from), to
		case over(stock.Fill, white, 0.75):
			better = append(better, to-from)
			require.InDelta(t, float64(zero), float64(from), 1e-9)
		}
	}
	require.Len(t, worse, 8)
	require.Len(t, better, 8)
	for i, r := range m.Rows {
		require.InDelta(t, r.Bars[0].By/m.Rows[0].Bars[0].By, float64(worse[i]/worse[0]), 1e-9)
		require.InDelta(t, 0.5, float64(better[i]/worse[i]), 1e-9)
	}
}
