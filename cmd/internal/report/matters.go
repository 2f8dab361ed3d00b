package report

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"ampwake/scenarios"
	"ampwake/sim"
)

// Matters is what each doubtful input does to the margin when it is shifted.
type Matters struct {
	Title string
	// Seed is that of the weathers, nil if it is the one weather of the file.
	Seed *uint64
	Base *sim.Odds
	Rows []Matter // the one that does most first, see Rank
	// Left out are the shifts that the scenario does not bear, with the reason.
	LeftOut []string
	Notes   []sim.Note
}

// Matter is one input. A shift that there is not is nil.
type Matter struct {
	Doubt     scenarios.Doubt
	Low, High *sim.Compared
}

// Rank puts the rows in order: by the largest change of the margin, then by the
// largest change of the odds and of what is missed.
func (m *Matters) Rank() {
	most := func(x *Matter, of func(c *sim.Compared) float64) (most float64) {
		for _, c := range x.shifts() {
			most = max(most, math.Abs(of(c)))
		}
		return most
	}
	slices.SortStableFunc(m.Rows, func(a, b Matter) int {
		by := func(of func(c *sim.Compared) float64) int { return cmp.Compare(most(&b, of), most(&a, of)) }
		return cmp.Or(
			by(func(c *sim.Compared) float64 { return float64(c.Margin.By) }),
			by(func(c *sim.Compared) float64 { return c.Holds.By }),
			by(func(c *sim.Compared) float64 { return c.Misses.By }),
		)
	})
}

// shifts returns the shifts that there are.
func (x *Matter) shifts() []*sim.Compared {
	var list []*sim.Compared
	for _, c := range []*sim.Compared{x.Low, x.High} {
		if c != nil {
			list = append(list, c)
		}
	}
	return list
}

// one reports whether it is one weather, so that a goal holds or not.
func (m *Matters) one() bool { return m.Base.Done == 1 }

// margin is that of the voyage as the file has it, in points of charge: the mean
// over its weathers.
func (m *Matters) margin() float64 {
	sum := 0.0
	for _, x := range m.Base.Members {
		sum += float64(x.Margin)
	}
	return 100 * sum / float64(len(m.Base.Members))
}

