package report

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"ampwake/scenarios"
	"ampwake/sim"
)

// column is one of a table: two lines of heading and a cell for each row.
type column struct {
	head  [2]string
	cells []string
}

// sideBySide writes columns: the first to the left, the others to the
// right.
func sideBySide(b *strings.Builder, columns []column) {
	line := func(of func(c *column) string) {
		var text strings.Builder
		for i := range columns {
			c := &columns[i]
			wide := 0
			for _, cell := range append(c.head[:], c.cells...) {
				wide = max(wide, utf8.RuneCountInString(cell))
			}
			pad := strings.Repeat(" ", wide-utf8.RuneCountInString(of(c)))
			if i == 0 {
				text.WriteString("  " + of(c) + pad)
			} else {
				text.WriteString("  " + pad + of(c))
			}
		}
		b.WriteString(strings.TrimRight(text.String(), " ") + "\n")
	}
	for i := range 2 {
		line(func(c *column) string { return c.head[i] })
	}
	for i := range columns[0].cells {
		line(func(c *column) string { return c.cells[i] })
	}
}

const longestKit = 28 // letters of a name in the table

// compareTable writes the kits side by side.
func compareTable(b *strings.Builder, k *Kits) {
	b.WriteString("\n")
	sideBySide(b, kitColumns(k))
	b.WriteString("  P10: 9 weathers in 10 do better. Margin in points of charge. Misses of what must be kept; these and\n  what is lost and burnt are means.\n")
}

// CompareTable returns the table of the kits: the heads of its columns and a row
// for each kit.
func CompareTable(k *Kits) (heads []string, rows [][]string) {
	rows = make([][]string, len(k.Kits))
	for _, c := range kitColumns(k) {
		heads = append(heads, strings.TrimSpace(c.head[0]+" "+c.head[1]))
		for i, cell := range c.cells {
			rows[i] = append(rows[i], cell)
		}
	}
	return heads, rows
}

// kitColumns makes the columns of the table. What no kit has is left out.
func kitColumns(k *Kits) []column {
	base := cut(k.Kits[k.Base].Name, 16)
	var columns []column
	add := func(above, below string, cell func(i int, c *sim.Compared) string) {
		col := column{head: [2]string{above, below}}
		for i := range k.Kits {
			col.cells = append(col.cells, cell(i, &k.Kits[i]))
		}
		columns = append(columns, col)
	}
	some := func(of func(c *sim.Compared) bool) bool {
		return slices.ContainsFunc(k.Kits, func(c sim.Compared) bool { return of(&c) })
	}
	add("", "kit", func(_ int, c *sim.Compared) string { return cut(c.Name, longestKit) })
	add("holds of 100", "(95 % interval)", func(_ int, c *sim.Compared) string {
		return fmt.Sprintf("%s (%s)", hundred(c.Odds.Holds.P), interval(c.Odds.Holds))
	})
	add("against "+base, "of 100 (interval)", func(i int, c *sim.Compared) string {
		h := &c.Holds
		switch {
		case i == k.Base:
			return "–"
		case c.Same:
			return "the same"
		}
		return fmt.Sprintf("%s (%s to %s)", signed(h.By), signed(h.Low), signed(h.High))
	})
	add("lowest", "P10, %", func(_ int, c *sim.Compared) string {
		return fmt.Sprintf("%.0f", 100*float64(c.Odds.Floor+c.Odds.Margin.P10))
	})
	add("margin", "P10", func(_ int, c *sim.Compared) string { return fmt.Sprintf("%+.0f", 100*float64(c.Odds.Margin.P10)) })
	add("misses", "per 100", func(_ int, c *sim.Compared) string { return fmt.Sprintf("%.0f", 100*c.Misses.Mean) })
	if some(func(c *sim.Compared) bool { return c.Odds.Begins.Total() > 0 }) {
		add("fails", "mostly by", func(_ int, c *sim.Compared) string { return mostly(c.Odds.Begins) })
	}
	if some(func(c *sim.Compared) bool { return c.Miles.Mean >= 0.5 }) {
		add("miles", "lost", func(_ int, c *sim.Compared) string { return fmt.Sprintf("%.0f", float64(c.Miles.Mean)) })
		add("hours", "lost", func(_ int, c *sim.Compared) string { return fmt.Sprintf("%.1f", float64(c.Hours.Mean)) })
	}
	if some(func(c *sim.Compared) bool { return c.Fuel.Mean >= 0.05 }) {
		add("fuel", "L", func(_ int, c *sim.Compared) string { return fmt.Sprintf("%.1f", float64(c.Fuel.Mean)) })
	}
	worth := func(unit string, places int, of func(i int) (float64, bool)) {
		given := false
		for i := range k.Kits {
			_, known := of(i)
			given = given || known
		}
		if !given {
			return
		}
		add("", unit, func(i int, _ *sim.Compared) string {
			if x, known := of(i); known {
				return fmt.Sprintf("%.*f", places, x)
			}
			return "not given"
		})
	}
	worth("kg", 1, k.weight)
	worth("price", 0, k.price)
	return columns
}

