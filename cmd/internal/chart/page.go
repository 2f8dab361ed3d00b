package chart

import (
	"image/color"
	"time"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Page is a picture of panels, one above the other, on one time axis. All X are
// Unix seconds, UTC.
type Page struct {
	Title   string
	Facts   []string // sentences below the title
	Remarks []string // small, lower left: how to read it; those for which there is room
	Caption string   // small, lower right: how to make it again
	From    time.Time
	To      time.Time
	Nights  []Span // in order, apart
	Noons   []Noon // in order
	Panels  []Panel
	ByDay   bool // the data are by the day
	Width   vg.Length
	Height  vg.Length
}

// Span is a stretch of the time axis.
type Span struct{ From, To float64 }

// Panel is one question on the page.
type Panel struct {
	Title  string  // quantity and unit
	About  string  // statistic, and what else must be known
	Share  float64 // of the height left for data
	Min    float64
	Max    float64
	Ticks  []Tick
	Rows   []EventRow // above the data, the first one on top
	Bands  []Band
	Stack  *Stack
	Lines  []Series
	Levels []Level
	Spells []SpellRow // at the foot of the data
	Points []Point
	Ends   []End
	Empty  string // said in the middle when there is nothing to draw
}

// Tick is a hairline across a panel and its number at the left.
type Tick struct {
	At     float64
	Label  string
	Strong bool // like the equator
}

// Series is a line.
type Series struct {
	Name  string // not drawn: the names at the right edge are Ends
	X, Y  []float64
	Ink   color.RGBA
	Width vg.Length
	Dash  bool
}

// Band is the area between two curves on the same X.
type Band struct {
	Name         string // not drawn
	X, Low, High []float64
	Fill         color.RGBA
}

// Stack is a pile of layers, the first at the bottom, each constant in bins.
type Stack struct {
	Edges  []float64 // one more than bins
	Layers []Layer
	// Offered is a thin line above the pile: how high it would be had all been
	// taken that was offered; nil if all was.
	Offered []float64
}

// Layer is one source or load in a stack.
type Layer struct {
	Name   string
	Paint  Paint
	Values []float64 // by bin, >= 0
}

// Level is a horizontal line across a panel.
type Level struct {
	At  float64
	Ink color.RGBA
	// Shade fills what lies between the level and the panel's first line where
	// that is below.
	Shade bool
}

// EventRow is a row of marks above a panel.
type EventRow struct {
	Label string    // at the right edge
	First []string  // beside the first mark: the first of these for which there is room
	Marks []float64 // moments
	Spans []Span    // what lasts
	Paint Paint
}

// SpellRow is a row of bars at the foot of a panel: how long something was so.
type SpellRow struct {
	Label string
	Spans []Span
	Paint Paint
}

// Point is a dot with words, or without.
type Point struct {
	X, Y  float64
	Label string
	Ink   color.RGBA
}

// End is a name at the right edge.
type End struct {
	At     float64 // where it belongs; it is moved from there no more than needed
	Label  string
	Value  string // after the label; kept when a long label is cut
	Ink    color.RGBA
	Swatch *color.RGBA // the colour of the area it names, or nil for a line
}

// Size returns the size of the page.
func (p *Page) Size() (width, height vg.Length) { return p.Width, p.Height }

// Draw draws the page to fill the canvas.
func (p *Page) Draw(c draw.Canvas) {
	size := c.Size()
	p.layout(size.X, size.Y).draw(c)
}
