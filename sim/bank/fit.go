package bank

import (
	"errors"
	"fmt"
	"math"

	"ampwake/sim/units"
)

// Rate is one row of a data sheet's capacity table: what a full battery
// delivers at a constant current that empties it in the given time.
type Rate struct {
	Hours    units.Hours
	Capacity units.AmpHours
}

// FitTanks returns the tanks that come closest to a capacity table, by least
// squares of the relative error, and the largest relative error left. rated is
// the 20 h capacity. Three rows or more are needed, among them a slow one (20 h
// or longer) and a fast one (4 h or shorter; better 3); otherwise the error says so.
//
// C and K trade off against each other: compare capacities, not parameters.
// Data sheets end different rates at different voltages, so that 3 to 7 % may be
// left over.
func FitTanks(table []Rate, rated units.AmpHours) (Tanks, units.Fraction, error) {
	if !(rated > 0) {
		return Tanks{}, 0, fmt.Errorf("rated capacity must be above 0 Ah, is %v", rated)
	}
	slow, fast := false, false
	for i, r := range table {
		if !(r.Hours > 0) || !(r.Capacity > 0) || !finite(float64(r.Hours), float64(r.Capacity)) {
			return Tanks{}, 0, fmt.Errorf("capacity table, row %d: time and capacity must be above 0, are %v and %v", i+1, r.Hours, r.Capacity)
		}
		slow, fast = slow || r.Hours >= 20, fast || r.Hours <= 4
	}
	if len(table) < 3 || !slow || !fast {
		return Tanks{}, 0, errors.New("capacity table: expected three rows or more, one of 20 h or longer and one of 4 h or shorter")
	}

	// For given c and k the capacity that fits best follows directly, so only
	// two are searched: on a grid over the logit of c and ln k that is drawn in
	// around its best point.
	const half = 10 // cells each way
	best, u, w := math.Inf(1), 0.0, 0.0
	var qmax float64
	for du, dw, i := 4.0, 4.5, 0; i < 40; du, dw, i = du*0.7, dw*0.7, i+1 {
		cu, cw := u, w
		for a := -half; a <= half; a++ {
			for b := -half; b <= half; b++ {
				tu := min(max(cu+du*float64(a)/half, -4), 4)
				tw := min(max(cw+dw*float64(b)/half, -4.5), 4.5)
				t := Tanks{C: 1 / (1 + math.Exp(-tu)), K: math.Exp(tw)}
				if q, miss := t.miss(table); miss < best {
					best, qmax, u, w = miss, q, tu, tw
				}
			}
		}
	}
	t := Tanks{C: 1 / (1 + math.Exp(-u)), K: math.Exp(w), Over: qmax / float64(rated)}
	var worst float64
	for _, r := range table {
		q := float64(t.Delivered(units.AmpHours(qmax), r.Hours))
		worst = max(worst, math.Abs(q/float64(r.Capacity)-1))
	}
	return t, units.Fraction(worst), nil
}

// miss returns the capacity that fits best with the tanks' c and k, and the sum
// of squared relative errors.
func (t Tanks) miss(table []Rate) (qmax, sum float64) {
	// Minimise the sum of (qmax g - 1)², g the delivered share over the wanted
	// capacity.
	var g1, g2 float64
	for _, r := range table {
		g := float64(t.Delivered(1, r.Hours)) / float64(r.Capacity)
		g1 += g
		g2 += g * g
	}
	qmax = g1 / g2
	return qmax, float64(len(table)) - qmax*g1
}
