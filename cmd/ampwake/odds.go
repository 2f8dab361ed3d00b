package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"ampwake/cmd/internal/chart"
	"ampwake/cmd/internal/report"
	"ampwake/cmd/internal/sheet"
	"ampwake/sim"
	"ampwake/sim/units"
)

type oddsOptions struct {
	weathers
	boat
	answer
	html string
}

func newOddsCommand() *cobra.Command {
	var o oddsOptions
	c := &cobra.Command{
		Use:   "odds SCENARIO",
		Short: "Sail a scenario through many weathers and tell in how many it holds",
		Long: `odds sails a scenario through many seeded weathers of the ocean climate along
its route. Its first three lines answer: in how many of 100 weathers it holds,
where and why it fails, and the margin. Then come the chance of each goal, the
state of charge by day, where trouble begins, arrival, engine and fuel.

The same scenario, seed and number give the same answer on any machine, whatever
the workers. Weather 17 is the same among 20 as among 1,000.

On a terminal a bar tells how far it is. Ctrl-C stops it: what is done so far is
told, marked as such (csv cannot, and is left out), no file is written, and the
exit code is 130.`,
		Example: `  ampwake odds southern-ocean --out out
  ampwake odds mine.yaml -n 2000 --seed 7 --set bank.capacity=440Ah`,
		RunE: func(c *cobra.Command, args []string) error {
			return runOdds(c.Context(), args[0], o, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	onScenario(c)
	f := c.Flags()
	o.weathers.flags(f, 500, "`weathers` to sail through")
	o.boat.flags(f, "sail only this")
	o.faultFlag(f)
	o.trialFlag(f, "; each weather draws its boat from what the trial left open")
	o.answer.flags(f, "band.png, band.svg, where.png, where.svg, odds.json and band.csv", "a row a day")
	f.StringVar(&o.html, "html", "", htmlUsage)
	return c
}

func runOdds(ctx context.Context, name string, o oddsOptions, stdout, stderr io.Writer) error {
	as := oddsForms(o.seed)
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
	voyage, err := s.Seeded(o.seed)
	if err != nil {
		return badInput{err}
	}
	if found != nil {
		voyage = found.Vary(s, voyage, o.seed)
	}
	progress := newBar(stderr)
	odds, err := voyage.Odds(ctx, sim.OddsOptions{Members: o.number, Workers: o.workers, Progress: progress.show})
	progress.clear()
	if err != nil {
		return err
	}
	if odds.Stopped != nil && o.format == "csv" {
		return odds.Stopped // a table cannot say that it is of a few weathers only
	}
	if err := print(stdout, odds); err != nil {
		return err
	}
	if odds.Stopped != nil {
		return odds.Stopped // files of all weathers are worth more than those of a few
	}
	var out files
	if o.out != "" {
		out = oddsFiles(o.out, as, voyage, odds)
	}
	if o.html != "" {
		page := sheet.Odds(odds, sheet.OddsOptions{
			Question: s.File.Question, Seed: o.seed, Version: maker(),
			Band: chart.NewFan(band(odds)), Where: chart.NewWhere(places(voyage, odds)),
		})
		out.page = []output{{o.html, page.Write}}
	}
	return out.write(ctx, o.format, stdout)
}

// oddsForms are the printers of odds, which tell the seed of their weathers.
func oddsForms(seed uint64) forms[*sim.Odds] {
	return forms[*sim.Odds]{
		text: func(w io.Writer, o *sim.Odds) error { return report.OddsText(w, o, seed) },
		json: func(w io.Writer, o *sim.Odds) error { return report.OddsJSON(w, o, seed) },
		csv:  report.OddsBand,
	}
}

// oddsFiles are the pictures and the data for the folder of --out.
func oddsFiles(dir string, as forms[*sim.Odds], v *sim.Voyage, odds *sim.Odds) files {
	fan, where := chart.NewFan(band(odds)), chart.NewWhere(places(v, odds))
	return files{dir: dir, list: slices.Concat(drawn("band", fan), drawn("where", where), []output{
		made("odds.json", as.json, odds),
		made("band.csv", as.csv, odds),
	})}
}

// band returns the picture of the lowest state of charge of each day, which is
// what a floor is judged by. Days on which fewer than one weather in ten is
// still at sea are left out: there is no band of a few.
func band(o *sim.Odds) chart.FanInput {
	var facts []string
	for _, line := range strings.SplitN(report.OddsAnswer(o), "\n", 3)[:2] {
		facts = append(facts, strings.Join(strings.Fields(line), " "))
	}
	in := chart.FanInput{
		Title: o.Title, Facts: facts, Caption: maker(), Floor: float64(o.Floor),
		About: fmt.Sprintf("lowest of each UTC day, %d weathers", o.Done),
	}
	for i := range o.Days {
		d := &o.Days[i]
		if 10*d.AtSea < o.Done {
			break
		}
		in.Days = append(in.Days, d.Date)
		in.P10 = append(in.P10, float64(d.Low.P10))
		in.P50 = append(in.P50, float64(d.Low.P50))
		in.P90 = append(in.P90, float64(d.Low.P90))
		in.Low = append(in.Low, float64(d.Low.Min))
		in.High = append(in.High, float64(d.Low.Max))
	}
	return in
}

// places returns the picture of where on the passage trouble begins, with the
// causes that were.
func places(v *sim.Voyage, o *sim.Odds) chart.WhereInput {
	in := chart.WhereInput{
		Title: o.Title, What: "first failure of a goal", Caption: maker(), Runs: o.Done,
		Facts:  []string{fmt.Sprintf("%d of %d weathers hold, %d fail.", o.Holds.Count, o.Done, o.Begins.Total())},
		Counts: make([][]int, len(o.Bins)),
	}
	edge := func(at units.NauticalMiles) {
		place, _ := v.Route.At(at)
		in.Edges = append(in.Edges, chart.WhereEdge{Lat: place.Lat, Sailed: at})
	}
	for i := range o.Bins {
		edge(o.Bins[i].From)
	}
	edge(v.Route.Length())
	for _, cause := range []struct {
		name string
		of   func(sim.Counts) int
	}{
		{sim.Flat.String(), func(c sim.Counts) int { return c.Flat }},
		{sim.UnderVoltage.String(), func(c sim.Counts) int { return c.Voltage }},
		{sim.Shed.String(), func(c sim.Counts) int { return c.Shed }},
		{"floor", func(c sim.Counts) int { return c.Floor }},
	} {
		if cause.of(o.Begins) == 0 && (o.Begins.Total() > 0 || len(in.Causes) > 0) {
			continue
		}
		in.Causes = append(in.Causes, cause.name)
		for i := range o.Bins {
			in.Counts[i] = append(in.Counts[i], cause.of(o.Bins[i].Begins))
		}
	}
	return in
}
