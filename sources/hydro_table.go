package sources

import (
	"errors"
	"fmt"
)

// table is a curve through points, straight between them and level beyond both
// ends.
type table struct{ x, y []float64 }

// newTable checks that x rises and that y is nowhere negative.
func newTable(x, y []float64) (table, error) {
	if len(x) == 0 {
		return table{}, errors.New("a curve needs at least one point")
	}
	for i := range x {
		switch {
		case !finite(x[i]) || !finite(y[i]) || x[i] < 0 || y[i] < 0:
			return table{}, fmt.Errorf("point %d of the curve must not be negative", i+1)
		case i > 0 && x[i] <= x[i-1]:
			return table{}, fmt.Errorf("point %d of the curve must lie beyond point %d", i+1, i)
		}
	}
	return table{x, y}, nil
}

// at returns the height of the curve over x.
func (t *table) at(x float64) float64 {
	last := len(t.x) - 1
	if x <= t.x[0] {
		return t.y[0]
	}
	if x >= t.x[last] {
		return t.y[last]
	}
	i := 1
	for x > t.x[i] {
		i++
	}
	share := (x - t.x[i-1]) / (t.x[i] - t.x[i-1])
	return t.y[i-1] + float64(share*(t.y[i]-t.y[i-1]))
}
