package sim

import (
	"ampwake/sim/bank"
	"ampwake/sim/units"
)

// Wear is what the voyage costs the bank.
type Wear struct {
	// Cycles is the charge drawn over the rated capacity: how often the bank was
	// emptied in effect.
	Cycles float64
	// Life is the share of the cycle life used up: Miner's rule over the rainflow
	// cycles of the state of charge ([ASTM E1049] 5.4.4, see bank.LifeTable).
	Life units.Fraction
	// Deepest is the largest rainflow range of the state of charge.
	Deepest units.Fraction
	// SinceFull is the longest time without reaching Full, Low the longest spell
	// under LowCharge: lead-acid plates sulphate meanwhile.
	SinceFull, Low units.Hours
	Lead           bool // a lead-acid bank
}

// Lead-acid wants to be full now and then and not to stay low: warn when it has
// not been at Full for FullEvery or stays under LowCharge for LowFor (common
// practice, no source).
const (
	Full      units.Fraction = 0.97
	LowCharge units.Fraction = 0.80
	FullEvery units.Hours    = 14 * 24
	LowFor    units.Hours    = 7 * 24
)

// swing is the least change of the state of charge that counts as a turn.
const swing = 0.005

// wearbook follows the turns of the state of charge.
type wearbook struct {
	turns     []float64 // turning points so far
	last      float64   // the extreme since the last one
	up        bool
	full, low float64 // hours since full, and under LowCharge
	w         Wear
}

func (b *wearbook) begin(charge float64) {
	b.turns = append(b.turns, charge)
	b.last = charge
}

// note enters the state of charge after a step of h hours.
func (b *wearbook) note(charge, h float64) {
	switch {
	case b.up == (charge > b.last):
		b.last = charge
	case b.up && charge < b.last-swing, !b.up && charge > b.last+swing:
		b.turns = append(b.turns, b.last)
		b.up, b.last = !b.up, charge
	}
	b.full += h
	if charge >= float64(Full) {
		b.full = 0
	}
	b.low += h
	if charge >= float64(LowCharge) {
		b.low = 0
	}
	if b.full > float64(b.w.SinceFull) {
		b.w.SinceFull = units.Hours(b.full)
	}
	if b.low > float64(b.w.Low) {
		b.w.Low = units.Hours(b.low)
	}
}

// end closes the book.
func (b *wearbook) end(drawn, rated units.AmpHours, kind bank.Chemistry) Wear {
	b.turns = append(b.turns, b.last)
	b.w.Lead = kind.Lead()
	b.w.Cycles = float64(drawn / rated)
	b.w.Life = bank.LifeOf(kind).Damage(b.turns)
	for _, c := range bank.Rainflow(b.turns) {
		b.w.Deepest = max(b.w.Deepest, units.Fraction(c.Range))
	}
	return b.w
}
