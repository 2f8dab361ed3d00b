package sheet

import (
	"fmt"

	"ampwake/cmd/internal/chart"
	"ampwake/cmd/internal/report"
)

// CompareOptions are what a comparison does not know of itself.
type CompareOptions struct {
	Title, Question string
	Version         string
	Bands           *chart.Compared // the kits side by side
}

// Compare makes the sheet of several kits in the same weathers.
func Compare(k *report.Kits, opt CompareOptions) *Sheet {
	s := &Sheet{
		Kind: "Several kits, the same weathers", Title: opt.Title, Question: opt.Question,
		Answer: terms(report.AnswerLines(report.CompareAnswer(k))),
		Made:   fmt.Sprintf("%s · %s of seed %d", opt.Version, plural(k.Kits[k.Base].Odds.Done, "weather"), k.Seed),
	}
	bands := *opt.Bands
	bands.Title, bands.Facts = "", nil
	s.add("State of charge", Section{Figure: &Figure{Still: &bands, Answer: inSentences(s.Answer), Table: "The kits"}})
	heads, rows := report.CompareTable(k)
	t := Table{
		Caption: "The kits in the same weathers",
		Note:    "P10: 9 weathers in 10 do better. Margin in points of charge. Misses of what must be kept; these and what is lost and burnt are means.",
	}
	for i, head := range heads {
		t.Columns = append(t.Columns, Column{Name: head, Words: i == 0})
	}
	for _, cells := range rows {
		t.Rows = append(t.Rows, Row{Cells: cells})
	}
	s.add("The kits", Section{Tables: []Table{t}})
	s.close(k.Notes())
	return s
}
