package sheet

import (
	"fmt"

	"ampwake/cmd/internal/chart"
	"ampwake/cmd/internal/report"
	"ampwake/sim"
	"ampwake/sim/units"
)

// OddsOptions are what the odds do not know of themselves.
type OddsOptions struct {
	Question string
	Seed     uint64 // that the weathers were drawn from
	Version  string
	Band     *chart.Fan   // of the state of charge
	Where    *chart.Where // trouble begins
}

// Odds makes the sheet of one voyage through many weathers.
func Odds(o *sim.Odds, opt OddsOptions) *Sheet {
	s := &Sheet{
		Kind: "One passage, many weathers", Title: o.Title, Question: opt.Question,
		Answer: terms(report.AnswerLines(report.OddsAnswer(o))),
		Facts:  report.OddsPassed(o, opt.Seed),
		Made:   fmt.Sprintf("%s · %s of seed %d", opt.Version, plural(o.Done, "weather"), opt.Seed),
	}
	switch {
	case len(o.Goals) == 0:
	case o.Holds.P >= 0.9:
		s.Tone = Good
	case o.Holds.P < 0.5:
		s.Tone = Bad
	}
	answer := inSentences(s.Answer)
	band := *opt.Band
	band.Title, band.Facts = "", nil
	live := band.Page
	live.Remarks = []string{"Days are UTC."}
	s.add("State of charge", Section{Figure: &Figure{Still: &band, Live: &live, Answer: answer, Table: "Day by day"}})
	if len(o.Goals) > 0 {
		s.add("Chance of each goal", Section{Tables: []Table{chances(o)}})
	}
	if o.Begins.Total() > 0 {
		where := *opt.Where
		where.Title, where.Facts = "", nil
		s.add("Where trouble begins", Section{
			Text:   []string{fmt.Sprintf("The first failure of the %s that fail.", plural(o.Begins.Total(), "weather"))},
			Figure: &Figure{Still: &where, Answer: answer, Table: "Where trouble begins"},
			Tables: []Table{zones(o), stretches(o)},
		})
	}
	if t := oddsMisses(o); len(t.Rows) > 0 {
		s.add("Missed", Section{Tables: []Table{t}})
	}
	s.add("Spread between weathers", Section{Tables: []Table{spreads(o)}})
	s.add("Day by day", Section{Tables: []Table{oddsDays(o)}})
	s.close(o.Notes)
	return s
}

func chances(o *sim.Odds) Table {
	t := Table{
		Caption: "In how many of 100 weathers each goal holds",
		Columns: []Column{{Name: "Goal"}, {Name: "Holds", Unit: "of 100"}, {Bars: true}, {Name: "95 % interval", Words: true}, {Name: "Fails", Unit: "weathers"}, {Name: "First by", Words: true}, {Name: "Half by", Words: true}},
	}
	row := func(name string, s sim.Share, first sim.Counts, half string) Row {
		return Row{Cells: []string{name, report.Hundred(s.P), report.Interval(s), fmt.Sprint(s.Of - s.Count), report.Causes(first), half}, Bar: s.P, Fill: chart.Light().Stock.Fill}
	}
	for i := range o.Goals {
		g := &o.Goals[i]
		half := ""
		if g.Begins.Total() > 0 {
			half = report.Later(o.Depart, float64(g.After.P50)).Format("2 Jan")
		}
		t.Rows = append(t.Rows, row(g.Name, g.Holds, g.Begins, half))
	}
	if len(o.Goals) > 1 {
		all := row("all together", o.Holds, o.Begins, "")
		all.Total = true
		t.Rows = append(t.Rows, all)
	}
	return t
}

func zones(o *sim.Odds) Table {
	t := Table{Caption: "By zone", Columns: []Column{{Name: "Zone"}, {Name: "First failures", Unit: "weathers"}, {Name: "Share", Unit: "%"}, {Name: "By", Words: true}}}
	for i := range o.Zones {
		z := &o.Zones[i]
		n := z.Begins.Total()
		t.Rows = append(t.Rows, Row{Cells: []string{z.Name, fmt.Sprint(n), number(100*float64(n)/float64(o.Begins.Total()), 0), report.Causes(z.Begins)}})
	}
	return t
}

