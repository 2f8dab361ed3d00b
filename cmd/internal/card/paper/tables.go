package paper

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ampwake/cmd/internal/card"
	"ampwake/sim/bank"
	"ampwake/sim/units"
)

// Heights and widths of the tables, mm.
const (
	tableRow   = 5.1
	tableHead  = 5.4
	restWidth  = 58.0
	tableGap   = 6.0
	chargeCol  = 16.0
	wayCol     = 26.0
	lowestBand = 4.2 // the line under the tables on what the ways are
)

// tablesHeight returns the height of the section.
func (s *sheet) tablesHeight(z *card.Zone) float64 {
	return chapterUp + max(s.speedHeight(z), s.restHeight(z)) + 1
}

func (s *sheet) speedHeight(z *card.Zone) float64 {
	h := 3*tableHead + tableRow // speeds, days left, net
	lasts, easy := lasting(z)
	h += float64(len(lasts)+min(1, len(easy))) * tableRow
	if len(z.Runs) > 0 {
		runs, easy := running(z)
		h += tableHead + float64(len(runs)+min(1, len(easy)))*tableRow
	}
	return h*s.pitch + s.waysHeight(z)
}

func (s *sheet) restHeight(z *card.Zone) float64 {
	return (2*tableHead+float64(len(s.rested(z))+len(z.Engine.Rows))*tableRow)*s.pitch + 3*leading(small) + 3 + 2*leading(small)
}

// tables draws the section.
func (s *sheet) tables(z *card.Zone, y float64) {
	y = s.chapter("3", "HOW LONG", fmt.Sprintf("steady speed, mean cloud of %.0f oktas, engine off", 8*float64(z.Cloud)), y)
	s.bySpeed(z, s.left, s.right-restWidth-tableGap, y)
	s.rest(z, s.right-restWidth, s.right, y)
}

// bySpeed draws what hangs on the speed.
func (s *sheet) bySpeed(z *card.Zone, x0, x1, y float64) {
	row, head := tableRow*s.pitch, tableHead*s.pitch
	first := x0 + chargeCol + wayCol
	n := len(z.Speeds)
	room := func(i int) (float64, float64) {
		w := (x1 - first) / float64(n)
		return first + float64(i)*w, first + float64(i+1)*w - 1
	}
	for i, v := range z.Speeds {
		a, b := room(i)
		text := fmt.Sprintf("%.0f kn", float64(v))
		if n == 1 {
			text = "at any speed"
		}
		s.set(text, number, atRight, a, b, base(y, head))
	}
	s.set("boat speed by the log", lead, atLeft, x0, first, base(y, head))
	y += head
	title := func(text string) {
		s.box(x0, y+0.4, x1, y+head-0.2, 225)
		s.set(text, lead, atLeft, x0+1, x1, base(y, head))
		y += head
	}
	title(fmt.Sprintf("Days left from noon till %s", percent(s.card.Floor)))
	lasts, easy := lasting(z)
	for i, l := range lasts {
		if i == 0 || lasts[i-1].Charge != l.Charge {
			if i > 0 {
				s.pale(x0, y+0.3, x1, y+0.3, 0.15, 120)
			}
			s.set(percent(l.Charge), number, atLeft, x0+1, x0+chargeCol, base(y, row))
		}
		s.set(z.Ways[l.Way].Name, body, atLeft, x0+chargeCol, first, base(y, row))
		for j, d := range l.Days[:n] {
			a, b := room(j)
			s.set(days(d), pressing(d <= card.Horizon), atRight, a, b, base(y, row))
		}
		y += row
	}
	if len(easy) > 0 {
		text := fmt.Sprintf("%s: more than %.0f days from any charge, at any speed", strings.Join(easy, ", "), card.Horizon)
		s.set(text, body, atLeft, x0+1, x1, base(y, row))
		y += row
	}
	title(fmt.Sprintf("Net a day, Ah, at %s: %s", percent((1+s.card.Floor)/2), even(z)))
	s.set("everything", body, atLeft, x0+chargeCol, first, base(y, row))
	for j, v := range z.Net[:n] {
		a, b := room(j)
		text := signed(fmt.Sprintf("%.0f", float64(v)))
		if float64(v) > 0.5 {
			text = "+" + text
		}
		s.set(text, number, atRight, a, b, base(y, row))
	}
	y += row
	if len(z.Runs) > 0 {
		title(fmt.Sprintf("Hours of %s a day to break even", z.Helper))
		runs, easy := running(z)
		for _, r := range runs {
			s.set(z.Ways[r.Way].Name, body, atLeft, x0+chargeCol, first, base(y, row))
			for j, h := range r.Hours[:n] {
				a, b := room(j)
				s.set(hours(float64(h)), pressing(h != 0), atRight, a, b, base(y, row))
			}
			y += row
		}
		if len(easy) > 0 {
			s.set(strings.Join(easy, ", ")+": none needed", body, atLeft, x0+1, x1, base(y, row))
			y += row
		}
	}
	s.ways(z, x0, x1, y+0.6)
}

// chemistry names a kind of battery.
func chemistry(c bank.Chemistry) string {
	switch c {
	case bank.Flooded:
		return "Flooded"
	case bank.Gel:
		return "Gel"
	default:
		return strings.ToUpper(c.String())
	}
}

// pressing returns the face of a number: bold if it asks for something.
func pressing(asks bool) face {
	if asks {
		return number
	}
	return face{size: number.size}
}

