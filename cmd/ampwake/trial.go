package main

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"ampwake/cmd/internal/chart"
	"ampwake/cmd/internal/report"
	"ampwake/scenarios"
	"ampwake/scenarios/logbook"
	"ampwake/scenarios/trial"
)

type trialOptions struct {
	boat
	answer
}

func newTrialCommand() *cobra.Command {
	var o trialOptions
	c := &cobra.Command{
		Use:   "trial SCENARIO LOG",
		Short: "Learn from a log what the boat really uses and makes",
		Long: `trial sails the boat of a scenario through the weather, at the speeds and with
the generator as a log has them, and finds the factors on use, panels, generator,
bank and charging with which she comes to the voltages and amp-hours that were
read. Its first three lines say what differs from the plan, what the log settles
and what it does not, and how many more days would halve the spread.

LOG is a file, or trial-sail, which comes with the program and is invented. A log
is CSV kept by hand; only a time and one more column are needed, gaps are normal:

  time [UTC], position, volts rested [V], cloud [oktas], speed [kn], generator [h]
  2027-01-10 12:00, 16°40'N 25°10'W, 12.62, 3, 5.1, 2.5

Other columns: date, time [ship], lat, lon, run [nm], volts under load [V],
load [A], counter [Ah] (0 full, minus when drawn), engine [h], air [C], sea [C],
remark. Hours are since the line before. What cannot be used is named with its
line and left out.

--out writes trial.yaml, which run, odds and noon take with --trial; the scenario
itself is left alone.`,
		Example: `  ampwake trial radio-cover trial-sail --out out
  ampwake odds radio-cover --trial out/trial.yaml`,
		RunE: func(c *cobra.Command, args []string) error {
			return runTrial(c.Context(), args[0], args[1], o, c.OutOrStdout())
		},
	}
	onScenarioAndLog(c)
	f := c.Flags()
	o.boat.flags(f, "take this")
	o.answer.flags(f, "trial.yaml, trial.png, trial.svg, trial.json and readings.csv", "a row a factor")
	return c
}

func runTrial(ctx context.Context, name, log string, o trialOptions, w io.Writer) error {
	print, err := forms[*trial.Fit]{report.TrialText, report.TrialJSON, report.TrialFactors}.printer(o.answer)
	if err != nil {
		return err
	}
	s, err := o.open(name)
	if err != nil {
		return err
	}
	l, err := openLog(s, log)
	if err != nil {
		return err
	}
	fit, err := trial.New(ctx, l)
	if err != nil {
		return noReadings(ctx, err)
	}
	if err := print(w, fit); err != nil || o.out == "" {
		return err
	}
	page := chart.NewTrial(trialPicture(fit))
	list := []output{{"trial.yaml", func(w io.Writer) error { _, err := w.Write(fit.File(name).Encode()); return err }}}
	list = append(append(list, drawn("trial", page)...), made("trial.json", report.TrialJSON, fit), made("readings.csv", report.TrialReadings, fit))
	written, err := files{dir: o.out, list: list}.writeAll(ctx)
	if err != nil || o.format != "text" {
		return err
	}
	_, err = fmt.Fprintf(w, "\nWritten to %s: %s\nGo on with: ampwake odds %s --trial %s\n", o.out, written, name, filepath.Join(o.out, "trial.yaml"))
	return err
}

// noReadings marks a log without readings as bad input; a stop is none.
func noReadings(ctx context.Context, err error) error {
	if ctx.Err() != nil {
		return ctx.Err()
	}
	return badInput{err}
}

// openLog reads a log and puts the boat of the scenario on its way.
func openLog(s *scenarios.Scenario, name string) (*trial.Logged, error) {
	src, err := logbook.Source(name)
	if err != nil {
		return nil, badInput{err}
	}
	log, err := logbook.Read(name, src, trial.OptionsFor(s))
	if err != nil {
		return nil, badInput{err}
	}
	l, err := trial.NewLogged(s, log)
	if err != nil {
		return nil, badInput{err}
	}
	return l, nil
}

// trialPicture returns the picture of a trial.
func trialPicture(f *trial.Fit) chart.TrialInput {
	in := chart.TrialInput{
		Title: f.Logged.Scenario.File.Title + ": trial by " + f.Logged.Log.Name, Facts: facts(report.TrialAnswer(f), 2),
		Caption: maker(), Trace: f.Result.Trace, Floor: floorOf(f.Logged.Scenario), Readings: dots(f),
	}
	for _, c := range f.Charge {
		in.Times = append(in.Times, c.Time)
		in.Fitted, in.Low, in.High = append(in.Fitted, c.Mean), append(in.Low, c.Low), append(in.High, c.High)
		in.Planned = append(in.Planned, c.Planned)
	}
	return in
}

// floorOf is the charge that the scenario does not like to pass.
func floorOf(s *scenarios.Scenario) float64 {
	g := &s.Voyage().Goals
	return float64(max(g.Above, g.Floor))
}

// dots returns the readings of a fit for a picture.
func dots(f *trial.Fit) []chart.Reading {
	var list []chart.Reading
	for _, r := range f.Readings {
		x := chart.Reading{Time: r.Time, Count: r.Kind == trial.Counted, Charge: r.Charge, Off: r.Value - r.Fitted, Sigma: r.Sigma, Odd: r.Odd}
		if x.Count { // the fit follows a counter closely: what it had to follow is of interest
			x.Off, x.Sigma = r.Value-r.Plain, r.PlainSigma
		}
		list = append(list, x)
	}
	return list
}

// facts returns the first lines of an answer as sentences: "Why: the weather".
func facts(answer string, n int) []string {
	var list []string
	for _, line := range strings.SplitN(answer, "\n", n+1)[:n] {
		label, text, _ := strings.Cut(line, "  ")
		if strings.TrimSpace(text) == "" {
			label, text, _ = strings.Cut(line, " ")
		}
		list = append(list, label+": "+strings.TrimSpace(text))
	}
	return list
}
