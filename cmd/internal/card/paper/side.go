package paper

import (
	"fmt"
	"time"

	"ampwake/cmd/internal/card"
	"ampwake/sim/units"
)

// begin starts a page and returns where its content begins.
func (s *sheet) begin(z *card.Zone, what string) float64 {
	s.pdf.AddPage()
	s.page++
	name := z.Name
	if z.Of > 1 {
		name = fmt.Sprintf("%s, part %d of %d", name, z.No, z.Of)
	}
	y := s.top + 6
	corner := fmt.Sprintf("%s  ·  page %d of %d", what, s.page, s.pages)
	s.set(corner, lead, atRight, s.right-62, s.right, y)
	s.set(name, huge, atLeft, s.left, s.right-64, y)
	y += 5.6
	s.set(stay(z)+"   ·   "+clocks(z), face{size: 10}, atLeft, s.left, s.right, y)
	y += 2
	s.rule(s.left, y, s.right, y, 0.7)
	return y + 1.5
}

// stay tells when she is here.
func stay(z *card.Zone) string {
	from, to := day(z.Enter.P50, z.ShipFrom), day(z.Leave.P50, z.ShipTo)
	text := fmt.Sprintf("%s to %s %d", from, to, ship(z.Leave.P50, z.ShipTo).Year())
	if from == to {
		text = fmt.Sprintf("%s %d", from, ship(z.Leave.P50, z.ShipTo).Year())
	}
	early, late := day(z.Leave.P10, z.ShipTo), day(z.Leave.P90, z.ShipTo)
	if early != late {
		text += fmt.Sprintf(" (8 in 10 leave %s to %s)", early, late)
	}
	return text
}

// clocks tells what to add to UTC.
func clocks(z *card.Zone) string {
	text := "ship's time = UTC"
	if z.Ship != 0 {
		text += offset(z.Ship)
	}
	if z.ShipFrom != z.ShipTo {
		text += fmt.Sprintf(" (first%s, last%s)", offset(z.ShipFrom), offset(z.ShipTo))
	}
	return text
}

// offset prints a zone with a true minus.
func offset(zone int) string {
	if zone < 0 {
		return fmt.Sprintf(" −%d", -zone)
	}
	return fmt.Sprintf(" +%d", zone)
}

func ship(t time.Time, zone int) time.Time { return t.UTC().Add(time.Duration(zone) * time.Hour) }

func day(t time.Time, zone int) string { return ship(t, zone).Format("2 Jan") }

// foot sets what tells where the page comes from.
func (s *sheet) foot() {
	c := s.card
	from := fmt.Sprintf("%d weathers of seed %d", c.Weathers, c.Seed)
	if !c.Seeded {
		from = "one weather, the file's own"
	}
	text := fmt.Sprintf("%s  ·  departs %s UTC  ·  %s  ·  %s", c.Title, c.Depart.UTC().Format("2 Jan 2006 15:04"), from, s.opt.Version)
	s.set(text, face{size: 7.2}, atLeft, s.left, s.right, s.bottom)
}

// chapter sets the heading of a section with its number and returns where the
// section begins.
func (s *sheet) chapter(no, title, about string, y float64) float64 {
	h := 4.8
	s.box(s.left, y, s.left+5, y+h, 0)
	s.pdf.SetTextColor(255, 255, 255)
	s.use(heading)
	s.pdf.SetTextColor(255, 255, 255)
	s.pdf.Text(s.left+2.5-s.pdf.GetStringWidth(no)/2, y+3.7, no)
	s.set(title, heading, atLeft, s.left+6.5, s.right, y+3.7)
	x := s.left + 6.5 + s.width(title, heading) + 3
	s.set(about, small, atLeft, x, s.right, y+3.7)
	s.rule(s.left, y+h, s.right, y+h, 0.25)
	return y + h + 0.8
}

// Numbers as they stand on the card.

func percent(f units.Fraction) string { return fmt.Sprintf("%.0f %%", 100*float64(f)) }

func volts(v units.Volts) string { return fmt.Sprintf("%.2f", float64(v)) }

// decimals prints with one decimal, and a true minus.
func decimals(x float64) string { return signed(fmt.Sprintf("%.1f", x)) }

func signed(text string) string {
	switch {
	case text == "-0" || text == "-0.0":
		return text[1:]
	case text[0] == '-':
		return "−" + text[1:]
	}
	return text
}
