package chart

import (
	"image/color"
	"math"
	"strings"
	"sync"
	"unicode"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// faces holds the two faces of all pictures, parsed at the first picture.
var faces = sync.OnceValue(func() *font.Cache {
	face := func(ttf []byte, weight xfont.Weight) font.Face {
		f, err := opentype.Parse(ttf)
		if err != nil {
			panic("chart: a built-in font cannot be read: " + err.Error())
		}
		return font.Face{Font: font.Font{Typeface: "Liberation", Variant: "Sans", Weight: weight}, Face: f}
	}
	return font.NewCache(font.Collection{
		face(liberationsansregular.TTF, xfont.WeightNormal),
		face(liberationsansbold.TTF, xfont.WeightBold),
	})
})

// style is how a word is set.
type style struct {
	size  vg.Length
	bold  bool
	color color.RGBA
}

// The sizes of words, at the final size of the page.
var (
	titleStyle   = style{size: 12.5, bold: true, color: ink}
	factStyle    = style{size: 9, color: ink}
	panelStyle   = style{size: 8.5, bold: true, color: ink}
	aboutStyle   = style{size: 8, color: quiet} // the rest of a panel's title
	tickStyle    = style{size: 7.5, color: quiet}
	noonStyle    = style{size: 6.5, color: quiet}
	captionStyle = style{size: 6.5, color: quiet}
	endStyle     = style{size: 8, color: ink}
	pointStyle   = style{size: 8, bold: true, color: ink}
)

// in returns the style in another colour.
func (s style) in(c color.RGBA) style { s.color = c; return s }

func (s style) face() font.Face {
	weight := xfont.WeightNormal
	if s.bold {
		weight = xfont.WeightBold
	}
	return faces().Lookup(font.Font{Typeface: "Liberation", Variant: "Sans", Weight: weight}, s.size)
}

// width returns how long text is.
func (s style) width(text string) vg.Length {
	f := s.face()
	return f.Width(text)
}

// The heights of capitals above the baseline and of descenders below it, as
// shares of the size; Liberation Sans.
const (
	capHeight = 0.73
	descent   = 0.21
)

// box returns the rectangle of text that begins at a baseline point.
func (s style) box(text string, at vg.Point) vg.Rectangle {
	return vg.Rectangle{
		Min: vg.Point{X: at.X, Y: at.Y - descent*s.size},
		Max: vg.Point{X: at.X + s.width(text), Y: at.Y + capHeight*s.size},
	}
}

// cut shortens text with an ellipsis to fit into max.
func (s style) cut(text string, max vg.Length) string {
	if s.width(text) <= max {
		return text
	}
	runes := []rune(text)
	for n := len(runes) - 1; n > 0; n-- {
		short := strings.TrimRight(string(runes[:n]), " ,(") + "…"
		if s.width(short) <= max {
			return short
		}
	}
	return "…"
}

// lines breaks a sentence between words into two lines that fit into max; the second
// is cut where it must be.
func (s style) lines(text string, max vg.Length) []string {
	if s.width(text) <= max {
		return []string{text}
	}
	for at := strings.LastIndexByte(text, ' '); at > 0; at = strings.LastIndexByte(text[:at], ' ') {
		if s.width(text[:at]) <= max {
			return []string{text[:at], s.cut(text[at+1:], max)}
		}
	}
	return []string{s.cut(text, max)}
}

// clean makes a name from a file fit to be drawn: valid, on one line, without
// control characters (an SVG with one is not XML).
func clean(text string) string {
	text = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case unicode.IsControl(r), r == 0xFFFE, r == 0xFFFF:
			return -1
		}
		return r
	}, strings.ToValidUTF8(text, "?"))
	return strings.Join(strings.Fields(text), " ")
}

// spread moves the centres of labels apart until each has gap to the next,
// keeps their order, and moves them no further than needed (least squares).
// Centres must ascend; all end within [lo, hi]. Where there is no room for all
// of them the gap shrinks.
func spread(centres []float64, gap, lo, hi float64) []float64 {
	n := len(centres)
	if n == 0 {
		return nil
	}
	if n > 1 {
		gap = math.Min(gap, (hi-lo)/float64(n-1))
	}
	// With the gaps taken out only the order is left to mend: isotonic
	// regression by pooling adjacent violators.
	type pool struct {
		sum   float64
		count int
	}
	var pools []pool
	for i, c := range centres {
		pools = append(pools, pool{c - float64(i)*gap, 1})
		for len(pools) > 1 {
			a, b := pools[len(pools)-2], pools[len(pools)-1]
			if a.sum/float64(a.count) <= b.sum/float64(b.count) {
				break
			}
			pools = append(pools[:len(pools)-2], pool{a.sum + b.sum, a.count + b.count})
		}
	}
	out := make([]float64, 0, n)
	for _, p := range pools {
		at := math.Max(lo, math.Min(hi-float64(n-1)*gap, p.sum/float64(p.count)))
		for range p.count {
			out = append(out, at+float64(len(out))*gap)
		}
	}
	return out
}

// apart reports whether two rectangles share no area.
func apart(a, b vg.Rectangle) bool {
	return a.Max.X <= b.Min.X || b.Max.X <= a.Min.X || a.Max.Y <= b.Min.Y || b.Max.Y <= a.Min.Y
}

// within reports whether a lies inside b.
func within(a, b vg.Rectangle) bool {
	return a.Min.X >= b.Min.X && a.Max.X <= b.Max.X && a.Min.Y >= b.Min.Y && a.Max.Y <= b.Max.Y
}
