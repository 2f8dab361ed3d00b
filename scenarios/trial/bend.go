package trial

import (
	"context"
	"math"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"
	"gonum.org/v1/gonum/mat"
)

const (
	chords   = 3   // corrections at a point of a profile, at most
	enough   = 0.1 // of F: a correction that wins less is the last
	wildest  = 1.6 // most that an interval is widened by
	lopsided = 0.5 // difference of the sides over their sum that is worth telling
)

// sides is what the profile of one parameter says.
type sides struct {
	stretch float64 // by which the curvature's standard deviation is to be multiplied, >= 1
	bent    bool    // one side rises much more slowly than the other
}

// bend checks the curvature. Each of the first n of z is moved by ±1.28 of its
// standard deviations and all else is let settle: there a parabola has risen by
// 0.82. Where F has risen less the interval is too narrow and gets wider; it never
// gets narrower.
func (s *solver) bend(ctx context.Context, n int, info, cov *mat.SymDense) ([]sides, error) {
	const rise = z80 * z80 / 2
	risen := make([][2]float64, n)
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(runtime.GOMAXPROCS(0))
	for k := range n {
		group.Go(func() error {
			rest, err := conditional(info, k)
			if err != nil {
				return err
			}
			by := z80 * math.Sqrt(cov.At(k, k))
			for i, side := range []float64{-by, by} {
				z := slices.Clone(s.z)
				for j := range z {
					z[j] += side * cov.At(j, k) / cov.At(k, k)
				}
				cost, err := s.relax(ctx, z, k, rest)
				if err != nil {
					return err
				}
				risen[k][i] = max(0, cost-s.cost)
			}
			return nil
		})
	}
	if err := group.Wait(); err != nil {
		return nil, err
	}
	out := make([]sides, n)
	for k, r := range risen {
		sum := max(1e-3, r[0]+r[1])
		out[k].stretch = min(wildest, max(1, math.Sqrt(2*rise/sum)))
		out[k].bent = math.Abs(r[0]-r[1]) > lopsided*sum
	}
	return out, nil
}

// conditional returns the covariance with parameter k held.
func conditional(info *mat.SymDense, k int) (*mat.SymDense, error) {
	held := mat.NewSymDense(info.SymmetricDim(), nil)
	held.CopySym(info)
	for i := range held.SymmetricDim() {
		held.SetSym(i, k, 0)
	}
	return posterior(held)
}

// relax lets all but parameter k settle, as far as that lowers F, and returns F
// there. It makes do with the slopes at the most likely point.
func (s *solver) relax(ctx context.Context, z []float64, k int, rest *mat.SymDense) (float64, error) {
	p, err := s.m.predict(ctx, z)
	if err != nil {
		return 0, err
	}
	cost := s.costOf(z, p)
	for range chords {
		g := mat.NewVecDense(len(z), nil)
		for i := range s.m.obs {
			g.AddScaledVec(g, s.off(i, p)/(s.m.obs[i].sigma*s.doubt[i]), s.j.RowView(i))
		}
		g.SubVec(g, mat.NewVecDense(len(z), slices.Clone(z)))
		g.SetVec(k, 0)
		var dz mat.VecDense
		dz.MulVec(rest, g)
		to := slices.Clone(z)
		for i := range to {
			if i != k {
				to[i] += min(boldest, max(-boldest, dz.AtVec(i)))
			}
		}
		q, err := s.m.predict(ctx, to)
		if err != nil {
			return 0, err
		}
		next := s.costOf(to, q)
		won := cost - next
		if won <= 0 {
			break
		}
		if z, p, cost = to, q, next; won < enough {
			break
		}
	}
	return cost, nil
}
