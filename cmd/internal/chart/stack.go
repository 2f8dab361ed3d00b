package chart

import (
	"cmp"
	"fmt"
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
)

// mostLayers is how many colours a stack may have.
const mostLayers = 5

// draw paints the pile from the bottom to the top. Each layer has a thin dark
// upper edge, which keeps layers apart in grey and in red light. What is above
// the panel is cut off.
func (st *Stack) draw(s *scene, f *frame) {
	lower := make([]float64, len(st.Edges)-1)
	for _, l := range st.Layers {
		upper := make([]float64, len(lower))
		for i := range lower {
			upper[i] = lower[i] + l.Values[i]
		}
		st.fill(s, f, lower, upper, l.Paint.Fill)
		st.edge(s, f, lower, upper, false, l.Paint.Ink, 0.45)
		lower = upper
	}
	if st.Offered != nil {
		st.edge(s, f, lower, st.Offered, true, quiet, 0.7)
	}
}

// runs calls do with the bins, first and one past the last, of each run in
// which the layer is thicker than least points.
func (st *Stack) runs(f *frame, lower, upper []float64, least vg.Length, do func(i, j int)) {
	for i := 0; i < len(lower); {
		j := i
		for j < len(lower) && f.y(upper[j])-f.y(lower[j]) > least {
			j++
		}
		if j > i {
			do(i, j)
		}
		i = max(j, i+1)
	}
}

func (st *Stack) fill(s *scene, f *frame, lower, upper []float64, paint color.RGBA) {
	st.runs(f, lower, upper, 0, func(i, j int) {
		down := st.steps(f, lower, i, j)
		slices.Reverse(down)
		s.area(append(st.steps(f, upper, i, j), down...), paint)
	})
}

// edge draws a line along upper where it is above lower and within the panel;
// with sides, down to lower at the ends of each run.
func (st *Stack) edge(s *scene, f *frame, lower, upper []float64, sides bool, c color.RGBA, width vg.Length) {
	inside := slices.Clone(upper)
	for i, y := range upper {
		if y > f.y1 {
			inside[i] = lower[i]
		}
	}
	st.runs(f, lower, inside, 0.3, func(i, j int) {
		line := st.steps(f, upper, i, j)
		if sides {
			first, last := line[0], line[len(line)-1]
			first.Y, last.Y = f.y(lower[i]), f.y(lower[j-1])
			line = slices.Concat([]vg.Point{first}, line, []vg.Point{last})
		}
		s.stroke(line, c, width)
	})
}

// steps returns the values of bins i..j-1 as a line of steps.
func (st *Stack) steps(f *frame, v []float64, i, j int) []vg.Point {
	out := make([]vg.Point, 0, 2*(j-i))
	for k := i; k < j; k++ {
		y := f.y(v[k])
		out = append(out, vg.Point{X: f.x(st.Edges[k]), Y: y}, vg.Point{X: f.x(st.Edges[k+1]), Y: y})
	}
	return out
}

// part is one source or load before it is stacked.
type part struct {
	name   string
	paint  Paint
	values []float64
	charge float64 // drawn, Ah over the voyage
	of     float64 // offered, of which charge was taken, Ah; for sources
	named  bool    // never becomes "other"
}

// pile makes a stack: what gave nothing is left out, beyond five the smallest
// become "other", and the steady lies below the flickering, so that lower edges
// stay readable.
func pile(edges []float64, parts []part) (*Stack, []part) {
	parts = slices.DeleteFunc(slices.Clone(parts), func(p part) bool { return slices.Max(p.values) <= 0 })
	slices.SortStableFunc(parts, func(a, b part) int {
		if a.named != b.named {
			if a.named {
				return -1
			}
			return 1
		}
		return cmp.Compare(b.charge, a.charge)
	})
	if len(parts) > mostLayers {
		rest := parts[mostLayers-1:]
		other := part{name: fmt.Sprintf("other (%d)", len(rest)), values: make([]float64, len(edges)-1)}
		other.paint, _ = byKind(Other)
		for _, p := range rest {
			other.charge += p.charge
			other.of += p.of
			for i, v := range p.values {
				other.values[i] += v
			}
		}
		parts = append(parts[:mostLayers-1:mostLayers-1], other)
	}
	slices.SortStableFunc(parts, func(a, b part) int { return cmp.Compare(flicker(a.values), flicker(b.values)) })
	st := &Stack{Edges: edges}
	for _, p := range parts {
		st.Layers = append(st.Layers, Layer{Name: p.name, Paint: p.paint, Values: p.values})
	}
	return st, parts
}

// flicker returns how much a series changes from bin to bin, as a share of its
// mean.
func flicker(v []float64) float64 {
	change, sum := 0.0, v[0]
	for i := 1; i < len(v); i++ {
		change += math.Abs(v[i] - v[i-1])
		sum += v[i]
	}
	return change / max(sum, 1e-9)
}

// top returns the height of the pile at its highest.
func (st *Stack) top() float64 {
	high := 0.0
	for i := range len(st.Edges) - 1 {
		sum := 0.0
		for _, l := range st.Layers {
			sum += l.Values[i]
		}
		high = max(high, sum)
	}
	return high
}

// ends returns where the names of the layers belong: the middle of each layer
// by its mean over the last tenth of the time.
func (st *Stack) ends() []float64 {
	n := len(st.Edges) - 1
	tail := max(1, n/10)
	out := make([]float64, len(st.Layers))
	below := 0.0
	for k, l := range st.Layers {
		mean := 0.0
		for _, v := range l.Values[n-tail:] {
			mean += v / float64(tail)
		}
		out[k] = below + mean/2
		below += mean
	}
	return out
}
