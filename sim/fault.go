package sim

import (
	"crypto/sha256"
	"encoding/binary"
	"math"
	"math/rand/v2"
	"time"

	"ampwake/sim/bank"
	"ampwake/sim/units"
)

// Fault is something that goes wrong: a source lost or weakened, a load left on,
// a bank that loses a part. It strikes at the first of its occasions that is
// set.
type Fault struct {
	What string // what the log of decisions says: "rail panel lost"
	Why  string

	At     time.Time           // zero: no such occasion
	Mark   units.NauticalMiles // distance along the route, 0: no such occasion
	In     States              // on first being in one of these states, 0: no such occasion
	From   units.NauticalMiles // In counts only from this distance on
	Every  units.Hours         // mean time between, struck at random; 0: not at random
	Mended units.Hours         // how long it lasts, 0: for good

	Source int            // index into Voyage.Sources, -1: none
	Left   units.Fraction // share of its output that is left
	Load   int            // index into Voyage.Loads, -1: none
	Draws  units.Amps     // that the load draws all the time while the fault lasts
	// Bank replaces the bank, nil: none. It keeps the share Kept of the charge.
	Bank *bank.Model
	Kept units.Fraction
}

// faultState is a fault under way.
type faultState struct {
	on   bool
	done bool  // it strikes once, or not again
	next int64 // when it strikes, or is mended, as far as the clock tells
	dice *rand.Rand
}

// newFaults readies the faults of a member. Each random fault has its own
// stream, so that another one more or less does not move it.
func (p *passage) newFaults(member int) {
	p.faults = make([]faultState, len(p.v.Faults))
	p.factor = make([]float64, len(p.v.Sources))
	for i := range p.factor {
		p.factor[i] = orOne(p.v.Sources[i].Times)
	}
	p.extra = make([]float64, len(p.v.Loads))
	for i := range p.faults {
		f, s := &p.v.Faults[i], &p.faults[i]
		s.next = never
		if !f.At.IsZero() {
			s.next = f.At.UnixNano()
		}
		if f.Every > 0 {
			s.dice = rand.New(stream(p.v.FaultSeed, member, i))
			s.next = min(s.next, p.wait(f, s, p.start))
		}
	}
}

// stream returns the random source of one fault of one member.
func stream(seed uint64, member, fault int) *rand.PCG {
	var b [24]byte
	binary.LittleEndian.PutUint64(b[0:], seed)
	binary.LittleEndian.PutUint64(b[8:], uint64(member))
	binary.LittleEndian.PutUint64(b[16:], uint64(fault))
	h := sha256.Sum256(append(b[:], "fault"...))
	return rand.NewPCG(binary.LittleEndian.Uint64(h[0:]), binary.LittleEndian.Uint64(h[8:]))
}

// wait draws when a random fault strikes next after an instant: times between
// failures are exponential, as of things that do not age.
func (p *passage) wait(f *Fault, s *faultState, after int64) int64 {
	h := -math.Log(1-s.dice.Float64()) * float64(f.Every)
	if h > 10*float64(MaxLength) {
		return never
	}
	return after + nanos(units.Hours(h))
}

// strike begins and ends the faults that are due, and returns when the next one
// is, as far as the clock tells.
func (p *passage) strike() (next int64) {
	next = never
	for i := range p.faults {
		f, s := &p.v.Faults[i], &p.faults[i]
		if s.done {
			continue
		}
		switch {
		case s.on && s.next <= p.now:
			p.mend(i)
		case !s.on && p.struck(f, s):
			p.breakIt(i)
		}
		next = min(next, s.next)
	}
	return next
}

// struck reports whether a fault that is not on strikes now.
func (p *passage) struck(f *Fault, s *faultState) bool {
	return s.next <= p.now ||
		f.Mark > 0 && p.sailed >= float64(f.Mark) ||
		f.In != 0 && p.now > p.start && f.In&(1<<p.c.State) != 0 && p.sailed >= float64(f.From)
}

func (p *passage) breakIt(i int) {
	f, s := &p.v.Faults[i], &p.faults[i]
	s.on, s.next = true, never
	if f.Mended > 0 {
		s.next = p.now + nanos(f.Mended)
	}
	if f.Source >= 0 {
		p.refit(f.Source)
	}
	if f.Load >= 0 {
		p.extra[f.Load] += float64(f.Draws)
		p.dirty = true
	}
	if f.Bank != nil {
		p.loseCells(f)
	}
	p.record(Decision{What: f.What, Fault: true, Why: f.Why})
	if s.next == never {
		s.done = true
	}
}

func (p *passage) mend(i int) {
	f, s := &p.v.Faults[i], &p.faults[i]
	s.on = false
	if f.Load >= 0 {
		p.extra[f.Load] -= float64(f.Draws)
		p.dirty = true
	}
	if f.Source >= 0 {
		p.refit(f.Source)
	}
	p.record(Decision{What: f.What, Fault: true, Use: true, Why: "mended"})
	s.next, s.done = never, true
	if f.Every > 0 {
		s.next, s.done = p.wait(f, s, p.now), false
	}
}

// refit works out what all its faults leave of a source.
func (p *passage) refit(source int) {
	left := 1.0
	for i := range p.faults {
		if f := &p.v.Faults[i]; p.faults[i].on && f.Source == source {
			left *= float64(f.Left)
		}
	}
	p.factor[source] = left * orOne(p.v.Sources[source].Times)
	bit := uint64(1) << (source % 64)
	p.c.Failed &^= bit
	if left == 0 {
		p.c.Failed |= bit
	}
}

// loseCells goes on with what is left of the bank. The charge in the part lost
// is gone; the ledger has a row for it.
func (p *passage) loseCells(f *Fault) {
	hand, bound := p.bank.Tanks()
	sea := p.c.Weather.Sea
	before := p.model.Store(&p.bank, sea)
	p.books.gone += float64(hand+bound) * float64(1-f.Kept)
	p.model = f.Bank
	p.reset = f.Bank.Setup().Reset
	p.bank = f.Bank.Hold(hand*units.AmpHours(f.Kept), bound*units.AmpHours(f.Kept))
	p.books.worth -= before - p.model.Store(&p.bank, sea)
	p.c.Charge = p.model.Charge(&p.bank, sea)
	p.c.Bus = p.model.Look(&p.bank, bank.Node{Temp: sea}).Volts
	p.extremes(0) // the charge may have jumped down
}
