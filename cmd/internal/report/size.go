package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"ampwake/scenarios"
	"ampwake/sim"
)

// Sizing is a search for the smallest kit, with the box that it was sought in.
type Sizing struct {
	*sim.Size
	Box   *scenarios.Kits
	Title string
	Seed  uint64
	Notes []sim.Note // of the voyage with the best kit, or with any if there is none
}

// SizeText writes the report of a search: the answer in three lines, the kits
// sailed, how they were sought, and what was assumed.
func SizeText(w io.Writer, s *Sizing) error {
	var b strings.Builder
	b.WriteString(SizeAnswer(s))
	fmt.Fprintf(&b, "\n%s\n%d weathers of seed %d, the same for every kit\n", s.Title, s.Members, s.Seed)
	s.frontier(&b)
	s.table(&b)
	s.how(&b)
	assumed(&b, s.Notes)
	b.WriteString("\n" + Caution + "\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// SizeAnswer returns the three lines that answer which kit is enough: the kit, in
// how many weathers it holds, and how sure that is.
func SizeAnswer(s *Sizing) string {
	if s.Best < 0 {
		return fmt.Sprintf("NOT ENOUGH   none of the %d kits holds in %s of 100 weathers\nNearest %s holds in %s\nSure?   %s\n",
			s.InBox, hundred(s.Wanted), s.name(s.Rival), inWeathers(s.Kits[s.Rival].Trial.Share()), s.sure())
	}
	return fmt.Sprintf("ENOUGH  %s: the %s kit, of %d, that holds in %s of 100 weathers\nHolds   in %s\nSure?   %s\n",
		s.name(s.Best), s.superlative(), s.InBox, hundred(s.Wanted), inWeathers(s.Kits[s.Best].Trial.Share()), s.sure())
}

// superlative says what the best kit is.
func (s *Sizing) superlative() string {
	switch s.Box.By {
	case scenarios.ByWeight:
		return "lightest"
	case scenarios.ByPrice:
		return "cheapest"
	}
	return "smallest"
}

// name is a kit in words, with what it weighs or costs.
func (s *Sizing) name(i int) string {
	kit := s.Kits[i].Kit
	if c := s.cost(kit); c != "" {
		return s.Box.Name(kit) + " (" + c + ")"
	}
	return s.Box.Name(kit)
}

// cost is what a kit weighs or costs, "" where the file gives neither.
func (s *Sizing) cost(kit int) string {
	switch s.Box.By {
	case scenarios.ByWeight:
		return fmt.Sprintf("%.0f kg", s.Box.Cost(kit))
	case scenarios.ByPrice:
		return fmt.Sprintf("price %.0f", s.Box.Cost(kit))
	}
	return ""
}

// inWeathers is a share with its count and interval.
func inWeathers(p sim.Share) string {
	return fmt.Sprintf("%s of 100 weathers (%d of %d; 95 %% interval %s)", hundred(p.P), p.Count, p.Of, interval(p))
}

// sure tells how sure the answer is, and how it would be surer.
func (s *Sizing) sure() string {
	best, rival := s.Sure()
	more := ""
	if n := s.Enough(); n > 0 {
		more = fmt.Sprintf(" (-n %d would tell)", n)
	}
	if s.Best < 0 {
		if rival {
			return "yes, as far as these ranges go: widen them"
		}
		return "no, it might be enough after all" + more + "; or widen the ranges"
	}
	next := "; it is the smallest of the ranges"
	if s.Rival >= 0 {
		p := s.Kits[s.Rival].Trial.Share()
		next = fmt.Sprintf("; the next below is %s with %s (%s)", s.name(s.Rival), hundred(p.P), interval(p))
	}
	switch {
	case best && rival:
		return "yes" + next
	case best:
		return "yes, but a smaller one might do" + more + next
	case rival:
		return fmt.Sprintf("not quite, its interval begins under %s%s%s", hundred(s.Wanted), more, next)
	}
	return "no, it and the next below are within the scatter" + more + next
}

// frontier writes the smallest kit for each level.
func (s *Sizing) frontier(b *strings.Builder) {
	if len(s.Levels) < 2 {
		return
	}
	fmt.Fprintf(b, "\nWhat odds take: the %s kit for each\n", s.superlative())
	var columns []column
	add := func(above, below string, cell func(l *sim.Level) string) {
		c := column{head: [2]string{above, below}}
		for i := range s.Levels {
			c.cells = append(c.cells, cell(&s.Levels[i]))
		}
		columns = append(columns, c)
	}
	add("", "wanted", func(l *sim.Level) string {
		if l.Wanted == s.Wanted {
			return hundred(l.Wanted) + " >"
		}
		return hundred(l.Wanted)
	})
	kit := func(of func(x *sim.SizedKit) string) func(l *sim.Level) string {
		return func(l *sim.Level) string {
			if l.Best < 0 {
				return "–"
			}
			return of(&s.Kits[l.Best])
		}
	}
	s.kit(func(head string, cell func(x *sim.SizedKit) string) { add("", head, kit(cell)) })
	add("holds of 100", "(95 % interval)", kit(func(x *sim.SizedKit) string { return of100(x.Trial.Share()) }))
	sideBySide(b, columns)
}

// kit adds the columns that tell a kit.
func (s *Sizing) kit(add func(head string, cell func(x *sim.SizedKit) string)) {
	if s.Box.By != scenarios.ByOrder {
		add(string(s.Box.By), func(x *sim.SizedKit) string { return strings.TrimPrefix(s.cost(x.Kit), "price ") })
	}
	for k := range s.Box.Ranges {
		r := &s.Box.Ranges[k]
		add(r.Name(), func(x *sim.SizedKit) string { return r.Value(s.Box.Box.Point(x.Kit)[k]) })
	}
}

// table writes the kits sailed, the largest first.
func (s *Sizing) table(b *strings.Builder) {
	order := s.bySize()
	b.WriteString("\nKits sailed, the largest first\n")
	var columns []column
	add := func(above, below string, cell func(x *sim.SizedKit) string) {
		c := column{head: [2]string{above, below}}
		for _, i := range order {
			c.cells = append(c.cells, cell(&s.Kits[i]))
		}
		columns = append(columns, c)
	}
	add("", "", func(x *sim.SizedKit) string {
		if s.Best >= 0 && x == &s.Kits[s.Best] {
			return ">"
		}
		return ""
	})
	s.kit(func(head string, cell func(x *sim.SizedKit) string) { add("", head, cell) })
	add("holds of 100", "(95 % interval)", func(x *sim.SizedKit) string { return of100(x.Trial.Share()) })
	add("weathers", "sailed", func(x *sim.SizedKit) string { return fmt.Sprint(len(x.Trial.Holds)) })
	add("enough", fmt.Sprintf("for %s", hundred(s.Wanted)), func(x *sim.SizedKit) string {
		switch {
		case x.Trial.Reaches(s.Need):
			return "yes"
		case x.Trial.Misses(s.Need):
			return "no"
		}
		return "–"
	})
	sideBySide(b, columns)
}

// of100 is a share with its interval, of 100.
func of100(p sim.Share) string { return fmt.Sprintf("%s (%s)", hundred(p.P), interval(p)) }

// bySize returns the kits sailed, the largest first.
func (s *Sizing) bySize() []int {
	place := map[int]int{}
	for p, kit := range s.Box.Box.Order() {
		place[kit] = p
	}
	order := make([]int, len(s.Kits))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return place[s.Kits[b].Kit] - place[s.Kits[a].Kit] })
	return order
}

