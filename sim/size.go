package sim

import (
	"context"
	"fmt"
	"math"
)

// Choice is a box of kits to choose from.
type Choice struct {
	Box
	// Kit makes the voyage with a kit of the box, each time the same.
	Kit func(kit int) (*Voyage, error)
}

// SizeOptions say what a kit must reach.
type SizeOptions struct {
	Members int     // weathers, at least 1: members 0 … Members-1, the same for all kits
	Wanted  float64 // share of them in which all goals must hold, (0, 1]
	Workers int     // voyages under way at once; 0: runtime.GOMAXPROCS. No result depends on it
	// Progress, if not nil, is told now and then how many kits were tried and
	// how many voyages were sailed.
	Progress func(kits, voyages int)
}

// Size is the smallest kit of a box that reaches the goal, and how that is known.
type Size struct {
	Members, Need int // it must hold in Need of the Members
	Wanted        float64
	Kits          []SizedKit // those sailed, in that order
	Best          int        // index into Kits of the smallest that reaches the goal; -1: none does
	// Rival is the index into Kits of the smaller kit that comes nearest to the
	// goal, or, if none reaches it, of the kit that does; -1: there is none.
	Rival    int
	InBox    int // kits to choose from
	Voyages  int // sailed, those of all kits together
	Compared int // see Against
	// Against counts the weathers, of Compared, in which a kit failed and one that
	// is smaller held: that a step up an axis never makes a kit worse is taken for
	// granted, and this is what the voyages sailed say of it.
	Against int
}

// SizedKit is one kit sailed. The Trials of Best and Rival are complete.
type SizedKit struct {
	Kit   int // number in the box
	Trial *Trial
	// Frontier tells that no smaller kit that was sailed holds in as large a
	// share of its weathers.
	Frontier bool
}

// Size searches the box for the smallest kit that holds in the wanted share of
// the weathers: see Box.Smallest for which kits are sailed, and Trial for how
// often. If the axes rise as they say, it is what sailing every kit through
// every weather would find.
func (c *Choice) Size(ctx context.Context, opt SizeOptions) (*Size, error) {
	switch {
	case opt.Members < 1:
		return nil, fmt.Errorf("size in %d weathers: want at least 1", opt.Members)
	case !(opt.Wanted > 0 && opt.Wanted <= 1):
		return nil, fmt.Errorf("size for a share of %g: want more than 0 and at most 1", opt.Wanted)
	}
	s := &Size{
		Members: opt.Members, Wanted: opt.Wanted, Best: -1, Rival: -1, InBox: c.Len(),
		Need: int(math.Ceil(opt.Wanted*float64(opt.Members) - 1e-9)),
	}
	step := func(x *SizedKit, sail func(*Trial, *Voyage) error) error {
		v, err := c.Kit(x.Kit)
		if err != nil {
			return err
		}
		before := len(x.Trial.Holds)
		err = sail(x.Trial, v)
		s.Voyages += len(x.Trial.Holds) - before
		if opt.Progress != nil {
			opt.Progress(len(s.Kits), s.Voyages)
		}
		return err
	}
	best, err := c.Smallest(func(kit int) (bool, error) {
		s.Kits = append(s.Kits, SizedKit{Kit: kit, Trial: &Trial{Of: opt.Members, Need: s.Need}})
		x := &s.Kits[len(s.Kits)-1]
		err := step(x, func(t *Trial, v *Voyage) error { return t.Decide(ctx, v, opt.Workers) })
		return x.Trial.Reaches(), err
	})
	if err != nil {
		return nil, err
	}
	order := c.places()
	for i := range s.Kits {
		if s.Kits[i].Kit == best {
			s.Best = i
		}
	}
	s.Rival = s.rival(order)
	for _, i := range []int{s.Best, s.Rival} {
		if i < 0 {
			continue
		}
		if err := step(&s.Kits[i], func(t *Trial, v *Voyage) error { return t.Finish(ctx, v, opt.Workers) }); err != nil {
			return nil, err
		}
	}
	s.frontier(order)
	s.compare(&c.Box)
	return s, nil
}

// places returns the place of each kit from the smallest to the largest.
func (b *Box) places() []int {
	places := make([]int, b.Len())
	for p, kit := range b.Order() {
		places[kit] = p
	}
	return places
}

// rival returns the kit that might have been the best: of those smaller than the
// best, the one with the highest share, the larger of two alike.
func (s *Size) rival(place []int) int {
	found := -1
	for i := range s.Kits {
		if s.Best >= 0 && place[s.Kits[i].Kit] >= place[s.Kits[s.Best].Kit] {
			continue
		}
		if found >= 0 {
			a, b := s.Kits[i].Trial.Share().P, s.Kits[found].Trial.Share().P
			if a < b || a == b && place[s.Kits[i].Kit] < place[s.Kits[found].Kit] {
				continue
			}
		}
		found = i
	}
	return found
}

// frontier marks the kits that are worth their size.
func (s *Size) frontier(place []int) {
	for i := range s.Kits {
		x := &s.Kits[i]
		x.Frontier = true
		for j := range s.Kits {
			y := &s.Kits[j]
			if place[y.Kit] < place[x.Kit] && y.Trial.Share().P >= x.Trial.Share().P {
				x.Frontier = false
			}
		}
	}
}

// compare sets the kits sailed against each other, weather by weather.
func (s *Size) compare(b *Box) {
	for i := range s.Kits {
		for j := range s.Kits {
			small, large := &s.Kits[i], &s.Kits[j]
			if i == j || !b.Under(small.Kit, large.Kit) {
				continue
			}
			n := min(len(small.Trial.Holds), len(large.Trial.Holds))
			s.Compared += n
			for k := range n {
				if small.Trial.Holds[k] && !large.Trial.Holds[k] {
					s.Against++
				}
			}
		}
	}
}

// Sure reports whether the voyages tell the best kit and its rival apart from the
// wanted share: the whole interval of the one lies at or over it, that of the
// other under it. It is false if there is no best kit and the rival might be one.
func (s *Size) Sure() (best, rival bool) {
	best, rival = s.Best < 0, true
	if s.Best >= 0 {
		best = s.Kits[s.Best].Trial.Share().Low >= s.Wanted
	}
	if s.Rival >= 0 {
		rival = s.Kits[s.Rival].Trial.Share().High < s.Wanted
	}
	return best, rival
}

// Enough returns in how many weathers the shares found would tell the best kit
// and its rival from the wanted share, to two digits, at most 100,000; 0 if those
// sailed do.
func (s *Size) Enough() int {
	best, rival := s.Sure()
	if best && rival {
		return 0
	}
	const most = 100_000
	n := 0.0
	for _, x := range []struct {
		kit  int
		sure bool
	}{{s.Best, best}, {s.Rival, rival}} {
		if x.sure {
			continue
		}
		p := s.Kits[x.kit].Trial.Share().P
		// The shares of so few weathers are grainy: a distance under one of them
		// is not to be taken for none.
		d := max(math.Abs(p-s.Wanted), 0.5/float64(s.Members))
		w := s.Wanted*(1-s.Wanted) + 0.25/float64(s.Members) // its spread, of few a little more
		n = max(n, z95*z95*w/(d*d))
	}
	n = max(n, 2*float64(s.Members))
	scale := math.Pow(10, math.Floor(math.Log10(n))-1)
	return int(min(most, math.Ceil(n/scale)*scale))
}
