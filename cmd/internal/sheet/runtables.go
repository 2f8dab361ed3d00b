package sheet

import (
	"cmp"
	"fmt"
	"slices"

	"ampwake/cmd/internal/chart"
	"ampwake/cmd/internal/report"
	"ampwake/sim"
)

// budget makes the mean daily budget.
func budget(r *sim.Result, kinds map[string]chart.Kind) Section {
	days := perDay(r)
	t := Table{
		Caption: fmt.Sprintf("Mean of %.1f days", days),
		Columns: []Column{{Name: "Source or load"}, {Name: "Charge", Unit: "Ah a day"}, {Bars: true}, {Name: "Energy", Unit: "Wh a day"}, {Name: "Served", Words: true}},
	}
	most := 1e-9
	var names []string
	for _, x := range r.Sources {
		names, most = append(names, x.Name), max(most, float64(x.Charge)/days)
	}
	for _, x := range r.Loads {
		names, most = append(names, x.Name), max(most, float64(x.Charge)/days)
	}
	// Sources and loads are coloured as in the picture, each panel for itself.
	paints := append(chart.Paints(names[:len(r.Sources)], kinds), chart.Paints(names[len(r.Sources):], kinds)...)
	row := func(name string, ah, wh float64, served string) Row {
		return Row{Cells: []string{name, number(ah, 1), number(wh, 0), served}}
	}
	bar := func(w Row, ah float64, p chart.Paint) Row {
		w.Bar, w.Fill = ah/most, p.Fill
		return w
	}
	sum, energy := 0.0, 0.0
	t.Rows = append(t.Rows, Row{Group: true, Cells: []string{"In"}})
	for i, x := range r.Sources {
		ah, wh := float64(x.Charge)/days, float64(x.Energy)/days
		served := ""
		if whole := r.End.Sub(r.Depart).Hours(); float64(x.InUse) < whole-0.05 {
			served = "in use " + report.Lasting(float64(x.InUse))
		}
		t.Rows = append(t.Rows, bar(row(x.Name, ah, wh, served), ah, paints[i]))
		sum, energy = sum+ah, energy+wh
	}
	if lost := float64(r.Books.SpilledCharge) / days; lost > 0.05 {
		wh := float64(r.Books.Spilled) / days
		t.Rows = append(t.Rows, row("less spilled", -lost, -wh, "offered, and refused"))
		sum, energy = sum-lost, energy-wh
	}
	total := row("in all", sum, energy, "")
	total.Total = true
	t.Rows = append(t.Rows, total, Row{Group: true, Cells: []string{"Out"}})
	sum, energy = 0, 0
	for _, i := range greediest(r) {
		x := &r.Loads[i]
		ah, wh := float64(x.Charge)/days, float64(x.Energy)/days
		served := ""
		if x.Due > 0 {
			served = fmt.Sprintf("%d of %s", x.Kept, plural(x.Due, "slot"))
		}
		if x.Off > 0 {
			if served != "" {
				served += ", "
			}
			served += "off " + report.Lasting(float64(x.Off))
		}
		t.Rows = append(t.Rows, bar(row(x.Name, ah, wh, served), ah, paints[len(r.Sources)+i]))
		sum, energy = sum+ah, energy+wh
	}
	total = row("out in all", sum, energy, "")
	total.Total = true
	t.Rows = append(t.Rows, total)
	k := &r.Books
	t.Note = fmt.Sprintf("Bank %s %% → %s %%: %.1f Ah a day went in, %.1f came out, %.1f was lost on charging and at rest.",
		percent(r.Start), percent(r.Last), float64(k.Taken)/days, float64(k.Drawn)/days, float64(k.Taken-k.Charged+k.SelfDischarge)/days)
	if r.Fuel > 0.05 {
		t.Note += fmt.Sprintf(" Fuel %.1f L.", float64(r.Fuel))
	}
	return Section{Tables: []Table{t}}
}