// Notes tells what the comparison rests on.
func (k *Kits) Notes() []sim.Note { return k.notes() }

// mostly names, in a word, the cause of most first failures.
func mostly(c sim.Counts) string {
	if c.Total() == 0 {
		return ""
	}
	word, _, _ := strings.Cut(counted(c)[0].name, " ")
	return word
}

// signed prints a difference of shares as so many of 100, with its sign.
func signed(by float64) string {
	switch {
	case by > 0:
		return "+" + hundred(by)
	case by < 0:
		return "-" + hundred(-by)
	}
	return "0"
}

// notes are what was assumed: of the comparison, then what the voyages of all kits
// have in common, then what they have not.
func (k *Kits) notes() []sim.Note {
	notes := []sim.Note{{About: "pairs", Text: "kit less kit in each weather: what the weather does to both is not in the difference. 95 % intervals: Student's t; for shares Newcombe's (1998) of paired proportions"}}
	notes = append(notes, k.worthNotes()...)
	of := func(i int) []sim.Note { return k.Kits[i].Odds.Notes }
	var own []sim.Note
	for _, n := range of(0) {
		shared := true
		for i := range k.Kits {
			shared = shared && slices.Contains(of(i), n)
		}
		if shared {
			notes = append(notes, n)
		}
	}
	for i := range k.Kits {
		for _, n := range of(i) {
			if !slices.Contains(notes, n) {
				own = append(own, sim.Note{About: n.About, Text: k.Kits[i].Name + ": " + n.Text})
			}
		}
	}
	const most = 12
	if rest := len(own) - most; rest > 0 {
		own = append(own[:most:most], sim.Note{About: "…", Text: fmt.Sprintf("%d more that only some kits have: see the JSON", rest)})
	}
	return append(notes, own...)
}

// worthNotes say what the weights and prices leave out.
func (k *Kits) worthNotes() []sim.Note {
	var notes []sim.Note
	missing := func(about, verb string, of func(x scenarios.Item) bool) {
		counted := false
		var without []string
		for _, f := range k.Files {
			for _, x := range f.Items() {
				if of(x) {
					counted = true
				} else if !slices.Contains(without, x.Name) {
					without = append(without, x.Name)
				}
			}
		}
		if counted && len(without) > 0 {
			notes = append(notes, sim.Note{About: about, Text: "the file does not say what these " + verb + ", so they are not counted: " + strings.Join(without, ", ")})
		}
	}
	missing("weight", "weigh", func(x scenarios.Item) bool { return x.Weight != nil })
	missing("price", "cost", func(x scenarios.Item) bool { return x.Price != nil })
	first := &k.Files[0].Bank
	for _, f := range k.Files[1:] {
		b := &f.Bank
		if b.Capacity != first.Capacity && (alike(b.Weighs, first.Weighs) || alike(b.Costs, first.Costs)) {
			notes = append(notes, sim.Note{About: "weight", Text: "banks of different capacity are given one weight or price: give 'weighs per Ah' and 'costs per Ah'"})
			break
		}
	}
	return notes
}

// alike reports whether both are given and the same.
func alike[T comparable](a, b *T) bool { return a != nil && b != nil && *a == *b }
