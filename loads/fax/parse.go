package fax

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"ampwake/loads/timetable"
)

// columns of a schedule; the first three must be there.
var columns = []string{
	"station", "start_utc", "product", "call", "kind", "lpm_ioc", "suggested_receive_min",
	"gap_to_next_min", "status", "source_section_date", "same_time_in_2022_table", "note",
}

// Bounds on a table somebody brings.
const (
	maxRows     = 20000
	maxMinutes  = 120
	maxProblems = 20
	needed      = 3  // columns that must be there, the first of each list
	longestGap  = 25 // minutes; a longer gap is a pause, not a long chart
)

// Schedule is a set of daily broadcasts, by station and start. It is immutable.
type Schedule struct {
	charts   []Chart // sorted by station in the order of the table, then by start
	stations []Station
}

// Parse reads a schedule: CSV with one header line, lines that begin with # left
// out. The columns station, start_utc ("0233" or "02:33") and product must be
// there; call, kind, lpm_ioc, suggested_receive_min, status,
// source_section_date and note may be. Two more columns of the built-in table,
// gap_to_next_min and same_time_in_2022_table, are allowed and not read.
//
// Where the minutes are left out, a chart lasts until the next of its station,
// or, if that is more than 25 minutes off, as long as a square picture takes.
// The error joins up to 20 problems, each with its line.
func Parse(r io.Reader) (*Schedule, error) {
	in, err := newTable(r, columns)
	if err != nil {
		return nil, err
	}
	var charts []Chart
	var problems []error
	for len(problems) < maxProblems {
		err := in.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			problems = append(problems, err)
			if in.broken {
				break
			}
			continue
		}
		c, err := in.chart()
		if err != nil {
			problems = append(problems, in.at(err))
			continue
		}
		if len(charts) == maxRows {
			problems = append(problems, in.at(fmt.Errorf("a schedule holds at most %d rows", maxRows)))
			break
		}
		charts = append(charts, c)
	}
	if len(problems) == 0 && len(charts) == 0 {
		problems = append(problems, errors.New("schedule: no rows"))
	}
	s := &Schedule{charts: charts}
	if len(problems) == 0 {
		problems = s.order()
	}
	if len(problems) > 0 {
		return nil, errors.Join(problems...)
	}
	return s, nil
}

// chart reads the present row.
func (t *table) chart() (Chart, error) {
	c := Chart{
		Call: t.cell("call"), Station: t.cell("station"), Product: t.cell("product"), Status: t.cell("status"),
		Section: t.cell("source_section_date"), Note: t.cell("note"),
	}
	var err error
	switch {
	case c.Station == "":
		return c, errors.New("the station is missing")
	case c.Product == "":
		return c, errors.New("the product is missing")
	}
	if c.Start, err = timetable.ParseTimeOfDay(t.cell("start_utc")); err != nil {
		return c, err
	}
	if c.Start == 24*60 {
		return c, errors.New("start_utc: midnight is 0000")
	}
	if kind := t.cell("kind"); kind != "" {
		var ok bool
		if c.Kind, ok = parseKind(strings.ToLower(kind)); !ok {
			return c, fmt.Errorf("kind %q: want %s", kind, strings.Join(kindNames[:], ", "))
		}
	}
	if f := t.cell("lpm_ioc"); f != "" {
		if c.Format, err = parseFormat(f); err != nil {
			return c, err
		}
	} else if c.Kind != Voice {
		c.Format = usual
	}
	if m := t.cell("suggested_receive_min"); m != "" {
		if c.Minutes, err = strconv.Atoi(m); err != nil || c.Minutes < 1 || c.Minutes > maxMinutes {
			return c, fmt.Errorf("suggested_receive_min %q: want whole minutes, 1 to %d", m, maxMinutes)
		}
	}
	return c, nil
}

