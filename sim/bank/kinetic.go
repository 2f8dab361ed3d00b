package bank

import (
	"fmt"
	"math"

	"ampwake/sim/units"
)

// Tanks are the parameters of the kinetic battery model: charge sits in a tank
// at hand and in a bound one, and flows between them until both stand level
// [Manwell 1993].
//
// K is the rate constant of the levelling. Some authors print the constant of a
// valve between the two heads instead: divide theirs by C(1-C).
type Tanks struct {
	C    float64 // share of the capacity that is at hand, (0, 1)
	K    float64 // rate constant, 1/h, > 0
	Over float64 // what both hold at 25 °C over the rated 20 h capacity, > 0
}

func (t Tanks) check() error {
	if !(t.C > 0 && t.C < 1) || !(t.K > 0) || !(t.Over > 0) || !finite(t.K, t.Over) {
		return fmt.Errorf("tanks: want C within 0..1, K and Over above 0; have C %g, K %g, Over %g", t.C, t.K, t.Over)
	}
	return nil
}

// span holds the factors of the two-tank solution that depend on the length of
// the step only. With the tanks q1 (at hand) and q2, q0 = q1+q2 and a constant
// current I:
//
//	q1' = q1 keep + q0 flow - I reach,     q1'+q2' = q0 - I dt
//
// which is [Manwell 1993] eqs. 6 and 7.
type span struct {
	keep  float64 // exp(-k dt)
	flow  float64 // c (1-exp(-k dt))
	reach float64 // ((1-exp(-k dt))(1-c) + c k dt)/k, h
}

func (t Tanks) span(dt float64) span {
	x := t.K * dt
	gone := -math.Expm1(-x) // 1-exp(-k dt), exact for short steps
	return span{
		keep:  1 - gone,
		flow:  t.C * gone,
		reach: (gone + float64(t.C*(x-gone))) / t.K,
	}
}

// Step returns the tanks after the current i (discharge positive) has flowed
// for dt: q1 is the charge at hand, q2 the bound one. It does not hold the
// result to the tanks' walls: keep i within DischargeLimit and ChargeLimit.
func (t Tanks) Step(q1, q2 units.AmpHours, i units.Amps, dt units.Hours) (units.AmpHours, units.AmpHours) {
	sp, total := t.span(float64(dt)), float64(q1+q2)
	at := float64(float64(q1)*sp.keep) + float64(total*sp.flow) - float64(float64(i)*sp.reach)
	return units.AmpHours(at), units.AmpHours(total - float64(i)*float64(dt) - at)
}

// DischargeLimit returns the constant current that empties the tank at hand in
// exactly dt.
func (t Tanks) DischargeLimit(q1, q2 units.AmpHours, dt units.Hours) units.Amps {
	sp := t.span(float64(dt))
	return units.Amps((float64(q1)*sp.keep + float64(q1+q2)*sp.flow) / sp.reach)
}

// ChargeLimit returns the constant current, <= 0, that fills the tank at hand
// in exactly dt when both tanks together hold at most qmax. It is 0 when the
// tank is full already.
func (t Tanks) ChargeLimit(q1, q2, qmax units.AmpHours, dt units.Hours) units.Amps {
	sp := t.span(float64(dt))
	return units.Amps(min(0, (float64(q1)*sp.keep+float64(q1+q2)*sp.flow-t.C*float64(qmax))/sp.reach))
}

// Delivered returns the charge that a constant current draws from full tanks of
// qmax until the one at hand is empty after hours [Manwell 1993] eq. 8.
func (t Tanks) Delivered(qmax units.AmpHours, hours units.Hours) units.AmpHours {
	x := t.K * float64(hours)
	gone := -math.Expm1(-x)
	return units.AmpHours(float64(qmax) * x * t.C / (gone + float64(t.C*(x-gone))))
}
