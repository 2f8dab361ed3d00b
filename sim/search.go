package sim

import (
	"cmp"
	"math"
	"slices"
)

// Axis is one thing that kits of a box differ by.
type Axis struct {
	Len int // values along it, at least 1, the smallest first
	// Rises tells that a step up never makes a kit worse: if a kit reaches the
	// goal, so does every kit that is larger along such axes and the same along
	// the others. Of an axis that does not rise nothing is taken for granted.
	Rises bool
}

// Box holds every kit that can be made of the values of its axes. Kits are
// numbered from 0, the last axis changing first.
type Box struct {
	Axes []Axis
	// Cost is what each kit weighs or costs; nil: kits go by their numbers, so
	// that the first axis matters most. Of two kits of the same cost the one with
	// fewer steps up its axes is the smaller, and of two with as many the one
	// with the lower number.
	Cost []float64
}

// Len returns the number of kits.
func (b *Box) Len() int {
	n := 1
	for _, a := range b.Axes {
		if a.Len < 1 {
			panic("sim: axis without values")
		}
		n *= a.Len
	}
	return n
}

// Point returns the place of kit i on each axis.
func (b *Box) Point(i int) []int {
	p := make([]int, len(b.Axes))
	for k := len(p) - 1; k >= 0; k-- {
		p[k] = i % b.Axes[k].Len
		i /= b.Axes[k].Len
	}
	return p
}

// Under reports whether kit j is nowhere larger than kit i along axes that rise,
// and the same along the others: if i fails, so does j. Every kit is under
// itself.
func (b *Box) Under(j, i int) bool {
	for k := len(b.Axes) - 1; k >= 0; k-- {
		a := b.Axes[k]
		x, y := j%a.Len, i%a.Len
		if x > y || x < y && !a.Rises {
			return false
		}
		j, i = j/a.Len, i/a.Len
	}
	return true
}

// Order returns the kits from the smallest to the largest.
func (b *Box) Order() []int {
	n := b.Len()
	order, steps := make([]int, n), make([]int, n)
	for i := range n {
		order[i] = i
		for _, x := range b.Point(i) {
			steps[i] += x
		}
	}
	if b.Cost == nil {
		return order
	}
	if len(b.Cost) != n {
		panic("sim: a box needs a cost for each kit")
	}
	slices.SortFunc(order, func(i, j int) int {
		return cmp.Or(cmp.Compare(b.Cost[i], b.Cost[j]), cmp.Compare(steps[i], steps[j]), cmp.Compare(i, j))
	})
	return order
}

// Bound returns the most kits that Smallest tries.
//
// Let n kits be open: cheaper than the best found so far and not under one that
// failed. They lie on at most L lines along one axis that rises. Take the m =
// ⌈nL/(L+1)⌉ cheapest, and the highest of them on the line that has most of
// them. If it fails, at least m/L >= n/(L+1) kits are closed; if not, all but
// m-1, at least n/(L+1) too. Smallest does no worse than that with each kit it
// tries, so n shrinks by L/(L+1) or more each time until it is under 1. With one
// axis this is bisection.
func (b *Box) Bound() int {
	n, longest := b.Len(), 1
	for _, a := range b.Axes {
		if a.Rises {
			longest = max(longest, a.Len)
		}
	}
	if longest == 1 {
		return n
	}
	lines := float64(n / longest)
	tries := math.Floor(math.Log(float64(n))/math.Log((lines+1)/lines)+1e-9) + 1
	return min(n, int(tries))
}

// Answer is whether a kit reaches the goal.
type Answer struct {
	Kit     int
	Reaches bool
}

// Smallest finds the smallest kit that reaches the goal, or -1 if none does, from
// what is known and what reaches tells. It asks of no kit twice, and of none whose
// answer follows from those before; which one it asks next is the one whose answer
// settles most kits, whatever it is. An error of reaches ends the search and is
// returned.
func (b *Box) Smallest(reaches func(kit int) (bool, error), known ...Answer) (best int, err error) {
	order := b.Order()
	place, open, below := make([]int, len(order)), make([]bool, len(order)), make([]int, len(order))
	for at, kit := range order {
		place[kit], open[kit] = at, true
	}
	best = -1
	limit := len(order) // of the order: what is beyond is not smaller than the best
	learn := func(a Answer) {
		if a.Reaches {
			for _, i := range order[min(place[a.Kit], limit):limit] {
				open[i] = false
			}
			if place[a.Kit] < limit {
				best, limit = a.Kit, place[a.Kit]
			}
			return
		}
		for _, i := range order[:limit] {
			if open[i] && b.Under(i, a.Kit) {
				open[i] = false
			}
		}
	}
	for _, a := range known {
		learn(a)
	}
	for {
		kit := b.next(order[:limit], open, below)
		if kit < 0 {
			return best, nil
		}
		yes, err := reaches(kit)
		if err != nil {
			return -1, err
		}
		learn(Answer{kit, yes})
	}
}

// next returns the open kit whose answer closes most open kits in the worse case,
// or -1 if none is open. Of two alike it is the smaller.
func (b *Box) next(order []int, open []bool, below []int) (kit int) {
	total := 0
	for i, is := range open {
		below[i] = 0
		if is {
			below[i] = 1
			total++
		}
	}
	// Sums along one axis after the other count the open kits under each.
	stride := 1
	for k := len(b.Axes) - 1; k >= 0; k-- {
		a := b.Axes[k]
		if a.Rises {
			for i := range below {
				if i/stride%a.Len > 0 {
					below[i] += below[i-stride]
				}
			}
		}
		stride *= a.Len
	}
	kit, most, seen := -1, 0, 0
	for _, i := range order {
		if !open[i] {
			continue
		}
		if closes := min(below[i], total-seen); closes > most {
			kit, most = i, closes
		}
		seen++
	}
	return kit
}
