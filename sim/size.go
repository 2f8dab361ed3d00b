package sim

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
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
	// Levels are other shares to find the smallest kit for, once that is known:
	// together they are the frontier of size against odds.
	Levels  []float64
	Workers int // voyages under way at once; 0: runtime.GOMAXPROCS. No result depends on it
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
	Levels   []Level // of all levels and the one wanted, rising
	InBox    int     // kits to choose from
	Asked    int     // kits sailed to find Best
	Answered int     // voyages sailed to find Best and to complete it and Rival
	Voyages  int     // sailed, those of all kits together, for all levels
	Compared int     // see Against
	// Against counts the weathers, of Compared, in which a kit failed and one that
	// is smaller held: that a step up an axis never makes a kit worse is taken for
	// granted, and this is what the voyages sailed say of it.
	Against int
}

// SizedKit is one kit sailed. The trials of Best, Rival and the levels' kits are
// complete.
type SizedKit struct {
	Kit   int // number in the box
	Trial *Trial
}

// Level is the smallest kit for one share.
type Level struct {
	Wanted float64
	Need   int // weathers
	Best   int // index into Kits; -1: none reaches it
}

// Size searches the box for the smallest kit that holds in the wanted share of
// the weathers: see Box.Smallest for which kits are sailed, and Trial for how
// often. If the axes rise as they say, it is what sailing every kit through
// every weather would find.
func (c *Choice) Size(ctx context.Context, opt SizeOptions) (*Size, error) {
	if opt.Members < 1 {
		return nil, fmt.Errorf("size in %d weathers: want at least 1", opt.Members)
	}
	for _, x := range append([]float64{opt.Wanted}, opt.Levels...) {
		if !(x > 0 && x <= 1) {
			return nil, fmt.Errorf("size for a share of %g: want more than 0 and at most 1", x)
		}
	}
	s := &sizing{choice: c, opt: opt, Size: Size{Members: opt.Members, Wanted: opt.Wanted, Need: needed(opt.Wanted, opt.Members), InBox: c.Len()}}
	s.place = make([]int, c.Len())
	for at, kit := range c.Order() {
		s.place[kit] = at
	}
	var err error
	if s.Best, err = s.smallest(ctx, s.Need); err != nil {
		return nil, err
	}
	s.Asked = len(s.Kits)
	s.Rival = s.rival()
	if err := s.finish(ctx, s.Best, s.Rival); err != nil {
		return nil, err
	}
	s.Answered = s.Voyages
	if err := s.levels(ctx); err != nil {
		return nil, err
	}
	s.compare()
	return &s.Size, nil
}

// needed returns in how many weathers a kit must hold.
func needed(share float64, members int) int {
	return int(math.Ceil(share*float64(members) - 1e-9))
}

// sizing is a search under way.
type sizing struct {
	Size
	choice *Choice
	opt    SizeOptions
	place  []int // of each kit, from the smallest to the largest
}

// smallest searches the smallest kit that holds in need weathers and returns its
// index into Kits, or -1. What is known of kits already sailed is not sailed
// again.
func (s *sizing) smallest(ctx context.Context, need int) (int, error) {
	var known []Answer
	index := map[int]int{}
	for i, x := range s.Kits {
		index[x.Kit] = i
		if x.Trial.Reaches(need) || x.Trial.Misses(need) {
			known = append(known, Answer{x.Kit, x.Trial.Reaches(need)})
		}
	}
	best, err := s.choice.Smallest(func(kit int) (bool, error) {
		i, sailed := index[kit]
		if !sailed {
			i = len(s.Kits)
			index[kit] = i
			s.Kits = append(s.Kits, SizedKit{Kit: kit, Trial: &Trial{Of: s.Members}})
		}
		err := s.sail(i, func(t *Trial, v *Voyage) error { return t.Decide(ctx, v, need, s.opt.Workers) })
		return s.Kits[i].Trial.Reaches(need), err
	}, known...)
	if err != nil || best < 0 {
		return -1, err
	}
	return index[best], nil
}

// sail sails kit i on and counts the voyages.
func (s *sizing) sail(i int, on func(*Trial, *Voyage) error) error {
	x := &s.Kits[i]
	v, err := s.choice.Kit(x.Kit)
	if err != nil {
		return err
	}
	before := len(x.Trial.Holds)
	err = on(x.Trial, v)
	s.Voyages += len(x.Trial.Holds) - before
	if s.opt.Progress != nil {
		s.opt.Progress(len(s.Kits), s.Voyages)
	}
	return err
}

// finish completes the trials of kits.
func (s *sizing) finish(ctx context.Context, kits ...int) error {
	for _, i := range kits {
		if i < 0 || s.Kits[i].Trial.Complete() {
			continue
		}
		if err := s.sail(i, func(t *Trial, v *Voyage) error { return t.Finish(ctx, v, s.opt.Workers) }); err != nil {
			return err
		}
	}
	return nil
}

// rival returns the kit that might have been the best: of those smaller than the
// best, the one that holds most often in the same weathers, the larger of two
// alike.
func (s *sizing) rival() int {
	found := -1
	for i := range s.Kits {
		x := &s.Kits[i]
		if s.Best >= 0 && s.place[x.Kit] >= s.place[s.Kits[s.Best].Kit] {
			continue
		}
		if found >= 0 {
			ours, theirs := x.Trial.Against(s.Kits[found].Trial)
			if ours < theirs || ours == theirs && s.place[x.Kit] < s.place[s.Kits[found].Kit] {
				continue
			}
		}
		found = i
	}
	return found
}

// levels finds the smallest kit for each level.
func (s *sizing) levels(ctx context.Context) error {
	s.Levels = []Level{{Wanted: s.Wanted, Need: s.Need, Best: s.Best}}
	for _, share := range s.opt.Levels {
		if share == s.Wanted {
			continue
		}
		l := Level{Wanted: share, Need: needed(share, s.Members)}
		var err error
		if l.Best, err = s.smallest(ctx, l.Need); err != nil {
			return err
		}
		if err := s.finish(ctx, l.Best); err != nil {
			return err
		}
		s.Levels = append(s.Levels, l)
	}
	slices.SortFunc(s.Levels, func(a, b Level) int { return cmp.Compare(a.Wanted, b.Wanted) })
	return nil
}

// compare sets the kits sailed against each other, weather by weather.
func (s *sizing) compare() {
	for i := range s.Kits {
		for j := range s.Kits {
			small, large := s.Kits[i].Trial.Holds, s.Kits[j].Trial.Holds
			if i == j || !s.choice.Under(s.Kits[i].Kit, s.Kits[j].Kit) {
				continue
			}
			n := min(len(small), len(large))
			s.Compared += n
			for k := range n {
				if small[k] && !large[k] {
					s.Against++
				}
			}
		}
	}
}

// Sure reports whether the voyages tell the best kit and its rival apart from the
// wanted share: the whole interval of the one lies at or over it, that of the
// other under it. What is not there is sure.
func (s *Size) Sure() (best, rival bool) {
	best, rival = true, true
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
// sailed do, or if no number would: none proves that a kit holds in all.
func (s *Size) Enough() int {
	best, rival := s.Sure()
	best = best || s.Wanted == 1
	if best && rival {
		return 0
	}
	const most = 100_000
	n := 2 * float64(s.Members)
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
	scale := math.Pow(10, math.Floor(math.Log10(n))-1)
	return int(min(most, math.Ceil(n/scale)*scale))
}
