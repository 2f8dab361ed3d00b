package chart

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ampwake/sim/units"
)

// WhereInput is where on the passage trouble began, counted over many runs.
type WhereInput struct {
	Title   string
	Facts   []string // sentences under the title; nil for one made from the counts
	What    string   // what is counted: "first slot missed"; "" for "where trouble began"
	Caption string
	Runs    int         // of them all, 0 if not to be told
	Edges   []WhereEdge // of the bins, in the order sailed, one more than bins
	Causes  []string    // at most five
	Counts  [][]int     // by bin, then cause: runs whose trouble began there
}

// WhereEdge is a place on the passage at which one bin ends and the next
// begins.
type WhereEdge struct {
	Lat    units.Degrees
	Sailed units.NauticalMiles // from departure; left out of the picture if all are 0
}

// Where is the picture of where on the passage trouble begins: one row for each
// bin, departure at the top, one column of bars for each cause, all on one
// scale.
type Where struct {
	Title   string
	Facts   []string
	About   string
	Caption string
	Edges   []WhereEdge
	Columns []WhereColumn
	Max     int // the longest bar
	Width   vg.Length
	Height  vg.Length
}

// WhereColumn is the bars of one cause.
type WhereColumn struct {
	Cause  string
	Counts []int // by bin
	Total  int
	Paint  Paint
}

// causePaint is the colour of a cause, by its words; others get spare ones.
var causePaint = map[string]Paint{
	"flat":               alarm,
	"voltage under load": {hex(0xCC79A7), hex(0x702B53)},
	"shed":               {hex(0x8174B8), hex(0x4B3F85)},
	"floor":              stock,
}

// NewWhere makes the page model. It panics if there is no bin, no cause or more
// than five, or if lengths do not fit.
func NewWhere(in WhereInput) *Where {
	n := len(in.Counts)
	if n == 0 || len(in.Edges) != n+1 {
		panic("chart: where needs one edge more than it has bins")
	}
	if len(in.Causes) == 0 || len(in.Causes) > mostLayers {
		panic("chart: where needs one to five causes")
	}
	w := &Where{
		Title: clean(in.Title), Facts: in.Facts, Caption: clean(in.Caption), Edges: in.Edges,
		About: "runs, by cause; departure at the top", Width: 8 * vg.Inch, Height: 120 + vg.Length(n)*whereRow(n),
	}
	spares, total := 0, 0
	for k, cause := range in.Causes {
		c := WhereColumn{Cause: clean(cause), Counts: make([]int, n)}
		paint, ok := causePaint[cause]
		if !ok {
			paint = spare[spares%len(spare)]
			spares++
		}
		c.Paint = paint
		for i, row := range in.Counts {
			if len(row) != len(in.Causes) {
				panic("chart: where needs a count for each cause in each bin")
			}
			c.Counts[i] = max(0, row[k])
			c.Total += c.Counts[i]
			w.Max = max(w.Max, c.Counts[i])
		}
		total += c.Total
		w.Columns = append(w.Columns, c)
	}
	what := in.What
	if what == "" {
		what = "where trouble began"
	}
	w.About = clean(what) + ": " + w.About
	if w.Facts == nil && in.Runs >= total && in.Runs > 0 {
		w.Facts = []string{fmt.Sprintf("%d of %d runs had it, %d did not.", total, in.Runs, in.Runs-total)}
	}
	return w
}

// whereRow is the height of a row: less where there are many.
func whereRow(n int) vg.Length { return max(9, min(18, 460/vg.Length(n))) }

// Size returns the size of the page.
func (w *Where) Size() (width, height vg.Length) { return w.Width, w.Height }

// Draw draws the picture to fill the canvas.
func (w *Where) Draw(c draw.Canvas) {
	size := c.Size()
	w.layout(size.X, size.Y).draw(c)
}

// WriteFile writes the picture; see the function WriteFile.
func (w *Where) WriteFile(path string) error { return WriteFile(path, w) }

// Encode writes the picture as "png" or "svg".
func (w *Where) Encode(out io.Writer, format string) error { return Encode(out, w, format) }

func (w *Where) layout(width, height vg.Length) *scene {
	s := &scene{width: width}
	page := Page{Title: w.Title, Facts: w.Facts, Caption: w.Caption}
	top := page.heading(s, width, height) - titleRow
	what, rest, _ := strings.Cut(w.About, ": ")
	page.panelTitle(s, &Panel{Title: strings.ToUpper(what[:1]) + what[1:], About: rest}, edge, width-edge, top+4)
	page.footer(s, width)

	lat := func(i int) string { return parallel(float64(w.Edges[i].Lat), w.fine()) }
	miles := func(i int) string { return grouped(float64(w.Edges[i].Sailed)) + " nm" }
	far := slices.ContainsFunc(w.Edges, func(e WhereEdge) bool { return e.Sailed != 0 })
	var latWidth, milesWidth vg.Length
	for i := range w.Edges {
		latWidth = max(latWidth, factStyle.width(lat(i)))
		if far {
			milesWidth = max(milesWidth, tickStyle.width(miles(i))+8)
		}
	}
	x0 := edge + milesWidth + latWidth + 8
	top -= 14 // names of the causes
	bottom := edge + foot + 8
	n := len(w.Edges) - 1
	row := (top - bottom) / vg.Length(n)
	num := endStyle
	num.size = min(num.size, row/(capHeight+descent)-0.1)
	column := (width - edge - x0) / vg.Length(len(w.Columns))
	for i := range w.Edges {
		y := top - vg.Length(i)*row
		s.segment(edge+milesWidth+latWidth+4, y, width-edge, y, hair, 0.4)
		base := y - factStyle.size*capHeight/2
		if name := put(lat(i), factStyle, right, edge+milesWidth+latWidth, base); s.free(name.box) {
			s.add(name)
			if far {
				s.text(miles(i), tickStyle, right, edge+milesWidth-8, base)
			}
		}
	}
	for k, c := range w.Columns {
		x := x0 + vg.Length(k)*column
		room := column - 10
		count := fmt.Sprintf(" %d", c.Total)
		st := style{size: endStyle.size, bold: true, color: c.Paint.Ink}
		s.text(st.cut(c.Cause, room-st.width(count))+count, st, left, x, top+5)
		s.segment(x, top, x, bottom, quiet, 0.5)
		longest := room - endStyle.width(fmt.Sprint(w.Max)) - 4
		for i, v := range c.Counts {
			if v == 0 {
				continue
			}
			mid := top - (vg.Length(i)+0.5)*row
			end := x + max(1, longest*vg.Length(v)/vg.Length(w.Max))
			h := min(row*0.32, 6)
			s.rect(vg.Rectangle{Min: vg.Point{X: x, Y: mid - h}, Max: vg.Point{X: end, Y: mid + h}}, c.Paint.Fill)
			s.stroke([]vg.Point{{X: x, Y: mid + h}, {X: end, Y: mid + h}, {X: end, Y: mid - h}, {X: x, Y: mid - h}}, c.Paint.Ink, 0.45)
			s.text(fmt.Sprint(v), num.in(c.Paint.Ink), left, end+3, mid-num.size*capHeight/2)
		}
	}
	return s
}

// fine reports whether latitudes need minutes to differ.
func (w *Where) fine() bool {
	for i := 1; i < len(w.Edges); i++ {
		if parallel(float64(w.Edges[i].Lat), false) == parallel(float64(w.Edges[i-1].Lat), false) {
			return true
		}
	}
	return false
}
