package paper

import (
	"fmt"
	"math"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"ampwake/cmd/internal/card"
	"ampwake/sim/units"
)

// strip is the chart of the second side: charge to the right, days downward.
type strip struct {
	x0, x1, y0, row float64
	low             float64 // charge at x0, %
}

func (p *strip) x(charge float64) float64 {
	return p.x0 + max(0, min(1, (charge-p.low)/(100-p.low)))*(p.x1-p.x0)
}

// y returns the middle of row i.
func (p *strip) y(i int) float64 { return p.y0 + (float64(i)+0.5)*p.row }

// Columns of the log, mm; the remark takes what is left.
var logColumns = []struct {
	name, unit string
	width      float64
}{
	{"Date", "ship's", 14.5},
	{"Position", "at noon", 30},
	{"Volts", "rested", 13},
	{"Ah", "counter", 13},
	{"Gen.", "hours", 11},
	{"Cloud", "oktas", 11.5},
	{"Remark", "", 0},
}

// chartShare is the share of the width that the chart takes.
const chartShare = 0.345

// trace draws the second side: the log and the chart to be filled in by pencil.
func (s *sheet) trace(z *card.Zone) {
	y := s.begin(z, "NOON TRACE")
	y = s.para("Each noon: charging off and loads off for half an hour, read the volts, fill in the row, and put a dot on it "+
		"at that voltage or at the charge by the counter. Join the dots. Grey: 8 weathers in 10 lie there; dashes: the middle one. "+
		fmt.Sprintf("Volts tell the charge to %d points at best, before sunrise most: as near as that to the grey is still inside.", card.Doubt), body, s.left, s.right, y, 3) + 1.5
	advice := s.adviceHeight(z)
	top, feet := 13.0, 13.0 // scales above and below
	n := len(z.Noons)
	p := strip{x1: s.right - 4, y0: y + top, low: lowest(s.card, z)}
	p.x0 = p.x1 - chartShare*(s.right-s.left)
	p.row = (s.bottom - 4 - advice - feet - p.y0) / float64(n)
	s.log(z, &p, y)
	s.band(z, &p)
	s.scales(z, &p, y)
	s.advice(z, s.bottom-4-advice)
	s.foot()
}

// lowest returns the charge at the left edge of the chart, %.
func lowest(c *card.Card, z *card.Zone) float64 {
	low := 100 * float64(c.Floor)
	for i := range z.Noons {
		if n := &z.Noons[i]; !n.Thin {
			low = min(low, 100*float64(n.Band.P10))
		}
	}
	return max(0, 10*math.Floor(low/10-1))
}

// log draws the ruled log.
func (s *sheet) log(z *card.Zone, p *strip, y float64) {
	end := p.y0 + float64(len(z.Noons))*p.row
	x := s.left
	for i, c := range logColumns {
		w := c.width
		if w == 0 {
			w = p.x0 - 3 - x
		}
		s.set(c.name, lead, atLeft, x+0.8, x+w, y+7.6)
		s.set(c.unit, small, atLeft, x+0.8, x+w, y+11.6)
		if i > 0 {
			s.pale(x, y+4.5, x, end, 0.15, 90)
		}
		x += w
	}
	leave := shipDate(z)
	for i := range z.Noons {
		n := &z.Noons[i]
		top := p.y0 + float64(i)*p.row
		s.pale(s.left, top, x, top, 0.15, 90)
		base := p.y(i) + 0.26*mm(lead.size)
		s.set(n.Date.Format("2 Jan"), lead, atRight, s.left, s.left+logColumns[0].width-2, base)
		if n.Date.Equal(leave) && i < len(z.Noons)-1 {
			s.rule(s.left, top+p.row, s.right, top+p.row, 0.7)
			next := "next sheet"
			if z == s.card.Zones[len(s.card.Zones)-1] {
				next = "arrival"
			}
			s.set(next, face{size: 9, grey: true}, atRight, x-22, x-0.5, top+p.row-1)
		}
	}
	s.rule(s.left, p.y0, x, p.y0, 0.4)
	s.rule(s.left, end, x, end, 0.4)
}

