package chart

import (
	"strings"

	"gonum.org/v1/plot/vg"
)

// Distances on a page, in points.
const (
	edge      vg.Length = 9  // of the paper
	panelGap  vg.Length = 8  // between a panel and the title of the next
	titleRow  vg.Length = 13 // title of a panel
	noonRow   vg.Length = 9  // ship's noon above the first panel
	eventRow  vg.Length = 9
	axisRows  vg.Length = 26 // ticks and two rows of words below the last panel
	foot      vg.Length = 10 // remark and caption
	nameGap   vg.Length = 5  // between data and what stands at its sides
	swatch    vg.Length = 5.5
	widestEnd           = 0.25 // of the page, for the names at the right
	lineGap   vg.Length = 9.2  // between names
)

// frame is where a panel's data go, with the transforms into it.
type frame struct {
	data  vg.Rectangle
	whole vg.Rectangle // data and the event rows above it
	x0    float64
	x1    float64
	y0    float64
	y1    float64
}

// x returns the place of a time, held within the panel.
func (f *frame) x(t float64) vg.Length {
	u := (t - f.x0) / (f.x1 - f.x0)
	return f.data.Min.X + vg.Length(max(0, min(1, u)))*(f.data.Max.X-f.data.Min.X)
}

// y returns the place of a value, held within the panel.
func (f *frame) y(v float64) vg.Length {
	u := (v - f.y0) / (f.y1 - f.y0)
	return f.data.Min.Y + vg.Length(max(0, min(1, u)))*(f.data.Max.Y-f.data.Min.Y)
}

// layout places all there is on a page of a size.
func (p *Page) layout(width, height vg.Length) *scene {
	s := &scene{width: width}
	x0, x1 := seconds(p.From), seconds(p.To)
	if x1 <= x0 {
		x1 = x0 + 60 // nothing was sailed: still a page
	}
	leftEdge, rightEdge := p.margins(width)
	top := p.heading(s, width, height)

	spare := top - edge - foot - axisRows
	shares := 0.0
	for i := range p.Panels {
		spare -= p.fixed(i)
		shares += p.Panels[i].Share
	}
	spare = max(spare, 30)

	var last frame
	for i := range p.Panels {
		panel := &p.Panels[i]
		p.panelTitle(s, panel, leftEdge, width-edge, top-titleRow+4)
		top -= titleRow
		if i == 0 && len(p.Noons) > 0 {
			top -= noonRow
		}
		rows := vg.Length(len(panel.Rows)) * eventRow
		h := spare * vg.Length(panel.Share/shares)
		f := frame{x0: x0, x1: x1, y0: panel.Min, y1: panel.Max}
		f.data = vg.Rectangle{Min: vg.Point{X: leftEdge, Y: top - rows - h}, Max: vg.Point{X: rightEdge, Y: top - rows}}
		f.whole = f.data
		f.whole.Max.Y = top
		if f.y1 <= f.y0 {
			f.y1 = f.y0 + 1
		}
		p.nights(s, &f)
		if i == 0 {
			p.noons(s, &f)
		}
		panel.draw(s, &f, p.Nights)
		top = f.data.Min.Y - panelGap
		last = f
	}
	timeAxis(s, &last, p.ByDay)
	p.footer(s, width)
	return s
}

// fixed returns what panel i needs besides its data.
func (p *Page) fixed(i int) vg.Length {
	h := titleRow + vg.Length(len(p.Panels[i].Rows))*eventRow
	if i == 0 && len(p.Noons) > 0 {
		h += noonRow
	}
	if i > 0 {
		h += panelGap
	}
	return h
}

// margins returns the left and right edge of the data, the same for all panels.
func (p *Page) margins(width vg.Length) (leftEdge, rightEdge vg.Length) {
	var numbers, names vg.Length
	for i := range p.Panels {
		panel := &p.Panels[i]
		for _, t := range panel.Ticks {
			numbers = max(numbers, tickStyle.width(t.Label))
		}
		for _, e := range panel.Ends {
			w := endStyle.width(e.fit(width, endStyle))
			if e.Swatch != nil {
				w += swatch + 3
			}
			names = max(names, w)
		}
		for _, r := range panel.Rows {
			names = max(names, endStyle.width(r.Label))
		}
		for _, r := range panel.Spells {
			names = max(names, endStyle.width(r.Label))
		}
	}
	names = min(names, widestEnd*width)
	return edge + numbers + nameGap, width - edge - max(names, 18) - nameGap
}

// heading sets the title and the facts and returns what is left below.
func (p *Page) heading(s *scene, width, height vg.Length) vg.Length {
	y := height - edge
	if p.Title != "" {
		y -= titleStyle.size * capHeight
		s.text(titleStyle.cut(p.Title, width-2*edge), titleStyle, left, edge, y)
		y -= 5
	}
	for _, fact := range p.Facts {
		for _, line := range factStyle.lines(fact, width-2*edge) {
			y -= factStyle.size
			s.text(line, factStyle, left, edge, y)
			y -= 3.5
		}
	}
	return y - 4
}

func (p *Page) panelTitle(s *scene, panel *Panel, x, end, y vg.Length) {
	box := s.text(panelStyle.cut(panel.Title, end-x), panelStyle, left, x, y)
	if room := end - box.Max.X - 5; panel.About != "" && room > 40 {
		s.text(aboutStyle.cut(panel.About, room), aboutStyle, left, box.Max.X+5, y)
	}
}

// footer sets the caption at the lower right and the remarks at the left, as
// far as there is room.
func (p *Page) footer(s *scene, width vg.Length) {
	caption := s.text(captionStyle.cut(p.Caption, width-2*edge), captionStyle, right, width-edge, edge)
	room := caption.Min.X - edge - 12
	text := ""
	for _, remark := range p.Remarks {
		if longer := strings.TrimSpace(text + " " + remark); captionStyle.width(longer) <= room {
			text = longer
		}
	}
	s.text(text, captionStyle, left, edge, edge)
}
