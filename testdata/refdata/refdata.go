// Package refdata reads the reference tables under testdata for the tests of
// all packages. A table has comment lines that start with "#", one header line
// and plain CSV rows; an empty cell is "not defined".
package refdata

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// Row is one row of a reference table.
type Row struct {
	t     testing.TB
	where string
	cells map[string]string
}

// Path returns the path of a file under testdata, looked for upward from the
// directory of the running test.
func Path(t testing.TB, name string) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		path := filepath.Join(dir, "testdata", filepath.FromSlash(name))
		if _, err := os.Stat(path); err == nil {
			return path
		}
		up := filepath.Dir(dir)
		if up == dir {
			t.Fatalf("no testdata/%s above the test's directory", name)
		}
		dir = up
	}
}

// Read returns the rows of a table under testdata and fails the test when there
// are none.
func Read(t testing.TB, name string) []Row {
	t.Helper()
	raw, err := os.ReadFile(Path(t, name))
	if err != nil {
		t.Fatal(err)
	}
	r := csv.NewReader(strings.NewReader(string(raw)))
	r.Comment = '#'
	r.FieldsPerRecord = -1
	records, err := r.ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if len(records) < 2 {
		t.Fatalf("%s: no rows", name)
	}
	rows := make([]Row, 0, len(records)-1)
	for i, rec := range records[1:] {
		if len(rec) != len(records[0]) {
			t.Fatalf("%s: row %d has %d cells, the header %d", name, i+1, len(rec), len(records[0]))
		}
		cells := make(map[string]string, len(rec))
		for j, c := range rec {
			cells[records[0][j]] = strings.TrimSpace(c)
		}
		rows = append(rows, Row{t, name + " row " + strconv.Itoa(i+1), cells})
	}
	return rows
}

// Where names the row for messages.
func (r Row) Where() string { return r.where }

// Has reports whether the cell is there and not empty.
func (r Row) Has(column string) bool { return r.cells[column] != "" }

// Text returns a cell; a missing column fails the test.
func (r Row) Text(column string) string {
	r.t.Helper()
	c, ok := r.cells[column]
	if !ok {
		r.t.Fatalf("%s: no column %q", r.where, column)
	}
	return c
}

// Float returns a cell as a number.
func (r Row) Float(column string) float64 {
	r.t.Helper()
	x, err := strconv.ParseFloat(r.Text(column), 64)
	if err != nil {
		r.t.Fatalf("%s, column %s: %v", r.where, column, err)
	}
	return x
}

// Time returns a cell written as 2027-01-05T10:00:00Z or 2027-01-05.
func (r Row) Time(column string) time.Time {
	r.t.Helper()
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04", "2006-01-02"} {
		if x, err := time.Parse(layout, r.Text(column)); err == nil {
			return x.UTC()
		}
	}
	r.t.Fatalf("%s, column %s: no time: %q", r.where, column, r.Text(column))
	return time.Time{}
}
