package climate

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"time"

	"ampwake/sim/units"
)

// Record is a weather log that was read from a file.
type Record struct {
	Timetable
	Notes []string // what was filled in and what was left out
}

// RecordError is something wrong with a weather log.
type RecordError struct {
	Line    int // 1 for the first line of the file
	Problem string
}

func (e *RecordError) Error() string { return fmt.Sprintf("line %d: %s", e.Line, e.Problem) }

// longGap is the distance between two readings from which on it is worth a note.
const longGap = 12 * time.Hour

// mostProblems is how many lines are complained about before reading stops.
const mostProblems = 50

// ReadRecord reads a weather log: lines of comma separated values under a header
// that names each column and its unit in brackets,
//
//	time, cloud [oktas], wind speed [kn], wind from [deg], air [C], sea [C]
//	2027-01-05T10:00Z, 3, 12, 060, 25.1, 26.0
//
// in any order. Cloud may be in oktas (9, sky not seen, counts as 8), in % or a
// fraction [1]; wind in kn, m/s or km/h. Times are UTC unless they carry a zone,
// and must rise. Lines that start with # and empty lines are skipped. Columns
// other than time may be missing: [NewDated] then takes them from the weather
// under it.
//
// A cloud reading holds until the next one; the others run straight between
// readings. That also bridges empty cells; the notes tell of them and of gaps
// above 12 h, and name columns that were not understood.
//
// The error joins a [RecordError] for each line at fault, 50 at most.
func ReadRecord(r io.Reader) (Record, error) {
	in := csv.NewReader(r)
	in.Comment = '#'
	in.FieldsPerRecord = -1
	in.TrimLeadingSpace = true
	in.ReuseRecord = true

	p := parser{}
	for len(p.wrong) < mostProblems {
		cells, err := in.Read()
		if err == io.EOF {
			break
		}
		if parse, ok := errors.AsType[*csv.ParseError](err); ok {
			p.fail(parse.Line, "%v", parse.Err)
			continue
		}
		if err != nil {
			return Record{}, err
		}
		line, _ := in.FieldPos(0)
		if p.columns == nil {
			if p.header(line, cells); p.wrong != nil {
				break
			}
			continue
		}
		p.row(line, cells)
	}
	if p.wrong == nil && p.rows == 0 {
		p.fail(1, "no readings: want a header and at least one line under it")
	}
	if p.wrong != nil {
		return Record{}, errors.Join(p.wrong...)
	}
	return p.record(), nil
}

// record makes the timetable and the notes.
func (p *parser) record() Record {
	r := Record{Notes: p.notes}
	if p.unseen > 0 {
		r.Notes = append(r.Notes, "cloud: 9 oktas (sky not seen) counts as 8: "+count(p.unseen, "reading"))
	}
	for k, q := range quantities {
		switch {
		case !p.present[k]:
		case len(p.readings[k]) == 0:
			r.Notes = append(r.Notes, q.name+": the column is empty")
		default:
			r.Notes = append(r.Notes, p.gaps(k)...)
		}
	}
	r.Cloud = series[units.Fraction](p.readings[0], true)
	r.WindSpeed = series[units.Knots](p.readings[1], false)
	r.WindFrom = series[units.Degrees](p.readings[2], false)
	r.Air = series[units.Celsius](p.readings[3], false)
	r.Sea = series[units.Celsius](p.readings[4], false)
	return r
}

func series[T ~float64](readings []reading, steps bool) Series[T] {
	s := Series[T]{Steps: steps}
	for _, x := range readings {
		s.Knots = append(s.Knots, Knot[T]{x.at, T(x.value)})
	}
	return s
}

// gaps tells of empty cells and long gaps between the readings of a quantity.
func (p *parser) gaps(kind int) []string {
	how := "bridged by straight lines"
	if kind == 0 {
		how = "the reading before holds"
	}
	var notes []string
	name, x := quantities[kind].name, p.readings[kind]
	if n := p.blanks[kind]; n > 0 {
		notes = append(notes, fmt.Sprintf("%s: %s: %s", name, count(n, "empty cell"), how))
	}
	gaps, longest, since := 0, time.Duration(0), time.Time{}
	for i := 1; i < len(x); i++ {
		if d := x[i].at.Sub(x[i-1].at); d > longGap {
			gaps++
			if d > longest {
				longest, since = d, x[i-1].at
			}
		}
	}
	if gaps > 0 {
		notes = append(notes, fmt.Sprintf("%s: %s above 12 h, the longest %.0f h from %s on: %s",
			name, count(gaps, "gap"), longest.Hours(), since.Format("2006-01-02 15:04"), how))
	}
	return notes
}

// count returns "1 gap" or "2 gaps".
func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
