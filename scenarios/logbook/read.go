package logbook

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"

	"ampwake/sim/track"
)

const (
	mostBytes = 1 << 20
	mostRows  = 5000
)

// Options say what the log itself does not.
type Options struct {
	// Zone returns the ship's zone, hours to add to UTC, by the ship's clock: for
	// a log in ship's time without positions. Nil: 0.
	Zone func(wall time.Time) int
}

// Read reads a log called name. The error says why there is nothing to go by: no
// header that can be read, no usable line, or too much of it.
func Read(name string, src []byte, opt Options) (*Log, error) {
	if len(src) > mostBytes {
		return nil, fmt.Errorf("%s: a log of more than %d bytes is no log kept by hand", name, mostBytes)
	}
	src, guessed := text(src)
	in := csv.NewReader(bytes.NewReader(src))
	in.Comma = separator(src)
	in.Comment = '#'
	in.FieldsPerRecord = -1
	in.TrimLeadingSpace = in.Comma != '\t'
	in.LazyQuotes = true // 33°02'30"S needs none
	p := parser{log: &Log{Name: name}}
	if guessed {
		p.log.Notes = append(p.log.Notes, "the file is not in UTF-8: it was read as Latin-1")
	}
	for {
		cells, err := in.Read()
		if err == io.EOF {
			break
		}
		if parse, ok := errors.AsType[*csv.ParseError](err); ok {
			p.drop(parse.Line, "", "%v", parse.Err)
			continue
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		line, _ := in.FieldPos(0)
		if p.header == nil {
			h, wrong := readHeader(cells)
			if len(wrong) > 0 {
				return nil, fmt.Errorf("%s: line %d: %s", name, line, strings.Join(wrong, "; "))
			}
			p.header, p.log.Clock = h, h.clock
			p.filled = make([]int, len(h.columns))
			p.log.Notes = append(p.log.Notes, h.notes...)
			continue
		}
		if len(p.log.Rows) == mostRows {
			return nil, fmt.Errorf("%s: line %d: more than %d lines", name, line, mostRows)
		}
		p.row(line, cells)
	}
	if p.header == nil {
		return nil, fmt.Errorf("%s: it is empty: want a header and lines under it", name)
	}
	if p.long >= 3 && p.long > len(p.log.Rows) {
		return nil, fmt.Errorf("%s: %d of %d lines have more cells than the header: with decimal commas, put semicolons between the columns; put quotes about a text with a comma in it",
			name, p.long, p.long+len(p.log.Rows))
	}
	p.swapped()
	if len(p.log.Warnings) == 0 { // nothing looks swapped, which would say it better
		p.misfits()
	}
	p.counterSign()
	p.log.settle(opt)
	slices.SortStableFunc(p.log.Problems, func(a, b Problem) int { return a.Line - b.Line })
	if len(p.log.Rows) == 0 {
		why := "there is none under the header"
		if len(p.log.Problems) > 0 {
			why = p.log.Problems[0].String()
		}
		return nil, fmt.Errorf("%s: not one line can be used: %s", name, why)
	}
	return p.log, nil
}

// separator finds what stands between the columns: a comma unless the header
// has none.
func separator(src []byte) rune {
	for line := range bytes.Lines(src) {
		text := bytes.TrimSpace(line)
		if len(text) == 0 || text[0] == '#' {
			continue
		}
		for _, sep := range []byte{';', '\t'} {
			if bytes.IndexByte(text, sep) >= 0 && bytes.Count(text, []byte{sep}) >= bytes.Count(text, []byte{','}) {
				return rune(sep)
			}
		}
		break
	}
	return ','
}

// parser gathers rows and what is wrong with them.
type parser struct {
	header *header
	log    *Log
	day    time.Time // of the row above
	odd    []oddCell // cells out of range
	filled []int     // cells of each column that hold a number
	long   int       // lines with too many cells
}

// oddCell is a number that its column cannot hold.
type oddCell struct {
	row, column int // row: index into Log.Rows
	line        int
	x           float64 // as written
	text        string
}

func (p *parser) drop(line int, column, format string, args ...any) {
	// At most 300 characters: a quote that is never closed makes a cell of a whole file.
	text := fmt.Sprintf("%.300s", fmt.Sprintf(format, args...))
	p.log.Problems = append(p.log.Problems, Problem{line, column, text})
}

// row reads one line.
func (p *parser) row(line int, cells []string) {
	for i := range cells {
		cells[i] = strings.TrimSpace(strings.ReplaceAll(cells[i], "\u00a0", " "))
	}
	for len(cells) > len(p.header.columns) && cells[len(cells)-1] == "" {
		cells = cells[:len(cells)-1] // spreadsheets pad
	}
	switch {
	case !slices.ContainsFunc(cells, func(s string) bool { return s != "" }):
		return // a line of commas says nothing
	case len(cells) > len(p.header.columns):
		p.long++
		p.drop(line, "", "%d cells, the header has %d: it was left out (put quotes about a text with a comma in it)", len(cells), len(p.header.columns))
		return
	}
	get := func(sp special) string {
		for i, c := range p.header.columns {
			if c.special == sp && i < len(cells) {
				return cells[i]
			}
		}
		return ""
	}
	r := Row{Line: line, Remark: get(remarkColumn)}
	date, clock := get(dateColumn), get(timeColumn)
	if !p.has(timeColumn) {
		clock = "12:00" // a log of noons
	}
	wall, zulu, err := when(date, clock, p.header.dated, p.day)
	if err != nil {
		p.drop(line, "", "%v: it was left out", err)
		return
	}
	if zulu && p.header.clock != (Clock{}) {
		p.drop(line, "", "the time says UTC, but the header says %s: it was left out", p.header.clock)
		return
	}
	r.Wall = wall
	p.day = wall.Truncate(24 * time.Hour)
	p.place(&r, get)
	for i, c := range p.header.columns {
		if c.special != plain || i >= len(cells) || cells[i] == "" {
			continue
		}
		p.cell(&r, i, cells[i])
	}
	p.log.Rows = append(p.log.Rows, r)
}

func (p *parser) has(sp special) bool {
	return slices.ContainsFunc(p.header.columns, func(c column) bool { return c.special == sp })
}

// place reads the position.
func (p *parser) place(r *Row, get func(special) string) {
	text := get(placeColumn)
	if text == "" {
		lat, lon := get(latColumn), get(lonColumn)
		switch {
		case lat == "" && lon == "":
			return
		case lat == "" || lon == "":
			p.drop(r.Line, "position", "latitude and longitude belong together: it was left out")
			return
		}
		text = lat + " " + lon
		if !strings.ContainsAny(text, "NSEWnsew°") {
			text = lat + ", " + lon
		}
	}
	var place track.Position
	if err := place.UnmarshalText([]byte(text)); err != nil {
		p.drop(r.Line, "position", "%v: it was left out", err)
		return
	}
	if place.Lat > 85 || place.Lat < -85 {
		p.drop(r.Line, "position", "%q is beyond 85° of latitude: it was left out", text)
		return
	}
	r.Place = &place
}

// cell reads the number of column i.
func (p *parser) cell(r *Row, i int, text string) {
	c := &p.header.columns[i]
	x, ok := number(text)
	if !ok {
		p.drop(r.Line, c.name, "%q is not a number: it was left out", text)
		return
	}
	p.filled[i]++
	if c.oktas && x == 9 { // sky not seen
		x = 8
	}
	if y := x * c.factor; c.what.fits(y) {
		c.what.set(r, y)
		return
	}
	p.odd = append(p.odd, oddCell{row: len(p.log.Rows), column: i, line: r.Line, x: x, text: text})
}

// swapped names the cells out of range. Where two of one line would fit if they
// changed places, it says so.
func (p *parser) swapped() {
	pairs := map[[2]int]int{}
	for i, o := range p.odd {
		c := &p.header.columns[o.column]
		why := fmt.Sprintf("%s is no %s: want %s to %s %s", o.text, c.what.what, bound(c, c.what.least), bound(c, c.what.most), unitName(c))
		for j, q := range p.odd {
			d := &p.header.columns[q.column]
			if j != i && q.row == o.row && c.what.fits(q.x*c.factor) && d.what.fits(o.x*d.factor) {
				why += fmt.Sprintf("; it changed places with %s, by the look of it", d.name)
				if i < j {
					pairs[[2]int{o.column, q.column}]++
				}
				break
			}
		}
		p.drop(o.line, c.name, "%s: it was left out", why)
	}
	for _, pair := range sortedPairs(pairs) {
		if n := pairs[pair]; n >= 3 {
			p.log.Warnings = append(p.log.Warnings, fmt.Sprintf("the columns %s and %s look swapped: in %d lines each holds what the other should: see the header",
				p.header.columns[pair[0]].name, p.header.columns[pair[1]].name, n))
		}
	}
}

func sortedPairs(m map[[2]int]int) [][2]int {
	var keys [][2]int
	for k := range m {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b [2]int) int {
		if a[0] != b[0] {
			return a[0] - b[0]
		}
		return a[1] - b[1]
	})
	return keys
}

// bound prints the end of a range in the unit of the column.
func bound(c *column, x float64) string {
	if x = x / c.factor; math.Abs(x) >= 1000 {
		return fmt.Sprintf("%.0f", x)
	}
	return fmt.Sprintf("%.4g", x)
}

// unitName returns the unit that the header gave the column.
func unitName(c *column) string {
	if c.oktas {
		return "oktas"
	}
	for _, u := range c.what.units {
		if u.factor == c.factor {
			if u.name == c.what.units[0].name {
				return example(c.what)
			}
			return u.name
		}
	}
	return ""
}