// band draws the grid and the projection. Nothing measured is in it.
func (s *sheet) band(z *card.Zone, p *strip) {
	n := len(z.Noons)
	end := p.y0 + float64(n)*p.row
	var low, mid, high []fpdf.PointType
	flush := func() {
		if len(mid) == 1 { // one day alone still has a width
			for _, v := range []*[]fpdf.PointType{&low, &mid, &high} {
				a := (*v)[0]
				*v = []fpdf.PointType{{X: a.X, Y: a.Y - 0.4*p.row}, {X: a.X, Y: a.Y + 0.4*p.row}}
			}
		}
		ring := append([]fpdf.PointType(nil), low...)
		for i := len(high) - 1; i >= 0; i-- {
			ring = append(ring, high[i])
		}
		s.area(ring, 205)
	}
	each := func(do func()) {
		low, mid, high = nil, nil, nil
		for i := range z.Noons {
			b := &z.Noons[i].Band
			if z.Noons[i].Thin {
				if mid != nil {
					do()
				}
				low, mid, high = nil, nil, nil
				continue
			}
			lo, hi := 100*float64(b.P10), 100*float64(b.P90)
			if z.Single(s.card) { // how well a voltage tells the charge
				lo, hi = lo-card.Doubt, hi+card.Doubt
			}
			at := func(v float64) fpdf.PointType { return fpdf.PointType{X: p.x(v), Y: p.y(i)} }
			low, mid, high = append(low, at(lo)), append(mid, at(100*float64(b.P50))), append(high, at(hi))
		}
		if mid != nil {
			do()
		}
	}
	each(flush)
	s.grid(p, end, n)
	each(func() {
		s.path(low, 0.3)
		s.path(high, 0.3)
		s.dashed(mid, 0.7, 2, 1.2)
	})
	floor := p.x(100 * float64(s.card.Floor))
	s.rule(floor, p.y0, floor, end+1.2, 0.9)
	for i := range z.Needs {
		if n := &z.Needs[i]; shown(n, p) {
			x := p.x(100 * float64(n.Charge))
			s.dashed([]fpdf.PointType{{X: x, Y: p.y0}, {X: x, Y: end + 1.2}}, 0.8, 0.8, 1.2)
		}
	}
}

// grid draws a line for each percent and each day.
func (s *sheet) grid(p *strip, end float64, n int) {
	for c := int(p.low); c <= 100; c++ {
		x := p.x(float64(c))
		switch {
		case c%10 == 0:
			s.pale(x, p.y0, x, end, 0.3, 90)
		case c%5 == 0:
			s.pale(x, p.y0, x, end, 0.2, 130)
		default:
			s.pale(x, p.y0, x, end, 0.1, 175)
		}
	}
	for i := 0; i <= n; i++ {
		y := p.y0 + float64(i)*p.row
		s.pale(p.x0, y, p.x1, y, 0.15, 130)
		if i < n {
			s.pale(p.x0, p.y(i), p.x1, p.y(i), 0.1, 175)
		}
	}
}

// scales draws the scale of charge, and that of rested voltage for the same
// charge, above and below the chart.
func (s *sheet) scales(z *card.Zone, p *strip, y float64) {
	end := p.y0 + float64(len(z.Noons))*p.row
	s.set("charge, %, and rested volts", lead, atCentre, p.x0, p.x1, y+2.8)
	step := 10
	if (p.x1-p.x0)/(100-p.low)*10 < 9 {
		step = 20
	}
	for c := 100; c >= int(p.low); c -= step {
		x := p.x(float64(c))
		s.set(fmt.Sprint(c), number, atCentre, x-5, x+5, y+7.6)
		s.set(volts(z.RestAt(units.Fraction(c)/100)), face{size: 9, bold: true}, atCentre, x-5, x+5, y+11.6)
		s.set(fmt.Sprint(c), lead, atCentre, x-5, x+5, end+4.4)
	}
	s.marks(z, p, end)
}

// marks names the lines that stand in the chart, below it.
func (s *sheet) marks(z *card.Zone, p *strip, end float64) {
	name := func(charge units.Fraction, text string, y float64) {
		if 100*float64(charge) < p.low {
			return
		}
		x := p.x(100 * float64(charge))
		s.set(text, small, atCentre, max(x-20, p.x0-8), min(x+20, s.right), y)
	}
	name(s.card.Floor, "floor "+percent(s.card.Floor), end+8)
	for i := range z.Needs {
		if n := &z.Needs[i]; shown(n, p) {
			s.set(fmt.Sprintf("dots: least for %s, %s", n.Load, percent(n.Charge)), small, atRight, p.x0-8, p.x1+3, end+11.4)
			break
		}
	}
}

// shown reports whether the least charge for a load has a line in the chart.
func shown(n *card.Need, p *strip) bool {
	return n.Charge > 0 && !n.Never() && 100*float64(n.Charge) > p.low
}

// adviceHeight and advice are the two sentences for a line that leaves the band.
func (s *sheet) adviceHeight(z *card.Zone) float64 {
	w := (s.right-s.left)/2 - 6
	n := max(len(s.lines(z.Below, face{size: 10}, w)), len(s.lines(z.Above, face{size: 10}, w)))
	return 7 + float64(n)*leading(face{size: 10}) + 1.5
}

func (s *sheet) advice(z *card.Zone, y float64) {
	h := s.adviceHeight(z)
	middle := (s.left + s.right) / 2
	left, right := "Line LEFT of the grey (1 weather in 10):", "Line RIGHT of the grey (1 weather in 10):"
	if z.Single(s.card) {
		left, right = "Line LEFT of the grey:", "Line RIGHT of the grey:"
	}
	for i, text := range []string{z.Below, z.Above} {
		x0, x1, title := s.left, middle-1.5, left
		if i == 1 {
			x0, x1, title = middle+1.5, s.right, right
		}
		s.frame(x0, y, x1, y+h, 0.5)
		s.set(title, heading, atLeft, x0+2, x1-2, y+5)
		s.para(text, face{size: 10}, x0+2, x1-2, y+6.4, 99)
	}
}

// shipDate returns the ship's date on which she is gone as a rule.
func shipDate(z *card.Zone) time.Time { return ship(z.Leave.P50, z.ShipTo).Truncate(24 * time.Hour) }
