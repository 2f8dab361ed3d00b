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
	lopsided = 0.5 // difference of the sides over their sum that is worth telling
)

// sides is what the profile of one parameter says.
type sides struct {
	stretch float64 // by which the curvature's standard deviation is to be multiplied, >= 1
	bent    bool    // one side rises much more slowly than the other
}

// bend checks the curvature. Each of the first n of z is moved by ±1.28 of its
// standard deviations and all else is let settle: there a parabola has risen by
// 0.82. Where F has risen by less than half of that, as when the slope was that
// of a jump (a bank just flat), it is moved on, twice as far each time. The
// interval gets wider as far as that shows it to be too narrow; it never gets
// narrower.
func (s *solver) bend(ctx context.Context, n int, info, cov *mat.SymDense) ([]sides, error) {
	out := make([]sides, n)
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(runtime.GOMAXPROCS(0))
	for k := range n {
		group.Go(func() error {
			rest, err := conditional(info, k)
			if err != nil {
				return err
			}
			sd := math.Sqrt(cov.At(k, k))
			var wide [2]float64 // standard deviations that the sides speak of
			for i, side := range []float64{-1, 1} {
				if wide[i], err = s.side(ctx, k, side, rest, cov); err != nil {
					return err
				}
			}
			sum := wide[0] + wide[1]
			out[k] = sides{stretch: max(1, sum/2/sd), bent: math.Abs(wide[0]-wide[1]) > lopsided*sum}
			return nil
		})
	}
	return out, group.Wait()
}

// side returns the standard deviation that F speaks of on one side of parameter k.
func (s *solver) side(ctx context.Context, k int, side float64, rest, cov *mat.SymDense) (float64, error) {
	const rise = z80 * z80 / 2
	for by := z80 * math.Sqrt(cov.At(k, k)); ; by = min(z80, 2*by) {
		z := slices.Clone(s.z)
		for j := range z {
			z[j] += side * by * cov.At(j, k) / cov.At(k, k)
		}
		cost, err := s.relax(ctx, z, k, rest)
		if err != nil {
			return 0, err
		}
		if risen := max(0, cost-s.cost); risen >= rise/2 || by >= z80 {
			return by / z80 * math.Sqrt(rise/max(rise/4, risen)), nil
		}
	}
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
