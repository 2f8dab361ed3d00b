package sheet

import (
	"fmt"
	"strings"
	"time"

	"gonum.org/v1/plot/vg"

	"ampwake/cmd/internal/chart"
	"ampwake/cmd/internal/report"
	"ampwake/sim"
)

// RunOptions are what a result does not know of itself.
type RunOptions struct {
	Question string                // that the scenario answers
	Kinds    map[string]chart.Kind // of sources and loads, for their colours
	Version  string                // like "ampwake 0.3"
	Variants []Variant             // sailed beside the scenario as it stands
}

// Variant is the answer of a variant in one line.
type Variant struct {
	Name   string
	Result *sim.Result
}

// mostPoints is how many points a line of a live figure may have, and a stack
// bins.
const mostPoints = 2000

// Run makes the sheet of one voyage. It panics if the result has no trace.
func Run(r *sim.Result, opt RunOptions) *Sheet {
	s := &Sheet{
		Kind: "One passage", Title: r.Title, Question: opt.Question, Tone: Bad,
		Facts: []string{report.Passed(r) + "."},
		Made:  opt.Version,
	}
	s.Answer = terms(report.AnswerLines(report.Answer(r)))
	switch {
	case len(r.Verdict.Goals) == 0:
		s.Tone = Plain
	case r.Verdict.Holds:
		s.Tone = Good
	}
	if len(opt.Variants) > 0 {
		s.Sections = append(s.Sections, Section{Title: "Variants", Tables: []Table{variants(opt.Variants)}})
		s.Facts = append(s.Facts, "The answer above, and all below but the table of variants, is of the scenario as it stands.")
	}
	s.add("Hour by hour", Section{Figure: passage(r, opt)})
	s.add("Daily budget", budget(r, opt.Kinds))
	s.add("Worst moments", Section{Tables: []Table{worst(r)}})
	if len(r.Misses) > 0 {
		s.add("Missed", Section{Tables: []Table{misses(r)}})
	}
	if len(r.Decisions) > 0 {
		s.add("What happened on board", Section{Tables: []Table{decisions(r)}})
	}
	s.add("What it cost", Section{Terms: terms(report.Costs(r))})
	s.add("Day by day", Section{Tables: []Table{days(r), loadDays(r)}})
	s.add("The books", Section{Tables: []Table{busLedger(r), bankLedger(r)}})
	s.close(r.Notes)
	return s
}

// add appends a section under a title.
func (s *Sheet) add(title string, sec Section) {
	sec.Title = title
	s.Sections = append(s.Sections, sec)
}

// close appends what every sheet ends with: what was assumed, and the caution.
func (s *Sheet) close(notes []sim.Note) {
	if len(notes) > 0 {
		var assumed []Line
		for _, n := range notes {
			assumed = append(assumed, Line{n.About, n.Text})
		}
		s.add("Assumed", Section{Terms: assumed})
	}
	s.add("Caution", Section{Text: []string{strings.ReplaceAll(report.Caution, "\n", " ")}})
}

func terms(lines [][2]string) []Line {
	out := make([]Line, len(lines))
	for i, l := range lines {
		out[i] = Line{l[0], l[1]}
	}
	return out
}

// inSentences joins an answer for those who do not see a picture.
func inSentences(answer []Line) string {
	parts := make([]string, len(answer))
	for i, l := range answer {
		parts[i] = l.Label + ": " + l.Text + "."
	}
	return strings.Join(parts, " ")
}

// passage makes the figure of a voyage: on paper as the picture of --out, live
// with finer means.
func passage(r *sim.Result, opt RunOptions) *Figure {
	still := chart.NewPassage(r, chart.PassageOptions{Kinds: opt.Kinds, Version: opt.Version})
	still.Title, still.Facts = "", nil // they stand on the sheet
	still.Height = stillHeight
	fine := chart.NewPassage(r, chart.PassageOptions{
		Kinds: opt.Kinds, Means: meansOf(r.End.Sub(r.Depart)), Points: mostPoints,
	})
	fine.Remarks = []string{"Shaded: the sun is below the horizon. Times are UTC."}
	f := &Figure{Still: still, Live: &fine.Page, Table: "Day by day", Answer: inSentences(terms(report.AnswerLines(report.Answer(r))))}
	for i, z := range r.Trace.Zone {
		if i+1 == len(r.Trace.Zone) && i > 0 {
			break // the last entry closes the trace
		}
		if n := len(f.Zones); n == 0 || f.Zones[n-1].Hours != int(z) {
			f.Zones = append(f.Zones, Zone{From: float64(r.Trace.Time[i].Unix()), Hours: int(z)})
		}
	}
	return f
}

// stillHeight leaves room for the answer above the picture on a page of paper.
const stillHeight = 6.9 * vg.Inch

// meansOf returns the shortest mean that keeps a stack to mostPoints bins.
func meansOf(span time.Duration) time.Duration {
	for _, m := range []time.Duration{10 * time.Minute, 30 * time.Minute, time.Hour, 3 * time.Hour, 6 * time.Hour} {
		if span/m < mostPoints {
			return m
		}
	}
	return 12 * time.Hour
}

func variants(vs []Variant) Table {
	t := Table{
		Caption: "The scenario and its variants",
		Columns: []Column{{Name: "Variant"}, {Name: "Answer", Words: true}, {Name: "Lowest charge", Unit: "%"}, {Name: "Margin", Unit: "points"}, {Name: "Margin", Unit: "Ah"}, {Name: "In full", Words: true, Long: true}},
	}
	for _, v := range vs {
		word, text, _ := strings.Cut(report.Line(v.Name, v.Result), " ")
		text = strings.TrimPrefix(strings.TrimSpace(text), v.Name+": ")
		d := &v.Result.Verdict
		t.Rows = append(t.Rows, Row{Cells: []string{
			v.Name, strings.ToLower(word), percent(v.Result.Lowest.Charge), number(100*float64(d.Margin), 0), number(d.MarginCharge, 0), text,
		}})
	}
	return t
}

// stamp prints a moment in UTC, to the minute.
func stamp(t time.Time) string { return t.UTC().Round(time.Minute).Format("2 Jan 15:04") }

// ship prints a moment by the clock kept on board.
func ship(m sim.Moment) string {
	return stamp(m.Time.UTC().Add(time.Duration(m.Zone) * time.Hour))
}

// perDay divides by the days of a voyage; one of no length has none.
func perDay(r *sim.Result) float64 { return max(r.End.Sub(r.Depart).Hours()/24, 1e-9) }

func plural(n int, one string) string {
	if n == 1 {
		return fmt.Sprintf("1 %s", one)
	}
	return fmt.Sprintf("%d %ss", n, one)
}
