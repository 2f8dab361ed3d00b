package chart

import (
	"image/color"
	"io"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Field is a picture of one quantity over two others: lines of equal value with
// their numbers on them, the one at nought boldest, white above it and tinted
// below, darker the farther below.
type Field struct {
	Title   string
	Facts   []string
	Name    string // of the quantity, with its unit
	About   string
	Remarks []string
	Caption string
	X, Y    FieldAxis
	// Values are by row, the first at Y.Min, each from X.Min to X.Max, at equal
	// steps.
	Values [][]float64
	Smooth bool      // the values do so: lines may be rounded between them
	Levels []float64 // ascending, nought among them
	Zero   string    // what the line at nought is called
	Points []FieldPoint
	Paths  []FieldPath
	Width  vg.Length
	Height vg.Length
}

// FieldAxis is one axis of a field.
type FieldAxis struct {
	Min, Max float64
	Name     string // with its unit
	Ticks    []Tick // a Tick with a Label alone, and no line, if Bare
	Bare     bool   // ticks name the stretches between lines, which are at Lines
	Lines    []float64
}

// FieldPoint is a point with words.
type FieldPoint struct {
	X, Y  float64
	Label string
}

// FieldPath is a line with a name at its end.
type FieldPath struct {
	X, Y  []float64
	Label string
}

// WriteFile writes the picture; see the function WriteFile.
func (p *Field) WriteFile(path string) error { return WriteFile(path, p) }

// Encode writes the picture as "png" or "svg".
func (p *Field) Encode(w io.Writer, format string) error { return Encode(w, p, format) }

// Size returns the size of the page.
func (p *Field) Size() (width, height vg.Length) { return p.Width, p.Height }

// Draw draws the picture to fill the canvas.
func (p *Field) Draw(c draw.Canvas) {
	size := c.Size()
	p.layout(size.X, size.Y).draw(c)
}

// The ends of the two ranges of colour: just above nought and far above, just
// below and far below. Each step down is darker, in grey and in red light.
var (
	gains, gainsMost = hex(0xFFFFFF), hex(0xE2EEF8)
	loses, losesMost = hex(0xDCC3AF), hex(0xA3775A)
)

// fills returns the colours between levels, from below the lowest to above the
// highest, by the end that is nearer to nought: the same value has the same
// colour in every picture.
func fills(levels []float64) []color.RGBA {
	depth := func(x float64) float64 { return min(1, math.Log1p(x)/math.Log1p(200)) }
	var out []color.RGBA
	for i := range len(levels) + 1 {
		switch {
		case i < len(levels) && levels[i] <= 0:
			out = append(out, over(losesMost, loses, depth(-levels[i])))
		default:
			out = append(out, over(gainsMost, gains, depth(levels[i-1])))
		}
	}
	return out
}

// fieldLevels returns nought and round values on both sides of it as far as the
// values go: closer near nought, at most six a side, or equal steps where the
// values differ by less than that tells apart.
func fieldLevels(values [][]float64) []float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, row := range values {
		low, high = min(low, slices.Min(row)), max(high, slices.Max(row))
	}
	side := func(most float64) []float64 {
		var out []float64
		for p := 1.0; p < 1e6; p *= 10 {
			for _, m := range []float64{1, 2, 5} {
				if x := m * p; x < most {
					out = append(out, x)
				}
			}
		}
		return out[max(0, len(out)-6):]
	}
	var out []float64
	for _, x := range slices.Backward(side(-low)) {
		out = append(out, -x)
	}
	out = append(out, 0)
	out = append(out, side(high)...)
	seen := 0
	for _, x := range out {
		if x > low && x < high {
			seen++
		}
	}
	if seen >= 4 || high-low < 1 {
		return out
	}
	step := pace(high-low, 8)
	out = []float64{0}
	for k := math.Ceil(low / step); k*step < high; k++ {
		if x := k * step; x > low && x != 0 {
			out = append(out, x)
		}
	}
	slices.Sort(out)
	return out
}

// signed writes a value with its sign, nought without one.
func signed(x float64) string {
	if short(math.Abs(x)) == "0" {
		return "0"
	}
	if x < 0 {
		return "−" + short(-x)
	}
	return "+" + short(x)
}