func worst(r *sim.Result) Table {
	t := Table{
		Caption: "When it is tightest",
		Columns: []Column{{Name: "What"}, {Name: "Value"}, {Name: "UTC", Words: true}, {Name: "Ship’s time", Words: true}, {Name: "Place", Words: true}},
	}
	add := func(what, value string, m sim.Moment) {
		t.Rows = append(t.Rows, Row{Cells: []string{what, value, stamp(m.Time), ship(m), m.Place.String()}})
	}
	add("lowest charge", percent(r.Lowest.Charge)+" %", r.Lowest)
	add("lowest voltage", number(r.LowestVolts.Bus, 2)+" V", r.LowestVolts)
	if d, net, ok := report.LeanestDay(r); ok {
		t.Rows = append(t.Rows, Row{Cells: []string{
			"leanest day", signed(net) + " Ah", d.Date.Format("2 Jan"), "",
			fmt.Sprintf("%s at noon; cloud %.0f oktas, %.0f miles", d.Noon, 8*float64(d.Cloud), float64(d.Sailed)),
		}})
	}
	return t
}

// signed prints with a plus sign too.
func signed(x float64) string {
	if s := number(x, 1); x < 0 || s == "0.0" {
		return s
	}
	return "+" + number(x, 1)
}

// misses makes the table of what was not served. How long it lasted and the
// voltage are told where there is any.
func misses(r *sim.Result) Table {
	t := Table{Caption: fmt.Sprintf("What was due and not served: %d in all", len(r.Misses))}
	spells := slices.ContainsFunc(r.Misses, func(m sim.Miss) bool { return !m.Until.IsZero() })
	starved := slices.ContainsFunc(r.Misses, func(m sim.Miss) bool { return m.Cause == sim.UnderVoltage })
	t.Columns = []Column{{Name: "Load"}, {Name: "What", Words: true}, {Name: "Failed, UTC", Words: true}, {Name: "Ship’s time", Words: true}}
	if spells {
		t.Columns = append(t.Columns, Column{Name: "Lasted"})
	}
	t.Columns = append(t.Columns, Column{Name: "Cause", Words: true})
	if starved {
		t.Columns = append(t.Columns, Column{Name: "At its terminals", Unit: "V"})
	}
	t.Columns = append(t.Columns, Column{Name: "Charge", Unit: "%"}, Column{Name: "Place", Words: true})
	for i := range r.Misses {
		m := &r.Misses[i]
		what := m.What
		if what == r.Loads[m.Load].Name {
			what = "without power"
		}
		cells := []string{r.Loads[m.Load].Name, what, stamp(m.At.Time), ship(m.At)}
		if spells {
			lasted := ""
			if !m.Until.IsZero() {
				lasted = report.Lasting(m.Until.Sub(m.At.Time).Hours())
			}
			cells = append(cells, lasted)
		}
		cells = append(cells, m.Cause.String())
		if starved {
			volts := ""
			if m.Cause == sim.UnderVoltage {
				volts = number(m.Volts, 2)
			}
			cells = append(cells, volts)
		}
		t.Rows = append(t.Rows, Row{Cells: append(cells, percent(m.At.Charge), m.At.Place.String())})
	}
	return t
}

func decisions(r *sim.Result) Table {
	t := Table{
		Caption: "Brought into use and out of it, and what befell her",
		Columns: []Column{{Name: "UTC"}, {Name: "Ship’s time", Words: true}, {Name: "Thing", Words: true}, {Name: "What happened", Words: true}, {Name: "Charge", Unit: "%"}, {Name: "Why", Words: true, Long: true}},
	}
	for _, d := range r.Decisions {
		what := "out of use"
		switch {
		case d.Fault && d.Use:
			what = "mended"
		case d.Fault:
			what = "FAULT"
		case d.Use:
			what = "into use"
		}
		t.Rows = append(t.Rows, Row{Cells: []string{stamp(d.At.Time), ship(d.At), d.What, what, percent(d.At.Charge), d.Why}})
	}
	return t
}

