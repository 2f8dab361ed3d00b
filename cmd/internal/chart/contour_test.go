package chart

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// enclosed is the area to the left of the outlines: of what is above the level.
func enclosed(outlines []outline) float64 {
	sum := 0.0
	for _, o := range outlines {
		for i, a := range o.knots {
			b := o.knots[(i+1)%len(o.knots)]
			sum += (a.x*b.y - b.x*a.y) / 2
		}
	}
	return sum
}

func filled(columns, rows int, f func(x, y float64) float64) *raster {
	r := &raster{columns: columns, rows: rows}
	for y := range rows {
		for x := range columns {
			r.v = append(r.v, f(float64(x), float64(y)))
		}
	}
	return r
}

// A cone is cut by a level in a circle.
func TestContourCircle(t *testing.T) {
	cone := filled(81, 81, func(x, y float64) float64 { return 40 - math.Hypot(x-40, y-40) })
	for _, radius := range []float64{6, 12, 30} {
		out := cone.above(40 - radius)
		require.Len(t, out, 1)
		lines := out[0].lines()
		require.Len(t, lines, 1)
		require.Equal(t, lines[0][0], lines[0][len(lines[0])-1])
		for _, k := range lines[0] {
			// tol: the cone is straight along its rays only
			require.InDelta(t, radius, math.Hypot(k.x-40, k.y-40), 0.05)
		}
		require.InDelta(t, math.Pi*radius*radius, enclosed(out), 0.02*math.Pi*radius*radius)
	}
}

// A hole runs the other way round, and a plane ends at the rim.
func TestContourRingAndRim(t *testing.T) {
	ring := filled(61, 61, func(x, y float64) float64 { return 5 - math.Abs(math.Hypot(x-30, y-30)-15) })
	out := ring.above(0)
	require.Len(t, out, 2)
	require.InDelta(t, math.Pi*(20*20-10*10), enclosed(out), 10)
	slope := filled(11, 6, func(x, _ float64) float64 { return x })
	out = slope.above(2.5)
	require.Len(t, out, 1)
	require.InDelta(t, 7.5*5, enclosed(out), 1e-12)
	lines := out[0].lines()
	require.Len(t, lines, 1)
	require.Equal(t, []knot{{2.5, 5}, {2.5, 4}, {2.5, 3}, {2.5, 2}, {2.5, 1}, {2.5, 0}}, lines[0])
	require.Empty(t, slope.above(10.1))
	out = slope.above(-1) // all of it: the rim alone
	require.Len(t, out, 1)
	require.InDelta(t, 50, enclosed(out), 1e-12)
	require.Empty(t, out[0].lines())
}

// Whatever the values: outlines close, stay on the grid, and enclose no more than
// all of it.
func TestContourProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		columns, rows := rapid.IntRange(2, 9).Draw(t, "columns"), rapid.IntRange(2, 9).Draw(t, "rows")
		r := &raster{columns: columns, rows: rows, v: rapid.SliceOfN(rapid.Float64Range(-3, 3), columns*rows, columns*rows).Draw(t, "v")}
		whole := float64((columns - 1) * (rows - 1))
		for _, level := range []float64{-4, -1, 0, 1, 2} {
			out := r.above(level)
			area := enclosed(out)
			require.True(t, area >= -1e-9 && area <= whole+1e-9, "%v of %v", area, whole)
			if level == -4 {
				require.InDelta(t, whole, area, 1e-9)
			}
			for _, o := range out {
				for i, k := range o.knots {
					require.True(t, k.x >= 0 && k.y >= 0 && k.x <= float64(columns-1) && k.y <= float64(rows-1))
					next := o.knots[(i+1)%len(o.knots)]
					require.LessOrEqual(t, math.Hypot(k.x-next.x, k.y-next.y), math.Sqrt2+1e-9)
				}
				for _, line := range o.lines() {
					require.Greater(t, len(line), 1)
				}
			}
		}
	})
}

// A finer raster goes through the values it was made from, and a plane stays
// one; a parabola is met exactly by a cubic.
func TestFinerRaster(t *testing.T) {
	f := func(x, y float64) float64 { return 3 + 2*x - y + 0.25*x*x }
	r := filled(9, 5, f)
	g := r.finer(4)
	require.Equal(t, 33, g.columns)
	require.Equal(t, 17, g.rows)
	for j := range g.rows {
		for i := range g.columns {
			x, y := float64(i)/4, float64(j)/4
			if i%4 == 0 && j%4 == 0 {
				require.InDelta(t, f(x, y), g.at(i, j), 1e-12)
			}
			if x >= 1 && x <= 7 { // the ends are carried on straight
				require.InDelta(t, f(x, y), g.at(i, j), 1e-12)
			}
		}
	}
}
