package chart

import (
	"fmt"
	"image/color"
	"io"
	"math"
	"slices"
	"time"

	"gonum.org/v1/plot/vg"
)

// FanInput is what many weathers did to the state of charge, day by day. States
// of charge are shares, 0..1. P10, P50 and P90 are as long as Days; Low and
// High, the extremes, are so too or nil.
type FanInput struct {
	Title   string
	Facts   []string // sentences under the title
	About   string   // the statistic: "lowest of each day, 200 runs"
	Caption string
	Days    []time.Time // midnights UTC, ascending
	P10     []float64
	P50     []float64
	P90     []float64
	Low     []float64
	High    []float64
	Floor   float64 // 0 for none
}

// Fan is the picture of the odds: the median state of charge, the band that
// holds 8 runs of 10, and the floor.
type Fan struct{ Page }

// NewFan makes the page model. It panics if there are no days or the slices
// differ in length.
func NewFan(in FanInput) *Fan {
	n := len(in.Days)
	if n == 0 {
		panic("chart: a fan needs at least one day")
	}
	for _, v := range [][]float64{in.P10, in.P50, in.P90} {
		if len(v) != n {
			panic("chart: a fan needs its quantiles for each day")
		}
	}
	from, to := seconds(in.Days[0]), seconds(in.Days[n-1])+day
	// A day's value stands in the middle of the day; the first and last day are
	// carried to the edges.
	x := []float64{from}
	for _, d := range in.Days {
		x = append(x, seconds(d)+day/2)
	}
	x = append(x, to)
	y := func(v []float64) []float64 {
		out := make([]float64, 0, n+2)
		for i := -1; i <= n; i++ {
			out = append(out, held(100*v[max(0, min(n-1, i))], 0, 100))
		}
		return out
	}
	low, mid, high := y(in.P10), y(in.P50), y(in.P90)
	p := Panel{Title: "State of charge, %", About: clean(in.About), Share: 1, Max: 100}
	for k := range 6 {
		p.Ticks = append(p.Ticks, Tick{At: float64(20 * k), Label: fmt.Sprint(20 * k)})
	}
	p.Bands = []Band{{Name: "8 in 10", X: x, Low: low, High: high, Fill: over(stock.Fill, white, 0.3)}}
	if floor := 100 * in.Floor; floor > 0 {
		p.Bands = append(p.Bands, belowLevel(p.Bands[0], floor, over(alarm.Fill, white, 0.5)))
		p.Levels = []Level{{At: floor, Ink: alarm.Ink}}
		p.Ends = append(p.Ends, End{At: floor, Label: "floor " + percent(floor), Ink: alarm.Ink})
	}
	line := func(label string, v []float64, width vg.Length, dash bool) {
		p.Lines = append(p.Lines, Series{Name: label, X: x, Y: v, Ink: stock.Ink, Width: width, Dash: dash})
		p.Ends = append(p.Ends, End{At: v[n+1], Label: label, Ink: stock.Ink})
	}
	if in.Low != nil {
		line("lowest of all", y(in.Low), 0.6, true)
	}
	line("1 in 10 below", low, 0.5, false)
	line("median", mid, 1.5, false)
	line("1 in 10 above", high, 0.5, false)
	if in.High != nil {
		line("highest of all", y(in.High), 0.6, true)
	}
	var remarks []string
	if in.Floor > 0 && slices.Min(in.P10) < in.Floor {
		remarks = []string{"Tinted: below the floor."}
	}
	worst := 0
	for i := range in.P10 {
		if in.P10[i] < in.P10[worst] {
			worst = i
		}
	}
	p.Points = []Point{{
		X: x[worst+1], Y: low[worst+1], Ink: ink,
		Label: percent(low[worst+1]) + ", " + in.Days[worst].UTC().Format("2 Jan"),
	}}
	return &Fan{Page{
		Title: clean(in.Title), Facts: in.Facts, Caption: clean(in.Caption), Remarks: remarks,
		From: moment(from), To: moment(to),
		Panels: []Panel{p}, ByDay: true, Width: 8 * vg.Inch, Height: 5 * vg.Inch,
	}}
}

// WriteFile writes the picture; see the function WriteFile.
func (f *Fan) WriteFile(path string) error { return WriteFile(path, f) }

// Encode writes the picture as "png" or "svg".
func (f *Fan) Encode(w io.Writer, format string) error { return Encode(w, f, format) }

// belowLevel returns the part of a band below a level. Points are added where
// an edge of the band crosses it.
func belowLevel(b Band, level float64, fill color.RGBA) Band {
	out := Band{Fill: fill}
	add := func(x, low, high float64) {
		out.X = append(out.X, x)
		out.Low, out.High = append(out.Low, math.Min(low, level)), append(out.High, math.Min(high, level))
	}
	for i := range b.X {
		if i > 0 {
			crossing := func(v []float64) float64 {
				if (v[i-1] < level) == (v[i] < level) {
					return -1
				}
				return (level - v[i-1]) / (v[i] - v[i-1])
			}
			u, v := crossing(b.Low), crossing(b.High)
			for _, c := range []float64{math.Min(u, v), math.Max(u, v)} {
				if c > 0 && c < 1 {
					at := func(v []float64) float64 { return v[i-1] + c*(v[i]-v[i-1]) }
					add(at(b.X), at(b.Low), at(b.High))
				}
			}
		}
		add(b.X[i], b.Low[i], b.High[i])
	}
	return out
}
