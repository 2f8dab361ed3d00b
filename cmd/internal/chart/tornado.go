package chart

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// TornadoInput is what each of many inputs does to one number when it is shifted
// either way.
type TornadoInput struct {
	Title   string
	Facts   []string
	Caption string
	What    string // the number, with its unit
	About   string
	Rows    []TornadoRow
	// Edge is a change at which something ends, and its name; "" for none.
	Edge     float64
	EdgeName string
}

// TornadoRow is one input.
type TornadoRow struct {
	Name string
	Bars []TornadoBar // one for each shift, at most two
}

// TornadoBar is one shift and what it does.
type TornadoBar struct {
	Shift string // "184 Ah"
	By    float64
	Note  string // what else it does: "3 missed"; such a row is never left out
}

// Tornado is the picture: a row for each input, the one that does most on top,
// bars to the left and right of zero.
type Tornado struct {
	Title    string
	Facts    []string
	Remarks  []string
	Caption  string
	What     string
	About    string
	Rows     []TornadoRow // those drawn
	Rest     string       // what is said of those that are not
	Edge     float64
	EdgeName string
	Least    float64 // range of the bars
	Most     float64
	Width    vg.Length
	Height   vg.Length
}

// mostBars is how many inputs a picture shows.
const mostBars = 18

// The height of a row and of the bars in it.
const (
	tornadoRow vg.Length = 17
	tornadoBar vg.Length = 9
)

// NewTornado makes the page model. Rows are left out that do less than a hundredth
// of what the first one does, or that come after many others. It panics if a row
// has more than two bars.
func NewTornado(in TornadoInput) *Tornado {
	t := &Tornado{
		Title: clean(in.Title), Facts: in.Facts, Caption: clean(in.Caption), What: clean(in.What), About: clean(in.About),
		Edge: in.Edge, EdgeName: clean(in.EdgeName), Width: 8 * vg.Inch,
	}
	rows := slices.Clone(in.Rows)
	for i := range rows {
		rows[i] = rows[i].held()
	}
	slices.SortStableFunc(rows, func(a, b TornadoRow) int { return cmp.Compare(b.reach(), a.reach()) })
	left, most := 0, 0.0
	for _, r := range rows {
		if r.note() == "" && (r.reach() == 0 || r.reach() < 0.01*rows[0].reach() || len(t.Rows) >= mostBars) {
			left, most = left+1, math.Max(most, r.reach())
			continue
		}
		for _, b := range r.Bars {
			t.Least, t.Most = math.Min(t.Least, b.By), math.Max(t.Most, b.By)
		}
		t.Rows = append(t.Rows, r)
	}
	if left > 0 {
		t.Rest = fmt.Sprintf("%d more move it by less than %.1f each", left, math.Floor(most*10)/10+0.1)
	}
	if t.EdgeName != "" && t.Edge < 0 && t.Edge < t.Least && t.Edge > 2*t.Least {
		t.Least = t.Edge // near enough to be seen
	}
	if t.Least == t.Most {
		t.Most = 1
	}
	t.Height = 126 + vg.Length(max(1, len(t.Rows)))*tornadoRow
	return t
}

// held returns the row fit to be drawn.
func (r TornadoRow) held() TornadoRow {
	if len(r.Bars) > 2 {
		panic("chart: a row of a tornado has at most two bars")
	}
	r.Name, r.Bars = clean(r.Name), slices.Clone(r.Bars)
	for k, b := range r.Bars {
		if math.IsNaN(b.By) || math.IsInf(b.By, 0) {
			b.By = 0
		}
		r.Bars[k] = TornadoBar{clean(b.Shift), b.By, clean(b.Note)}
	}
	return r
}

// note joins the notes of the bars.
func (r *TornadoRow) note() string {
	text := ""
	for _, b := range r.Bars {
		text += b.Note
	}
	return text
}

// reach is the largest change of a row.
func (r *TornadoRow) reach() float64 {
	most := 0.0
	for _, b := range r.Bars {
		most = math.Max(most, math.Abs(b.By))
	}
	return most
}

// plain writes a number with one decimal where it is small.
func plain(x float64) string {
	if math.Abs(x) < 9.95 {
		return fmt.Sprintf("%.1f", x)
	}
	return fmt.Sprintf("%.0f", x)
}

// signedText writes a change with its sign.
func signedText(x float64) string {
	switch s := plain(math.Abs(x)); {
	case s == "0.0":
		return "0"
	case x < 0:
		return "−" + s
	default:
		return "+" + s
	}
}

// Size returns the size of the page.
func (t *Tornado) Size() (width, height vg.Length) { return t.Width, t.Height }

// Draw draws the picture to fill the canvas.
func (t *Tornado) Draw(c draw.Canvas) {
	size := c.Size()
	t.layout(size.X, size.Y).draw(c)
}

// WriteFile writes the picture; see the function WriteFile.
func (t *Tornado) WriteFile(path string) error { return WriteFile(path, t) }

// Encode writes the picture as "png" or "svg".
func (t *Tornado) Encode(w io.Writer, format string) error { return Encode(w, t, format) }