// MattersText writes the report: the answer in three lines, the table, whence the
// ranges are, and what was assumed.
func MattersText(w io.Writer, m *Matters) error {
	var b strings.Builder
	b.WriteString(MattersAnswer(m))
	fmt.Fprintf(&b, "\n%s\n%s\n", m.Title, m.Weathers())
	m.table(&b)
	m.standings(&b)
	assumed(&b, m.Notes)
	b.WriteString("\n" + Caution + "\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// Weathers tells in which weathers it was sailed.
func (m *Matters) Weathers() string {
	if m.Seed == nil {
		return "In the weather of the file"
	}
	return fmt.Sprintf("Means of %d weathers of seed %d, the same for every shift", m.Base.Done, *m.Seed)
}

// MattersAnswer returns the three lines that answer what matters most: the first
// input and what it does, those after it, and whether any alone breaks a goal.
func MattersAnswer(m *Matters) string {
	if len(m.Rows) == 0 || m.Rows[0].most() < 0.05 {
		return fmt.Sprintf("MOST    nothing moves the margin of %.0f points of charge\nThen    nothing\nGoals   %s\n", m.margin(), m.goals())
	}
	then := "nothing else moves it"
	var parts []string
	for i := 1; i < len(m.Rows) && len(parts) < 3 && m.Rows[i].most() >= 0.05; i++ {
		parts = append(parts, fmt.Sprintf("%s (%s)", m.Rows[i].Doubt.Name, m.Rows[i].moves()))
	}
	if parts != nil {
		then = strings.Join(parts, ", ")
	}
	first := &m.Rows[0]
	return fmt.Sprintf("MOST    %s, shifted by %s: moves the margin of %.0f points of charge by %s\nThen    %s\nGoals   %s\n",
		first.Doubt.Name, first.Doubt.Range, m.margin(), first.moves(), then, m.goals())
}

// most is the largest change of the margin, in points.
func (x *Matter) most() float64 {
	most := 0.0
	for _, c := range x.shifts() {
		most = max(most, 100*math.Abs(float64(c.Margin.By)))
	}
	return most
}

// moves tells what the shifts do to the margin, in points.
func (x *Matter) moves() string {
	var parts []string
	for _, c := range x.shifts() {
		parts = append(parts, pointsBy(c))
	}
	return strings.Join(parts, " and ")
}

func pointsBy(c *sim.Compared) string {
	x := 100 * float64(c.Margin.By)
	s := fmt.Sprintf("%.1f", math.Abs(x))
	switch {
	case s == "0.0":
		return "0"
	case x < 0:
		return "−" + s
	}
	return "+" + s
}

// Together returns how much all doubts may take from the margin and add to it, in
// points, were they independent and each as likely either way: the root of the
// sum of the squares of what each does at worst, and at best.
func (m *Matters) Together() (less, more float64) {
	for i := range m.Rows {
		worst, best := 0.0, 0.0
		for _, c := range m.Rows[i].shifts() {
			by := 100 * float64(c.Margin.By)
			worst, best = min(worst, by), max(best, by)
		}
		less += worst * worst
		more += best * best
	}
	return math.Sqrt(less), math.Sqrt(more)
}

// goals tells what the shifts do to the goals.
func (m *Matters) goals() string {
	less, more := m.Together()
	together := fmt.Sprintf("all together may take %.0f points or add %.0f", less, more)
	if len(m.Base.Goals) == 0 {
		return "none are set; " + together
	}
	if !m.one() {
		worst, c := m.worst()
		if c == nil || c.Holds.By >= 0 {
			return fmt.Sprintf("hold in %s of 100 weathers, and no shift lowers that; %s", hundred(m.Base.Holds.P), together)
		}
		return fmt.Sprintf("hold in %s of 100 weathers; at worst, with %s, in %s; %s",
			hundred(m.Base.Holds.P), worst, hundred(c.Odds.Holds.P), together)
	}
	held := m.Base.Holds.Count == 1
	type turn struct {
		words  string
		missed int
	}
	var all []turn
	for i := range m.Rows {
		x := &m.Rows[i]
		for _, c := range x.shifts() {
			if held != (c.Odds.Holds.Count == 1) {
				all = append(all, turn{x.words(c), c.Odds.Members[0].Missed})
			}
		}
	}
	if held { // the one that breaks most is told first
		slices.SortStableFunc(all, func(a, b turn) int { return cmp.Compare(b.missed, a.missed) })
	}
	var turns []string
	for _, x := range all {
		turns = append(turns, x.words)
	}
	switch {
	case held && turns == nil:
		return "hold, and no shift alone breaks one; " + together
	case held:
		return "hold, but one is broken alone by " + few(turns) + "; " + together
	case turns == nil:
		return "do not all hold, and no shift alone mends that; " + together
	}
	return "do not all hold, but would with " + few(turns) + "; " + together
}

// worst finds the shift that lowers the odds most.
func (m *Matters) worst() (words string, worst *sim.Compared) {
	for i := range m.Rows {
		for _, c := range m.Rows[i].shifts() {
			if worst == nil || c.Holds.By < worst.Holds.By {
				words, worst = m.Rows[i].words(c), c
			}
		}
	}
	return words, worst
}

// words names one shift: "capacity of the bank at 184 Ah".
func (x *Matter) words(c *sim.Compared) string {
	shift := x.Doubt.High
	if c == x.Low {
		shift = x.Doubt.Low
	}
	return x.Doubt.Name + " at " + shift.Text
}

// few joins the first of a list.
func few(list []string) string {
	const most = 3
	if len(list) <= most {
		return strings.Join(list, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(list[:most], ", "), len(list)-most)
}

// Harm tells in a word or two what a shift does to the goals, "" if it does them no
// harm: what is missed more in the one weather, or the odds if they fall by five of
// a hundred or more.
func (m *Matters) Harm(c *sim.Compared) string {
	switch {
	case !m.one() && c.Holds.By <= -0.05:
		return "holds in " + hundred(c.Odds.Holds.P)
	case !m.one():
		return ""
	case c.Odds.Members[0].Missed > m.Base.Members[0].Missed:
		return m.turn(c)
	case m.Base.Holds.Count > c.Odds.Holds.Count:
		return "floor broken"
	}
	return ""
}
