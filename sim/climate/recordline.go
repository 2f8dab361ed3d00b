package climate

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
)

// quantity is what a column can hold.
type quantity struct {
	name        string
	aliases     []string
	units       []unit
	least, most float64 // in the unit of the series
}

// unit is a way to write a quantity; the first one serves as the example.
type unit struct {
	name   string
	factor float64 // to the unit of the series
}

var quantities = [...]quantity{
	{"cloud", []string{"cloud cover"}, []unit{{"oktas", 1. / 8}, {"okta", 1. / 8}, {"%", 0.01}, {"1", 1}, {"fraction", 1}}, 0, 1},
	{"wind speed", []string{"wind"}, []unit{{"kn", 1}, {"kt", 1}, {"kts", 1}, {"m/s", knotsPerMS}, {"km/h", 1 / 1.852}}, 0, 200},
	{"wind from", []string{"wind direction"}, []unit{{"deg", 1}, {"°", 1}}, 0, 360},
	{"air", []string{"air temperature"}, []unit{{"°c", 1}, {"c", 1}}, -60, 60},
	{"sea", []string{"sea temperature"}, []unit{{"°c", 1}, {"c", 1}}, -60, 60},
}

// factor returns the factor of a unit.
func (q *quantity) factor(name string) (float64, bool) {
	for _, u := range q.units {
		if u.name == name {
			return u.factor, true
		}
	}
	return 0, false
}

// reading is one cell.
type reading struct {
	at    time.Time
	value float64
}

// column says what is in a column of the file: an index of quantities, timeColumn
// or ignored.
type column struct {
	kind   int
	factor float64
	oktas  bool
}

const (
	timeColumn = -1
	ignored    = -2
)

// parser gathers readings and complaints.
type parser struct {
	columns  []column
	readings [len(quantities)][]reading
	present  [len(quantities)]bool
	blanks   [len(quantities)]int
	unseen   int // cloud of 9 oktas
	last     time.Time
	rows     int
	notes    []string
	wrong    []error
}

func (p *parser) fail(line int, format string, args ...any) {
	p.wrong = append(p.wrong, &RecordError{line, fmt.Sprintf(format, args...)})
}

// header reads the line that names the columns.
func (p *parser) header(line int, cells []string) {
	p.columns = make([]column, len(cells))
	timed, others := false, false
	for i, cell := range cells {
		name, unit := splitUnit(strings.TrimPrefix(cell, "\ufeff")) // spreadsheets begin with a mark
		p.columns[i].kind = ignored
		if name == "time" || name == "utc" {
			if timed {
				p.fail(line, "a second column of times")
			}
			p.columns[i].kind, timed = timeColumn, true
			continue
		}
		for k, q := range quantities {
			if name != q.name && !slices.Contains(q.aliases, name) {
				continue
			}
			factor, ok := q.factor(unit)
			if !ok {
				p.fail(line, "%s: want a unit in brackets, like %q, not %q", name, q.name+" ["+q.units[0].name+"]", unit)
			}
			if p.present[k] {
				p.fail(line, "a second column of %s", q.name)
			}
			p.columns[i] = column{kind: k, factor: factor, oktas: strings.HasPrefix(unit, "okta")}
			p.present[k], others = true, true
		}
		if p.columns[i].kind == ignored {
			p.notes = append(p.notes, fmt.Sprintf("column %q is none of time, cloud, wind speed, wind from, air, sea: it was left out", cell))
		}
	}
	if !timed && len(cells) == 1 && strings.Contains(cells[0], ";") {
		p.fail(line, "want commas between the columns, not semicolons")
	} else if !timed {
		p.fail(line, "no column of times: want a header like \"time, cloud [oktas], wind speed [kn]\"")
	} else if !others {
		p.fail(line, "no column of cloud, wind speed, wind from, air or sea")
	}
}

// row reads one line of readings.
func (p *parser) row(line int, cells []string) {
	if len(cells) != len(p.columns) {
		p.fail(line, "%d columns, the header has %d", len(cells), len(p.columns))
		return
	}
	var at time.Time
	for i, c := range p.columns {
		if c.kind == timeColumn {
			var ok bool
			if at, ok = parseTime(strings.TrimSpace(cells[i])); !ok {
				p.fail(line, "time %q is not like 2027-01-05T10:00Z, within 1900..2199", cells[i])
				return
			}
		}
	}
	if p.rows > 0 && !at.After(p.last) {
		p.fail(line, "time %s is not later than that of the line before", at.Format(time.RFC3339))
		return
	}
	p.last = at
	p.rows++
	for i, c := range p.columns {
		if c.kind < 0 {
			continue
		}
		q, text := quantities[c.kind], strings.TrimSpace(cells[i])
		if text == "" {
			p.blanks[c.kind]++
			continue
		}
		x, err := strconv.ParseFloat(text, 64)
		if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
			p.fail(line, "%s: %q is not a number", q.name, text)
			continue
		}
		if c.oktas && x == 9 {
			x, p.unseen = 8, p.unseen+1
		}
		x *= c.factor
		if !(x >= q.least && x <= q.most) {
			p.fail(line, "%s: %s is out of range", q.name, text)
			continue
		}
		p.readings[c.kind] = append(p.readings[c.kind], reading{at, x})
	}
}

// parseTime reads an instant; without a zone it is UTC.
func parseTime(text string) (time.Time, bool) {
	for _, layout := range [...]string{time.RFC3339, "2006-01-02T15:04Z07:00", "2006-01-02T15:04:05", "2006-01-02T15:04", "2006-01-02 15:04:05", "2006-01-02 15:04"} {
		if t, err := time.Parse(layout, text); err == nil {
			t = t.UTC()
			return t, t.Year() >= 1900 && t.Year() < 2200
		}
	}
	return time.Time{}, false
}

// splitUnit splits "Wind speed [kn]" into "wind speed" and "kn".
func splitUnit(cell string) (name, unit string) {
	cell = strings.ToLower(strings.Join(strings.Fields(strings.ReplaceAll(cell, "_", " ")), " "))
	open := strings.IndexAny(cell, "[(")
	if open < 0 || !strings.HasSuffix(cell, "]") && !strings.HasSuffix(cell, ")") {
		return cell, ""
	}
	return strings.TrimSpace(cell[:open]), strings.TrimSpace(cell[open+1 : len(cell)-1])
}
