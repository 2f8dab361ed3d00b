package climate

import (
	_ "embed" // for the table
	"errors"
	"math"
	"time"

	"ampwake/sim/track"
	"ampwake/sim/units"
)

// ErrInland says that a place is too far from the sea for a climate.
var ErrInland = errors.New("no climate inland: give the weather in the file")

// Cell is the climate of a place at a moment.
type Cell struct {
	WindSpeed   units.Knots    // mean speed, > 0
	East, North units.Knots    // mean wind vector: where the wind blows to
	Cloud       units.Fraction // mean cloud amount
	Air, Sea    units.Celsius
	Quality     Quality
}

// Steadiness returns the length of the mean wind vector over the mean speed:
// 0.9 in the trades, 0.3 where winds come from everywhere. Rounding in the table
// lets it reach 0.97.
func (c Cell) Steadiness() units.Fraction {
	x, y := float64(c.East), float64(c.North)
	return units.Fraction(math.Sqrt(float64(x*x)+float64(y*y))) / units.Fraction(c.WindSpeed)
}

// WindFrom returns the direction the mean wind blows from, true, [0°, 360°).
func (c Cell) WindFrom() units.Degrees {
	return units.Degrees(direction(-float64(c.East), -float64(c.North)))
}

// The grid of the table: cell centres 66°S..70°N by 4° and 0°..355°E by 5°,
// twelve months each.
const (
	gridSouth, gridNorth     = -66.0, 70.0
	latStep, lonStep         = 4.0, 5.0
	gridRows, gridColumns    = 35, 72
	monthBytes, monthsInYear = 7, 12
)

// oceanRows is the table; internal/pack says how. It is read where it lies:
// nothing is unpacked at the start.
//
//go:embed ocean.bin
var oceanRows string

// Table is a monthly climate of the sea on the grid of [Ocean].
type Table struct{ rows string }

// Ocean returns the climate of the world ocean, 66°S to 70°N: see SOURCE.md.
func Ocean() Table { return Table{oceanRows} }

// At returns the climate of a place at a moment, bilinear between the cell
// centres and linear in time between the middles of the months. Poleward of
// the table the last row holds, see [Beyond]. It returns an error that wraps
// [ErrInland] where a corner of the interpolation has no sea near it, and
// still the climate of the nearest sea.
//
// Latitude must be in [-90°, 90°]; any finite longitude does.
func (t Table) At(when time.Time, place track.Position) (Cell, error) {
	w := t.Walk()
	return w.At(when, place)
}

// Walk returns a reader of the table for one boat.
func (t Table) Walk() Walker { return Walker{table: t} }

// means are the averages of one cell and month.
type means struct{ speed, east, north, cloud, air, sea float64 } // m/s, 0..1, °C

// month reads the averages of a cell in a month; present says whether the cell
// is in the table.
func (t Table) month(row, column, month int) (m means, doubts Quality, present bool) {
	at := ((row*gridColumns+column)*monthsInYear + month) * monthBytes
	p := t.rows[at : at+monthBytes]
	if p[6]&(1<<7) == 0 {
		return means{}, 0, false
	}
	bits := int(p[4]) | int(p[5])<<8
	sea := bits&0x1ff - 20
	air := sea - (bits>>9 - 40)
	return means{
		speed: float64(p[0]) / 10, east: float64(int8(p[1])) / 10, north: float64(int8(p[2])) / 10,
		cloud: float64(p[3]) / 100, air: float64(air) / 10, sea: float64(sea) / 10,
	}, Quality(p[6] & 0xf), true
}

// near reads the nearest cell of the table around one that is not in it, in the
// metric of the grid; of cells equally near the southern and western one.
func (t Table) near(row, column, month int) (m means, doubts Quality) {
	best := math.MaxInt
	for j := range gridRows {
		for i := range gridColumns {
			east := (i - column + gridColumns) % gridColumns
			east = min(east, gridColumns-east)
			d := (j-row)*(j-row) + east*east
			if d >= best {
				continue
			}
			if x, q, ok := t.month(j, i, month); ok {
				m, doubts, best = x, q, d
			}
		}
	}
	return m, doubts
}
