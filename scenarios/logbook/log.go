package logbook

import (
	"fmt"
	"time"

	"ampwake/sim/track"
	"ampwake/sim/units"
)

// Log is a log as read: its usable rows in order of time.
type Log struct {
	Name     string // of the file
	Clock    Clock
	Rows     []Row
	Problems []Problem // what was left out, in order of line
	// Warnings are doubts about the whole log, Notes what was taken for granted.
	Warnings []string
	Notes    []string
}

// Row is one line. What the log does not say is nil.
type Row struct {
	Line int
	Wall time.Time // as the clock of the log showed it
	Time time.Time // UTC

	Place     *track.Position
	Run       *units.NauticalMiles // since the row with the run before
	Rested    *units.Volts
	Loaded    *units.Volts // under load
	Load      *units.Amps  // that flowed then
	Counter   *units.AmpHours
	Cloud     *units.Fraction
	Speed     *units.Knots // through the water
	Generator *units.Hours // down since the row before
	Engine    *units.Hours // run since the row before
	Air, Sea  *units.Celsius
	Remark    string
}

// Problem is what was left out of the log: a whole line, or one cell of it.
type Problem struct {
	Line   int    // 1 for the first line of the file
	Column string // "" for the whole line
	Text   string // why
}

// String returns "line 14: cloud: 12.6 is …".
func (p Problem) String() string {
	if p.Column == "" {
		return fmt.Sprintf("line %d: %s", p.Line, p.Text)
	}
	return fmt.Sprintf("line %d: %s: %s", p.Line, p.Column, p.Text)
}

// Clock is the clock by which a log is kept.
type Clock struct {
	Ship  bool // the zone of the place
	Hours int  // to add to UTC, unless Ship
}

// String names the clock as the header does.
func (c Clock) String() string {
	switch {
	case c.Ship:
		return "ship"
	case c.Hours != 0:
		return fmt.Sprintf("UTC%+d", c.Hours)
	}
	return "UTC"
}

// Span returns the times of the first and the last row.
func (l *Log) Span() (from, to time.Time) {
	return l.Rows[0].Time, l.Rows[len(l.Rows)-1].Time
}

// Count returns in how many rows something is given.
func (l *Log) Count(given func(*Row) bool) int {
	n := 0
	for i := range l.Rows {
		if given(&l.Rows[i]) {
			n++
		}
	}
	return n
}
