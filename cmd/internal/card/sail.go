package card

import (
	"context"
	"math"
	"runtime"
	"sort"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"ampwake/sim"
	"ampwake/sim/units"
)

// scout sails the first weather and returns when she has come how far: +Inf
// beyond where she ends, and the end of the voyage for +Inf itself.
func scout(ctx context.Context, v *sim.Voyage) (func(units.NauticalMiles) float64, error) {
	r, err := v.Sail(ctx, sim.Options{Trace: true})
	if err != nil {
		return nil, err
	}
	d := distances(r)
	return func(x units.NauticalMiles) float64 {
		i := sort.SearchFloat64s(d, float64(x)-1e-3)
		switch {
		case math.IsInf(float64(x), 1):
			i = len(d) - 1
		case i == len(d):
			return math.Inf(1)
		}
		return r.Trace.Time[i].Sub(r.Depart).Hours()
	}, nil
}

// sail sails the voyage through many weathers and keeps what the card needs.
// Weather i is that of sim.Voyage.Odds.
func sail(ctx context.Context, v *sim.Voyage, ps []part, opt Options) ([]*logbook, error) {
	workers := opt.Workers
	if workers < 1 {
		workers = runtime.GOMAXPROCS(0)
	}
	books := make([]*logbook, opt.Weathers)
	finished := make(chan struct{}, opt.Weathers) // room for all: nobody waits
	var next atomic.Int64
	group, ctx := errgroup.WithContext(ctx)
	for range min(workers, opt.Weathers) {
		group.Go(func() error {
			for {
				i := int(next.Add(1)) - 1
				if i >= opt.Weathers {
					return nil
				}
				r, err := v.Sail(ctx, sim.Options{Member: i, Trace: true, Lean: true})
				if err != nil {
					return err
				}
				books[i] = keep(r, ps)
				finished <- struct{}{}
			}
		})
	}
	var err error
	go func() {
		err = group.Wait()
		close(finished)
	}()
	done := 0
	for range finished {
		done++
		if opt.Progress != nil {
			opt.Progress(done, opt.Weathers)
		}
	}
	if err != nil {
		return nil, err
	}
	return books, nil
}
