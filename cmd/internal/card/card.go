package card

import (
	"context"
	"errors"
	"fmt"
	"time"

	"ampwake/scenarios"
	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/units"
)

// Options say through how many weathers a card is worked out.
type Options struct {
	Weathers int // at least 1
	Seed     uint64
	Workers  int // voyages under way at once; 0: one for each core. No number depends on it
	// Progress, if not nil, is told how many voyages are done. It is called by
	// the goroutine that called New.
	Progress func(done, total int)
}

// Card is what the printed card says.
type Card struct {
	Title     string
	Depart    time.Time
	Zones     []*Zone
	Seed      uint64
	Weathers  int
	Chemistry bank.Chemistry
	// Seeded tells that the weathers are seeded ones of the ocean climate. Else
	// there is one, that of the file, and Why says why.
	Seeded bool
	Why    string

	Floor units.Fraction
	// UsualFloor tells that the file names no floor: it is the one commonly
	// taken for the chemistry.
	UsualFloor bool
	CutOff     units.Volts // at the bus, 0: none
	// Flatter tells that the rested voltage says little of the charge, as it does
	// with lithium.
	Flatter bool
}

// Floors commonly taken where the file names none: common practice, no source.
const (
	leadFloor    units.Fraction = 0.5
	lithiumFloor units.Fraction = 0.2
)

// New works out the card of a scenario. The error is that of the options or of
// the context.
func New(ctx context.Context, s *scenarios.Scenario, opt Options) (*Card, error) {
	if opt.Weathers < 1 {
		return nil, fmt.Errorf("card of %d weathers: want at least 1", opt.Weathers)
	}
	v, why := s.Voyage(), ""
	if seeded, err := s.Seeded(opt.Seed); err != nil {
		why, opt.Weathers = err.Error(), 1
	} else {
		v = seeded
	}
	return build(ctx, v, s, why, opt)
}

// build works out the card of a voyage; why is not empty if it is sailed through
// its own weather only.
func build(ctx context.Context, v *sim.Voyage, s *scenarios.Scenario, why string, opt Options) (*Card, error) {
	setup := v.Bank.Setup()
	c := &Card{
		Title: v.Title, Depart: v.Depart, Seed: opt.Seed, Weathers: opt.Weathers,
		Chemistry: setup.Chemistry, Seeded: why == "", Why: why, CutOff: setup.CutOff,
	}
	c.Floor, c.UsualFloor = floor(v)
	c.Flatter = restAt(v.Bank, 0.9, 25)-restAt(v.Bank, 0.4, 25) < 0.3
	at, err := scout(ctx, v)
	if err != nil {
		return nil, err
	}
	ps := parts(v, at)
	books, err := sail(ctx, v, ps, opt)
	if err != nil {
		return nil, err
	}
	engine, own := engineOf(v)
	for k := range ps {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		z, ok := newZone(v, ps[k], k, books)
		if !ok {
			continue // too few of the voyages get there
		}
		b := stand(v, z, c)
		z.Slots = slots(b, v, s.Kinds())
		z.Rest = restTable(v.Bank, z.Sea, c.Floor)
		z.Sag = sag(v.Bank, z.Sea)
		z.Needs = needs(b)
		z.Ways = ways(v)
		z.Speeds = speedsFor(z)
		if err := z.simulate(ctx, b, s.Kinds(), engine, own); err != nil {
			return nil, err
		}
		z.Ladder = ladder(c, z, b)
		z.Below, z.Above = advice(z, s)
		c.Zones = append(c.Zones, z)
	}
	if len(c.Zones) == 0 {
		return nil, errors.New("card: she never leaves the first waypoint")
	}
	return c, nil
}

// floor returns the state of charge that the crew does not like to pass.
func floor(v *sim.Voyage) (f units.Fraction, usual bool) {
	switch {
	case v.Goals.Above > 0:
		return v.Goals.Above, false
	case v.Goals.Floor > 0:
		return v.Goals.Floor, false
	case v.Bank.Setup().Chemistry.Lead():
		return leadFloor, true
	}
	return lithiumFloor, true
}
