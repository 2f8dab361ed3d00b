package trial

import (
	"context"
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// solver finds the most likely point: the parameters u and the deviations w of
// the periods, all counted in standard deviations of what is thought of them before.
// With y the readings, h(u, w) the model and σ the noise of each reading,
//
//	F(u, w) = ½ Σ ((y - h)/σ)² + ½ Σ u² + ½ Σ w²
//
// is least there. It is found by Gauss-Newton steps damped after Levenberg and
// Marquardt. h is smooth but for kinks (a bank just full, a load just missed):
// slopes are taken over steps of a good part of the spread itself, never small
// ones.
//
// The deviations are parameters like the rest so that the voyage follows the
// readings: h bends much less about the way that was than about one that has
// strayed for two weeks.
type solver struct {
	m     *model
	z     []float64 // u, then w
	at    *prediction
	j, cj *mat.Dense // slopes of the readings and of the charge on the grid
	doubt []float64  // by which the noise of each reading is multiplied, >= 1
	cost  float64
	sd    []float64 // of each of z as known so far
}

// errCurvature means a slip of ours: what is thought before keeps the curvature
// above 1.
var errCurvature = errors.New("the curvature of the fit is not positive definite")

const (
	rounds     = 3    // of finding anew what a period may deviate by
	iterations = 15   // in a round
	done       = 0.02 // standard deviations before: a step this small ends a round
	gain       = 0.01 // of F: likewise
	boldest    = 1.0  // standard deviations before: no longer step at once
	odd        = 3.0  // standard deviations from which on a reading counts less
)

// newSolver sails the voyage as planned, lists the readings and how the periods may
// deviate.
func newSolver(ctx context.Context, m *model) (*solver, error) {
	s := &solver{m: m, z: make([]float64, len(m.pars))}
	p, err := m.predict(ctx, s.z)
	if err != nil {
		return nil, err
	}
	m.observe(p.result)
	if err := m.check(); err != nil {
		return nil, err
	}
	m.noises(p.result)
	s.z = make([]float64, len(m.pars)+len(m.periods))
	s.sd, s.doubt = ones(len(s.z)), ones(len(m.obs))
	s.at, err = m.predict(ctx, s.z)
	return s, err
}

func ones(n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = 1
	}
	return x
}

// solve finds the most likely point and the slopes there.
func (s *solver) solve(ctx context.Context) error {
	s.cost = s.costOf(s.z, s.at)
	for round := range rounds {
		if err := s.descend(ctx); err != nil {
			return err
		}
		if round == rounds-1 {
			break
		}
		s.doubts()
		if err := s.scale(); err != nil {
			return err
		}
		was := s.m.amps()
		s.m.noises(s.at.result)
		for i, a := range s.m.amps() { // the same currents, counted anew
			if a > 0 {
				s.z[len(s.m.pars)+i] *= was[i] / a
			}
		}
		p, err := s.m.predict(ctx, s.z)
		if err != nil {
			return err
		}
		s.at, s.cost = p, s.costOf(s.z, p)
	}
	return s.slopes(ctx)
}

// off returns by how many standard deviations reading i lies off.
func (s *solver) off(i int, p *prediction) float64 {
	o := &s.m.obs[i]
	return (o.value - p.obs[i]) / (o.sigma * s.doubt[i])
}

// costOf returns F.
func (s *solver) costOf(z []float64, p *prediction) float64 {
	f := 0.0
	for i := range s.m.obs {
		x := s.off(i, p)
		f += x * x
	}
	for _, x := range z {
		f += x * x
	}
	return f / 2
}

// slopes finds J at the present point by differences over half the spread of each
// of z: central ones for the parameters, one-sided ones for the deviations, of
// which there are many.
func (s *solver) slopes(ctx context.Context) error {
	n, pars := len(s.z), len(s.m.pars)
	step := make([]float64, n)
	runs := make([][]float64, 0, n+pars)
	for k := range n {
		step[k] = min(0.5, max(0.1, s.sd[k]/2))
		runs = append(runs, moved(s.z, k, step[k]))
	}
	for k := range pars {
		runs = append(runs, moved(s.z, k, -step[k]))
	}
	ps, err := s.m.predictAll(ctx, runs)
	if err != nil {
		return err
	}
	s.j, s.cj = mat.NewDense(len(s.m.obs), n, nil), mat.NewDense(len(s.m.grid), n, nil)
	for k := range n {
		lo, width := s.at, step[k]
		if k < pars {
			lo, width = ps[n+k], 2*step[k]
		}
		for i := range s.m.obs {
			s.j.Set(i, k, (ps[k].obs[i]-lo.obs[i])/width)
		}
		for i := range s.m.grid {
			s.cj.Set(i, k, (ps[k].charge[i]-lo.charge[i])/width)
		}
	}
	return nil
}

