package trial

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// untold returns the standard deviation of the charge at the last row that comes
// of what the log does not tell of each period.
func (f *Fit) untold() float64 {
	s := f.solver
	sum, last := 0.0, len(s.m.grid)-1
	for k := len(s.m.pars); k < len(s.z); k++ {
		x := s.cj.At(last, k)
		sum += x * x
	}
	return math.Sqrt(sum)
}

// causes finds for each factor how well it would explain the readings if it alone
// were not as planned, best first; those that explain nothing are left out. It
// goes by the slopes at the most likely point, so it is a straight line's answer.
func (f *Fit) causes() []Cause {
	s := f.solver
	pars := s.m.pars
	// The readings beside a boat as planned, all of z at 0.
	n, obs := len(s.z), len(s.m.obs)
	r := make([]float64, obs)
	for i := range r {
		sigma := s.m.obs[i].sigma * s.doubt[i]
		r[i] = s.off(i, s.at)
		for k := range n {
			r[i] += s.j.At(i, k) * s.z[k] / sigma
		}
	}
	// best returns the least F with some of z free, and where that is.
	best := func(free []int) (float64, []float64) {
		h, g := mat.NewSymDense(len(free), nil), mat.NewVecDense(len(free), nil)
		total := 0.0
		for i := range r {
			sigma := s.m.obs[i].sigma * s.doubt[i]
			row := mat.NewVecDense(len(free), nil)
			for a, k := range free {
				row.SetVec(a, s.j.At(i, k)/sigma)
			}
			h.SymRankOne(h, 1, row)
			g.AddScaledVec(g, r[i], row)
			total += r[i] * r[i]
		}
		chol, err := curvature(h, 0)
		if err != nil {
			return math.Inf(1), nil
		}
		var z mat.VecDense
		if err := chol.SolveVecTo(&z, g); err != nil {
			return math.Inf(1), nil
		}
		return (total - mat.Dot(g, &z)) / 2, z.RawVector().Data
	}
	var rest []int
	for k := range n {
		if k >= len(pars) || pars[k].which != ofFactor {
			rest = append(rest, k)
		}
	}
	without, _ := best(rest)
	var list []Cause
	for k, p := range pars {
		if p.which != ofFactor {
			continue
		}
		with, z := best(append([]int{k}, rest...))
		if z == nil || without-with < 0.1 {
			continue
		}
		list = append(list, Cause{Factor: p.factor, Value: math.Exp(z[0] * p.sd), Odd: math.Abs(z[0]), Gain: without - with})
	}
	slices.SortStableFunc(list, func(a, b Cause) int {
		switch {
		case a.Gain > b.Gain:
			return -1
		case a.Gain < b.Gain:
			return 1
		}
		return 0
	})
	return list
}
