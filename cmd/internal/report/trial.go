package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"ampwake/scenarios"
	"ampwake/scenarios/trial"
)

// TrialText writes what a log tells of a boat: the answer in three lines, each
// factor with its spread, what the log cannot tell apart, how the readings lie
// about the fit, and what was left out of the log.
func TrialText(w io.Writer, f *trial.Fit) error {
	var b strings.Builder
	b.WriteString(TrialAnswer(f))
	b.WriteString("\n")
	trialHeader(&b, f)
	trialFactors(&b, f)
	trialApart(&b, f)
	trialReadings(&b, f)
	logLines(&b, f.Logged)
	b.WriteString("\n" + Caution + "\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// TrialAnswer returns three lines: what differs from the plan, what is settled and
// what is not, and what more days would do. Where the readings fit no boat or
// something looks wrong with the log, the first word is that it is doubtful.
func TrialAnswer(f *trial.Fit) string {
	found := trialFound(f)
	if f.Poor || len(f.Logged.Warnings) > 0 {
		found = "DOUBTFUL: " + found
	}
	return "Found   " + found + "\nSettled " + trialSettled(f) + "\nMore    " + trialMore(f) + "\n"
}

// trialFound tells of the use in all, the panels and the generator.
func trialFound(f *trial.Fit) string {
	text := usesMore(f)
	of, link := " of the plan", "; "
	for _, x := range []struct {
		factor     scenarios.Factor
		alone, and string
	}{{scenarios.Panels, "panels give", ""}, {scenarios.Generator, "the generator gives", "the generator"}} {
		e := estimate(f, x.factor)
		if e == nil || e.Settled() == trial.Open {
			continue
		}
		name := x.alone
		if of == "" {
			name = x.and
		}
		text += link + name + " " + ofPlan(*e) + of
		of, link = "", ", "
	}
	return text
}

// usesMore tells how much more or less than planned is used.
func usesMore(f *trial.Fit) string {
	if f.Use.Prior == 0 {
		return "she uses nothing"
	}
	low, high := f.Use.Interval()
	more := func(x float64) string { return fmt.Sprintf("%+.0f", math.Round(100*(x-1))+0) }
	if f.Use.Settled() == trial.Open {
		return fmt.Sprintf("what she uses is not settled (%s to %s %% of the plan)", more(low), more(high))
	}
	at := 100 * (f.Use.Value() - 1)
	word := "more"
	if at < 0 {
		word = "less"
	}
	return fmt.Sprintf("she uses %.0f %% %s than planned (%s to %s)", math.Abs(at), word, more(low), more(high))
}

// ofPlan prints a factor as "80 % (71 to 91)".
func ofPlan(e trial.Estimate) string {
	low, high := e.Interval()
	return fmt.Sprintf("%.0f %% (%.0f to %.0f)", 100*e.Value(), 100*low, 100*high)
}

func estimate(f *trial.Fit, which scenarios.Factor) *trial.Estimate {
	for i := range f.Factors {
		if f.Factors[i].Factor == which {
			return &f.Factors[i]
		}
	}
	return nil
}

// trialSettled lists the factors by how well they are settled.
func trialSettled(f *trial.Fit) string {
	names := map[trial.Settled][]string{}
	for _, e := range f.Factors {
		names[e.Settled()] = append(names[e.Settled()], e.Factor.String())
	}
	var parts []string
	for _, x := range []struct {
		how  trial.Settled
		text string
	}{{trial.Well, "%s"}, {trial.Partly, "partly %s"}, {trial.Open, "not by this log: %s"}} {
		if list := names[x.how]; len(list) > 0 {
			parts = append(parts, fmt.Sprintf(x.text, strings.Join(list, ", ")))
		}
	}
	return strings.Join(parts, "; ")
}

// soon is how many days are worth promising in the answer.
const soon = 120

// trialMore tells how many days would halve the spread of what is settled.
func trialMore(f *trial.Fit) string {
	var parts []string
	add := func(name string, e trial.Estimate) {
		if e.Settled() != trial.Well || e.More > soon {
			return
		}
		if len(parts) == 0 {
			parts = append(parts, fmt.Sprintf("%s like these would halve the spread of %s", moreDays(e), name))
		} else {
			parts = append(parts, fmt.Sprintf("%.0f that of %s", math.Ceil(e.More), name))
		}
	}
	for _, e := range f.Factors {
		add("the "+e.Factor.String(), e)
	}
	add("the use in all", f.Use)
	if len(parts) == 0 {
		return fmt.Sprintf("not in %d days like these would a spread be halved: read more, or make the days differ (see below)", soon)
	}
	return strings.Join(parts, ", ")
}

// moreDays prints how many more days would halve a spread, "" if none would.
func moreDays(e trial.Estimate) string {
	if math.IsInf(e.More, 0) {
		return ""
	}
	return fmt.Sprintf("%.0f more days", math.Ceil(e.More))
}

func trialHeader(b *strings.Builder, f *trial.Fit) {
	l := f.Logged
	from, to := l.Log.Span()
	fmt.Fprintf(b, "%s, by the log %s\n", l.Scenario.File.Title, l.Log.Name)
	volts, counted := 0, 0
	for _, r := range f.Readings {
		if r.Kind == trial.Counted {
			counted++
		} else {
			volts++
		}
	}
	parts := []string{}
	if volts > 0 {
		parts = append(parts, fmt.Sprintf("%d voltages", volts))
	}
	if counted > 0 {
		parts = append(parts, fmt.Sprintf("%d readings of the counter", counted))
	}
	fmt.Fprintf(b, "%s to %s, %.1f days, %d lines: %s\n", stamp(from), stamp(to), f.Days, len(l.Log.Rows), strings.Join(parts, ", "))
}

// trialFactors writes the table of factors.
func trialFactors(b *strings.Builder, f *trial.Fit) {
	b.WriteString("\nFactors on what the scenario says: most likely, and 8 in 10 between\n")
	b.WriteString("                       found               before            settled       halved by\n")
	row := func(name string, e trial.Estimate) {
		low, high := e.Interval()
		was := trial.Estimate{Spread: e.Prior}
		least, most := was.Interval()
		more := "–"
		if days := moreDays(e); days != "" {
			more = days
		}
		fmt.Fprintf(b, "  %-16s %6.2f  %.2f to %.2f    %.2f to %.2f    %-12s  %s\n", name, e.Value(), low, high, least, most, e.Settled(), more)
	}
	for _, e := range f.Factors {
		row(e.Factor.String(), e)
	}
	if f.Use.Prior > 0 {
		row("all loads", f.Use)
	}
	for _, e := range f.Factors {
		if e.Settled() == trial.Open {
			stays := "it stays about what was assumed"
			if math.Abs(e.Mean) > e.Prior {
				stays = "it moved only because the readings cannot be had otherwise"
			}
			fmt.Fprintf(b, "  %s: not settled by this log: %s. %s\n", e.Factor, stays, remedy(e.Factor))
		}
	}
	if f.Poor {
		b.WriteString("  The readings lie farther from the fit than readings do: no boat near that of the scenario comes to them. Look at the\n  header and the units of the log and at the scenario before anything else; factors and spreads are not to be trusted\n")
	}
	if f.Rough {
		b.WriteString("  In the fit the bank runs flat, and loads drop out and come back: a rough fit, its spreads taken for at least half of those before\n")
	}
	for _, x := range f.Bent {
		fmt.Fprintf(b, "  %s: the log speaks more clearly on one side than on the other: a rough interval\n", x)
	}
}

// remedy says how a trial settles a factor.
func remedy(f scenarios.Factor) string {
	switch f {
	case scenarios.AlwaysOn:
		return "Read the bank at dusk and before dawn, the generator up."
	case scenarios.Lights, scenarios.Radios, scenarios.OtherLoads:
		return "Have a night without, and read the bank before and after."
	case scenarios.Panels:
		return "Read the bank before sunrise and after sunset, under 90 % of charge."
	case scenarios.Generator:
		return "Let it down for a watch under 90 % of charge, and read before and after."
	case scenarios.Capacity:
		return "Draw the bank down once, with a counter."
	case scenarios.Losses:
		return "It takes a counter, and many days between 80 and 100 % of charge."
	}
	return ""
}

// trialApart tells which factors the log cannot tell apart.
func trialApart(b *strings.Builder, f *trial.Fit) {
	pairs := f.Confused()
	if len(pairs) == 0 {
		return
	}
	b.WriteString("\nWhat the log cannot tell apart\n")
	const most = 4
	for k, p := range pairs {
		if k == most {
			break
		}
		one, other := f.Factors[p[0]].Factor, f.Factors[p[1]].Factor
		r := f.Apart(p[0], p[1])
		how := "more of one goes with more of the other"
		if r < 0 {
			how = "more of one goes with less of the other"
		}
		fmt.Fprintf(b, "  %s and %s: %s (correlation %+.2f)\n", one, other, how, r)
	}
}

func trialReadings(b *strings.Builder, f *trial.Fit) {
	b.WriteString("\nReadings\n")
	if rms, n := f.Scatter(); n > 0 {
		fmt.Fprintf(b, "  %d voltages lie %.3f V about the fit; all of them read %+.3f V off (± %.3f)\n", n, rms, float64(f.Offset), 1.28*float64(f.OffsetSpread))
	}
	fmt.Fprintf(b, "  she began with %.0f %% of charge (± %.0f), and ends with %s\n", 100*f.Start, 128*f.StartSpread, chargeNow(f.Charge[len(f.Charge)-1]))
	for _, r := range f.Readings {
		if r.Odd {
			fmt.Fprintf(b, "  line %d: %s %.2f lies far from the %.2f of the rest: it counts less\n", r.Line, r.Kind, r.Value, r.Fitted)
		}
	}
}

func chargeNow(c trial.ChargeAt) string {
	return fmt.Sprintf("%.0f %% (%.0f to %.0f)", 100*c.Mean, 100*c.Low, 100*c.High)
}

// logLines tells what was left out of a log, what looks wrong with it and what was
// taken for granted.
func logLines(b *strings.Builder, l *trial.Logged) {
	section := func(title string, lines []string) {
		if len(lines) == 0 {
			return
		}
		fmt.Fprintf(b, "\n%s\n", title)
		for _, x := range lines {
			fmt.Fprintf(b, "  %s\n", x)
		}
	}
	var left []string
	for _, p := range l.Log.Problems {
		left = append(left, p.String())
	}
	section("Left out of "+l.Log.Name, left)
	section("Look at this", l.Warnings)
	section("Taken for granted", l.Notes)
}
