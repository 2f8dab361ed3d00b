package report

import (
	"fmt"
	"io"
	"math"
	"strings"
	"unicode"

	"ampwake/scenarios"
	"ampwake/sim"
)

// Kits is a comparison with the files of its kits, which know what they weigh and
// cost.
type Kits struct {
	*sim.Comparison
	Files []*scenarios.File // in the order of Kits
	Seed  uint64
}

// Sure is the share of weathers in which a kit must hold to be the answer.
const Sure = 0.95

// CompareText writes the report of a comparison: the answer in three lines, one
// table of all kits, and what was assumed.
func CompareText(w io.Writer, k *Kits) error {
	var b strings.Builder
	b.WriteString(CompareAnswer(k))
	b.WriteString("\n")
	compareHeader(&b, k)
	compareTable(&b, k)
	assumed(&b, k.notes())
	b.WriteString("\n" + Caution + "\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// CompareAnswer returns the three lines that settle which kit: the least that
// holds, what it gains in the same weathers, and what that costs.
func CompareAnswer(k *Kits) string {
	best, why := k.best()
	stopped := ""
	o := k.Kits[best].Odds
	if o.Stopped != nil {
		stopped = fmt.Sprintf("STOPPED AT %d OF %d: ", o.Done, o.Wanted)
	}
	if len(o.Goals) == 0 {
		why = "NOTHING ASKED   no goals are set"
	}
	step := k.step(best)
	return stopped + why + "\n" + step.gain() + "\n" + step.costs() + "\n"
}

// Best returns the index of the kit that the answer names.
func (k *Kits) Best() int {
	i, _ := k.best()
	return i
}

// best returns the kit that the answer names, and the line that says why: the
// least of those that are sure to hold, or else the one that holds most often.
func (k *Kits) best() (best int, line string) {
	var sure []int
	for i := range k.Kits {
		h := &k.Kits[i].Odds.Holds
		if h.P >= Sure {
			sure = append(sure, i)
		}
		if h.Count > k.Kits[best].Odds.Holds.Count {
			best = i
		}
	}
	if len(sure) == 0 {
		h := k.Kits[best].Odds.Holds
		return best, fmt.Sprintf("NO KIT holds in %.0f of 100 weathers: the best is %s with %s   (%d of %d; 95 %% interval %s)",
			100*Sure, k.Kits[best].Name, hundred(h.P), h.Count, h.Of, interval(h))
	}
	best, words := k.least(sure)
	h := k.Kits[best].Odds.Holds
	doubt := ""
	if h.Low < Sure {
		doubt = ": more weathers would make it surer"
	}
	return best, fmt.Sprintf("%s %s in %.0f of 100 weathers   (%d of %d; 95 %% interval %s%s)",
		loud(k.Kits[best].Name), words, 100*Sure, h.Count, h.Of, interval(h), doubt)
}

// least returns the lightest of some kits, or the cheapest where weights are not
// given or all the same, or the one that loses the fewest miles, or the first.
func (k *Kits) least(of []int) (kit int, words string) {
	if len(of) == 1 {
		return of[0], "is the only one that holds"
	}
	for _, by := range []struct {
		words string
		least float64 // that counts as a difference
		value func(i int) (float64, bool)
	}{
		{"is the lightest that holds", 0.05, k.weight},
		{"is the cheapest that holds", 0.005, k.price},
		{"loses the fewest miles of those that hold", 0.5, func(i int) (float64, bool) { return float64(k.Kits[i].Miles.Mean), true }},
	} {
		lo, hi, all := math.Inf(1), math.Inf(-1), true
		for _, i := range of {
			v, given := by.value(i)
			if v < lo {
				lo, kit = v, i
			}
			hi, all = max(hi, v), all && given
		}
		if all && hi-lo >= by.least {
			return kit, by.words
		}
	}
	return of[0], "is the first on the list that holds"
}

func (k *Kits) weight(i int) (float64, bool) {
	kg, given := k.Files[i].Weight()
	return float64(kg), given
}

func (k *Kits) price(i int) (float64, bool) { return k.Files[i].Price() }

// loud writes a name in capitals, but for what stands behind a number: a unit.
func loud(name string) string {
	words := strings.Fields(name)
	for i, w := range words {
		if i > 0 && unicode.IsDigit(rune(words[i-1][0])) {
			continue
		}
		words[i] = strings.ToUpper(w)
	}
	return strings.Join(words, " ")
}

// step is the way from one kit to the one that the answer names.
type step struct {
	from   string
	to     sim.Compared // measured against from
	kg     *float64     // more than from; nil: not known
	price  *float64
	silent bool // the files give neither weights nor prices
}

// step measures a kit against the base or, if it is the base, against the other
// kit that holds most often.
func (k *Kits) step(best int) *step {
	against := k.Base
	if against == best {
		against = -1
		for i := range k.Kits {
			if i != best && (against < 0 || k.Kits[i].Odds.Holds.Count > k.Kits[against].Odds.Holds.Count) {
				against = i
			}
		}
	}
	names := make([]string, len(k.Kits))
	odds := make([]*sim.Odds, len(k.Kits))
	for i := range k.Kits {
		names[i], odds[i] = k.Kits[i].Name, k.Kits[i].Odds
	}
	s := &step{from: names[against], to: sim.Compare(names, odds, against).Kits[best]}
	more := func(of func(int) (float64, bool)) *float64 {
		a, known := of(against)
		b, given := of(best)
		if !known || !given {
			return nil
		}
		d := b - a
		return &d
	}
	s.kg, s.price = more(k.weight), more(k.price)
	s.silent = s.kg == nil && s.price == nil
	return s
}

// gain says what is gained, or lost, in the same weathers.
func (s *step) gain() string {
	if s.to.Same {
		return fmt.Sprintf("Against %s: the same voyage in every weather", s.from)
	}
	h := &s.to.Holds
	text := fmt.Sprintf("Against %s: ", s.from)
	switch {
	case h.Won == h.Lost:
		text += "holds in as many weathers"
	case h.By > 0:
		text += fmt.Sprintf("holds in %s more of 100 weathers", hundred(h.By))
	default:
		text += fmt.Sprintf("holds in %s fewer of 100 weathers", hundred(-h.By))
	}
	text += fmt.Sprintf(" (%s), %d won and %d lost; ", moreOrFewer(h.By, h.Low, h.High), h.Won, h.Lost)
	if len(s.to.Odds.Goals) == 0 { // all hold, of nothing
		text = fmt.Sprintf("%s against %s: ", s.to.Name, s.from)
	}
	m := &s.to.Margin
	by, low, high, word := 100*float64(m.By), 100*float64(m.Low), 100*float64(m.High), "higher"
	if by < 0 {
		by, low, high, word = -by, -high, -low, "lower"
	}
	return text + fmt.Sprintf("margin %.1f points %s%s", by, word, between(low, high, 1))
}

// moreOrFewer prints the interval of a difference of shares, with words where it
// reaches over nothing.
func moreOrFewer(by, low, high float64) string {
	switch {
	case low < 0 && high > 0:
		return fmt.Sprintf("%s fewer to %s more", hundred(-low), hundred(high))
	case by < 0:
		return hundred(max(0, -high)) + " to " + hundred(-low)
	}
	return hundred(max(0, low)) + " to " + hundred(high)
}

// between prints an interval, if there is one.
func between(low, high float64, places int) string {
	if math.IsInf(low, 0) || math.IsInf(high, 0) {
		return ""
	}
	return fmt.Sprintf(" (%.*f to %.*f)", places, low, places, high)
}

// costs says what the step costs and saves.
func (s *step) costs() string {
	var costs, saves []string
	add := func(by float64, text string) {
		if by > 0 {
			costs = append(costs, text)
		} else {
			saves = append(saves, text)
		}
	}
	if s.kg != nil && math.Abs(*s.kg) >= 0.05 {
		add(*s.kg, fmt.Sprintf("%.1f kg", math.Abs(*s.kg)))
	}
	if s.price != nil && math.Abs(*s.price) >= 0.5 {
		add(*s.price, fmt.Sprintf("%.0f in price", math.Abs(*s.price)))
	}
	if m := &s.to.Miles; math.Abs(float64(m.By)) >= 0.5 {
		by, low, high := float64(m.By), float64(m.Low), float64(m.High)
		if by < 0 {
			low, high = -high, -low
		}
		add(by, fmt.Sprintf("%.0f miles%s and %.1f hours lost to drag", math.Abs(by), between(low, high, 0), math.Abs(float64(s.to.Hours.By))))
	}
	if l := float64(s.to.Fuel.By); math.Abs(l) >= 0.05 {
		add(l, fmt.Sprintf("%.1f L of fuel", math.Abs(l)))
	}
	hint := ""
	if s.silent {
		hint = " (the file gives neither weight nor price)"
	}
	switch {
	case len(costs) == 0 && len(saves) == 0 && s.silent:
		return "Costs   not known: the file gives neither weight nor price (weighs, costs)"
	case len(costs) == 0 && len(saves) == 0:
		return "Costs   no more than " + s.from
	case len(costs) == 0:
		return "Saves   " + join(saves) + hint
	case len(saves) == 0:
		return "Costs   " + join(costs) + " more" + hint
	}
	return "Costs   " + join(costs) + " more; saves " + join(saves) + hint
}

// join lists parts: "a, b and c".
func join(parts []string) string {
	if n := len(parts); n > 1 {
		return strings.Join(parts[:n-1], ", ") + " and " + parts[n-1]
	}
	return strings.Join(parts, "")
}

func compareHeader(b *strings.Builder, k *Kits) {
	o := k.Kits[k.Base].Odds
	fmt.Fprintf(b, "%s\n", o.Title)
	fmt.Fprintf(b, "%d kits in the same %d weathers of seed %d. Departs %s\n", len(k.Kits), o.Done, k.Seed, stamp(o.Depart))
	if o.Alike {
		b.WriteString("All weathers gave the very same voyage: what follows tells nothing of chance.\n")
	}
	if o.Stopped != nil {
		fmt.Fprintf(b, "Stopped before all %d weathers were sailed: what follows is of the %d that all kits have sailed through.\n", o.Wanted, o.Done)
	}
}
