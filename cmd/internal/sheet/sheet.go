package sheet

import (
	"image/color"

	"ampwake/cmd/internal/chart"
)

// Sheet is a report: the answer first, then sections.
type Sheet struct {
	Kind     string // what it is, small above the title: "One passage"
	Title    string
	Question string
	Answer   []Line // the first says whether it holds
	Tone     Tone   // of the first line
	Facts    []string
	Sections []Section
	Made     string // small at the foot: how to make it again
}

// Line is one line of the answer: "Margin", "8 points of charge …".
type Line struct{ Label, Text string }

// Tone colours the first line of the answer. Its words tell the same.
type Tone string

// The tones.
const (
	Plain Tone = ""
	Good  Tone = "good"
	Bad   Tone = "bad"
)

// Section is one numbered part. All but the title may be left out; what is
// there comes in the order of the fields.
type Section struct {
	Title  string
	Text   []string // paragraphs
	Figure *Figure
	Tables []Table
	Terms  []Line // what is assumed of what
}

// Figure is a picture.
type Figure struct {
	Still chart.Picture // as on paper
	// Live is the page from which the panels for a screen are made, or nil for
	// a picture that stands still. It may be finer than the one on paper.
	Live *chart.Page
	// Answer is what the picture tells, in a sentence, for those who do not
	// see it.
	Answer string
	// Zones are ship's zones for the read-out, in order of time.
	Zones []Zone
	// Table names the section that has the figures of the picture.
	Table string
}

// Zone is a change of the zone kept on board.
type Zone struct {
	From  float64 // Unix seconds
	Hours int     // to add to UTC
}

// Table is a table. It scrolls sideways within its own box where it is too
// wide.
type Table struct {
	Caption string
	Columns []Column
	Rows    []Row
	Note    string // below
}

// Column is the head of a column. Figures stand at the right, words at the
// left; long ones may be broken into lines. A column of bars has no cell text.
type Column struct {
	Name, Unit        string
	Words, Long, Bars bool
}

// Row is one row. The first cell names it.
type Row struct {
	Cells []string
	Total bool // a sum of those above
	Group bool // the name of those below
	// Bar is the length of the bar in a column of bars, 0 to 1, and Fill its
	// colour.
	Bar  float64
	Fill color.RGBA
}
