package paper

import (
	"fmt"

	"ampwake/cmd/internal/card"
	"ampwake/sim/units"
)

// Columns of the ladder, mm from its left edge: voltage, charge, what to do.
const (
	ladderVolts  = 33.0
	ladderCharge = 17.0
)

// ladderText returns the room of the words.
func (s *sheet) ladderText() (x0, x1 float64) {
	return s.left + ladderVolts + ladderCharge + 3, s.right - 1
}

// rungHeight returns the height of a rung: one line of heading, one or two of
// text.
func (s *sheet) rungHeight(r *card.Rung) float64 {
	x0, x1 := s.ladderText()
	return (5.6+float64(min(2, len(s.lines(r.Text, body, x1-x0))))*leading(body))*s.pitch + 0.6
}

func (s *sheet) ladderHeight(z *card.Zone) float64 {
	h := chapterUp + 1
	for i := range z.Ladder {
		h += s.rungHeight(&z.Ladder[i])
	}
	return h
}

// ladder draws what to do at which voltage, and returns where it ends.
func (s *sheet) ladder(z *card.Zone, y float64) float64 {
	about := "at rest: charging off and loads off for half an hour"
	if s.card.Flatter {
		about = "go by the Ah counter: with lithium the volts tell little"
	}
	y = s.chapter("2", "READ THE BANK, THEN", about, y)
	x0, x1 := s.ladderText()
	for i := range z.Ladder {
		r := &z.Ladder[i]
		h := s.rungHeight(r)
		word, v := "under", r.Rest
		if i == 0 {
			word = "over"
		}
		if r.Bus > 0 {
			v = r.Bus
		}
		b := base(y, h)
		if r.Always {
			s.set("at any voltage", lead, atLeft, s.left+0.5, s.left+ladderVolts+ladderCharge-3, b)
		} else {
			s.reading(r, word, v, b)
		}
		words := (h - (h-0.6)/s.pitch) / 2 // half the spare room stands above
		s.set(r.Head, heading, atLeft, x0, x1, y+words+4.3)
		s.para(r.Text, body, x0, x1, y+words+5.3, 2)
		y += h
		s.rule(s.left, y, s.right, y, 0.15)
	}
	return y + 1
}

// reading sets the voltage and the charge of a rung.
func (s *sheet) reading(r *card.Rung, word string, v units.Volts, b float64) {
	s.set(word, small, atLeft, s.left+0.5, s.left+11, b)
	s.set(volts(v)+" V", strong, atRight, s.left+10, s.left+ladderVolts-3, b)
	if r.Bus > 0 {
		s.set("in use", small, atRight, s.left+ladderVolts, s.left+ladderVolts+ladderCharge-3, b)
		return
	}
	s.set(fmt.Sprintf("%.0f %%", 100*float64(r.Charge)), number, atRight, s.left+ladderVolts, s.left+ladderVolts+ladderCharge-3, b)
}
