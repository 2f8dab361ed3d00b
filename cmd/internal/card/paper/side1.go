package paper

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"ampwake/cmd/internal/card"
)

// act draws the first side: what is normal, what to do, and the tables.
func (s *sheet) act(z *card.Zone) {
	y := s.begin(z, "WHAT TO DO")
	room := s.bottom - cautionsHeight - 4 - y
	s.pitch = 1
	rest := s.ladderHeight(z) + s.tablesHeight(z) + 3
	most := s.rowsIn(room - rest)
	natural := rest + s.normalHeight(z, most)
	s.pitch = max(tightest, min(widest, room/natural))
	y = s.normal(z, y, most) + 1
	y = s.ladder(z, y) + 1
	s.tables(z, y)
	s.cautions()
	s.foot()
}

// Rows are stretched to fill a page, and pressed together on a crowded one, by no
// more than this.
const (
	widest   = 1.16
	tightest = 0.86
)

// base returns the baseline of type in a row of a height.
func base(y, height float64) float64 { return y + height/2 + 1.45 }

// row is a line of a list with a number at its right.
type row struct {
	name, value string
	bold        bool
}

// Heights in the first section, at a pitch of 1.
const (
	listRow   = 4.5
	listHead  = 5.0
	chapterUp = 5.6 // a chapter's heading
	lastLine  = 5.0 // the line on trouble
)

// rowsIn returns how many rows of a list fit into a height.
func (s *sheet) rowsIn(room float64) int {
	return max(4, int((room-chapterUp-listHead-lastLine)/listRow))
}

// normalHeight returns the height of the section with no more rows than most.
func (s *sheet) normalHeight(z *card.Zone, most int) float64 {
	rows := max(len(inRows(z, 1000)), len(z.Out)+1, len(z.Slots), 1)
	return chapterUp + (listHead+float64(min(rows, most))*listRow)*s.pitch + lastLine
}

// normal draws what is normal here, and returns where it ends.
func (s *sheet) normal(z *card.Zone, y float64, most int) float64 {
	var about []string
	if low, high := z.Usual(); high > 0 {
		about = append(about, fmt.Sprintf("noon charge %.0f to %.0f %%", 100*low, 100*high))
	}
	about = append(about, fmt.Sprintf("sea %.0f °C, cloud %.0f oktas", float64(z.Sea), 8*float64(z.Cloud)))
	switch {
	case z.DateLine > 0:
		about = append(about, "date line: one date comes twice")
	case z.DateLine < 0:
		about = append(about, "date line: one date is left out")
	}
	y = s.chapter("1", "NORMAL HERE", strings.Join(about, "  ·  "), y)
	width, gap := s.right-s.left, 5.0
	one := 0.235 * width
	x := s.left
	bottom := s.list("In, Ah a day", inRows(z, most), x, x+one, y)
	x += one + gap
	bottom = max(bottom, s.list("Out, Ah a day", outRows(z, most), x, x+one, y))
	x += one + gap
	bottom = max(bottom, s.slots(z, x, s.right, y, most))
	s.set(s.trouble(z), body, atLeft, s.left, s.right, bottom+3.6)
	return bottom + lastLine
}

// list draws a heading and rows, and returns where they end.
func (s *sheet) list(title string, rows []row, x0, x1, y float64) float64 {
	s.set(title, lead, atLeft, x0, x1, base(y, listHead*s.pitch))
	y += listHead * s.pitch
	h := listRow * s.pitch
	for _, r := range rows {
		f, n := body, cell
		if r.bold {
			f, n = lead, number
			s.rule(x0, y+0.1, x1, y+0.1, 0.25)
		}
		s.set(r.name, f, atLeft, x0, x1-11.5, base(y, h))
		s.set(r.value, n, atRight, x1-11.5, x1, base(y, h))
		y += h
	}
	return y
}

// inRows lists the sources, what is spilled, and the sum, in no more than most
// rows.
func inRows(z *card.Zone, most int) []row {
	last := row{"in all", decimals(float64(z.Made())), true}
	if z.Spilled < 0.05 {
		return append(entries(z.In, most-1), last)
	}
	rows := entries(z.In, most-2)
	return append(rows, row{name: "bank full, refused", value: decimals(-float64(z.Spilled))}, last)
}

// outRows lists the loads by what they use, and the sum, in no more than most rows.
func outRows(z *card.Zone, most int) []row {
	list := slices.Clone(z.Out)
	sort.SliceStable(list, func(i, j int) bool { return list[i].Ah > list[j].Ah })
	return append(entries(list, most-1), row{"in all", decimals(float64(z.Used())), true})
}

