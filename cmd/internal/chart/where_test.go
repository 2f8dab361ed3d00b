package chart

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"
)

func TestWhereModel(t *testing.T) {
	in := whereOf(11, 3)
	w := NewWhere(in)
	require.Len(t, w.Columns, 3)
	total := 0
	for k, c := range w.Columns {
		sum := 0
		for i, n := range c.Counts {
			require.Equal(t, in.Counts[i][k], n)
			sum += n
		}
		require.Equal(t, sum, c.Total)
		total += sum
	}
	require.Equal(t, 125, total)
	require.Equal(t, []string{"125 of 200 runs had it, 75 did not."}, w.Facts)
	require.Equal(t, 39, w.Max)
}

// Bars are as long as their counts, on one scale for all causes.
func TestWhereBars(t *testing.T) {
	w := NewWhere(whereOf(11, 3))
	fills := map[any]int{}
	for i, c := range w.Columns {
		fills[c.Paint.Fill] = i
	}
	lengths := make([][]vg.Length, len(w.Columns))
	s := w.layout(w.Size())
	for _, sh := range s.shapes {
		if k, ok := fills[sh.fill]; ok && len(sh.ring) == 4 {
			lengths[k] = append(lengths[k], sh.ring[1].X-sh.ring[0].X)
		}
	}
	perRun := vg.Length(0)
	for k, c := range w.Columns {
		i := 0
		for _, n := range c.Counts {
			if n == 0 {
				continue
			}
			if perRun == 0 {
				perRun = lengths[k][i] / vg.Length(n)
			}
			require.InDelta(t, float64(perRun)*float64(n), float64(lengths[k][i]), 1e-9)
			i++
		}
		require.Len(t, lengths[k], i)
	}
}

func TestWhereRefuses(t *testing.T) {
	in := whereOf(3, 2)
	in.Edges = in.Edges[1:]
	require.Panics(t, func() { NewWhere(in) })
	in = whereOf(3, 2)
	in.Counts[1] = []int{1}
	require.Panics(t, func() { NewWhere(in) })
	in = whereOf(3, 2)
	in.Causes = nil
	require.Panics(t, func() { NewWhere(in) })
}