// days makes the table of days. Sources are before what was spilled.
func days(r *sim.Result) Table {
	t := Table{Caption: "By UTC day"}
	col := func(name, unit string) { t.Columns = append(t.Columns, Column{Name: name, Unit: unit}) }
	col("Day", "")
	t.Columns = append(t.Columns, Column{Name: "Noon position", Words: true})
	col("Sailed", "nm")
	col("Lowest", "%")
	col("at", "UTC")
	col("Close", "%")
	for _, s := range r.Sources {
		col(s.Name, "Ah")
	}
	col("Spilled", "Ah")
	col("Used", "Ah")
	col("Balance", "Ah")
	col("Missed", "")
	col("Cloud", "oktas")
	col("Sea", "°C")
	for i := range r.Days {
		d := &r.Days[i]
		cells := []string{d.Date.Format("2 Jan"), d.Noon.String(), number(d.Sailed, 0), percent(d.Low), d.LowAt.UTC().Format("15:04"), percent(d.Close)}
		for _, s := range d.Sources {
			cells = append(cells, number(s.Charge, 1))
		}
		used := 0.0
		for _, l := range d.Loads {
			used += float64(l.Charge)
		}
		cells = append(cells, number(d.Spilled, 1), number(used, 1), signed(report.DayBalance(d)), none(d.Misses), number(8*float64(d.Cloud), 0), number(d.Sea, 0))
		t.Rows = append(t.Rows, Row{Cells: cells})
	}
	t.Note = "Sources: what they put on the bus, spilled part included. Balance: sources less spilled less used."
	return t
}

// loadDays makes the table of what each load used day by day, the greediest
// first.
func loadDays(r *sim.Result) Table {
	t := Table{Caption: "Used by each load, by UTC day", Columns: []Column{{Name: "Day"}}}
	order := greediest(r)
	for _, i := range order {
		t.Columns = append(t.Columns, Column{Name: r.Loads[i].Name, Unit: "Ah"})
	}
	for i := range r.Days {
		d := &r.Days[i]
		cells := []string{d.Date.Format("2 Jan")}
		for _, k := range order {
			cells = append(cells, number(d.Loads[k].Charge, 1))
		}
		t.Rows = append(t.Rows, Row{Cells: cells})
	}
	return t
}

// greediest returns the indexes of the loads, the greediest first.
func greediest(r *sim.Result) []int {
	order := make([]int, len(r.Loads))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(r.Loads[b].Charge, r.Loads[a].Charge) })
	return order
}

func busLedger(r *sim.Result) Table {
	k := &r.Books
	t := Table{Caption: "The bus, Wh", Columns: []Column{{Name: "Entry"}, {Name: "In"}, {Name: "Out"}}}
	in := func(name string, x float64) { t.Rows = append(t.Rows, Row{Cells: []string{name, number(x, 0), ""}}) }
	out := func(name string, x float64) { t.Rows = append(t.Rows, Row{Cells: []string{name, "", number(x, 0)}}) }
	in("made by the sources", float64(k.Made))
	in("taken from the bank", float64(k.BankOut))
	out("lost in controllers and wiring", float64(k.Lost))
	out("used by the loads", float64(k.Used))
	out("offered and refused: spilled", float64(k.Spilled))
	out("put into the bank", float64(k.BankIn))
	t.Rows = append(t.Rows, Row{Total: true, Cells: []string{"sums", number(k.Made+k.BankOut, 0), number(k.Lost+k.Used+k.Spilled+k.BankIn, 0)}})
	t.Note = fmt.Sprintf("Not explained: %s Wh.", number(k.BusGap(), 3))
	return t
}

func bankLedger(r *sim.Result) Table {
	k := &r.Books
	t := Table{Caption: "The bank, Ah", Columns: []Column{{Name: "Entry"}, {Name: "In"}, {Name: "Out"}}}
	row := func(name, in, out string) { t.Rows = append(t.Rows, Row{Cells: []string{name, in, out}}) }
	row("charged", number(k.Charged, 1), "")
	row("drawn", "", number(k.Drawn, 1))
	row("lost at rest", "", number(k.SelfDischarge, 1))
	row("more in the bank than at departure", "", number(k.StoreChange, 1))
	t.Rows = append(t.Rows, Row{Total: true, Cells: []string{"sums", number(k.Charged, 1), number(k.Drawn+k.SelfDischarge+k.StoreChange, 1)}})
	t.Note = fmt.Sprintf("Not explained: %s Ah. At the terminals %s Ah went in to charge that; %s Wh were lost inside the bank.",
		number(k.BankGap(), 4), number(k.Taken, 1), number(k.BankLost, 0))
	return t
}
