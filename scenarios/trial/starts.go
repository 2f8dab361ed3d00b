package trial

import (
	"context"
	"math"

	"ampwake/scenarios"
)

// best fits from the plan and, should that end where the readings lie far from the
// fit, from other boats until they do not. A bank just full or just flat makes
// hollows in F, and the way down from the plan may lead into a wrong one. It returns
// the voyage as planned too.
func best(ctx context.Context, l *Logged, factors []scenarios.Factor, sds [scenarios.Factors]float64) (low *solver, planned *prediction, err error) {
	for _, at := range starts(factors) {
		s, err := newSolver(ctx, newModel(l, factors, sds))
		if err != nil {
			return nil, nil, err
		}
		if planned == nil {
			planned = s.at
		}
		if at.by != 0 {
			s.z[at.parameter] = at.by
			if s.at, err = s.m.predict(ctx, s.z); err != nil {
				return nil, nil, err
			}
		}
		if err := s.solve(ctx); err != nil {
			return nil, nil, err
		}
		if low == nil || s.cost < low.cost {
			low = s
		}
		if low.close() {
			break
		}
	}
	return low, planned, nil
}

// close reports whether the readings lie about the fit as their noise has them lie,
// but for a slip here and there. F at its least is half of a χ² of so many degrees of
// freedom as there are readings: three standard deviations over its mean is far.
func (s *solver) close() bool {
	n := float64(len(s.m.obs))
	slips := 0.0
	for i := range s.m.obs {
		x := s.off(i, s.at)
		slips += max(0, float64(x*x)-odd*odd)
	}
	return 2*s.cost-slips <= n+3*math.Sqrt(2*n)
}

// poor reports whether the readings lie so far from the fit that it is not to be
// trusted. It is half as lenient again as close: a long log has a hollow or two out
// of which no start leads, and is of use all the same.
func (s *solver) poor() bool {
	n := float64(len(s.m.obs))
	return 2*s.cost > 1.5*n+3*math.Sqrt(2*n)
}

// outset is a boat to set out from: that of the plan but for one parameter.
type outset struct {
	parameter int
	by        float64 // standard deviations before
}

// starts lists the boats to set out from: first the plan, then such as make more or
// less of it by the factor that may be furthest off.
func starts(factors []scenarios.Factor) []outset {
	list := []outset{{}}
	for _, f := range []scenarios.Factor{scenarios.Generator, scenarios.Panels, scenarios.Radios, scenarios.AlwaysOn, scenarios.Capacity} {
		for k := range factors {
			if factors[k] == f {
				list = append(list, outset{k, -away}, outset{k, away})
			}
		}
	}
	return list
}

// away is how far from the plan another boat is, in standard deviations before: 1
// in 8 is farther.
const away = 1.5
