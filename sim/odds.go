package sim

import (
	"context"
	"fmt"
	"runtime"
	"slices"
	"sync/atomic"
	"time"

	"golang.org/x/sync/errgroup"

	"ampwake/sim/units"
)

// OddsOptions say how many weathers a voyage is sailed through and how.
type OddsOptions struct {
	Members int // weathers, at least 1: members 0 … Members-1
	Workers int // voyages under way at once; 0: runtime.GOMAXPROCS. No result depends on it
	Bins    int // equal parts of the passage that trouble is counted in; 0: 20
	// Progress, if not nil, is told after each voyage how many are done. It is
	// called by the goroutine that called Odds, never twice at once, and does
	// not hold up the voyages.
	Progress func(done, total int)
}

// Odds is one voyage sailed through many weathers.
type Odds struct {
	Title  string
	Depart time.Time
	Floor  units.Fraction // that margins are measured from

	// Wanted weathers were asked for, Done were sailed to their end. They differ
	// only if Stopped, the context's error, is not nil; all else is then of those
	// done. Long voyages are more often among those missing.
	Wanted, Done int
	Stopped      error
	// Alike tells that every weather, of at least two, gave the very same
	// voyage: the weather does not change with the member, and the shares tell
	// nothing of chance.
	Alike bool

	Holds Share // all goals together
	Goals []OddsGoal
	// Begins counts the weathers that fail by the cause of their first failure.
	Begins Counts

	Margin       Spread[units.Fraction] // see Verdict
	MarginCharge Spread[units.AmpHours]
	Days         []OddsDay // from the UTC day of departure, until none is at sea
	Bins         []OddsBin
	Zones        []OddsZone

	Arrived Share
	Passage Spread[units.Hours] // from departure to arrival, of those that arrived
	Last    Spread[units.Fraction]

	Engine  Spread[units.Hours] // see Member
	Fuel    Spread[units.Litres]
	Made    Spread[units.WattHours]
	Used    Spread[units.WattHours]
	Spilled Spread[units.AmpHours]

	Sources []OddsSource
	Loads   []OddsLoad
	Members []*Member // those done, in order of Index
	Notes   []Note
}

// OddsGoal is the chance of one goal.
type OddsGoal struct {
	Name   string
	Load   int // index into Odds.Loads, or -1 for the goal of a floor
	Holds  Share
	Begins Counts // weathers that fail, by the cause of this goal's first failure
	// When and how far along the first failure was, of the weathers that fail.
	After  Spread[units.Hours] // since departure
	Sailed Spread[units.NauticalMiles]
}

// OddsDay is one UTC day of the voyage in all weathers.
type OddsDay struct {
	Date  time.Time // midnight UTC
	AtSea int       // weathers in which she is at sea that day: of these are the spreads
	// Noon is the state of charge at 12:00 UTC; on the first and last day, if
	// noon is not at sea, that at departure or arrival.
	Noon Spread[units.Fraction]
	Low  Spread[units.Fraction] // lowest of the day
	// Begins counts the weathers whose first failure of all is on this day.
	Begins Counts
	Misses int // of the loads to keep, all weathers together
}

// OddsSource is what one source does.
type OddsSource struct {
	Name   string
	Energy Spread[units.WattHours] // put on the bus, spilled part included
	InUse  Spread[units.Hours]
}

// OddsLoad is what one load goes without.
type OddsLoad struct {
	Name      string
	Keep      bool // it is one of the loads to keep
	Due, Kept int  // slots, all weathers together
	Misses    Counts
	Missing   int // weathers in which it misses something
	Off       Spread[units.Hours]
}

// Odds sails the voyage once through each of many weathers. Member i is the same
// whatever the number of members and of workers.
//
// When ctx ends, voyages under way are given up and what is done so far is
// returned, marked by Odds.Stopped; the error is then nil. An error means that
// there is nothing to tell: fewer than one member asked for, or ctx ended before
// the first was done.
func (v *Voyage) Odds(ctx context.Context, opt OddsOptions) (*Odds, error) {
	all, err := Fleet(ctx, []*Voyage{v}, opt)
	if err != nil {
		return nil, err
	}
	return all[0], nil
}

// Fleet sails several voyages, each through the same members, and returns the
// odds of each: what Voyage.Odds returns of it alone. It takes one weather after
// the other, so that when ctx ends all have sailed through the same ones; a
// weather that not all have sailed through is left out. Progress counts voyages.
// That member i is one weather for all of them is up to their Weather functions.
func Fleet(ctx context.Context, voyages []*Voyage, opt OddsOptions) ([]*Odds, error) {
	if opt.Members < 1 {
		return nil, fmt.Errorf("odds of %d weathers: want at least 1", opt.Members)
	}
	if opt.Workers < 1 {
		opt.Workers = runtime.GOMAXPROCS(0)
	}
	if opt.Bins < 1 {
		opt.Bins = stdBins
	}
	odds := make([]*Odds, len(voyages))
	members := make([][]*Member, len(voyages))
	for k, v := range voyages {
		odds[k] = &Odds{Wanted: opt.Members, Bins: v.bins(opt.Bins)}
		members[k] = make([]*Member, opt.Members)
	}
	total := opt.Members * len(voyages)
	finished := make(chan struct{}, total) // room for all: nobody waits
	var next atomic.Int64
	var group errgroup.Group
	for range min(opt.Workers, total) {
		group.Go(func() error {
			for {
				n := int(next.Add(1)) - 1
				if n >= total {
					return nil
				}
				if err := ctx.Err(); err != nil {
					return err
				}
				i, k := n/len(voyages), n%len(voyages)
				r, err := voyages[k].Sail(ctx, Options{Member: i, Lean: true})
				if err != nil {
					return err
				}
				members[k][i] = voyages[k].member(i, len(odds[k].Bins), r)
				finished <- struct{}{}
			}
		})
	}
	var stopped error
	go func() {
		stopped = group.Wait()
		close(finished)
	}()
	done := 0
	for range finished {
		done++
		if opt.Progress != nil {
			opt.Progress(done, total)
		}
	}
	for i := range opt.Members {
		if slices.ContainsFunc(members, func(of []*Member) bool { return of[i] == nil }) {
			continue
		}
		for k, o := range odds {
			o.Members = append(o.Members, members[k][i])
		}
	}
	for k, o := range odds {
		if len(o.Members) == 0 {
			return nil, stopped
		}
		o.Done, o.Stopped = len(o.Members), stopped
		voyages[k].sum(o)
	}
	return odds, nil
}
