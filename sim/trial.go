package sim

import (
	"context"
	"runtime"

	"golang.org/x/sync/errgroup"
)

// Trial sails one kit through a number of weathers, and no more of them than it
// takes to know what is asked. The weathers come in their order, so what is sailed
// does not hang on the workers, and another kit's trial meets the same.
type Trial struct {
	Of int // weathers asked about, at least 1: members 0 … Of-1
	// Holds tells of each weather sailed, from member 0 on, whether all goals
	// held in it.
	Holds []bool
	held  int
}

// NewTrial returns a trial that has been sailed through the first weathers of so
// many, with these outcomes.
func NewTrial(of int, holds []bool) *Trial {
	if len(holds) > of {
		panic("sim: trial of more weathers than there are")
	}
	t := &Trial{Of: of, Holds: holds}
	for _, h := range holds {
		if h {
			t.held++
		}
	}
	return t
}

// Reaches reports whether it is known to hold in need weathers of all.
func (t *Trial) Reaches(need int) bool { return t.held >= need }

// Misses reports whether it is known not to hold in so many.
func (t *Trial) Misses(need int) bool { return t.held+t.Of-len(t.Holds) < need }

// Complete reports whether all weathers were sailed.
func (t *Trial) Complete() bool { return len(t.Holds) == t.Of }

// Share returns in how many of the weathers sailed it holds, with the interval of
// NewShare. A trial that was given up early ends with a failure, or with a
// success: its share is drawn a little that way, by about one weather.
func (t *Trial) Share() Share { return NewShare(t.held, len(t.Holds)) }

// Against returns in how many of the weathers that both were sailed through each
// of two trials holds.
func (t *Trial) Against(u *Trial) (ours, theirs int) {
	for i := range min(len(t.Holds), len(u.Holds)) {
		if t.Holds[i] {
			ours++
		}
		if u.Holds[i] {
			theirs++
		}
	}
	return ours, theirs
}

// batch returns how many more weathers the answer needs, whatever comes of them:
// so many can be sailed at once and none in vain.
func (t *Trial) batch(need int) int {
	if t.Reaches(need) || t.Misses(need) {
		return 0
	}
	failed := len(t.Holds) - t.held
	return min(need-t.held, t.Of-need+1-failed)
}

// Decide sails the voyage on until it is known whether it holds in need weathers.
func (t *Trial) Decide(ctx context.Context, v *Voyage, need, workers int) error {
	for n := t.batch(need); n > 0; n = t.batch(need) {
		if err := t.sail(ctx, v, n, workers); err != nil {
			return err
		}
	}
	return nil
}

// Finish sails the voyage on through all that is left of the weathers.
func (t *Trial) Finish(ctx context.Context, v *Voyage, workers int) error {
	return t.sail(ctx, v, t.Of-len(t.Holds), workers)
}

// sail sails the next n weathers. When it fails, none of them count.
func (t *Trial) sail(ctx context.Context, v *Voyage, n, workers int) error {
	if workers < 1 {
		workers = runtime.GOMAXPROCS(0)
	}
	first := len(t.Holds)
	holds := make([]bool, n)
	var group errgroup.Group
	group.SetLimit(workers)
	for i := range n {
		group.Go(func() error {
			r, err := v.Sail(ctx, Options{Member: first + i, Lean: true})
			if err != nil {
				return err
			}
			holds[i] = r.Verdict.Holds
			return nil
		})
	}
	if err := group.Wait(); err != nil {
		return err
	}
	for _, h := range holds {
		if h {
			t.held++
		}
	}
	t.Holds = append(t.Holds, holds...)
	return nil
}
