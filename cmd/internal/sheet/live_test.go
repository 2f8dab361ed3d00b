package sheet

import (
	"encoding/json"
	"image/color"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ampwake/cmd/internal/chart"
)

// liveIn is what the script of a page reads, by a reader of its own.
type liveIn struct {
	From, To, Closer, Start float64
	Zones, Nights           [][2]float64
	Panels                  []struct {
		Title, Unit string
		Min, Max    float64
		Stack       bool
		X           []float64
		Series      []struct {
			Name string
			Ink  []string
			Fill []string
			Y    []*float64
		}
		Rows []struct {
			Marks []float64
			Spans [][2]float64
		}
		Points []struct{ At, Y float64 }
	}
}

func liveFrom(t testing.TB, page []byte) liveIn {
	t.Helper()
	for _, m := range raw.FindAllSubmatch(page, -1) {
		var in liveIn
		if json.Unmarshal(m[3], &in) == nil {
			return in
		}
	}
	require.Fail(t, "no data in the page")
	return liveIn{}
}

func TestLivePassage(t *testing.T) {
	r, opt := sail(t, "radio-cover")
	page := written(t, Run(r, opt))
	l := liveFrom(t, page)
	require.Equal(t, float64(r.Depart.Unix()), l.From)
	require.InDelta(t, r.End.Sub(r.Depart).Seconds(), l.To, 1)
	require.Len(t, l.Panels, 5)
	titles := []string{}
	for _, p := range l.Panels {
		titles = append(titles, p.Title)
		require.LessOrEqual(t, len(p.X), mostPoints+200, p.Title)
		require.True(t, slices.IsSorted(p.X))
		require.Equal(t, len(p.X), len(slices.Compact(slices.Clone(p.X))), "no time twice")
		require.Zero(t, p.X[0])
		require.Equal(t, l.To, p.X[len(p.X)-1])
		for _, s := range p.Series {
			require.Len(t, s.Y, len(p.X))
			require.NotEmpty(t, s.Name)
			require.NotEqual(t, s.Ink[0], s.Ink[1], "a colour for the night")
		}
	}
	require.Equal(t, []string{"State of charge, %", "In, by source, A", "Out, by load, A", "Speed through the water, kn", "Latitude"}, titles)

	// Thinned, the line keeps its lowest and its highest point.
	low, high := math.Inf(1), math.Inf(-1)
	for _, y := range l.Panels[0].Series[0].Y {
		low, high = min(low, *y), max(high, *y)
	}
	require.InDelta(t, 100*float64(r.Lowest.Charge), low, 0.0051)
	top := 0.0
	for _, c := range r.Trace.Charge {
		top = max(top, 100*float64(c))
	}
	require.InDelta(t, top, high, 0.0051)
	require.InDelta(t, r.Lowest.Time.Sub(r.Depart).Seconds(), l.Start, 1, "the reading begins at the lowest")

	// What the layers hold is what the loads used, to the rounding of the file.
	var out float64
	p := l.Panels[2]
	for _, s := range p.Series {
		for i := 1; i < len(p.X); i++ {
			out += *s.Y[i-1] * (p.X[i] - p.X[i-1]) / 3600
		}
	}
	used := 0.0
	for _, x := range r.Loads {
		used += float64(x.Charge)
	}
	require.InEpsilon(t, used, out, 0.005)

	// Nights and ship's zones are those of the trace.
	nights := chart.Nights(r.Trace)
	require.Len(t, l.Nights, len(nights))
	require.InDelta(t, nights[3].From-l.From, l.Nights[3][0], 0.51)
	var zones [][2]float64
	for i, z := range r.Trace.Zone[:len(r.Trace.Zone)-1] {
		if i == 0 || z != r.Trace.Zone[i-1] {
			zones = append(zones, [2]float64{float64(r.Trace.Time[i].Unix() - r.Depart.Unix()), float64(z)}) // to the second
		}
	}
	require.Greater(t, len(zones), 2)
	require.Equal(t, zones, l.Zones)
}

// Misses are marked where they were.
func TestLiveMisses(t *testing.T) {
	r, opt := sail(t, "doldrums-week")
	l := liveFrom(t, written(t, Run(r, opt)))
	require.Len(t, l.Panels[0].Rows, 1)
	require.Len(t, l.Panels[0].Rows[0].Marks, len(r.Misses))
	for i, m := range r.Misses {
		require.InDelta(t, m.Slot.Sub(r.Depart).Seconds(), l.Panels[0].Rows[0].Marks[i], 0.51)
	}
}

// A file of seven weeks fits where bytes are dear.
func TestSize(t *testing.T) {
	r, opt := sail(t, "southern-ocean")
	require.Greater(t, r.End.Sub(r.Depart), 45*24*time.Hour)
	require.Less(t, len(written(t, Run(r, opt))), 1_000_000)
}

// Lines with times of their own share one row of times; a jump takes a second.
func TestLinesOnOneRow(t *testing.T) {
	c := color.RGBA{A: 255}
	p := &chart.Page{From: time.Unix(1000, 0).UTC(), To: time.Unix(1100, 0).UTC(), Panels: []chart.Panel{{
		Title: "Both, kn", Share: 1, Max: 10,
		Lines: []chart.Series{
			{Name: "one", X: []float64{1000, 1050, 1050, 1100}, Y: []float64{1, 1, 2, 2}, Ink: c},
			{Name: "two", X: []float64{1000, 1020, 1100}, Y: []float64{5, 6, 7}, Ink: c},
		},
		Ends: []chart.End{{At: 2, Label: "one", Ink: c}, {At: 7, Label: "mean 6 kn", Ink: c}, {At: 7, Label: "33°S", Ink: c}},
	}}}
	l := liveOf(p, nil)
	q := l.Panels[0]
	require.Equal(t, []int64{0, 20, 50, 51, 100}, q.X)
	text, err := json.Marshal([][]value{q.Series[0].Y, q.Series[1].Y})
	require.NoError(t, err)
	require.Equal(t, "[[1,null,1,2,2],[5,6,null,null,7]]", string(text))
	require.Equal(t, "kn", q.Unit)
	require.Equal(t, []string{"mean 6 kn", "ends at 33°S"}, q.notes, "the name of a line is no note")
	require.Equal(t, 50.0, l.Start)
}

func TestLiveOdds(t *testing.T) {
	o, opt := many(t, 12, "southern-ocean", "bank.capacity=120Ah")
	s := Odds(o, opt)
	l := liveOf(s.Sections[0].Figure.Live, nil)
	require.True(t, l.ByDay)
	p := l.Panels[0]
	names := []string{}
	for _, x := range p.Series {
		names = append(names, x.Name)
	}
	require.Equal(t, []string{"lowest of all", "1 in 10 below", "median", "1 in 10 above", "highest of all"}, names)
	require.Equal(t, "8 in 10", p.Bands[0].Name)
	require.Equal(t, "floor 50 %", p.Levels[0].Label)
	require.Len(t, p.Bands[0].Low, len(p.Bands[0].X))
	require.Empty(t, p.notes)
	require.Empty(t, l.Nights)
}

func TestMeansOf(t *testing.T) {
	const day = 24 * time.Hour
	for days, want := range map[int]time.Duration{1: 10 * time.Minute, 13: 10 * time.Minute, 14: 30 * time.Minute, 45: time.Hour, 100: 3 * time.Hour, 400: 6 * time.Hour, 900: 12 * time.Hour} {
		got := meansOf(time.Duration(days) * day)
		require.Equal(t, want, got, days)
		require.LessOrEqual(t, int(time.Duration(days)*day/got), mostPoints)
	}
}
