package card

import (
	"math"

	"ampwake/scenarios"
	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/units"
)

// RestRow is a row of the table of rested voltages.
type RestRow struct {
	Charge units.Fraction
	Volts  units.Volts
	Above  units.AmpHours // over the floor; negative below it
}

// restAt returns the voltage of the bank after a long rest without current.
func restAt(m *bank.Model, charge units.Fraction, t units.Celsius) units.Volts {
	s := m.Start(charge, t)
	return m.Look(&s, bank.Node{Temp: t}).Volts
}

// restTable tells the rested voltage at each tenth of charge.
func restTable(m *bank.Model, t units.Celsius, floor units.Fraction) []RestRow {
	var rows []RestRow
	for tenths := 10; tenths >= 0; tenths-- {
		c := units.Fraction(tenths) / 10
		rows = append(rows, RestRow{c, restAt(m, c, t), (units.AmpHours(c) - units.AmpHours(floor)) * m.Capacity(t)})
	}
	return rows
}

// sagAmps is the current for which Zone.Sag is told.
const sagAmps = 5

// sag returns how much lower than at rest the bank stands with sagAmps flowing
// out at 70 % of charge.
func sag(m *bank.Model, t units.Celsius) units.Volts {
	const charge = 0.7
	s := m.Start(charge, t)
	return restAt(m, charge, t) - m.Look(&s, bank.Node{Current: sagAmps, Temp: t}).Volts
}

// Need is the least the bank must hold for a load that does not work at any
// voltage.
type Need struct {
	Load  string
	Least units.Volts // at the load's own terminals
	Peak  units.Amps
	// Charge and Rest are the least state of charge and its rested voltage at
	// which it works by night with nothing charging and with what else is on at
	// that hour. Charge is 0 if it works as long as the bank gives anything, and
	// above 1 if it does not work even on a full bank: then Rest tells nothing.
	Charge units.Fraction
	Rest   units.Volts
}

// Never reports that it does not work without something charging.
func (n *Need) Never() bool { return n.Charge > 1 }

// needs finds the least charge for each load that has a least voltage, the worst
// of its slots.
func needs(b *still) []Need {
	var out []Need
	week := b.week()
	for i := range b.v.Loads {
		var worst *Need
		for _, at := range week[i] {
			if at.d.Least <= 0 {
				continue
			}
			n := b.need(i, at)
			if worst == nil || n.Charge > worst.Charge {
				worst = &n
			}
		}
		if worst != nil {
			out = append(out, *worst)
		}
	}
	return out
}

// need solves for the charge at which load i just works, everything else that is
// on at that hour drawing, by night and with no source.
func (b *still) need(i int, at spell) Need {
	d := at.d
	n := Need{Load: b.v.Loads[i].Load.Name(), Least: d.Least, Peak: d.Peak}
	node := bank.Node{Temp: b.sea}
	c := b.conditions(at.from, true)
	for j := range b.v.Loads {
		if o := b.v.Loads[j].Load.Draw(c); j != i && o.On {
			node.Power += o.Power
			node.Current += o.Current
		}
	}
	if d.Peak > 0 {
		node.Current += d.Peak
	} else {
		node.Power += d.Power
		node.Current += d.Current
	}
	works := func(charge units.Fraction) bool {
		s := b.v.Bank.Start(charge, b.sea)
		look := b.v.Bank.Look(&s, node)
		if look.Flat {
			return false
		}
		peak := float64(d.Peak)
		if peak == 0 {
			peak = float64(d.Current) + float64(d.Power)/float64(look.Volts)
		}
		return look.Volts-units.Volts(peak*float64(d.Cable)) >= d.Least
	}
	switch {
	case !works(1):
		n.Charge = units.Fraction(math.Inf(1))
		return n
	case works(0.001):
		return n
	}
	n.Charge = threshold(works)
	n.Rest = restAt(b.v.Bank, n.Charge, b.sea)
	return n
}

// threshold returns the lowest charge, to 0.01 %, from which on ok holds.
func threshold(ok func(units.Fraction) bool) units.Fraction {
	lo, hi := units.Fraction(0), units.Fraction(1)
	for hi-lo > 1e-4 {
		if mid := (lo + hi) / 2; ok(mid) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi
}

// gives returns the charge at which the bus falls to the cut-off, or the bank runs
// flat, under the mean draw of a day.
func (b *still) gives(mean units.Amps) units.Fraction {
	return threshold(func(c units.Fraction) bool {
		s := b.v.Bank.Start(c, b.sea)
		return !b.v.Bank.Look(&s, bank.Node{Current: mean, Temp: b.sea}).Flat
	})
}

// engineOf returns the scenario's engine, or else a usual one.
func engineOf(v *sim.Voyage) (f sim.Fitted, own bool) {
	for _, f := range v.Sources {
		if _, burns := f.Source.(sim.Burner); burns {
			return f, true
		}
	}
	return scenarios.UsualEngine(), false
}
