package main

import (
	"context"
	"io"
	"time"

	"github.com/spf13/cobra"

	"ampwake/cmd/internal/chart"
	"ampwake/cmd/internal/report"
	"ampwake/scenarios/trial"
)

type noonOptions struct {
	weathers
	boat
	answer
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
		RunE: func(c *cobra.Command, args []string) error {
			return runNoon(c.Context(), args[0], args[1], o, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	onScenarioAndLog(c)
	f := c.Flags()
	o.weathers.flags(f, 200, "`weathers` to sail through")
	o.boat.flags(f, "take this")
	o.faultFlag(f)
	o.trialFlag(f, "")
	o.answer.flags(f, "noon.png, noon.svg, noon.json and noon.csv", "both bands")
	return c
}

func runNoon(ctx context.Context, name, log string, o noonOptions, stdout, stderr io.Writer) error {
	as := forms[*trial.Noon]{report.NoonText, report.NoonJSON, report.NoonBand}
	print, err := as.printer(o.answer)
	if err != nil {
		return err
	}
	if err := o.check(); err != nil {
		return err
	}
	s, found, err := o.tried(name)
	if err != nil {
		return err
	}
	l, err := openLog(s, log)
	if err != nil {
		return err
	}
	progress := newBar(stderr)
	n, err := trial.NewNoon(ctx, l, trial.NoonOptions{Members: o.number, Seed: o.seed, Workers: o.workers, Trial: found, Progress: progress.show})
	progress.clear()
	if err != nil {
		return noReadings(ctx, err)
	}
	if n.Ahead.Stopped != nil {
		return n.Ahead.Stopped // the answer does not say of how few weathers it is
	}
	if err := print(stdout, n); err != nil || o.out == "" {
		return err
	}
	return o.write(ctx, stdout, drawn("noon", chart.NewTraceSheet(traceSheet(n))), as.data("noon", n))
}

// traceSheet returns the picture of a noon.
func traceSheet(n *trial.Noon) chart.TraceSheetInput {
	in := chart.TraceSheetInput{
		Title: n.Title + ": noon by " + n.Log.Log.Name, Facts: facts(report.NoonAnswer(n), 3), Caption: maker(),
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
