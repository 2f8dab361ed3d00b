package trial

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"sync"
	"time"

	"golang.org/x/sync/errgroup"

	"ampwake/scenarios"
	"ampwake/sim"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// NoonOptions say how a noon is worked out.
type NoonOptions struct {
	Members int    // weathers, at least 1
	Seed    uint64 // of the weathers
	Workers int    // voyages under way at once; 0: one for each core
	Trial   *File  // what a trial found, or nil; the scenario has its overrides already
	// Progress, if not nil, is told how many voyages are done, never twice at once.
	Progress func(done, total int)
}

// Noon is where she stands beside the plan, and what lies ahead.
type Noon struct {
	Title  string
	Depart time.Time // as planned
	Log    *Logged
	Fit    *Fit
	Line   int // of the last row
	Now    time.Time
	Zone   int
	Place  track.Position
	Floor  units.Fraction

	// Charge is the state of charge now, from all that was read, with its standard
	// deviation, and Logged what the plan's boat would have on the log's way.
	Charge, Spread float64
	Logged         float64
	LoggedSpread   float64 // of what the log does not tell, standard deviation

	Plan    []BandAt // every six hours from the departure to now, as planned
	PlanNow sim.Spread[units.Fraction]
	Side    Side
	Causes  []Cause // best first

	Gone  units.NauticalMiles // along the route
	ToGo  units.NauticalMiles
	Next  string
	Ahead *sim.Odds
	Band  []BandAt // from now on: now, and 12:00 UTC of each day
	// Under tells that she is under the charge she was to stay above, so that what
	// lies ahead is judged without that goal. Back is when she is above it again in
	// half and in 9 of 10 weathers; zero if not.
	Under bool
	// Unlike tells that the log speaks for another boat than that of the plan, which
	// sails on all the same for want of what a trial found.
	Unlike         bool
	Back, BackSafe time.Time
	Seed           uint64
	Notes          []string
}

// BandAt is the spread of the state of charge over the weathers at a moment, of
// those that are at sea.
type BandAt struct {
	Time   time.Time
	Charge sim.Spread[units.Fraction]
}

// Side is where the pencil line stands to the planned band, which holds 8
// weathers in 10.
type Side int8

// The sides.
const (
	Below  Side = -1
	Inside Side = 0
	Above  Side = 1
)

// Cause is a factor that would explain by itself what was read.
type Cause struct {
	Factor scenarios.Factor
	Value  float64 // times the plan
	Odd    float64 // how many standard deviations of what was thought of it before
	// Gain is by how much the readings and what was thought before agree better
	// with it than without, as a difference of logarithms of likelihood.
	Gain float64
}

const bandStep = 6 * time.Hour

// NewNoon compares the last line of a log with the plan of its scenario and sails
// on from there. The error says what is missing: a position, a reading of the bank,
// or that the log is of another voyage.
func NewNoon(ctx context.Context, l *Logged, opt NoonOptions) (*Noon, error) {
	if opt.Members < 1 {
		return nil, fmt.Errorf("a noon of %d weathers: want at least 1", opt.Members)
	}
	s := l.Scenario
	plan := s.Voyage()
	if !l.Beside() {
		from, _ := l.Log.Span()
		return nil, fmt.Errorf("%s: it begins on %s, the voyage on %s: the log is of another voyage", l.Log.Name, from.Format("2 Jan 2006"), plan.Depart.Format("2 Jan 2006"))
	}
	n := &Noon{Title: plan.Title, Depart: plan.Depart, Log: l, Seed: opt.Seed}
	row, now := l.Now()
	n.Line, n.Now = row.Line, now
	place, gone, err := l.stands()
	if err != nil {
		return nil, err
	}
	n.Place, n.Zone = place, track.Zone(place.Lon)
	if n.Fit, err = l.fitNoon(ctx, opt.Trial); err != nil {
		return nil, err
	}
	last := n.Fit.Charge[len(n.Fit.Charge)-1]
	n.Charge, n.Spread, n.Logged = unit(last.Mean), last.Spread, last.Planned
	n.LoggedSpread = n.Fit.untold()
	n.Causes = n.Fit.causes()

	seeded, err := s.Seeded(opt.Seed)
	if err != nil {
		seeded, opt.Members = plan, 1
		n.Notes = append(n.Notes, "one weather only: "+err.Error())
	}
	n.Floor = seeded.Goals.Above
	if n.Floor == 0 {
		n.Floor = seeded.Goals.Floor
	}
	a, err := remaining(seeded, now, place, units.Fraction(n.Charge), gone)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", l.Log.Name, err)
	}
	if a.off > elsewhere {
		return nil, fmt.Errorf("%s: line %d: she stands %.0f miles off the planned route: the log is of another voyage, or N and S or E and W changed places", l.Log.Name, row.Line, a.off)
	}
	a.voyage.Fuel = max(0, a.voyage.Fuel-n.Fit.Result.Fuel)
	n.Notes = append(n.Notes, a.notes...)
	n.Gone, n.ToGo, n.Next = units.NauticalMiles(a.miles), a.voyage.Route.Length(), a.next

	if n.Under = n.Charge < float64(a.voyage.Goals.Above); n.Under {
		a.voyage.Goals.Floor, a.voyage.Goals.Above = a.voyage.Goals.Above, 0
	}
	planned := *seeded
	planned.Limit = units.Hours(now.Sub(planned.Depart).Hours())
	past := &planned
	if opt.Trial != nil {
		past = opt.Trial.Vary(s, past, opt.Seed)
	}
	tell := opt.teller()
	if n.Plan, err = bands(ctx, past, opt, tell); err != nil {
		return nil, err
	}
	if last := n.Plan[len(n.Plan)-1]; last.Time.Equal(now) {
		n.PlanNow = last.Charge
	}
	switch at := units.Fraction(n.Charge); {
	case n.PlanNow.Count == 0:
	case at < n.PlanNow.P10-0.005:
		n.Side = Below
	case at > n.PlanNow.P90+0.005:
		n.Side = Above
	}
	n.Unlike = opt.Trial == nil && math.Abs(n.Charge-n.Logged) > z80*math.Hypot(n.Spread, n.LoggedSpread)
	if n.Unlike {
		n.Notes = append(n.Notes, "ahead she is the boat of the plan, though the log speaks for another: give --trial, with what ampwake trial found, to go on with that one")
	}
	onward := vary(s, a.voyage, opt.Seed, opt.Trial, n.logitSpread())
	sailed := 0
	n.Ahead, err = onward.Odds(ctx, sim.OddsOptions{Members: opt.Members, Workers: opt.Workers, Progress: func(d, _ int) {
		for ; sailed < d; sailed++ {
			tell()
		}
	}})
	if err != nil {
		return nil, err
	}
	n.onward()
	return n, nil
}

