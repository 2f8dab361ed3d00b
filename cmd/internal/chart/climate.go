package chart

import (
	"io"
	"math"
	"time"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ampwake/scenarios/outlook"
	"ampwake/sim/units"
)

// ClimateOptions say what stands around the panels of a climate.
type ClimateOptions struct {
	Title   string
	Facts   []string // sentences under the title
	Caption string
}

// Climate is the picture of what the climate holds: by month at a place, or by
// date along a passage.
type Climate struct {
	Page
	// Months says that the axis is that of the twelve months, X from 0 to 12;
	// From and To do not count then.
	Months bool
	Wind   int // the panel that has the arrows
	Arrows []Arrow
}

// Arrow tells where the mean wind blows, north being up.
type Arrow struct {
	X          float64
	To         units.Degrees  // true
	Steadiness units.Fraction // its length
}

// NewClimateYear makes the page model of the months at a place.
func NewClimateYear(y *outlook.Year, opt ClimateOptions) *Climate {
	s := spans{months: true, edges: []float64{0}, per: " a day"}
	for i := range y.Months {
		m := &y.Months[i]
		s.edges = append(s.edges, float64(i+1))
		s.means = append(s.means, &m.Means)
		s.names = append(s.names, m.Month.String()[:3])
	}
	c := s.page(opt)
	c.Months = true
	return c
}

// NewClimatePassage makes the page model of a passage. It panics if the passage
// has no days.
func NewClimatePassage(p *outlook.Passage, opt ClimateOptions) *Climate {
	if len(p.Days) == 0 {
		panic("chart: the climate of a passage needs a day")
	}
	s := spans{edges: []float64{seconds(p.Days[0].From)}, bare: len(p.Panels) == 0, per: " a day"}
	if h := float64(p.Days[0].Hours); h < 23.99 {
		s.per = " in " + lasting(h)
	}
	for i := range p.Days {
		d := &p.Days[i]
		s.edges = append(s.edges, seconds(d.Until()))
		s.means = append(s.means, &d.Means)
		s.names = append(s.names, d.From.Format("2 Jan"))
		s.lat = append(s.lat, float64(d.Place.Lat))
		s.drawn = append(s.drawn, float64(d.Drawn))
	}
	c := s.page(opt)
	c.From, c.To = p.Days[0].From.UTC(), p.Days[len(p.Days)-1].Until().UTC()
	c.ByDay = true
	return c
}

// WriteFile writes the picture; see the function WriteFile.
func (c *Climate) WriteFile(path string) error { return WriteFile(path, c) }

// Encode writes the picture as "png" or "svg".
func (c *Climate) Encode(w io.Writer, format string) error { return Encode(w, c, format) }

// Draw draws the picture to fill the canvas.
func (c *Climate) Draw(canvas draw.Canvas) {
	size := canvas.Size()
	c.layout(size.X, size.Y).draw(canvas)
}

// layout places all there is on a page of a size: as Page does, on an axis of
// months or days and with the arrows.
func (c *Climate) layout(width, height vg.Length) *scene {
	s := &scene{width: width}
	x0, x1 := 0.0, 12.0
	if !c.Months {
		x0, x1 = seconds(c.From), seconds(c.To)
	}
	leftEdge, rightEdge := c.margins(width)
	top := c.heading(s, width, height)
	spare, shares := top-edge-foot-axisRows, 0.0
	for i := range c.Panels {
		spare -= c.fixed(i)
		shares += c.Panels[i].Share
	}
	spare = max(spare, 30)
	var f frame
	for i := range c.Panels {
		p := &c.Panels[i]
		c.panelTitle(s, p, leftEdge, width-edge, top-titleRow+4)
		top -= titleRow
		rows := vg.Length(len(p.Rows)) * eventRow
		h := spare * vg.Length(p.Share/shares)
		f = frame{x0: x0, x1: x1, y0: p.Min, y1: max(p.Max, p.Min+1e-9)}
		f.data = vg.Rectangle{Min: vg.Point{X: leftEdge, Y: top - rows - h}, Max: vg.Point{X: rightEdge, Y: top - rows}}
		f.whole = f.data
		f.whole.Max.Y = top
		p.draw(s, &f, nil)
		if i == c.Wind {
			c.drawArrows(s, &f)
		}
		top = f.data.Min.Y - panelGap
	}
	if c.Months {
		monthAxis(s, &f)
	} else {
		timeAxis(s, &f, true)
	}
	c.footer(s, width)
	return s
}

// monthAxis writes the months below a panel.
func monthAxis(s *scene, f *frame) {
	a := newAxis(s, f)
	s.segment(f.data.Min.X, f.data.Min.Y, f.data.Max.X, f.data.Min.Y, quiet, 0.5)
	for i := range 13 {
		a.tick(float64(i), 4.5)
	}
	for i := range 12 {
		a.word(time.Month(i + 1).String()[:3], 0, centre, float64(i), float64(i+1))
	}
}

// The arrows stand in the rows above the wind.
const (
	arrowRows             = 2
	arrowRoom   vg.Length = 17 // least, from one to the next
	arrowLength           = 15 // of a wind that never turns, points
)

// drawArrows draws the arrows above a panel, as many as there is room for.
func (c *Climate) drawArrows(s *scene, f *frame) {
	mid := (f.whole.Max.Y + f.data.Max.Y) / 2
	last := -math.MaxFloat64
	for _, a := range c.Arrows {
		x := f.x(a.X)
		if float64(x)-last < float64(arrowRoom) {
			continue
		}
		last = float64(x)
		paint, _ := byKind(Wind)
		sin, cos := math.Sincos(float64(a.To) * math.Pi / 180)
		half := arrowLength / 2 * max(0.15, float64(a.Steadiness))
		at := func(along, across float64) vg.Point {
			return vg.Point{X: x + vg.Length(along*sin+across*cos), Y: mid + vg.Length(along*cos-across*sin)}
		}
		s.stroke([]vg.Point{at(-half, 0), at(half-1, 0)}, paint.Ink, 1)
		s.area([]vg.Point{at(half, 0), at(half-4, 1.9), at(half-4, -1.9)}, paint.Ink)
	}
}