func stretches(o *sim.Odds) Table {
	t := Table{Caption: "By distance sailed", Columns: []Column{{Name: "Miles"}, {Name: "Near", Words: true}, {Name: "First failures", Unit: "weathers"}, {Name: "By", Words: true}}}
	for i := range o.Bins {
		b := &o.Bins[i]
		if n := b.Begins.Total(); n > 0 {
			t.Rows = append(t.Rows, Row{Cells: []string{fmt.Sprintf("%.0f – %.0f", float64(b.From), float64(b.To)), b.Place.String(), fmt.Sprint(n), report.Causes(b.Begins)}})
		}
	}
	return t
}

func oddsMisses(o *sim.Odds) Table {
	t := Table{Caption: "All weathers together", Columns: []Column{{Name: "Load"}, {Name: "Missed"}, {Name: "of", Words: true}, {Name: "In", Unit: "weathers"}, {Name: "By", Words: true}}}
	for i := range o.Loads {
		l := &o.Loads[i]
		n := l.Misses.Total()
		if n == 0 {
			continue
		}
		missed, of := fmt.Sprint(n), "times off"
		if l.Due > 0 {
			missed, of = fmt.Sprint(l.Due-l.Kept), plural(l.Due, "slot")
		}
		t.Rows = append(t.Rows, Row{Cells: []string{l.Name, missed, of, fmt.Sprint(l.Missing), report.Causes(l.Misses)}})
	}
	return t
}

func spreads(o *sim.Odds) Table {
	t := Table{
		Caption: "8 weathers in 10 lie between P10 and P90",
		Columns: []Column{{Name: "What"}, {Name: "Least"}, {Name: "P10"}, {Name: "Median"}, {Name: "P90"}, {Name: "Most"}},
	}
	if o.Arrived.Count > 0 {
		t.Rows = append(t.Rows, spread("days to arrival", o.Passage, 1.0/24))
	}
	t.Rows = append(t.Rows, spread("charge at the end, %", o.Last, 100), spread("margin, points of charge", o.Margin, 100), spread("margin, Ah", o.MarginCharge, 1))
	if o.Engine.Max > 0 {
		t.Rows = append(t.Rows, spread("engine, hours", o.Engine, 1), spread("fuel, litres", o.Fuel, 1))
	}
	for i := range o.Sources {
		t.Rows = append(t.Rows, spread(o.Sources[i].Name+", kWh", o.Sources[i].Energy, 0.001))
	}
	t.Rows = append(t.Rows, spread("used, kWh", o.Used, 0.001), spread("spilled, Ah", o.Spilled, 1))
	return t
}

func spread[Q ~float64](name string, s sim.Spread[Q], by float64) Row {
	cells := []string{name}
	for _, x := range []Q{s.Min, s.P10, s.P50, s.P90, s.Max} {
		cells = append(cells, number(by*float64(x), 1))
	}
	return Row{Cells: cells}
}

func oddsDays(o *sim.Odds) Table {
	t := Table{Caption: "State of charge by UTC day, %", Columns: []Column{{Name: "Day"}, {Name: "Date", Words: true}, {Name: "At sea", Unit: "weathers"}}}
	for _, of := range []string{"at 12:00", "lowest"} {
		for _, q := range []string{"P10", "Median", "P90"} {
			t.Columns = append(t.Columns, Column{Name: q, Unit: of})
		}
	}
	t.Columns = append(t.Columns, Column{Name: "Worst", Unit: "lowest"}, Column{Name: "Begin to fail", Unit: "weathers"}, Column{Name: "Missed", Unit: "in all"})
	for i := range o.Days {
		d := &o.Days[i]
		cells := []string{fmt.Sprint(i + 1), d.Date.Format("2 Jan"), fmt.Sprint(d.AtSea)}
		for _, s := range []sim.Spread[units.Fraction]{d.Noon, d.Low} {
			cells = append(cells, percent(s.P10), percent(s.P50), percent(s.P90))
		}
		cells = append(cells, percent(d.Low.Min), none(d.Begins.Total()), none(d.Misses))
		t.Rows = append(t.Rows, Row{Cells: cells})
	}
	return t
}

// none prints a count, and a dash for none.
func none(n int) string {
	if n == 0 {
		return "–"
	}
	return fmt.Sprint(n)
}
