package climate

import (
	"fmt"
	"math"
	"time"

	"ampwake/sim/track"
	"ampwake/sim/units"
)

// knotsPerMS turns m/s into knots.
const knotsPerMS = 3600.0 / 1852

// Walker reads a table along a passage: it keeps the four cells and the two
// months around the boat and fetches others only when she leaves them. It must
// not be used from two goroutines at once.
type Walker struct {
	table       Table
	from, to    int64 // mid-months around the boat, Unix seconds
	row, column int   // south-western corner

	corner  [8]means   // SW, SE, NW, NE of the earlier month, then of the later
	doubts  [8]Quality // what is not observed there
	some    Quality    // all doubts together
	missing [8]bool    // corners that are not in the table
	hole    bool       // any of them

	now    means      // at the last place and moment blended
	weight [8]float64 // of the corners there
}

// At returns what [Table.At] does.
func (w *Walker) At(t time.Time, place track.Position) (Cell, error) {
	m := w.blend(t.Unix(), float64(place.Lat), float64(place.Lon))
	cell := Cell{
		WindSpeed: units.Knots(m.speed * knotsPerMS),
		East:      units.Knots(m.east * knotsPerMS), North: units.Knots(m.north * knotsPerMS),
		Cloud: units.Fraction(m.cloud), Air: units.Celsius(m.air), Sea: units.Celsius(m.sea),
		Quality: w.quality(float64(place.Lat)),
	}
	if cell.Quality&Inland != 0 {
		return cell, inland(place)
	}
	return cell, nil
}

func inland(place track.Position) error {
	return fmt.Errorf("%.1f°, %.1f°: %w", float64(place.Lat), float64(place.Lon), ErrInland)
}

// blend interpolates. What it returns holds until the next call.
func (w *Walker) blend(unix int64, lat, lon float64) *means {
	if !(lat >= -90 && lat <= 90) || math.IsNaN(lon) || math.IsInf(lon, 0) {
		panic("climate: no such place")
	}
	y := (min(max(lat, gridSouth), gridNorth) - gridSouth) / latStep
	row := min(int(y), gridRows-2)
	x := lon / lonStep
	if x < 0 || x >= gridColumns {
		x -= gridColumns * math.Floor(x/gridColumns)
	}
	column := int(x)
	if column == gridColumns { // a longitude just west of 0° rounds up to 360°
		column, x = 0, 0
	}
	if row != w.row || column != w.column || unix < w.from || unix >= w.to {
		w.fetch(unix, row, column)
	}

	t, s := y-float64(row), x-float64(column)
	f := float64(unix-w.from) / float64(w.to-w.from)
	ne := float64(t * s)
	nw, se := t-ne, s-ne
	sw := 1 - t - se
	swF, seF, nwF, neF := float64(sw*f), float64(se*f), float64(nw*f), float64(ne*f)
	w.weight = [8]float64{sw - swF, se - seF, nw - nwF, ne - neF, swF, seF, nwF, neF}
	var speed, east, north, cloud, air, sea float64 // a struct of six would not stay in registers
	for i := range w.corner {
		c, k := &w.corner[i], w.weight[i]
		speed += float64(k * c.speed)
		east += float64(k * c.east)
		north += float64(k * c.north)
		cloud += float64(k * c.cloud)
		air += float64(k * c.air)
		sea += float64(k * c.sea)
	}
	w.now = means{speed, east, north, cloud, air, sea}
	return &w.now
}

// fetch reads the corners around a place and moment. Cells that are not in the
// table take the values of the nearest that is.
func (w *Walker) fetch(unix int64, row, column int) {
	month, from, to := betweenMonths(unix)
	w.from, w.to, w.row, w.column = from, to, row, column
	w.some, w.hole = 0, false
	for i := range w.corner {
		j, k := row+i>>1&1, (column+i&1)%gridColumns
		mo := (month + i>>2) % monthsInYear
		m, q, ok := w.table.month(j, k, mo)
		if !ok {
			m, q = w.table.near(j, k, mo)
			w.hole = true
		}
		w.corner[i], w.doubts[i], w.missing[i] = m, q, !ok
		w.some |= q
	}
}

// quality weighs the doubts of the corners.
func (w *Walker) quality(lat float64) Quality {
	var q Quality
	for bit := FilledWind; w.some != 0 && bit <= FilledSea; bit <<= 1 {
		var share float64
		for i, d := range w.doubts {
			if d&bit != 0 {
				share += w.weight[i]
			}
		}
		if share >= 0.25 {
			q |= bit
		}
	}
	if lat < -46 {
		q |= Sparse
	}
	if lat < gridSouth || lat > gridNorth {
		q |= Beyond
	}
	if w.hole {
		for i, gone := range w.missing {
			if gone && w.weight[i] > 1e-9 {
				q |= Inland
			}
		}
	}
	return q
}
