package chart

import (
	"image/color"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// scene is a laid-out picture: shapes and words in the order of painting, in
// points from the lower left corner of the page.
type scene struct {
	width  vg.Length // of the page
	shapes []shape
	words  []word
}

// shape is a filled ring, a filled region, a stroked line or a word; one of the
// four.
type shape struct {
	ring  []vg.Point
	rings [][]vg.Point // of a region: holes run the other way round
	fill  color.RGBA
	line  []vg.Point
	pen   draw.LineStyle
	words int // index into scene.words, -1 if it is none
}

// word is one run of text with the rectangle it covers.
type word struct {
	text  string
	at    vg.Point // left end of the baseline
	style style
	box   vg.Rectangle
}

// align is where a text stands to its point.
type align float64

const (
	left   align = 0
	centre align = 0.5
	right  align = 1
)

func (s *scene) area(ring []vg.Point, fill color.RGBA) {
	if len(ring) > 2 {
		s.shapes = append(s.shapes, shape{ring: ring, fill: fill, words: -1})
	}
}

// region fills rings and leaves out their holes.
func (s *scene) region(rings [][]vg.Point, fill color.RGBA) {
	if len(rings) > 0 {
		s.shapes = append(s.shapes, shape{rings: rings, fill: fill, words: -1})
	}
}

func (s *scene) rect(r vg.Rectangle, fill color.RGBA) {
	if r.Max.X > r.Min.X && r.Max.Y > r.Min.Y {
		s.area([]vg.Point{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}}, fill)
	}
}

func (s *scene) stroke(line []vg.Point, c color.RGBA, width vg.Length, dashes ...vg.Length) {
	if len(line) > 1 {
		s.shapes = append(s.shapes, shape{line: line, pen: draw.LineStyle{Color: c, Width: width, Dashes: dashes}, words: -1})
	}
}

func (s *scene) segment(x0, y0, x1, y1 vg.Length, c color.RGBA, width vg.Length, dashes ...vg.Length) {
	s.stroke([]vg.Point{{X: x0, Y: y0}, {X: x1, Y: y1}}, c, width, dashes...)
}

// put returns where text would stand: x by the alignment, y the baseline.
func put(text string, st style, a align, x, y vg.Length) word {
	at := vg.Point{X: x - vg.Length(a)*st.width(text), Y: y}
	return word{text: text, at: at, style: st, box: st.box(text, at)}
}

// text sets text and returns its rectangle.
func (s *scene) text(text string, st style, a align, x, y vg.Length) vg.Rectangle {
	return s.add(put(text, st, a, x, y))
}

func (s *scene) add(w word) vg.Rectangle {
	if w.text == "" {
		return w.box
	}
	s.shapes = append(s.shapes, shape{words: len(s.words)})
	s.words = append(s.words, w)
	return w.box
}

// free reports whether no word set so far touches r.
func (s *scene) free(r vg.Rectangle) bool {
	for _, w := range s.words {
		if !apart(w.box, r) {
			return false
		}
	}
	return true
}

// draw paints the scene with its lower left corner at that of the canvas.
func (s *scene) draw(c draw.Canvas) {
	moved := func(points []vg.Point) []vg.Point {
		if c.Min.X == 0 && c.Min.Y == 0 {
			return points
		}
		out := make([]vg.Point, len(points))
		for i, p := range points {
			out[i] = p.Add(c.Min)
		}
		return out
	}
	for _, sh := range s.shapes {
		switch {
		case sh.words >= 0:
			w := s.words[sh.words]
			c.SetColor(w.style.color)
			c.FillString(w.style.face(), w.at.Add(c.Min), w.text)
		case sh.ring != nil:
			c.FillPolygon(sh.fill, moved(sh.ring))
		case sh.rings != nil:
			var path vg.Path
			for _, ring := range sh.rings {
				for i, p := range moved(ring) {
					if i == 0 {
						path.Move(p)
					} else {
						path.Line(p)
					}
				}
				path.Close()
			}
			c.SetColor(sh.fill)
			c.Fill(path)
		default:
			c.StrokeLines(sh.pen, moved(sh.line))
		}
	}
}
