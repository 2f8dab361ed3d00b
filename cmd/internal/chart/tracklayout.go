package chart

import (
	"math"

	"gonum.org/v1/plot/vg"
)

// Around the map, in points.
const (
	trackLeft   vg.Length = 24  // parallels
	trackBelow  vg.Length = 12  // meridians
	trackKey    vg.Length = 28  // the key of the colours
	trackAround vg.Length = 110 // all above and below the map, about
	leastWorld            = 4.0 // degrees across, under which squares of one are no coast
)

var (
	soil = hex(0xE3E0D9)
	rim  = hex(0x9A968C) // of the soil
	grid = hex(0xC9CDD2) // shows on white and on soil
)

// layout places all there is on a page of a size.
func (p *Track) layout(width, height vg.Length) *scene {
	s := &scene{width: width}
	page := Page{Title: p.Title, Facts: p.Facts, Caption: p.Caption, Remarks: p.Remarks}
	top := page.heading(s, width, height)
	page.panelTitle(s, &Panel{Title: "State of charge along the track, %", About: p.About}, edge, width-edge, top-titleRow+4)
	top -= titleRow
	page.footer(s, width)
	f := p.frameBelow(width, top)
	var rings, coasts [][]vg.Point
	if 2*f.half >= leastWorld {
		rings, coasts = f.land()
	}
	s.region(rings, soil)
	p.graticule(s, &f)
	for _, line := range coasts {
		s.stroke(line, rim, 0.6)
	}
	s.stroke([]vg.Point{f.data.Min, {X: f.data.Max.X, Y: f.data.Min.Y}, f.data.Max, {X: f.data.Min.X, Y: f.data.Max.Y}, f.data.Min}, quiet, 0.5)
	p.marks(s, &f, p.line(s, &f), coasts)
	p.key(s, f.data.Min.X, edge+foot+4)
	return s
}

// frameOn returns the map on a page of a size, about.
func (p *Track) frameOn(width, height vg.Length) *chartFrame {
	f := p.frameBelow(width, height-trackAround+edge+foot+trackKey+trackBelow)
	return &f
}

// frameBelow returns the map that fills a page up to a height.
func (p *Track) frameBelow(width, top vg.Length) chartFrame {
	bottom := edge + foot + trackKey + trackBelow
	f := chartFrame{
		middle: p.Frame.Middle, half: p.Frame.Half,
		south: meridional(p.Frame.South), north: meridional(p.Frame.North),
	}
	return f.fitted(vg.Rectangle{Min: vg.Point{X: edge + trackLeft, Y: bottom}, Max: vg.Point{X: width - edge, Y: max(top, bottom+30)}})
}

// graticule draws meridians and parallels with their numbers.
func (p *Track) graticule(s *scene, f *chartFrame) {
	step := f.spacing()
	for k := math.Ceil((f.middle - f.half) / step); k*step <= f.middle+f.half; k++ {
		x := f.on(k*step-f.middle, f.south).X
		s.segment(x, f.data.Min.Y, x, f.data.Max.Y, grid, 0.4)
		label := degreesText(math.Remainder(k*step, 360), "E", "W")
		if w := put(label, tickStyle, centre, x, f.data.Min.Y-trackBelow+3); w.box.Max.X <= s.width-2 && s.free(grown(w.box, 2)) {
			s.add(w)
		}
	}
	for lat := range f.parallels() {
		y := f.on(0, meridional(lat)).Y
		c, width := grid, vg.Length(0.4)
		if lat == 0 {
			c, width = quiet, 0.6
		}
		s.segment(f.data.Min.X, y, f.data.Max.X, y, c, width)
		label := degreesText(lat, "N", "S")
		if w := put(label, tickStyle, right, f.data.Min.X-3, y-tickStyle.size*capHeight/2); w.box.Min.Y > f.data.Min.Y-3 && s.free(grown(w.box, 1)) {
			s.add(w)
		}
	}
}

// run is a piece of the track within one class of charge.
type run struct {
	class int
	line  []vg.Point
}

