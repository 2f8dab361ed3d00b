package chart

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFanModel(t *testing.T) {
	in := fanOf(26)
	f := NewFan(in)
	require.Len(t, f.Panels, 1)
	p := f.Panels[0]
	require.Equal(t, seconds(in.Days[0]), seconds(f.From))
	require.Equal(t, seconds(in.Days[25])+day, seconds(f.To), "the last day is whole")
	require.Len(t, p.Lines, 5)
	require.Equal(t, []float64{100 * in.P50[0], 100 * in.P50[0], 100 * in.P50[1]}, p.Lines[2].Y[:3])
	require.Equal(t, 50.0, p.Levels[0].At)
	require.Len(t, p.Bands, 2)
	require.Equal(t, "37 %, 15 Mar", p.Points[0].Label)

	in.Low, in.High, in.Floor = nil, nil, 0
	p = NewFan(in).Panels[0]
	require.Len(t, p.Lines, 3)
	require.Empty(t, p.Levels)
	require.Len(t, p.Bands, 1)

	in.P10 = in.P10[1:]
	require.Panics(t, func() { NewFan(in) })
	require.Panics(t, func() { NewFan(FanInput{}) })
}

func TestBelowLevel(t *testing.T) {
	b := belowLevel(Band{X: []float64{0, 10}, Low: []float64{60, 40}, High: []float64{80, 70}}, 50, white)
	require.Equal(t, []float64{0, 5, 10}, b.X, "a point where the edge crosses")
	require.Equal(t, []float64{50, 50, 40}, b.Low)
	require.Equal(t, []float64{50, 50, 50}, b.High)
	b = belowLevel(Band{X: []float64{0, 10}, Low: []float64{40, 20}, High: []float64{80, 30}}, 50, white)
	require.Equal(t, []float64{0, 6, 10}, b.X)
	require.Equal(t, []float64{40, 28, 20}, b.Low)
	require.Equal(t, []float64{50, 50, 30}, b.High)
}
