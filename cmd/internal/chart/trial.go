package chart

import (
	"fmt"
	"image/color"
	"io"
	"math"
	"slices"
	"time"

	"gonum.org/v1/plot/vg"

	"ampwake/sim"
)

// TrialInput is what a log read beside what was fitted to it. States of charge are
// shares, 0..1, all as long as Times.
type TrialInput struct {
	Title   string
	Facts   []string // sentences under the title
	Caption string
	Trace   *sim.Trace // of the fitted voyage, for nights and ship's noon; may be nil
	Floor   float64    // 0 for none

	Times     []time.Time
	Fitted    []float64
	Low, High []float64 // 8 in 10
	Planned   []float64 // as planned, in the log's weather

	Readings []Reading
}

// Reading is one reading of a log.
type Reading struct {
	Time   time.Time
	Count  bool    // of an amp-hour counter, Ah; else of a voltage, V
	Charge float64 // state of charge that a voltage tells of by itself, 0..1
	Off    float64 // reading less fit
	Sigma  float64 // standard deviation of its noise
	Odd    bool
}

// Trial is the picture of a trial sail: the charge that the readings tell of with
// the fitted curve, and how far each reading lies from it.
type Trial struct{ Page }

// NewTrial makes the page model. It panics if there are fewer than two times or
// the slices differ in length.
func NewTrial(in TrialInput) *Trial {
	n := len(in.Times)
	if n < 2 {
		panic("chart: a trial needs two times at least")
	}
	for _, v := range [][]float64{in.Fitted, in.Low, in.High, in.Planned} {
		if len(v) != n {
			panic("chart: a trial needs its curves at each time")
		}
	}
	x := make([]float64, n)
	for i, t := range in.Times {
		x[i] = seconds(t)
	}
	charge := chargePanel(in.Floor, 5.0/8)
	charge.About = "fitted to the log, with the band of 8 in 10; dots: voltages by themselves"
	charge.Bands = append([]Band{{Name: "8 in 10", X: x, Low: shares(in.Low), High: shares(in.High), Fill: over(stock.Fill, white, 0.3)}}, charge.Bands...)
	charge.line(Series{Name: "as planned", X: x, Y: shares(in.Planned), Ink: quiet, Width: 0.8, Dash: true})
	charge.line(Series{Name: "fitted", X: x, Y: shares(in.Fitted), Ink: stock.Ink, Width: 1.4})
	volts := residuals("Voltages less the fit, V", "dashed: noise of a reading; 1 in 3 lies beyond", 0.05, in.Readings, false)
	panels := []Panel{charge}
	if volts.Points != nil {
		panels = append(panels, volts)
	}
	if counted := residuals("Counter less the model, Ah", "from one reading to the next: what the log did not tell; dashed: as expected", 1, in.Readings, true); counted.Points != nil {
		panels = append(panels, counted)
	}
	for _, r := range in.Readings {
		if !r.Count {
			panels[0].Points = append(panels[0].Points, Point{X: seconds(r.Time), Y: 100 * r.Charge, Ink: dotInk(r)})
		}
	}
	p := &Trial{Page{
		Title: clean(in.Title), Facts: in.Facts, Caption: clean(in.Caption),
		From: in.Times[0].UTC(), To: in.Times[n-1].UTC(), Panels: panels, Width: 8 * vg.Inch, Height: 7 * vg.Inch,
		Remarks: []string{"Dashed: the boat as planned, in the log’s weather and at its speeds."},
	}}
	if in.Trace != nil && seconds(in.Times[n-1])-seconds(in.Times[0]) <= threeHoursUpTo {
		p.Nights, p.Noons = Nights(in.Trace), Noons(in.Trace)
	}
	return p
}

// WriteFile writes the picture; see the function WriteFile.
func (p *Trial) WriteFile(path string) error { return WriteFile(path, p) }

// Encode writes the picture as "png" or "svg".
func (p *Trial) Encode(w io.Writer, format string) error { return Encode(w, p, format) }

// chargePanel is a panel of the state of charge from 0 to 100 % with its floor.
func chargePanel(floor, share float64) Panel {
	p := Panel{Title: "State of charge, %", Share: share, Max: 100}
	for k := range 6 {
		p.Ticks = append(p.Ticks, Tick{At: float64(20 * k), Label: fmt.Sprint(20 * k)})
	}
	if floor > 0 {
		p.Levels = []Level{{At: 100 * floor, Ink: alarm.Ink}}
		p.Ends = []End{{At: 100 * floor, Label: "floor " + percent(100*floor), Ink: alarm.Ink}}
	}
	return p
}

// line adds a line with its name and last value at the right edge.
func (p *Panel) line(s Series) {
	p.Lines = append(p.Lines, s)
	last := s.Y[len(s.Y)-1]
	p.Ends = append(p.Ends, End{At: last, Label: s.Name, Value: percent(last), Ink: s.Ink})
}

// shares turns shares into per cent.
func shares(v []float64) []float64 {
	out := make([]float64, len(v))
	for i, x := range v {
		out[i] = held(100*x, 0, 100)
	}
	return out
}

func dotInk(r Reading) color.RGBA {
	if r.Odd {
		return alarm.Ink
	}
	return ink
}

// residuals makes a panel of how far readings lie from the fit. It has no points
// if there are none of the kind.
func residuals(title, about string, least float64, all []Reading, count bool) Panel {
	p := Panel{Title: title, About: about, Share: 1.5 / 8}
	most := least
	var sigmas []float64
	for _, r := range all {
		if r.Count != count {
			continue
		}
		p.Points = append(p.Points, Point{X: seconds(r.Time), Y: r.Off, Ink: dotInk(r)})
		sigmas = append(sigmas, r.Sigma)
		most = math.Max(most, math.Max(math.Abs(r.Off), r.Sigma))
	}
	most = nice(1.1 * most)
	p.Min, p.Max = -most, most
	for i := range p.Points {
		p.Points[i].Y = held(p.Points[i].Y, -most, most)
	}
	if n := len(sigmas); n > 0 {
		slices.Sort(sigmas)
		x := []float64{p.Points[0].X, p.Points[n-1].X}
		for _, at := range []float64{-sigmas[n/2], sigmas[n/2]} {
			p.Lines = append(p.Lines, Series{Name: "noise", X: x, Y: []float64{at, at}, Ink: stock.Ink, Width: 0.6, Dash: true})
		}
	}
	p.Ticks = ticks(-most, most, pace(2*most, 4))
	for i := range p.Ticks {
		p.Ticks[i].Strong = math.Abs(p.Ticks[i].At) < 1e-9
	}
	return p
}
