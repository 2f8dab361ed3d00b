package main

import (
	"context"
	"fmt"
	"io"
	"time"

	"github.com/spf13/cobra"

	"ampwake/cmd/internal/chart"
	"ampwake/cmd/internal/report"
	"ampwake/scenarios/trial"
)

type noonOptions struct {
	members int
	seed    uint64
	workers int
	set     []string
	faults  []string
	variant string
	trial   string
	out     string
	format  string
}

func newNoonCommand() *cobra.Command {
	var o noonOptions
	c := &cobra.Command{
		Use:   "noon SCENARIO LOG",
		Short: "Compare the log with the plan, and go on from the last line to arrival",
		Long: `noon reads the log of the voyage that a scenario describes (see ampwake trial for
what a log looks like). Its first three lines say whether the charge is inside the
band of 8 weathers in 10 of the plan, what explains it if not (the weather and the
speed, or which factor of the boat), and the odds from here to arrival.

The charge now is that of all readings together. The way ahead leads from the last
position to the next waypoint and on along the route, through the same seeded
weathers as the plan.

--trial takes the boat from a trial sail, with what it did not settle; without it
the boat is that of the plan. --out writes a fresh trace sheet to pencil on.`,
		Example: `  ampwake noon radio-cover trial-sail --out out
  ampwake noon mine.yaml log.csv --trial out/trial.yaml --out out`,
		Args: exactly(2, "a scenario and a log"),
		RunE: func(c *cobra.Command, args []string) error {
			return runNoon(c.Context(), args[0], args[1], o, c.OutOrStdout(), c.ErrOrStderr())
		},
		ValidArgsFunction: completeScenarioAndLog,
	}
	f := c.Flags()
	f.IntVarP(&o.members, "number", "n", 200, "`weathers` to sail through")
	f.Uint64Var(&o.seed, "seed", 1, "`number` that the weathers are drawn from")
	f.IntVar(&o.workers, "workers", 0, "voyages under way at once; 0: one for each `core`")
	f.StringArrayVar(&o.set, "set", nil, "override a `path=value` of the file; may be repeated")
	f.StringArrayVar(&o.faults, "fault", nil, faultUsage)
	f.StringVar(&o.variant, "variant", "", "take this `name` of the file's variants")
	f.StringVar(&o.trial, "trial", "", trialUsage)
	f.StringVar(&o.out, "out", "", "write noon.png, noon.svg, noon.json and noon.csv into `folder`")
	f.StringVar(&o.format, "format", "text", "what to print: `text`, json or csv (both bands)")
	return c
}

func runNoon(ctx context.Context, name, log string, o noonOptions, stdout, stderr io.Writer) error {
	write, err := noonWriter(o.format)
	if err != nil {
		return err
	}
	switch {
	case o.members < 1 || o.members > mostMembers:
		return badInput{fmt.Errorf("-n %d is not between 1 and %d", o.members, mostMembers)}
	case o.workers < 0:
		return badInput{fmt.Errorf("--workers %d is less than 0", o.workers)}
	}
	found, err := openTrial(o.trial)
	if err != nil {
		return err
	}
	s, err := open(name, corrected(found, o.set), o.variant, o.faults...)
	if err != nil {
		return err
	}
	l, err := openLog(s, log)
	if err != nil {
		return err
	}
	progress := newBar(stderr)
	n, err := trial.NewNoon(ctx, l, trial.NoonOptions{Members: o.members, Seed: o.seed, Workers: o.workers, Trial: found, Progress: progress.show})
	progress.clear()
	if err != nil {
		return noReadings(ctx, err)
	}
	if n.Ahead.Stopped != nil {
		return n.Ahead.Stopped // the answer does not say of how few weathers it is
	}
	if err := write(stdout, n); err != nil || o.out == "" {
		return err
	}
	sheet := chart.NewTraceSheet(traceSheet(n))
	return files{dir: o.out, list: []output{
		{"noon.png", func(w io.Writer) error { return sheet.Encode(w, "png") }},
		{"noon.svg", func(w io.Writer) error { return sheet.Encode(w, "svg") }},
		{"noon.json", func(w io.Writer) error { return report.NoonJSON(w, n) }},
		{"noon.csv", func(w io.Writer) error { return report.NoonBand(w, n) }},
	}}.write(ctx, o.format, stdout)
}

// noonWriter returns the printer of a format.
func noonWriter(format string) (func(io.Writer, *trial.Noon) error, error) {
	switch format {
	case "text":
		return report.NoonText, nil
	case "json":
		return report.NoonJSON, nil
	case "csv":
		return report.NoonBand, nil
	}
	return nil, badInput{fmt.Errorf("--format %q is not text, json or csv", format)}
}

// traceSheet returns the picture of a noon.
func traceSheet(n *trial.Noon) chart.TraceSheetInput {
	in := chart.TraceSheetInput{
		Title: n.Title + ": noon by " + n.Log.Log.Name, Facts: facts(report.NoonAnswer(n), 3), Caption: "ampwake " + version(),
		Floor: float64(n.Floor), Now: n.Now, Plan: bandPicture(n.Plan), Ahead: bandPicture(n.Band), Readings: dots(n.Fit)[:0],
	}
	for _, r := range dots(n.Fit) {
		if !r.Count && !r.Time.Equal(n.Now) {
			in.Readings = append(in.Readings, r)
		}
	}
	for _, c := range n.Fit.Charge {
		in.Times, in.Log = append(in.Times, c.Time), append(in.Log, c.Mean)
	}
	in.To = in.Ahead.Times[len(in.Ahead.Times)-1].Add(24 * time.Hour).Truncate(24 * time.Hour)
	return in
}

func bandPicture(list []trial.BandAt) chart.BandInput {
	var in chart.BandInput
	for _, b := range list {
		in.Times = append(in.Times, b.Time)
		in.P10, in.P50, in.P90 = append(in.P10, float64(b.Charge.P10)), append(in.P50, float64(b.Charge.P50)), append(in.P90, float64(b.Charge.P90))
	}
	return in
}