// lasting returns the rows of days left that say something, and the names of the
// ways that last in every state.
func lasting(z *card.Zone) (rows []card.Lasts, easy []string) {
	for w := range z.Ways {
		if !slices.ContainsFunc(z.Lasts, func(l card.Lasts) bool { return l.Way == w && finite(l.Days) }) {
			easy = append(easy, z.Ways[w].Name)
		}
	}
	for _, l := range z.Lasts {
		if !slices.Contains(easy, z.Ways[l.Way].Name) {
			rows = append(rows, l)
		}
	}
	return rows, easy
}

func finite(days []float64) bool {
	return slices.ContainsFunc(days, func(d float64) bool { return d <= card.Horizon })
}

// running returns the rows of hours a day that say something, and the names of the
// ways that need none.
func running(z *card.Zone) (rows []card.Runs, easy []string) {
	for _, r := range z.Runs {
		if slices.ContainsFunc(r.Hours, func(h units.Hours) bool { return h != 0 }) {
			rows = append(rows, r)
		} else {
			easy = append(easy, z.Ways[r.Way].Name)
		}
	}
	return rows, easy
}

// days prints days left.
func days(d float64) string {
	switch {
	case d > card.Horizon:
		return fmt.Sprintf("%.0f+", card.Horizon)
	case d < 9.95:
		return fmt.Sprintf("%.1f", d)
	}
	return fmt.Sprintf("%.0f", d)
}

// hours prints hours a day.
func hours(h float64) string {
	switch {
	case math.IsNaN(h):
		return "–"
	case h == 0:
		return "0"
	}
	return fmt.Sprintf("%.1f", h)
}

// even tells the speed at which the day breaks even.
func even(z *card.Zone) string {
	switch {
	case math.IsNaN(float64(z.Even)):
		return "no speed holds it"
	case z.Even == 0:
		return "it holds at any speed"
	}
	return fmt.Sprintf("it holds from %.1f kn", float64(z.Even))
}

// wayLines tells what the ways leave on or off.
func (s *sheet) wayLines(z *card.Zone) []string {
	var out []string
	for _, w := range z.Ways {
		switch w.Name {
		case card.SparesOff:
			out = append(out, w.Name+": without "+strings.Join(w.Off, ", "))
		case card.Essentials:
			out = append(out, w.Name+": "+strings.Join(w.On, ", "))
		}
	}
	if runs, _ := running(z); len(runs) > 0 {
		out = append(out, "– not even 24 h do")
	}
	return out
}

func (s *sheet) waysHeight(z *card.Zone) float64 {
	text := strings.Join(s.wayLines(z), ". ")
	return 0.8 + leading(small)*float64(min(3, len(s.lines(text, small, s.right-restWidth-tableGap-s.left))))
}

func (s *sheet) ways(z *card.Zone, x0, x1, y float64) {
	if lines := s.wayLines(z); len(lines) > 0 {
		s.para(strings.Join(lines, ". ")+".", small, x0, x1, y, 3)
	}
}

// rested returns the rows of rested voltages that may be met: some way below the
// floor.
func (s *sheet) rested(z *card.Zone) []card.RestRow {
	n := len(z.Rest)
	for n > 1 && z.Rest[n-1].Charge < max(0.1, s.card.Floor-0.35)-1e-9 {
		n--
	}
	return z.Rest[:n]
}

// rest draws the rested voltages and the engine.
func (s *sheet) rest(z *card.Zone, x0, x1, y float64) {
	row, head := tableRow*s.pitch, tableHead*s.pitch
	third := (x1 - x0) / 3
	s.set("Charge", lead, atLeft, x0, x0+third, base(y, head))
	s.set("Rested V", lead, atRight, x0+third-3, x0+2*third-0.5, base(y, head))
	s.set("Ah", lead, atRight, x0+2*third, x1-0.5, base(y, head))
	y += head
	for _, r := range s.rested(z) {
		if math.Abs(float64(r.Charge-s.card.Floor)) < 1e-9 {
			s.frame(x0-0.6, y+0.2, x1+0.6, y+row+0.1, 0.5)
		}
		s.set(percent(r.Charge), number, atLeft, x0+0.5, x0+third, base(y, row))
		s.set(volts(r.Volts), number, atRight, x0+third, x0+2*third, base(y, row))
		s.set(signed(fmt.Sprintf("%.0f", float64(r.Above))), cell, atRight, x0+2*third, x1-0.5, base(y, row))
		y += row
	}
	note := fmt.Sprintf("%s at %.0f °C. Ah: in hand down to %s. With 5 A flowing out and nothing charging, add %.2f V to what you read.",
		chemistry(s.card.Chemistry), float64(z.Sea), percent(s.card.Floor), float64(z.Sag))
	y = s.para(note, small, x0, x1, y+0.8, 3) + 1.5
	e := z.Engine
	s.box(x0, y+0.4, x1, y+head-0.2, 225)
	s.set(fmt.Sprintf("Engine, back to %s", percent(e.To)), lead, atLeft, x0+1, x1, base(y, row))
	y += head
	for _, r := range e.Rows {
		s.set("from "+percent(r.From), body, atLeft, x0+0.5, x0+third+4, base(y, row))
		if math.IsNaN(float64(r.Hours)) {
			s.set("more than a day", body, atRight, x0+third, x1-0.5, base(y, row))
		} else {
			s.set(fmt.Sprintf("%.1f h", float64(r.Hours)), number, atRight, x0+third, x0+2*third, base(y, row))
			s.set(fmt.Sprintf("%.1f L", float64(r.Litres)), number, atRight, x0+2*third, x1-0.5, base(y, row))
		}
		y += row
	}
	about := e.Name + " alone, everything on."
	if !e.Own {
		about = "EXAMPLE, no engine in the file: " + e.Name + "."
	}
	s.para(about, small, x0, x1, y+0.6, 2)
}