// how tells how the kits were sought, and what was taken for granted.
func (s *Sizing) how(b *strings.Builder) {
	fmt.Fprintf(b, "\nHow they were sought\n")
	line := func(format string, args ...any) { fmt.Fprintf(b, "  "+format+"\n", args...) }
	for i := range s.Box.Ranges {
		r := &s.Box.Ranges[i]
		n := len(r.Values)
		granted := "every value may be better or worse than the next"
		if s.Box.Box.Axes[i].Rises {
			granted = "more of it is taken never to make a kit worse"
		}
		line("%s: %d values, %s to %s; %s", r.Name(), n, r.Value(0), r.Value(n-1), granted)
	}
	line("the answer took %d voyages with %d of the %d kits; each kit in each weather would be %d", s.Answered, s.Asked, s.InBox, s.InBox*s.Members)
	if s.Voyages > s.Answered {
		line("the other odds took %d more, with %d more kits", s.Voyages-s.Answered, len(s.Kits)-s.Asked)
	}
	line("a kit is given up as soon as it is clear whether it holds in %d of %d weathers", s.Need, s.Members)
	switch {
	case s.Compared == 0:
	case s.Against == 0:
		line("larger against smaller, weather by weather: in none of %d did the larger kit fail and the smaller hold", s.Compared)
	default:
		line("larger against smaller, weather by weather: in %d of %d the larger kit failed and the smaller held,", s.Against, s.Compared)
		line("  so that a smaller kit may have been passed over: --all tries each")
	}
	if s.Box.By == scenarios.ByOrder {
		line("the file gives no weights and no prices: the first range counts as what should be small")
	} else if len(s.Box.Lacks) > 0 {
		line("no %s is given for: %s", s.Box.By, strings.Join(s.Box.Lacks, ", "))
	}
}