// order sorts the charts, fills in the minutes left out and collects the
// stations.
func (s *Schedule) order() (problems []error) {
	rank := map[string]int{}
	for _, c := range s.charts {
		if _, known := rank[c.Station]; !known {
			rank[c.Station] = len(rank)
			s.stations = append(s.stations, Station{Call: c.Call, Name: c.Station, Status: c.Status})
		}
		s.stations[rank[c.Station]].Charts++
	}
	slices.SortStableFunc(s.charts, func(a, b Chart) int {
		if d := rank[a.Station] - rank[b.Station]; d != 0 {
			return d
		}
		return int(a.Start - b.Start)
	})
	first := 0
	for i := range s.charts {
		c := &s.charts[i]
		if s.charts[first].Station != c.Station {
			first = i
		}
		next := s.charts[first].Start + 24*60
		if i+1 < len(s.charts) && s.charts[i+1].Station == c.Station {
			next = s.charts[i+1].Start
		}
		gap := int(next - c.Start)
		if gap == 0 {
			problems = append(problems, fmt.Errorf("%s: two items at %v", c.Station, c.Start))
		}
		switch {
		case c.Minutes > 0:
		case gap <= longestGap:
			c.Minutes = gap
		case c.Format.Lines > 0:
			c.Minutes = int(min(maxMinutes, max(1, math.Ceil(float64(c.Format.Square())*60))))
		default:
			c.Minutes = longestGap
		}
		if len(problems) == maxProblems {
			break
		}
	}
	return problems
}

// table reads CSV row by row, by name of column.
type table struct {
	r      *csv.Reader
	index  map[string]int
	width  int
	row    []string
	line   int
	broken bool // whether the reader failed in a way it cannot get over
}

// newTable reads the header, in which the first three of the known columns must
// stand.
func newTable(r io.Reader, known []string) (*table, error) {
	t := &table{r: csv.NewReader(r), index: map[string]int{}}
	t.r.Comment, t.r.FieldsPerRecord, t.r.ReuseRecord = '#', -1, true
	if err := t.read(); err != nil {
		if errors.Is(err, io.EOF) {
			err = errors.New("line 1: no header: want " + strings.Join(known[:needed], ", "))
		}
		return nil, err
	}
	for i, name := range t.row {
		name = strings.ToLower(strings.TrimSpace(strings.TrimPrefix(name, "\ufeff")))
		switch _, twice := t.index[name]; {
		case !slices.Contains(known, name):
			return nil, t.at(fmt.Errorf("unknown column %q%s: known are %s", name, hint(name, known), strings.Join(known, ", ")))
		case twice:
			return nil, t.at(fmt.Errorf("column %q stands twice", name))
		}
		t.index[name] = i
	}
	for _, name := range known[:needed] {
		if _, ok := t.index[name]; !ok {
			return nil, t.at(fmt.Errorf("no column %q", name))
		}
	}
	t.width = len(t.row)
	return t, nil
}

// read takes the next record as it is.
func (t *table) read() (err error) {
	t.row, err = t.r.Read()
	var bad *csv.ParseError
	switch {
	case err == nil:
		t.line, _ = t.r.FieldPos(0)
	case errors.As(err, &bad):
		t.broken = true
		err = fmt.Errorf("line %d: %w", bad.Line, bad.Err)
	case !errors.Is(err, io.EOF):
		t.broken = true
		err = fmt.Errorf("schedule: %w", err)
	}
	return err
}

// next takes the next row and checks its width.
func (t *table) next() error {
	if err := t.read(); err != nil {
		return err
	}
	if len(t.row) != t.width {
		return t.at(fmt.Errorf("%d cells, but the header has %d", len(t.row), t.width))
	}
	return nil
}

// cell returns a cell of the present row, "" for a column that is not there.
func (t *table) cell(column string) string {
	if i, ok := t.index[column]; ok {
		return strings.Clone(strings.TrimSpace(t.row[i]))
	}
	return ""
}

// at puts the line in front of an error.
func (t *table) at(err error) error { return fmt.Errorf("line %d: %w", t.line, err) }