// onward takes the band ahead from the odds.
func (n *Noon) onward() {
	o := n.Ahead
	n.Band = []BandAt{{n.Now, n.startSpread()}}
	for i := range o.Days {
		d := &o.Days[i]
		if t := d.Date.Add(12 * time.Hour); t.After(n.Now) && 10*d.AtSea >= o.Done {
			n.Band = append(n.Band, BandAt{t, d.Noon})
		}
	}
	if !n.Under {
		return
	}
	for _, b := range n.Band {
		if n.Back.IsZero() && b.Charge.P50 >= n.Floor {
			n.Back = b.Time
		}
		if n.BackSafe.IsZero() && b.Charge.P10 >= n.Floor {
			n.BackSafe = b.Time
		}
	}
}

// startSpread is the spread of the charge now.
func (n *Noon) startSpread() sim.Spread[units.Fraction] {
	at := func(z float64) units.Fraction {
		return units.Fraction(logistic(logit(n.Charge) + z*n.logitSpread()))
	}
	return sim.Spread[units.Fraction]{Count: n.Ahead.Done, Min: at(-2.5), P10: at(-z80), P50: at(0), P90: at(z80), Max: at(2.5)}
}

// logitSpread is the spread of the logit of the charge now.
func (n *Noon) logitSpread() float64 {
	x := min(0.98, max(0.02, n.Charge))
	return min(1.5, n.Spread/(x*(1-x)))
}

// teller returns what is to be called after each voyage; there are two rounds of
// them.
func (opt *NoonOptions) teller() func() {
	var gate sync.Mutex
	done := 0
	return func() {
		gate.Lock()
		defer gate.Unlock()
		if done++; opt.Progress != nil {
			opt.Progress(done, 2*opt.Members)
		}
	}
}

// stands returns where she is at the last row: its position, or that of the last
// fix sailed on.
func (l *Logged) stands() (track.Position, float64, error) {
	row, _ := l.Now()
	at := l.Miles[len(l.Miles)-1]
	place, _ := l.Voyage.Route.At(units.NauticalMiles(at))
	if row.Place != nil {
		place = *row.Place
	}
	if !l.Own && row.Place == nil && l.Log.Count(hasWay) == 0 {
		return place, math.NaN(), fmt.Errorf("%s: it says nothing of where she is: want a position, noon runs or speeds", l.Log.Name)
	}
	return place, at, nil
}

// fitNoon fits the log with what a trial has found before, if one was.
func (l *Logged) fitNoon(ctx context.Context, x *File) (*Fit, error) {
	sds := priors
	if x != nil {
		for i, f := range x.of {
			sds[f] = min(priors[f], max(0.005, x.Spread.Deviations[i]))
		}
	}
	return fitOf(ctx, l, l.Scenario.Factors(), sds)
}

// bands sails a voyage through its weathers and tells the spread of the state of
// charge at departure, every six hours, and at the end of its time. A weather in
// which she has arrived before keeps the charge of her arrival.
func bands(ctx context.Context, v *sim.Voyage, opt NoonOptions, tell func()) ([]BandAt, error) {
	workers := opt.Workers
	if workers < 1 {
		workers = runtime.GOMAXPROCS(0)
	}
	times := []time.Time{v.Depart}
	end := v.Depart.Add(time.Duration(float64(v.Limit) * float64(time.Hour))).Round(time.Second)
	for t := v.Depart.Truncate(bandStep).Add(bandStep); t.Before(end); t = t.Add(bandStep) {
		times = append(times, t)
	}
	times = append(times, end)
	charges := make([][]units.Fraction, len(times))
	for k := range charges {
		charges[k] = make([]units.Fraction, opt.Members)
	}
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(workers)
	for i := range opt.Members {
		group.Go(func() error {
			res, err := v.Sail(ctx, sim.Options{Member: i, Trace: true, Lean: true})
			if err != nil {
				return err
			}
			r := newReader(res.Trace, v.Bank)
			for k, t := range times {
				charges[k][i] = units.Fraction(r.charge(t))
			}
			tell()
			return nil
		})
	}
	if err := group.Wait(); err != nil {
		return nil, err
	}
	out := make([]BandAt, len(times))
	for k := range times {
		out[k] = BandAt{times[k], sim.NewSpread(charges[k])}
	}
	return out, nil
}
