package chart

import (
	"io"
	"time"

	"gonum.org/v1/plot/vg"
)

// TraceSheetInput is where she stands beside the plan, and the band ahead. States of
// charge are shares, 0..1.
type TraceSheetInput struct {
	Title   string
	Facts   []string // sentences under the title
	Caption string
	Floor   float64 // 0 for none
	Now     time.Time
	To      time.Time // end of the sheet, after Now

	Plan, Ahead BandInput // so far as planned, and from now on
	Times       []time.Time
	Log         []float64 // by the log, at Times
	Readings    []Reading // of voltages
}

// BandInput is a band with its median; all slices are as long as Times, two at
// least.
type BandInput struct {
	Times         []time.Time
	P10, P50, P90 []float64
}

// TraceSheet is the trace sheet of a noon: the planned band with the pencil line of the
// log over it, and the fresh band from there to arrival, to pencil on.
type TraceSheet struct{ Page }

// NewTraceSheet makes the page model. It panics if a band has fewer than two times.
func NewTraceSheet(in TraceSheetInput) *TraceSheet {
	if len(in.Plan.Times) < 2 || len(in.Ahead.Times) < 2 || len(in.Times) < 1 {
		panic("chart: a trace sheet needs both bands and a line")
	}
	p := chargePanel(in.Floor, 1)
	p.About = "grey: planned band so far, 8 in 10; black: by the log; blue: from here on, 8 in 10"
	band := func(b BandInput, name string, fill Band, s Series) {
		x := make([]float64, len(b.Times))
		for i, t := range b.Times {
			x[i] = seconds(t)
		}
		fill.Name, fill.X, fill.Low, fill.High = name, x, shares(b.P10), shares(b.P90)
		s.Name, s.X, s.Y = name, x, shares(b.P50)
		p.Bands = append(p.Bands, fill)
		p.Lines = append(p.Lines, s)
	}
	band(in.Plan, "planned", Band{Fill: over(quiet, white, 0.3)}, Series{Ink: quiet, Width: 0.8, Dash: true})
	band(in.Ahead, "ahead", Band{Fill: over(stock.Fill, white, 0.3)}, Series{Ink: stock.Ink, Width: 1.2})
	n := len(in.Ahead.Times) - 1
	p.Ends = append(
		p.Ends,
		End{At: 100 * in.Ahead.P90[n], Label: "1 in 10 above", Ink: stock.Ink},
		End{At: 100 * in.Ahead.P50[n], Label: "median", Ink: stock.Ink},
		End{At: 100 * in.Ahead.P10[n], Label: "1 in 10 below", Ink: stock.Ink},
	)
	pencil := Series{Name: "log", Ink: ink, Width: 1.3}
	for i, t := range in.Times {
		pencil.X = append(pencil.X, seconds(t))
		pencil.Y = append(pencil.Y, held(100*in.Log[i], 0, 100))
	}
	p.Lines = append(p.Lines, pencil)
	for _, r := range in.Readings {
		p.Points = append(p.Points, Point{X: seconds(r.Time), Y: 100 * r.Charge, Ink: dotInk(r)})
	}
	last := in.Log[len(in.Log)-1]
	p.Points = append(p.Points, Point{X: seconds(in.Now), Y: 100 * last, Ink: ink, Label: in.Now.UTC().Format("2 Jan 15:04") + ": " + percent(100*last)})
	return &TraceSheet{Page{
		Title: clean(in.Title), Facts: in.Facts, Caption: clean(in.Caption),
		From: in.Plan.Times[0].UTC(), To: in.To.UTC(), Panels: []Panel{p}, ByDay: true,
		Remarks: []string{"Pencil the charge at noon over the blue band. Dots: voltages by themselves."},
		Width:   8 * vg.Inch, Height: 5 * vg.Inch,
	}}
}

// WriteFile writes the picture; see the function WriteFile.
func (p *TraceSheet) WriteFile(path string) error { return WriteFile(path, p) }

// Encode writes the picture as "png" or "svg".
func (p *TraceSheet) Encode(w io.Writer, format string) error { return Encode(w, p, format) }
