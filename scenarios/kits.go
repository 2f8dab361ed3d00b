package scenarios

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ampwake/sim"
)

// Kits is a box of kits to choose from: a scenario with every combination of the
// values of some ranges.
type Kits struct {
	Ranges []Range
	Box    sim.Box // see By
	By     By
	// Lacks names the ranges whose values weigh, or cost, nothing in the file,
	// though others do.
	Lacks []string

	of *Scenario
}

// By is what makes a kit small.
type By string

// A kit is small by its weight, by its price, or by the order of the ranges where
// the file gives neither.
const (
	ByWeight By = "weight"
	ByPrice  By = "price"
	ByOrder  By = "order"
)

// MostRanges and MostKits bound a box.
const (
	MostRanges = 4
	MostKits   = 5000
)

// ReadKits reads a scenario once with each kit, and weighs them. by may be "":
// then it is by weight if the file gives any, else by price, else by the order of
// the ranges.
func ReadKits(s *Scenario, ranges []Range, by By) (*Kits, error) {
	k := &Kits{Ranges: ranges, of: s}
	if len(ranges) < 1 || len(ranges) > MostRanges {
		return nil, fmt.Errorf("a box of kits has 1 to %d ranges, not %d", MostRanges, len(ranges))
	}
	n := 1
	for i, r := range ranges {
		for _, other := range ranges[:i] {
			if other.Path == r.Path {
				return nil, fmt.Errorf("two ranges of %s", r.Path)
			}
		}
		if n *= len(r.Values); n > MostKits {
			return nil, fmt.Errorf("there are more than %d kits: take larger steps", MostKits)
		}
		k.Box.Axes = append(k.Box.Axes, sim.Axis{Len: len(r.Values), Rises: r.Rises})
	}
	weights, prices := make([]float64, n), make([]float64, n)
	weighed, priced := false, false
	for i := range n {
		s, err := k.Read(i)
		if err != nil {
			return nil, err
		}
		kg, some := s.File.Weight()
		weights[i], weighed = float64(kg), weighed || some
		price, some := s.File.Price()
		prices[i], priced = price, priced || some
	}
	switch {
	case by == ByWeight && !weighed:
		return nil, fmt.Errorf("the file gives no weights: write 'weighs', or 'weighs per Ah' and 'weighs per W'")
	case by == ByPrice && !priced:
		return nil, fmt.Errorf("the file gives no prices: write 'costs', or 'costs per Ah' and 'costs per W'")
	case by == "" && weighed:
		by = ByWeight
	case by == "" && priced:
		by = ByPrice
	case by == "":
		by = ByOrder
	}
	k.By = by
	switch by {
	case ByWeight:
		k.Box.Cost = weights
	case ByPrice:
		k.Box.Cost = prices
	}
	k.lacks()
	return k, nil
}

// lacks finds the ranges along which the cost never changes.
func (k *Kits) lacks() {
	if k.Box.Cost == nil {
		return
	}
	stride := len(k.Box.Cost)
	for i, r := range k.Ranges {
		stride /= len(r.Values)
		changes := len(r.Values) == 1
		for kit := range k.Box.Cost {
			if kit/stride%len(r.Values) > 0 && k.Box.Cost[kit] != k.Box.Cost[kit-stride] {
				changes = true
				break
			}
		}
		if !changes {
			k.Lacks = append(k.Lacks, k.Ranges[i].Name())
		}
	}
}

// Overrides returns what a kit sets in the file. What it takes out comes last,
// items of a list from the end: to take one out moves those behind it.
func (k *Kits) Overrides(kit int) []string {
	var sets, gone []string
	for i, x := range k.Box.Point(kit) {
		if r := &k.Ranges[i]; r.Removes(x) {
			gone = append(gone, r.Override(x))
		} else {
			sets = append(sets, r.Override(x))
		}
	}
	slices.SortFunc(gone, func(a, b string) int { return cmp.Or(cmp.Compare(len(b), len(a)), cmp.Compare(b, a)) })
	return append(sets, gone...)
}

// Read reads the scenario with a kit.
func (k *Kits) Read(kit int) (*Scenario, error) {
	return k.of.With("--range", k.Overrides(kit)...)
}

// Name returns what makes a kit differ from the others: "bank 350 Ah, no deck
// panel".
func (k *Kits) Name(kit int) string {
	var parts []string
	for i, x := range k.Box.Point(kit) {
		r := &k.Ranges[i]
		if r.Removes(x) {
			parts = append(parts, "no "+r.Name())
		} else {
			parts = append(parts, r.Name()+" "+r.Value(x))
		}
	}
	return strings.Join(parts, ", ")
}

// Short is Name without the names of those ranges whose unit tells what they are:
// "350 Ah, no deck panel".
func (k *Kits) Short(kit int) string {
	var parts []string
	for i, x := range k.Box.Point(kit) {
		r := &k.Ranges[i]
		plain := r.Unit != ""
		for j := range k.Ranges {
			plain = plain && (i == j || k.Ranges[j].Unit != r.Unit)
		}
		switch {
		case r.Removes(x):
			parts = append(parts, "no "+r.Name())
		case plain:
			parts = append(parts, r.Value(x))
		default:
			parts = append(parts, r.Name()+" "+r.Value(x))
		}
	}
	return strings.Join(parts, ", ")
}

// Cost returns what a kit weighs or costs, or the first range's value where kits
// go by order.
func (k *Kits) Cost(kit int) float64 {
	if k.Box.Cost != nil {
		return k.Box.Cost[kit]
	}
	x := k.Box.Point(kit)[0]
	if n := k.Ranges[0].Numbers; n != nil {
		return n[x]
	}
	return float64(x + 1)
}