// runs puts the track on the page, cut where its class changes and where it goes
// over the edge of the map in longitude.
func (p *Track) runs(f *chartFrame) []run {
	var out []run
	var now run
	flush := func() {
		if len(now.line) > 1 {
			out = append(out, now)
		}
		now.line = nil
	}
	var before vg.Point
	for i, x := range p.Path {
		at := f.at(x.Lat, x.Lon)
		if i > 0 && math.Abs(float64(at.X-before.X)) > float64(f.data.Max.X-f.data.Min.X)/2 {
			flush() // round the back of the world
		}
		before = at
		k := class(p.Classes, x.Charge)
		now.line = append(now.line, at)
		if k != now.class {
			if len(now.line) > 1 {
				flush()
				now.line = []vg.Point{at}
			}
			now.class = k
		}
	}
	flush()
	for i := range out {
		out[i].line = slim(out[i].line, 0.08)
	}
	return out
}

// line draws the track and returns it for words to keep off.
func (p *Track) line(s *scene, f *chartFrame) [][]vg.Point {
	runs := p.runs(f)
	var curves [][]vg.Point
	for _, r := range runs {
		curves = append(curves, r.line)
		s.stroke(r.line, ink, p.Classes[r.class].Width+1.5)
	}
	for _, r := range runs {
		s.stroke(r.line, p.Classes[r.class].Fill, p.Classes[r.class].Width)
	}
	return curves
}

// marks draws noons, waypoints and misses, and their words: the ends first, then
// what was missed, then the other places, then dates; what finds no room is left
// out.
func (p *Track) marks(s *scene, f *chartFrame, track, coasts [][]vg.Point) {
	var ends, places, dates, misses []spot
	avoid := obstacles{hard: track, soft: coasts}
	for _, d := range p.Days {
		at := f.at(d.Lat, d.Lon)
		sin, cos := math.Sincos(d.Course * math.Pi / 180)
		half := vg.Length(2.6)
		if d.Label != "" {
			half = 4.4
			dates = append(dates, spot{text: d.Label, st: tickStyle.in(ink), at: at, gap: 7})
		}
		across := vg.Point{X: half * vg.Length(cos), Y: -half * vg.Length(sin)}
		tick := []vg.Point{at.Sub(across), at.Add(across)}
		s.stroke(tick, ink, 0.8)
		avoid.hard = append(avoid.hard, tick)
	}
	for _, x := range p.Places {
		at := f.at(x.Lat, x.Lon)
		avoid.dots = append(avoid.dots, at)
		s.area(disc(at, 3), ink)
		s.area(disc(at, 1.7), white)
		if x.End {
			ends = append(ends, spot{text: x.Name, st: pointStyle, at: at, must: true, gap: 7})
		} else {
			places = append(places, spot{text: x.Name, st: endStyle, at: at, gap: 7})
		}
	}
	if p.Lowest.Name != "" {
		at := f.at(p.Lowest.Lat, p.Lowest.Lon)
		s.area(disc(at, 2.2), ink)
		misses = append(misses, spot{text: p.Lowest.Name, st: pointStyle, at: at, must: true, gap: 7})
	}
	var last vg.Point
	for i, m := range p.Missed {
		at := f.at(m.Lat, m.Lon)
		if !f.holds(at) {
			continue
		}
		if m.Label != "" {
			misses = append(misses, spot{text: m.Label, st: pointStyle.in(alarm.Ink), at: at, must: true, gap: 7})
		} else if i > 0 && math.Hypot(float64(at.X-last.X), float64(at.Y-last.Y)) < 2 {
			continue
		}
		last = at
		avoid.dots = append(avoid.dots, at)
		cross(s, at, 3.4, white, 3)
		cross(s, at, 3.4, alarm.Ink, 1.5)
	}
	for lat := range f.parallels() {
		y := f.on(0, meridional(lat)).Y
		avoid.soft = append(avoid.soft, []vg.Point{{X: f.data.Min.X, Y: y}, {X: f.data.Max.X, Y: y}})
	}
	for _, list := range [][]spot{ends, misses, places, dates} {
		for _, x := range list {
			x.text = x.st.cut(x.text, 0.45*(f.data.Max.X-f.data.Min.X))
			if x.text == "" {
				continue
			}
			w, hits, found := x.beside(s, f.data, &avoid)
			if !found || hits > 0 && !x.must {
				continue
			}
			if hits > 0 {
				s.rect(grown(w.box, 1), white)
			}
			s.add(w)
		}
	}
}
