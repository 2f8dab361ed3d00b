package card

import (
	"context"
	"math"

	"ampwake/sim"
	"ampwake/sim/units"
)

// Horizon is as far as days left are reckoned.
const Horizon = 30.0

// Lasts is a row of the days-left table.
type Lasts struct {
	Charge units.Fraction // now, at ship's noon
	Way    int            // index into Zone.Ways
	Days   []float64      // to the floor, by Zone.Speeds; +Inf: more than Horizon
}

// Runs is a row of the table of hours a day.
type Runs struct {
	Way   int
	Hours []units.Hours // by Zone.Speeds; NaN: not even 24 h a day do
}

// speedsFor returns the boat speeds of the tables.
func speedsFor(z *Zone) []units.Knots {
	if z.Speed > 6.5 {
		return []units.Knots{0, 4, 6, 8, 10}
	}
	return []units.Knots{0, 3, 4, 5, 6}
}

// simulate works out the tables.
func (z *Zone) simulate(ctx context.Context, b *still, kinds map[string]string, engine sim.Fitted, own bool) error {
	middle := (1 + b.floor) / 2
	all := z.Ways[0].Loads
	for _, v := range z.Speeds {
		net, err := b.net(ctx, asked{speed: v, charge: middle, loads: b.running(all), sources: b.free(nil, 0)})
		if err != nil {
			return err
		}
		z.Net = append(z.Net, net)
	}
	if err := z.daysLeft(ctx, b); err != nil {
		return err
	}
	if err := z.breakEven(ctx, b, kinds); err != nil {
		return err
	}
	if z.alike() {
		z.Speeds = z.Speeds[:1]
	}
	var err error
	z.Engine, err = b.engine(ctx, engine, own, all)
	return err
}

// alike reports whether the speed makes no difference to any table.
func (z *Zone) alike() bool {
	for i := range z.Speeds {
		if math.Abs(float64(z.Net[i]-z.Net[0])) > 0.05 {
			return false
		}
	}
	return true
}

// daysLeft fills the table of days left, by falling charge and then by way.
func (z *Zone) daysLeft(ctx context.Context, b *still) error {
	shares := []units.Fraction{0.8, 0.5, 0.2}
	z.Lasts = make([]Lasts, len(shares)*len(z.Ways))
	for c := len(shares) - 1; c >= 0; c-- {
		charge := units.Fraction(math.Round(float64(b.floor+shares[c]*(1-b.floor))*20) / 20)
		for w := range z.Ways {
			row := &z.Lasts[c*len(z.Ways)+w]
			*row = Lasts{Charge: charge, Way: w}
			for i, v := range z.Speeds {
				if c+1 < len(shares) && math.IsInf(z.Lasts[(c+1)*len(z.Ways)+w].Days[i], 1) {
					// What holds with less in the bank holds with more: of two
					// equal boats the fuller one stays so, or they are both full.
					row.Days = append(row.Days, math.Inf(1))
					continue
				}
				days, err := b.lasts(ctx, v, charge, z.Ways[w].Loads)
				if err != nil {
					return err
				}
				row.Days = append(row.Days, days)
			}
		}
	}
	return nil
}

// lasts returns the days from ship's noon till the charge falls below the floor.
func (b *still) lasts(ctx context.Context, speed units.Knots, charge units.Fraction, loads []int) (float64, error) {
	r, err := b.voyage(asked{
		speed: speed, charge: charge, loads: b.running(loads), sources: b.free(nil, 0),
		hours: 24 * Horizon, floor: b.floor,
	}).Sail(ctx, sim.Options{Lean: true})
	if err != nil {
		return 0, err
	}
	if broken := r.Verdict.Goals[0].Broken; broken != nil {
		return broken.Time.Sub(b.depart).Hours() / 24, nil
	}
	return math.Inf(1), nil
}

// net returns the change of the charge in a day from ship's noon on.
func (b *still) net(ctx context.Context, a asked) (units.AmpHours, error) {
	a.hours = 24
	r, err := b.voyage(a).Sail(ctx, sim.Options{Lean: true})
	if err != nil {
		return 0, err
	}
	return r.Books.StoreChange, nil
}

// fastest is where the search for the speed that breaks even ends.
const fastest = 12

