package fax

import (
	"fmt"
	"strings"

	"ampwake/loads/timetable"
	"ampwake/sim/units"
)

// Margin is how long a receiver is on before the start and after the end of a
// chart, so that neither start tone nor last lines are lost: own choice.
const Margin units.Hours = 1.0 / 60

// Kind is what is sent.
type Kind uint8

// The kinds of what is sent.
const (
	Fax       Kind = iota // a weather chart
	Satellite             // a satellite image
	Text                  // a page of text, like a high seas forecast
	Admin                 // a schedule or a notice
	Test                  // a test pattern
	Voice                 // no picture at all
)

var kindNames = [...]string{"fax", "satellite image", "text page", "admin page", "test", "voice"}

// String returns the kind as it is written in a table.
func (k Kind) String() string { return kindNames[k] }

// parseKind reads the name of a kind.
func parseKind(s string) (Kind, bool) {
	for i, name := range kindNames {
		if s == name {
			return Kind(i), true
		}
	}
	return 0, false
}

// Chart is one item of a station's daily broadcast.
type Chart struct {
	Call    string // like "NMF"
	Station string // like "Boston US"
	Product string // in short words, like "24 h surface forecast"
	Kind    Kind
	Start   timetable.TimeOfDay // UTC
	Minutes int                 // of reception, 1..120
	Format  Format
	Status  string // of the row: the edition it stands in, or HISTORIC and why
	Section string // date of the station's section in the source, or ""
	Note    string
}

// Historic reports whether the broadcast has ceased.
func (c Chart) Historic() bool { return strings.HasPrefix(c.Status, "HISTORIC") }

// Window returns the time of the chart, every day, UTC.
func (c Chart) Window() timetable.When { return timetable.Daily(c.Start, c.Minutes, timetable.UTC) }

// String names the chart, like "chart 02:33 Boston US, prelim surface analysis".
func (c Chart) String() string { return fmt.Sprintf("chart %v %s, %s", c.Start, c.Station, c.Product) }
