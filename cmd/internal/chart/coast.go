package chart

import (
	"math"

	"gonum.org/v1/plot/vg"

	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// The coast is drawn from squares of one degree. A surface of cubic B-splines is
// laid over them, 1 on land and 0 at sea, and cut at a level: a soft line that
// follows the edges of the squares. At this level a square of land by itself,
// which lifts the surface to (2/3)², stays an island, and two that touch at a
// corner, (23/24)²/2 there, stay joined.
const shore = 0.4

// landAt returns the height of that surface.
func landAt(lat, lon float64) float64 {
	// Squares have their middles at half degrees.
	y, x := lat-0.5, lon-0.5
	row, column := math.Floor(y), math.Floor(x)
	wy, wx := basis(y-row), basis(x-column)
	sum := 0.0
	for j := range 4 {
		cell := row + float64(j) - 0.5
		if math.Abs(cell) > 90 {
			continue
		}
		for i := range 4 {
			place := track.Position{Lat: units.Degrees(cell), Lon: units.Degrees(column + float64(i) - 0.5)}
			if climate.Land(place) {
				sum += wy[j] * wx[i]
			}
		}
	}
	return sum
}

// basis returns the weights of the uniform cubic B-spline at a share of the way
// between the two middle ones of four knots.
func basis(u float64) [4]float64 {
	v := 1 - u
	return [4]float64{
		v * v * v / 6,
		(4 - 6*u*u + 3*u*u*u) / 6,
		(4 - 6*v*v + 3*v*v*v) / 6,
		u * u * u / 6,
	}
}

// land returns the coasts of a map: the rings of the land, and the lines of the
// coast without the edges of the map.
func (f *chartFrame) land() (rings, coasts [][]vg.Point) {
	const cell = 3 // points
	columns := max(8, int(f.data.Max.X-f.data.Min.X)/cell)
	rows := max(8, int(f.data.Max.Y-f.data.Min.Y)/cell)
	r := &raster{columns: columns + 1, rows: rows + 1}
	east := func(x float64) float64 { return -f.half + 2*f.half*x/float64(columns) }
	up := func(y float64) float64 { return f.south + (f.north-f.south)*y/float64(rows) }
	for j := range rows + 1 {
		lat := latitudeOf(up(float64(j)))
		for i := range columns + 1 {
			r.v = append(r.v, landAt(lat, f.middle+east(float64(i))))
		}
	}
	onPage := func(knots []knot) []vg.Point {
		line := make([]vg.Point, len(knots))
		for i, k := range knots {
			line[i] = f.on(east(k.x), up(k.y))
		}
		return slim(line, 0.12)
	}
	for _, o := range r.above(shore) {
		rings = append(rings, onPage(o.knots))
		for _, line := range o.lines() {
			coasts = append(coasts, onPage(line))
		}
	}
	return rings, coasts
}

// slim leaves out points of a line that lie within some distance of the line
// through those kept (Douglas and Peucker 1973).
func slim(line []vg.Point, within float64) []vg.Point {
	if len(line) < 4 {
		return line
	}
	keep := make([]bool, len(line))
	keep[0], keep[len(line)-1] = true, true
	spans := [][2]int{{0, len(line) - 1}}
	if line[0] == line[len(line)-1] { // closed: the far point splits it
		far, at := -1.0, 0
		for i, p := range line {
			if d := math.Hypot(float64(p.X-line[0].X), float64(p.Y-line[0].Y)); d > far {
				far, at = d, i
			}
		}
		keep[at] = true
		spans = [][2]int{{0, at}, {at, len(line) - 1}}
	}
	for len(spans) > 0 {
		a, b := spans[len(spans)-1][0], spans[len(spans)-1][1]
		spans = spans[:len(spans)-1]
		far, at := within, -1
		for i := a + 1; i < b; i++ {
			if d := offLine(line[i], line[a], line[b]); d > far {
				far, at = d, i
			}
		}
		if at >= 0 {
			keep[at] = true
			spans = append(spans, [2]int{a, at}, [2]int{at, b})
		}
	}
	var out []vg.Point
	for i, p := range line {
		if keep[i] {
			out = append(out, p)
		}
	}
	return out
}

// offLine returns how far p is from the piece between a and b.
func offLine(p, a, b vg.Point) float64 {
	x, y := float64(b.X-a.X), float64(b.Y-a.Y)
	u := 0.0
	if d := x*x + y*y; d > 0 {
		u = max(0, min(1, (float64(p.X-a.X)*x+float64(p.Y-a.Y)*y)/d))
	}
	return math.Hypot(float64(p.X-a.X)-u*x, float64(p.Y-a.Y)-u*y)
}

// anyLand reports whether at least one part in fifty of the map is land.
func (f *chartFrame) anyLand() bool {
	const n = 24
	hits := 0
	for i := range n {
		for j := range n {
			lat := latitudeOf(f.south + (f.north-f.south)*(float64(j)+0.5)/n)
			lon := f.middle - f.half + 2*f.half*(float64(i)+0.5)/n
			if landAt(lat, lon) >= shore {
				hits++
			}
		}
	}
	return hits >= n*n/50
}
