package sheet

import (
	"fmt"
	"html/template"
	"strconv"
	"strings"

	"ampwake/cmd/internal/chart"
)

// page is a sheet as the template wants it.
type page struct {
	Policy, Kind, Title, Question, Made, Licence string
	Style                                        template.CSS
	Script                                       template.JS
	Answer                                       []Line
	Tone                                         Tone
	Facts                                        []string
	Sections                                     []section
	Data                                         []*figure // the live ones
}

type section struct {
	ID, Title string
	Number    int
	Text      []string
	Figure    *figure
	Tables    []table
	Terms     []Line
}

type figure struct {
	ID, Caption string
	SVG         template.HTML
	Live        *live
	Panels      []panel
}

type panel struct {
	Title, About, Label string
	Keys                []key
}

// key is a name above a panel: of a line, a layer or a band, which may be a
// switch, or of what else is in the panel.
type key struct {
	Switch       bool
	Panel, Index int
	What         string // "series" or "band", or "" for what has no value
	Name, Note   string
	Reads        bool   // it shows the value at the reading
	Swatch, Ink  string // classes
	Shape        string // of the swatch, a path in 12 by 10
}

// Shapes of swatches.
const (
	square   = "M0 0H12V10H0Z"
	dash     = "M0 3.8H12V6.2H0Z"
	triangle = "M1 1H11L6 10Z"
)

type table struct {
	Caption, Note string
	Tall          bool
	Head          []head
	Rows          []row
}

type head struct{ Name, Unit, Class string }

type row struct {
	Class string
	Cells []cell
}

type cell struct {
	Text, Class, Scope string
	Name               bool
	Span               int
	Bar                bool
	Fill, Length       string
}

// tallFrom is how many rows make a table scroll in its box.
const tallFrom = 24

// view turns the sheet into what the template wants and collects styles.
func (s *Sheet) view(st *styles) (*page, error) {
	p := &page{Kind: s.Kind, Title: s.Title, Question: s.Question, Made: s.Made, Answer: s.Answer, Tone: s.Tone, Facts: s.Facts}
	taken := map[string]bool{}
	for i := range s.Sections {
		in := &s.Sections[i]
		sec := section{ID: slug(in.Title, taken), Title: in.Title, Number: i + 1, Text: in.Text, Terms: in.Terms}
		if in.Figure != nil {
			f, err := in.Figure.view(st, sec.ID+"-figure", in.Title)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", in.Title, err)
			}
			sec.Figure = f
			if f.Live != nil {
				p.Data = append(p.Data, f)
			}
		}
		for k := range in.Tables {
			sec.Tables = append(sec.Tables, in.Tables[k].view(st))
		}
		p.Sections = append(p.Sections, sec)
	}
	return p, nil
}

// slug returns an identifier for a title, another one if it is taken.
func slug(title string, taken map[string]bool) string {
	id := strings.Join(strings.FieldsFunc(strings.ToLower(title), func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') }), "-")
	if id == "" {
		id = "part"
	}
	for n := 2; taken[id]; n++ {
		id = strings.TrimRight(id, "0123456789") + strconv.Itoa(n)
	}
	taken[id] = true
	return id
}

func (f *Figure) view(st *styles, id, title string) (*figure, error) {
	label := title + ". " + f.Answer
	if f.Table != "" {
		label += " The figures are in the table “" + f.Table + "”."
	}
	out := &figure{ID: id}
	var err error
	if out.SVG, err = st.inline(f.Still, label); err != nil {
		return nil, err
	}
	if f.Live == nil {
		return out, nil
	}
	out.Caption = strings.Join(f.Live.Remarks, " ")
	out.Live = liveOf(f.Live, f.Zones)
	for i := range out.Live.Panels {
		p := &out.Live.Panels[i]
		out.Panels = append(out.Panels, panel{Title: p.Title, About: p.about, Label: p.Title + ". " + label, Keys: p.keys(i, st)})
	}
	return out, nil
}

// keys are the names above panel number at.
func (p *livePanel) keys(at int, st *styles) []key {
	var keys []key
	word := func(hex string) string { return st.class("color:"+hex, true) }
	many := len(p.Series)+len(p.Bands) > 1
	for i := len(p.Series) - 1; i >= 0; i-- { // as they lie, the upper first
		s := &p.Series[i]
		k := key{Switch: many, Panel: at, Index: i, What: "series", Name: s.Name, Note: s.note, Reads: true, Ink: word(hexOf(s.ink)), Shape: square}
		if s.Fill == nil {
			k.Shape, k.Swatch = dash, st.class("fill:"+hexOf(s.ink), true)
		} else {
			k.Swatch = st.area(s.fill)
		}
		keys = append(keys, k)
	}
	for i := range p.Bands {
		if b := &p.Bands[i]; b.Name != "" {
			keys = append(keys, key{Switch: many, Panel: at, Index: i, What: "band", Name: b.Name, Reads: true, Shape: square, Swatch: st.area(b.fill), Ink: word(hexOf(chart.Light().Ink))})
		}
	}
	for _, n := range p.notes {
		keys = append(keys, key{Name: n, Ink: word(hexOf(chart.Light().Quiet))})
	}
	for _, l := range p.Rows {
		keys = append(keys, key{Name: l.text, Shape: triangle, Swatch: st.class("fill:"+hexOf(l.ink), true), Ink: word(hexOf(l.ink))})
	}
	for _, l := range p.Spells {
		keys = append(keys, key{Name: l.text, Shape: square, Swatch: st.area(l.ink), Ink: word(hexOf(chart.Light().Quiet))})
	}
	return keys
}

func (t *Table) view(st *styles) table {
	out := table{Caption: t.Caption, Note: t.Note, Tall: len(t.Rows) > tallFrom}
	for i, c := range t.Columns {
		h := head{Name: c.Name, Unit: c.Unit}
		if i > 0 && !c.Words && !c.Bars {
			h.Class = "n"
		}
		out.Head = append(out.Head, h)
	}
	for i := range t.Rows {
		out.Rows = append(out.Rows, t.row(&t.Rows[i], st))
	}
	return out
}

func (t *Table) row(in *Row, st *styles) row {
	if in.Group {
		return row{Class: "group", Cells: []cell{{Name: true, Text: in.Cells[0], Scope: "rowgroup", Span: len(t.Columns)}}}
	}
	var out row
	if in.Total {
		out.Class = "total"
	}
	next := 0
	for i, c := range t.Columns {
		if c.Bars {
			b := cell{Bar: true, Length: strconv.FormatFloat(100*max(0, min(1, in.Bar)), 'f', 1, 64)}
			if in.Bar > 0 {
				b.Fill = st.area(in.Fill)
			}
			out.Cells = append(out.Cells, b)
			continue
		}
		x := cell{Name: i == 0, Scope: "row"}
		if next < len(in.Cells) {
			x.Text = in.Cells[next]
		}
		next++
		switch {
		case c.Long:
			x.Class = "long"
		case !c.Words:
			x.Class = "n"
		}
		out.Cells = append(out.Cells, x)
	}
	return out
}