// entries lists the lines of a budget, the last put together if there is no room
// for all; there are two rows at least.
func entries(list []card.Entry, most int) []row {
	most = max(most, 2)
	left := 0
	var rest row
	if len(list) > most {
		left = len(list) - most + 1
		var sum float64
		for _, e := range list[most-1:] {
			sum += float64(e.Ah)
		}
		rest = row{name: fmt.Sprintf("%d others", left), value: decimals(sum)}
		list = list[:most-1]
	}
	var rows []row
	for _, e := range list {
		rows = append(rows, row{name: e.Name, value: decimals(float64(e.Ah))})
	}
	if left > 0 {
		rows = append(rows, rest)
	}
	return rows
}

// slots draws the scheds and charts of the day, and returns where they end.
func (s *sheet) slots(z *card.Zone, x0, x1, y float64, most int) float64 {
	const clock, ah = 13.0, 9.0
	h, text := listRow*s.pitch, x0+2*clock
	station := one(z.Slots)
	title := "scheds and charts"
	if station != "" {
		title = "scheds; charts of " + station
	}
	top := base(y, listHead*s.pitch)
	s.set("Ship", lead, atLeft, x0, x0+clock, top)
	s.set("UTC", lead, atLeft, x0+clock, text, top)
	s.set(title, lead, atLeft, text, x1-ah, top)
	s.set("Ah", lead, atRight, x1-ah, x1, top)
	y += listHead * s.pitch
	if len(z.Slots) == 0 {
		s.set("none in the file", body, atLeft, text, x1, base(y, h))
		return y + h
	}
	list := slices.Clone(z.Slots)
	sort.SliceStable(list, func(i, j int) bool { return list[i].Ship < list[j].Ship })
	var rest float64
	left := 0
	if len(list) > most {
		left = len(list) - max(most-1, 1)
		for _, t := range list[len(list)-left:] {
			rest += float64(t.Ah)
		}
		list = list[:len(list)-left]
	}
	for _, t := range list {
		shipFace, utcFace := number, cell // in bold the clock that rules it
		if !t.ByShip {
			shipFace, utcFace = cell, number
		}
		b := base(y, h)
		s.set(hhmm(t.Ship), shipFace, atLeft, x0, x0+clock-0.5, b)
		s.set(hhmm(t.UTC), utcFace, atLeft, x0+clock, text-0.5, b)
		what := t.What
		if t.Station != "" && station == "" {
			what = t.Station + ", " + what
		}
		if t.Of < 7 {
			what = fmt.Sprintf("%d days in 7: %s", t.Of, what)
		}
		s.set(what, body, atLeft, text, x1-ah, b)
		s.set(decimals(float64(t.Ah)), cell, atRight, x1-ah+0.5, x1, b)
		y += h
	}
	if left > 0 {
		s.set(fmt.Sprintf("and %d more", left), body, atLeft, text, x1-ah, base(y, h))
		s.set(decimals(rest), cell, atRight, x1-ah+0.5, x1, base(y, h))
		y += h
	}
	return y
}

// one returns the station of all charts, or "" if there are several.
func one(slots []card.Slot) (station string) {
	for _, t := range slots {
		switch {
		case t.Station == "" || t.Station == station:
		case station == "":
			station = t.Station
		default:
			return ""
		}
	}
	return station
}

func hhmm(minute int) string { return fmt.Sprintf("%02d:%02d", minute/60, minute%60) }

// trouble tells in how many weathers the passage first goes wrong here.
func (s *sheet) trouble(z *card.Zone) string {
	c := s.card
	if !c.Seeded {
		if z.Failing > 0 {
			return "In the file's weather trouble begins here: " + z.Trouble[0].What + "."
		}
		return "In the file's weather no trouble begins here."
	}
	if z.Failing == 0 {
		return fmt.Sprintf("In none of %d weathers does trouble begin here.", c.Weathers)
	}
	var parts []string
	for i, t := range z.Trouble {
		if i == 3 {
			break
		}
		what := t.What
		if t.Why != "" {
			what += ", " + t.Why
		}
		parts = append(parts, fmt.Sprintf("%s %d", what, t.Count))
	}
	return fmt.Sprintf("In %d of %d weathers trouble begins here: %s.", z.Failing, c.Weathers, strings.Join(parts, "; "))
}
