package sim

import (
	"time"

	"ampwake/sim/bank"
	"ampwake/sim/units"
)

// slotbook follows the slot, or the unserved spell, of one load. A slot counts
// as kept from its beginning until it fails.
type slotbook struct {
	id        int64 // Unix seconds of the slot under way, 0: none
	begun     int64 // when it did for us: she may have left in the middle of it
	failed    bool
	due, kept int
	spell     int // index of the open spell in Result.Misses, or -1
	last      int // index of the last spell there, or -1
}

// ask puts the loads' demands together again. Between two edges a demand does
// not change, so this is not done at every step.
func (p *passage) ask() {
	p.dirty = false
	p.wary = 0
	p.fixedW, p.fixedA = 0, 0
	for i := range p.loads {
		l := &p.loads[i]
		f := &p.v.Loads[i]
		d := f.Load.Draw(&p.c)
		l.demand = d
		if l.slot.id != 0 && (!d.On || d.Slot != l.slot.id) {
			p.closeSlot(i)
		}
		if d.On && d.Slot != 0 && l.slot.id == 0 {
			l.slot.id, l.slot.begun, l.slot.failed = d.Slot, p.now, false
			l.slot.due++
			l.slot.kept++
		}
		l.served = d.On
		l.w, l.a = 0, 0
		switch {
		case !d.On:
			p.closeSpell(i)
			if p.extra[i] != 0 && p.cut != cutAll { // left on
				l.a = p.extra[i]
				p.fixedA += l.a
			}
			continue
		case p.cut == cutAll:
			l.served = false
			p.fail(i, Flat, 0)
			continue
		case l.shed:
			l.served = false
			p.fail(i, Shed, 0)
			continue
		case p.cut == cutSpare && f.Spare:
			l.served = false
			p.fail(i, Shed, 0)
			continue
		case d.Least == 0: // else checkVoltage tells whether it works again
			p.closeSpell(i)
		}
		l.w, l.a = float64(d.Power)*l.times, float64(float64(d.Current)*l.times)+p.extra[i]
		p.fixedW += l.w
		p.fixedA += l.a
		if d.Least > 0 {
			p.wary++
		}
	}
}

// checkVoltage finds the loads that cannot work at the voltage they would see
// while drawing their peak, and leaves them only what they draw idle.
func (p *passage) checkVoltage() {
	for i := range p.loads {
		l := &p.loads[i]
		d := &l.demand
		if !l.served || d.Least == 0 {
			continue
		}
		// All else as it is, this load at its peak.
		node := bank.Node{
			Supply: units.Watts(p.supply()), Power: units.Watts(p.fixedW), Current: units.Amps(p.fixedA),
			Temp: p.warmth, Length: p.c.Length,
		}
		peak := float64(d.Peak)
		if peak > 0 {
			node.Power -= units.Watts(l.w)
			node.Current += units.Amps(peak - l.a)
		}
		look := p.model.Look(&p.bank, node)
		if peak == 0 {
			peak = l.a + l.w/float64(look.Volts)
		}
		at := look.Volts - units.Volts(peak*float64(d.Cable))
		if at >= d.Least {
			p.closeSpell(i)
			continue
		}
		at = max(at, 0)
		p.fixedW -= l.w
		idle := float64(float64(d.Idle)*l.times) + p.extra[i]
		p.fixedA += idle - l.a
		l.w, l.a = 0, idle
		l.served = false
		p.fail(i, UnderVoltage, at)
		p.dirty = true // it may work again in the next step
	}
}

// fail notes that load i, due now, is not served.
func (p *passage) fail(i int, cause Cause, at units.Volts) {
	l := &p.loads[i]
	m := Miss{Load: i, What: l.demand.What, At: p.moment(), Cause: cause, Volts: at}
	if m.What == "" {
		m.What = p.v.Loads[i].Load.Name()
	}
	if l.slot.id != 0 {
		if l.slot.failed {
			return
		}
		l.slot.failed = true
		m.Slot = time.Unix(l.slot.id, 0).UTC()
		p.day.day.Misses++
		p.lose(i)
	} else {
		if l.slot.spell >= 0 {
			return
		}
		if k := l.slot.last; k >= 0 && p.res.Misses[k].Until.Equal(m.At.Time) && p.res.Misses[k].Cause == cause {
			// Switched on at this very moment, and it could not last: the spell
			// goes on.
			l.slot.spell = k
			return
		}
		l.slot.spell, l.slot.last = len(p.res.Misses), len(p.res.Misses)
		m.Slot = m.At.Time
	}
	p.res.Misses = append(p.res.Misses, m)
}

// lose takes the slot of load i off those kept, in the day in which it began.
func (p *passage) lose(i int) {
	s := &p.loads[i].slot
	s.kept--
	if s.begun < p.day.begun && !p.lean {
		p.day.loads[i].Kept--
		p.res.Days[len(p.res.Days)-1].Loads[i].Kept--
	}
}

// closeSlot ends the slot or the spell of load i.
func (p *passage) closeSlot(i int) {
	p.loads[i].slot.id = 0
	p.closeSpell(i)
}

// closeSpell ends a spell without service.
func (p *passage) closeSpell(i int) {
	s := &p.loads[i].slot
	if s.spell >= 0 {
		p.res.Misses[s.spell].Until = time.Unix(0, p.now).UTC()
		s.spell = -1
	}
}

// runFlat sails up to the moment at which the bank cannot carry the loads any
// more, empty or under its cut-off voltage, and switches loads off there.
func (p *passage) runFlat(node bank.Node, ns int64, made float64) {
	node.Cut = false
	lo, hi := int64(0), ns
	for hi-lo > int64(time.Second) {
		mid := (lo + hi) / 2
		s := p.bank
		node.Length = units.Hours(hours(mid))
		if p.model.Step(&s, node).Flat {
			hi = mid
		} else {
			lo = mid
		}
	}
	if lo > 0 {
		h := hours(lo)
		node.Length = units.Hours(h)
		p.c.Length = node.Length
		flow := p.model.Step(&p.bank, node)
		part := made * float64(lo) / float64(ns)
		p.book(&flow, h, part)
		p.advance(p.now+lo, -1, part)
	}
	p.switchOff()
}

// switchOff takes the next stage of the low-voltage cut-off: the spare loads if
// that takes anything off the bus, else all.
func (p *passage) switchOff() {
	p.dirty = true
	if p.cut == cutNone {
		for i := range p.loads {
			if p.loads[i].served && p.v.Loads[i].Spare {
				p.cut = cutSpare
				return
			}
		}
	}
	p.cut = cutAll
}

// watchVoltage switches the loads on again above the reset voltage.
func (p *passage) watchVoltage(flow *bank.Flow) {
	if p.cut > cutNone && flow.Volts >= p.reset {
		p.cut = cutNone
		p.dirty = true
	}
}
