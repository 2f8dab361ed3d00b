package report

import (
	"fmt"
	"strings"

	"ampwake/scenarios"
	"ampwake/sim"
)

// table writes a row for each input.
func (m *Matters) table(b *strings.Builder) {
	b.WriteString("\nWhat each does to the margin when it alone is shifted, in points of charge\n")
	var columns []column
	add := func(above, below string, cell func(x *Matter) string) {
		c := column{head: [2]string{above, below}}
		for i := range m.Rows {
			c.cells = append(c.cells, cell(&m.Rows[i]))
		}
		columns = append(columns, c)
	}
	shift := func(x *scenarios.Shift) string {
		if x == nil {
			return "–"
		}
		return x.Text
	}
	by := func(c *sim.Compared, of func(c *sim.Compared) string) string {
		if c == nil {
			return "–"
		}
		return of(c)
	}
	goal, head := m.turn, "goals"
	if !m.one() {
		goal, head = func(c *sim.Compared) string { return hundred(c.Odds.Holds.P) }, "holds"
	}
	add("", "", func(x *Matter) string { return x.Doubt.Name })
	add("shifted", "down", func(x *Matter) string { return shift(x.Doubt.Low) })
	add("", "points", func(x *Matter) string { return by(x.Low, pointsBy) })
	add("", head, func(x *Matter) string { return by(x.Low, goal) })
	add("shifted", "up", func(x *Matter) string { return shift(x.Doubt.High) })
	add("", "points", func(x *Matter) string { return by(x.High, pointsBy) })
	add("", head, func(x *Matter) string { return by(x.High, goal) })
	sideBySide(b, columns)
	if !m.one() {
		fmt.Fprintf(b, "  holds: in so many of 100 weathers, %s as the file has it\n", hundred(m.Base.Holds.P))
	}
	for _, text := range m.LeftOut {
		fmt.Fprintf(b, "  left out: %s\n", text)
	}
}

// turn tells what a shift does to the goals of one weather.
func (m *Matters) turn(c *sim.Compared) string {
	missed := c.Odds.Members[0].Missed - m.Base.Members[0].Missed
	was, is := m.Base.Holds.Count == 1, c.Odds.Holds.Count == 1
	switch {
	case missed > 0:
		return fmt.Sprintf("%d missed", missed)
	case was && !is:
		return "floor broken"
	case !was && is:
		return "held"
	case missed < 0:
		return fmt.Sprintf("%d gained", -missed)
	}
	return "."
}

// standings tells whence the ranges are.
func (m *Matters) standings(b *strings.Builder) {
	b.WriteString("\nHow far each is shifted, and why so far\n")
	told := map[[2]string]bool{}
	for i := range m.Rows {
		d := &m.Rows[i].Doubt
		like := [2]string{d.Range, d.Standing}
		if told[like] {
			continue
		}
		told[like] = true
		var names []string
		for j := range m.Rows {
			if e := &m.Rows[j].Doubt; e.Range == d.Range && e.Standing == d.Standing {
				names = append(names, e.Name)
			}
		}
		text := fmt.Sprintf("%s: %s (%s)", strings.Join(names, ", "), d.Range, d.Standing)
		b.WriteString("  " + wrapped(text, 6, 98) + "\n")
	}
	b.WriteString("  all together: the root of the sum of squares, as if they were independent\n")
}
