package chart

import "math"

// raster is values at the knots of a regular grid, row by row, the first row at
// the bottom.
type raster struct {
	columns, rows int
	v             []float64
}

// knot is a place on the grid, in columns and rows.
type knot struct{ x, y float64 }

// outline is a closed line around where a raster is at or above a level: that
// part lies on its left hand. Rim tells of each knot whether the piece that
// begins there runs along the rim of the grid.
type outline struct {
	knots []knot
	rim   []bool
}

func (r *raster) at(column, row int) float64 {
	if column < 0 || row < 0 || column >= r.columns || row >= r.rows {
		return math.Inf(-1) // beyond the rim all is below
	}
	return r.v[row*r.columns+column]
}

// The sides of a square of the grid.
const (
	south = iota
	east
	north
	west
)

// squares lists, by which corners are above (1 south-west, 2 south-east, 4
// north-east, 8 north-west), the pieces of outline inside a square: from one
// side to another, the part above on the left. Five and ten are saddles; here
// their corners are apart.
var squares = [16][][2]int{
	1: {{south, west}}, 2: {{east, south}}, 3: {{east, west}}, 4: {{north, east}},
	5: {{south, west}, {north, east}}, 6: {{north, south}}, 7: {{north, west}}, 8: {{west, north}},
	9: {{south, north}}, 10: {{east, south}, {west, north}}, 11: {{east, north}}, 12: {{west, east}},
	13: {{south, east}}, 14: {{west, south}},
}

// joined are the saddles whose middle is above.
var joined = map[int][][2]int{5: {{south, east}, {north, west}}, 10: {{west, south}, {east, north}}}

// side is one side of a square: that to the east of a knot, or to the north.
type side struct {
	column, row int
	upright     bool
}

// above returns the outlines of where the raster is at or above a level
// (marching squares, linear along each side).
func (r *raster) above(level float64) []outline {
	type piece struct {
		to  side
		rim bool
	}
	next := map[side]piece{}
	var order []side // a map has none of its own
	for row := -1; row < r.rows; row++ {
		for column := -1; column < r.columns; column++ {
			a, b := r.at(column, row), r.at(column+1, row)
			c, d := r.at(column+1, row+1), r.at(column, row+1)
			kind := 0
			for i, v := range [4]float64{a, b, c, d} {
				if v >= level {
					kind |= 1 << i
				}
			}
			pieces := squares[kind]
			if (kind == 5 || kind == 10) && (a+b+c+d)/4 >= level {
				pieces = joined[kind]
			}
			sides := [4]side{
				south: {column, row, false}, east: {column + 1, row, true},
				north: {column, row + 1, false}, west: {column, row, true},
			}
			rim := column < 0 || row < 0 || column == r.columns-1 || row == r.rows-1
			for _, p := range pieces {
				from := sides[p[0]]
				next[from] = piece{sides[p[1]], rim}
				order = append(order, from)
			}
		}
	}
	var out []outline
	for _, start := range order {
		var o outline
		for at := start; ; {
			p, ok := next[at]
			if !ok {
				break
			}
			delete(next, at)
			o.knots, o.rim = append(o.knots, r.crossing(at, level)), append(o.rim, p.rim)
			at = p.to
		}
		if len(o.knots) > 2 {
			out = append(out, o)
		}
	}
	return out
}

// crossing returns where the raster passes a level on a side of a square. With
// one end beyond the rim that is the other end.
func (r *raster) crossing(s side, level float64) knot {
	column, row := s.column, s.row
	if s.upright {
		row++
	} else {
		column++
	}
	a, b := r.at(s.column, s.row), r.at(column, row)
	share := (level - a) / (b - a)
	switch {
	case math.IsInf(a, -1):
		share = 1
	case math.IsInf(b, -1):
		share = 0
	}
	if s.upright {
		return knot{float64(s.column), float64(s.row) + share}
	}
	return knot{float64(s.column) + share, float64(s.row)}
}

// lines returns the parts of an outline that do not run along the rim: open
// lines, or the whole of one that stays inside, with its first knot repeated at
// the end.
func (o *outline) lines() [][]knot {
	n := len(o.knots)
	first := -1
	for i, rim := range o.rim {
		if rim {
			first = i
			break
		}
	}
	if first < 0 {
		return [][]knot{append(append([]knot{}, o.knots...), o.knots[0])}
	}
	var out [][]knot
	var line []knot
	for k := range n {
		i := (first + 1 + k) % n
		line = append(line, o.knots[i])
		if o.rim[i] {
			if len(line) > 1 {
				out = append(out, line)
			}
			line = nil
		}
	}
	return out
}

// finer returns the raster with so many steps for each one, through the same
// values (Catmull and Rom 1974; the ends are carried on straight).
func (r *raster) finer(times int) *raster {
	along := func(v []float64) []float64 {
		n := len(v)
		at := func(i int) float64 {
			switch {
			case i < 0:
				return 2*v[0] - v[1]
			case i >= n:
				return 2*v[n-1] - v[n-2]
			}
			return v[i]
		}
		out := make([]float64, 0, (n-1)*times+1)
		for i := range n - 1 {
			a, b, c, d := at(i-1), at(i), at(i+1), at(i+2)
			for k := range times {
				u := float64(k) / float64(times)
				out = append(out, b+u/2*(c-a+u*(2*a-5*b+4*c-d+u*(3*(b-c)+d-a))))
			}
		}
		return append(out, v[n-1])
	}
	wide := make([][]float64, r.rows)
	for j := range wide {
		wide[j] = along(r.v[j*r.columns : (j+1)*r.columns])
	}
	out := &raster{columns: len(wide[0]), rows: (r.rows-1)*times + 1}
	out.v = make([]float64, out.columns*out.rows)
	column := make([]float64, r.rows)
	for i := range out.columns {
		for j := range column {
			column[j] = wide[j][i]
		}
		for j, x := range along(column) {
			out.v[j*out.columns+i] = x
		}
	}
	return out
}