// breakEven finds the speed and the hours of the generator by which a day breaks
// even, at half way between floor and full.
func (z *Zone) breakEven(ctx context.Context, b *still, kinds map[string]string) error {
	helper, name := helperOf(b.v, kinds)
	z.Helper = name
	charge := (1 + b.floor) / 2
	z.Even = units.Knots(math.NaN())
	for tenths := 0; tenths <= 10*fastest; tenths++ {
		v := units.Knots(tenths) / 10
		net, err := b.net(ctx, asked{speed: v, charge: charge, loads: b.running(z.Ways[0].Loads), sources: b.free(nil, 0)})
		if err != nil {
			return err
		}
		if net >= 0 {
			z.Even = v
			break
		}
	}
	if helper == nil {
		return nil
	}
	for w := range z.Ways {
		row := Runs{Way: w}
		loads := b.running(z.Ways[w].Loads)
		for _, v := range z.Speeds {
			hours, err := b.evenHours(ctx, v, charge, loads, helper)
			if err != nil {
				return err
			}
			row.Hours = append(row.Hours, hours)
		}
		z.Runs = append(z.Runs, row)
	}
	return nil
}

// evenHours returns the hours from ship's noon on that the helper must run in a
// day at whose end the charge is what it was, NaN if 24 do not suffice.
func (b *still) evenHours(ctx context.Context, speed units.Knots, charge units.Fraction, loads []sim.Fixed, helper func(sim.Source) bool) (units.Hours, error) {
	net := func(h units.Hours) (units.AmpHours, error) {
		return b.net(ctx, asked{speed: speed, charge: charge, loads: loads, sources: b.free(helper, h)})
	}
	lo, hi := units.Hours(0), units.Hours(24)
	if n, err := net(lo); err != nil || n >= 0 {
		return 0, err
	}
	if n, err := net(hi); err != nil || n < 0 {
		return units.Hours(math.NaN()), err
	}
	for hi-lo > 0.01 {
		mid := (lo + hi) / 2
		n, err := net(mid)
		if err != nil {
			return 0, err
		}
		if n < 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi, nil
}

// helperOf picks what the crew can run for some hours a day: the water generator,
// else the engine; nil without either.
func helperOf(v *sim.Voyage, kinds map[string]string) (helper func(sim.Source) bool, name string) {
	for _, kind := range []string{"hydro", "engine"} {
		for _, f := range v.Sources {
			if n := f.Source.Name(); kinds[n] == kind {
				return func(s sim.Source) bool { return s.Name() == n }, n
			}
		}
	}
	return nil, ""
}

// Engine tells how long the engine must run to bring the charge back with
// everything running and no other source.
type Engine struct {
	Name string
	Own  bool // it is the scenario's; else a usual one, for example
	To   units.Fraction
	Rows []Recovers
}

// Recovers is one run of the engine.
type Recovers struct {
	From    units.Fraction
	AtFloor bool        // From is the floor
	Hours   units.Hours // NaN: a day does not do
	Litres  units.Litres
}

// recovered is the charge to which the engine is run: the last fifth of a
// lead-acid bank goes in slowly.
const recovered units.Fraction = 0.8

func (b *still) engine(ctx context.Context, f sim.Fitted, own bool, loads []int) (*Engine, error) {
	f.Rule = nil
	to := max(recovered, min(1, b.floor+0.2))
	e := &Engine{Name: f.Source.Name(), Own: own, To: to}
	for i, from := range []units.Fraction{b.floor - 0.1, b.floor, (b.floor + to) / 2} {
		if from <= 0 {
			continue
		}
		from = units.Fraction(math.Round(float64(from)*20) / 20)
		a := asked{charge: from, loads: b.running(loads), sources: []sim.Fitted{f}, hours: 24}
		row, err := b.recovers(ctx, a, to)
		if err != nil {
			return nil, err
		}
		row.AtFloor = i == 1
		e.Rows = append(e.Rows, row)
	}
	return e, nil
}

// recovers finds how long it takes from a.charge to a charge, within a.hours.
func (b *still) recovers(ctx context.Context, a asked, to units.Fraction) (Recovers, error) {
	row := Recovers{From: a.charge, Hours: units.Hours(math.NaN())}
	lo, hi := units.Hours(0), a.hours
	for first := true; hi-lo > 0.002; first = false {
		if a.hours = (lo + hi) / 2; first {
			a.hours = hi
		}
		r, err := b.voyage(a).Sail(ctx, sim.Options{Lean: true})
		switch {
		case err != nil:
			return row, err
		case r.Last >= to:
			hi, row.Hours, row.Litres = a.hours, a.hours, r.Fuel
		case first:
			return row, nil
		default:
			lo = a.hours
		}
	}
	return row, nil
}
