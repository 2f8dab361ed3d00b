package paper

import (
	"strings"

	"codeberg.org/go-pdf/fpdf"

	"ampwake/cmd/internal/card"
)

// sheet is the paper under the pen. Places are in mm from the upper left corner,
// type in points.
type sheet struct {
	pdf                      *fpdf.Fpdf
	card                     *card.Card
	opt                      Options
	left, right, top, bottom float64
	page, pages              int
	// pitch stretches the rows of the first side, 1 or more, to fill the page.
	pitch float64
	words []word // all that has been set
}

// word is a line of type as it stands on the paper: its ink, and the room it was
// given.
type word struct {
	page           int
	text           string
	size           float64
	x0, y0, x1, y1 float64
	from, to       float64
	cut            bool // some of it was left out
}

// face is how type is set.
type face struct {
	size float64
	bold bool
	grey bool // of what may be missed
}

// The faces of the card.
var (
	huge    = face{size: 20, bold: true}
	strong  = face{size: 14, bold: true}
	number  = face{size: 12, bold: true}
	heading = face{size: 11, bold: true}
	lead    = face{size: 10, bold: true}
	body    = face{size: 9.5}
	cell    = face{size: 10.5}
	small   = face{size: 9}
	fine    = face{size: 7.2}
)

// mm turns points into mm.
func mm(points float64) float64 { return points * 25.4 / 72 }

// align is where type stands in its room.
type align byte

const (
	atLeft   align = 'L'
	atCentre align = 'C'
	atRight  align = 'R'
)

func (s *sheet) use(f face) {
	style := ""
	if f.bold {
		style = "B"
	}
	s.pdf.SetFont("sans", style, f.size)
	ink := 0
	if f.grey {
		ink = 70
	}
	s.pdf.SetTextColor(ink, ink, ink)
}

func (s *sheet) width(text string, f face) float64 {
	s.use(f)
	return s.pdf.GetStringWidth(plain(text))
}

// set sets a line of type on baseline y in the room from x0 to x1. Too long a line
// is set smaller, down to nine tenths and to 9 points, and then cut short.
func (s *sheet) set(text string, f face, a align, x0, x1, y float64) {
	text = plain(text)
	if text == "" {
		return
	}
	cut := false
	for least := max(9, 0.9*f.size); f.size > least && s.width(text, f) > x1-x0; {
		f.size -= 0.25
	}
	for s.width(text, f) > x1-x0 {
		runes := []rune(strings.TrimSuffix(text, "…"))
		if len(runes) < 2 {
			break
		}
		text, cut = strings.TrimRight(string(runes[:len(runes)-1]), " ,")+"…", true
	}
	w := s.width(text, f)
	x := x0
	switch a {
	case atCentre:
		x = (x0 + x1 - w) / 2
	case atRight:
		x = x1 - w
	}
	s.pdf.Text(x, y, text)
	s.words = append(s.words, word{s.page, text, f.size, x, y - 0.72*mm(f.size), x + w, y + 0.21*mm(f.size), x0, x1, cut})
}

// lines breaks text into lines of a width.
func (s *sheet) lines(text string, f face, width float64) []string {
	var out []string
	line := ""
	for _, w := range glued(plain(text)) {
		next := strings.TrimSpace(line + " " + w)
		if line != "" && s.width(next, f) > width {
			out = append(out, line)
			next = w
		}
		line = next
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}

// glued splits text into words, a unit staying with its number.
func glued(text string) []string {
	var out []string
	for _, w := range strings.Fields(text) {
		switch strings.TrimRight(w, ".,:;)") {
		case "%", "V", "A", "Ah", "kn", "h", "L", "°C", "min":
			if n := len(out); n > 0 {
				out[n-1] += " " + w
				continue
			}
		}
		out = append(out, w)
	}
	return out
}

// leading is the distance of baselines.
func leading(f face) float64 { return 1.18 * mm(f.size) }

// para sets text in lines below y and returns where they end. Beyond most lines
// the rest is cut short; most is at least 1.
func (s *sheet) para(text string, f face, x0, x1, y float64, most int) float64 {
	lines := s.lines(text, f, x1-x0)
	if len(lines) > most {
		lines = append(lines[:most-1], strings.Join(lines[most-1:], " "))
	}
	for i, l := range lines {
		s.set(l, f, atLeft, x0, x1, y+0.8*mm(f.size)+float64(i)*leading(f))
	}
	return y + float64(len(lines))*leading(f)
}

// rule draws a line.
func (s *sheet) rule(x0, y0, x1, y1, width float64) {
	s.ink(0)
	s.pdf.SetLineWidth(width)
	s.pdf.Line(x0, y0, x1, y1)
}

// pale draws a line of the grid.
func (s *sheet) pale(x0, y0, x1, y1, width float64, grey int) {
	s.ink(grey)
	s.pdf.SetLineWidth(width)
	s.pdf.Line(x0, y0, x1, y1)
	s.ink(0)
}

// dashed draws a dashed line through points.
func (s *sheet) dashed(points []fpdf.PointType, width float64, dash ...float64) {
	s.pdf.SetDashPattern(dash, 0)
	s.path(points, width)
	s.pdf.SetDashPattern(nil, 0)
}

// path draws a line through points.
func (s *sheet) path(points []fpdf.PointType, width float64) {
	if len(points) < 2 {
		return
	}
	s.ink(0)
	s.pdf.SetLineWidth(width)
	s.pdf.MoveTo(points[0].X, points[0].Y)
	for _, p := range points[1:] {
		s.pdf.LineTo(p.X, p.Y)
	}
	s.pdf.DrawPath("D")
}

// area fills a ring of points.
func (s *sheet) area(points []fpdf.PointType, grey int) {
	if len(points) < 3 {
		return
	}
	s.pdf.SetFillColor(grey, grey, grey)
	s.pdf.Polygon(points, "F")
}

// box fills or frames a rectangle.
func (s *sheet) box(x0, y0, x1, y1 float64, grey int) {
	s.pdf.SetFillColor(grey, grey, grey)
	s.pdf.Rect(x0, y0, x1-x0, y1-y0, "F")
}

func (s *sheet) frame(x0, y0, x1, y1, width float64) {
	s.ink(0)
	s.pdf.SetLineWidth(width)
	s.pdf.Rect(x0, y0, x1-x0, y1-y0, "D")
}

func (s *sheet) ink(grey int) { s.pdf.SetDrawColor(grey, grey, grey) }

// plain takes out what the font cannot set: control characters become blanks,
// and what lies beyond the basic plane a square.
func plain(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r < ' ' || r == 0x7f:
			return ' '
		case r >= 0xffff:
			return '□'
		}
		return r
	}, text)
}
