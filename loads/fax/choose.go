package fax

import (
	"fmt"
	"slices"
	"strings"

	"ampwake/loads/timetable"
)

// Station is a transmitter with a schedule.
type Station struct {
	Call   string
	Name   string
	Status string // of its first row
	Charts int    // items in the schedule, of all kinds
}

// Stations returns the stations in the order of the table.
func (s *Schedule) Stations() []Station { return slices.Clone(s.stations) }

// Station finds a station by its call ("NMF"), its name ("Boston US") or the
// beginning of the name or of a word of it ("new orleans", "pinneberg"), in any
// case. The error of an
// unknown one names the nearest, that of a doubtful one those it may be.
func (s *Schedule) Station(name string) (Station, error) {
	want := strings.ToLower(strings.TrimSpace(name))
	var found []Station
	var words []string
	for _, st := range s.stations {
		if want == strings.ToLower(st.Name) || want == strings.ToLower(st.Call) && want != "" {
			return st, nil
		}
		all := append(parts(st.Name), parts(st.Call)...)
		all = append(all, strings.ToLower(st.Name))
		// One or two letters may be a country, and stand for no station.
		if len(want) > 2 && slices.ContainsFunc(all, func(w string) bool { return strings.HasPrefix(w, want) }) {
			found = append(found, st)
		}
		words = append(words, all...)
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return Station{}, fmt.Errorf("unknown fax station %q%s: known are %s", name, hint(want, words), names(s.stations))
	}
	return Station{}, fmt.Errorf("fax station %q may be %s", name, names(found))
}

// Charts returns all items of a station, sorted by start.
func (s *Schedule) Charts(station string) ([]Chart, error) {
	st, err := s.Station(station)
	if err != nil {
		return nil, err
	}
	var charts []Chart
	for _, c := range s.charts {
		if c.Station == st.Name {
			charts = append(charts, c)
		}
	}
	return charts, nil
}

// Choose returns the items of a station that one of the picks asks for, sorted
// by start. A pick is
//
//	"all"                the charts, satellite images and pages of text
//	"0233" or "02:33"    the item that starts then
//	"satellite image"    all of a kind: fax, satellite image, text page, admin
//	                     page or test
//	"surface analysis"   all whose product holds each of the words, in any order
//
// in any case. Broadcasts of voice are never chosen. It is an error if nothing
// is picked or a pick finds nothing.
func (s *Schedule) Choose(station string, picks ...string) ([]Chart, error) {
	charts, err := s.Charts(station)
	if err != nil {
		return nil, err
	}
	if len(picks) == 0 {
		return nil, fmt.Errorf("%s: no charts are named: want all, words of the product, a kind or starts like 0233", charts[0].Station)
	}
	taken := make([]bool, len(charts))
	for _, pick := range picks {
		fits, err := picker(pick)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", charts[0].Station, err)
		}
		none := true
		for i, c := range charts {
			if c.Kind != Voice && fits(c) {
				taken[i], none = true, false
			}
		}
		if none {
			return nil, nothing(charts, pick)
		}
	}
	var chosen []Chart
	for i, c := range charts {
		if taken[i] {
			chosen = append(chosen, c)
		}
	}
	return chosen, nil
}

// picker turns a pick into a test.
func picker(pick string) (func(Chart) bool, error) {
	words := strings.Fields(strings.ToLower(pick))
	text := strings.Join(words, " ")
	if text == "" {
		return nil, fmt.Errorf("a chart is named by an empty text")
	}
	if text == "all" {
		return func(c Chart) bool { return c.Kind == Fax || c.Kind == Satellite || c.Kind == Text }, nil
	}
	if start, err := timetable.ParseTimeOfDay(text); err == nil {
		return func(c Chart) bool { return c.Start == start }, nil
	}
	if kind, ok := parseKind(text); ok {
		return func(c Chart) bool { return c.Kind == kind }, nil
	}
	return func(c Chart) bool {
		product := strings.ToLower(c.Product)
		return !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(product, w) })
	}, nil
}

// nothing says that a pick found nothing, and what is nearest.
func nothing(charts []Chart, pick string) error {
	near := ""
	if start, err := timetable.ParseTimeOfDay(pick); err == nil {
		best := charts[0]
		for _, c := range charts {
			if c.Kind != Voice && apart(c.Start, start) < apart(best.Start, start) {
				best = c
			}
		}
		near = fmt.Sprintf(": the nearest starts at %v (%s)", best.Start, best.Product)
	} else {
		var words []string
		for _, c := range charts {
			words = append(words, parts(c.Product)...)
			words = append(words, strings.ToLower(c.Product))
		}
		for _, w := range append(strings.Fields(strings.ToLower(pick)), strings.ToLower(pick)) {
			if !slices.Contains(words, w) && near == "" {
				near = hint(w, words)
			}
		}
	}
	return fmt.Errorf("%s sends no chart %q%s", charts[0].Station, pick, near)
}

// apart returns the minutes between two times of day, 0..720.
func apart(a, b timetable.TimeOfDay) int {
	d := int(a-b+1440) % 1440
	return min(d, 1440-d)
}

// names lists stations for a message.
func names(stations []Station) string {
	list := make([]string, len(stations))
	for i, st := range stations {
		list[i] = st.Name
		if st.Call != "" {
			list[i] += " (" + st.Call + ")"
		}
	}
	return strings.Join(list, ", ")
}

// parts returns the words of a name in lower case.
func parts(s string) []string {
	return strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return r == ' ' || r == '/' || r == ',' })
}

// hint returns `, did you mean "x"?` for the nearest of some words, or "".
func hint(word string, words []string) string {
	best, least := "", 3 // at most two slips
	for _, w := range words {
		// A word that is slips altogether is like nothing.
		if d := slips(word, w); d < least && d < (len(word)+1)/2 {
			best, least = w, d
		}
	}
	if best == "" {
		return ""
	}
	return fmt.Sprintf(", did you mean %q?", best)
}

// slips returns the number of letters to add, drop or change to make b of a
// (Levenshtein 1966).
func slips(a, b string) int {
	if d := len(a) - len(b); d > 2 || d < -2 {
		return 3 // more than hint cares for
	}
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		corner := row[0]
		row[0]++
		for j := range len(b) {
			d := corner
			if a[i] != b[j] {
				d++
			}
			corner = row[j+1]
			row[j+1] = min(d, corner+1, row[j]+1)
		}
	}
	return row[len(b)]
}