func moved(z []float64, k int, by float64) []float64 {
	v := append([]float64(nil), z...)
	v[k] += by
	return v
}

// information returns what the readings tell: Σ JᵀJ/σ², and Σ Jᵀ(y-h)/σ².
func (s *solver) information() (*mat.SymDense, *mat.VecDense) {
	n := len(s.z)
	info, g := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	for i := range s.m.obs {
		sigma := s.m.obs[i].sigma * s.doubt[i]
		row := s.j.RowView(i)
		info.SymRankOne(info, 1/(sigma*sigma), row)
		g.AddScaledVec(g, s.off(i, s.at)/sigma, row)
	}
	return info, g
}

// curvature returns I + info, its diagonal times 1 + damping, ready to solve
// with.
func curvature(info *mat.SymDense, damping float64) (*mat.Cholesky, error) {
	n := info.SymmetricDim()
	h := mat.NewSymDense(n, nil)
	h.CopySym(info)
	for i := range n {
		h.SetSym(i, i, (h.At(i, i)+1)*(1+damping))
	}
	var chol mat.Cholesky
	if !chol.Factorize(h) {
		return nil, errCurvature
	}
	return &chol, nil
}

// posterior returns the covariance (I + info)⁻¹.
func posterior(info *mat.SymDense) (*mat.SymDense, error) {
	chol, err := curvature(info, 0)
	if err != nil {
		return nil, err
	}
	cov := mat.NewSymDense(info.SymmetricDim(), nil)
	return cov, chol.InverseTo(cov)
}

// descend goes down to the least F.
func (s *solver) descend(ctx context.Context) error {
	damping := 1e-3
	for range iterations {
		if err := s.slopes(ctx); err != nil {
			return err
		}
		info, g := s.information()
		cov, err := posterior(info)
		if err != nil {
			return err
		}
		for k := range s.sd {
			s.sd[k] = math.Sqrt(cov.At(k, k))
		}
		g.SubVec(g, mat.NewVecDense(len(s.z), append([]float64(nil), s.z...)))
		better, err := s.step(ctx, info, g, &damping)
		if err != nil || !better {
			return err
		}
	}
	return nil
}

// step looks for a point with a lower F, ever nearer, and reports whether it is
// worth going on from there.
func (s *solver) step(ctx context.Context, info *mat.SymDense, g *mat.VecDense, damping *float64) (bool, error) {
	for {
		chol, err := curvature(info, *damping)
		if err != nil {
			return false, err
		}
		var dz mat.VecDense
		if err := chol.SolveVecTo(&dz, g); err != nil {
			return false, err
		}
		to := make([]float64, len(s.z))
		far := 0.0
		for k := range to {
			by := min(boldest, max(-boldest, dz.AtVec(k)))
			to[k] = s.z[k] + by
			far = max(far, math.Abs(by))
		}
		p, err := s.m.predict(ctx, to)
		if err != nil {
			return false, err
		}
		if cost := s.costOf(to, p); cost < s.cost {
			won := s.cost - cost
			s.z, s.at, s.cost = to, p, cost
			*damping = max(1e-6, *damping/5)
			return far > done && won > gain, nil
		}
		if far < done {
			return false, nil
		}
		*damping = max(0.03, *damping*6)
	}
}

const (
	ownShare    = 12.0 // periods' worth of what was thought before of their deviations
	leastUneven = 0.3
	mostUneven  = 3.0
)

// scale finds whether the days of this log are more even or less than usual, from
// how large the deviations came out: the most likely scale by a step of
// expectation and maximisation (Dempster, Laird, Rubin, Journal of the Royal
// Statistical Society B 39 (1977) 1), held back by what was thought before. A
// voltmeter says little of it, a counter much.
func (s *solver) scale() error {
	info, _ := s.information()
	cov, err := posterior(info)
	if err != nil {
		return err
	}
	sum, n := ownShare/(s.m.uneven*s.m.uneven), ownShare
	for k := len(s.m.pars); k < len(s.z); k++ {
		sum += float64(s.z[k]*s.z[k]) + cov.At(k, k)
		n++
	}
	s.m.uneven = min(mostUneven, max(leastUneven, s.m.uneven*math.Sqrt(sum/n)))
	return nil
}

// doubts gives less weight to readings that lie far from the rest: a slip of the
// pen must not bend the whole fit. Their noise is widened as Huber would weigh
// them (Annals of Mathematical Statistics 35 (1964) 73): by the root of how many
// times odd they lie off.
func (s *solver) doubts() {
	for i := range s.doubt {
		s.doubt[i] = 1
		if x := math.Abs(s.off(i, s.at)); x > odd {
			s.doubt[i] = math.Sqrt(x / odd)
		}
	}
}
