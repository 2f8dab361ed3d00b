package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"ampwake/cmd/internal/chart"
	"ampwake/cmd/internal/report"
	"ampwake/scenarios"
	"ampwake/sim"
	"ampwake/sim/units"
)

type sizeOptions struct {
	weathers
	boat
	answer
	ranges []string
	wanted string
	by     string
	all    bool
	only   bool
}

func newSizeCommand() *cobra.Command {
	var o sizeOptions
	c := &cobra.Command{
		Use:   "size SCENARIO --range PATH=FROM..TO step STEP",
		Short: "Find the smallest kit that holds as often as wanted",
		Long: `size makes kits of every combination of the values of up to four ranges, and
finds the lightest (or cheapest) one with which all goals hold in the wanted
share of weathers, the same weathers for every kit. What things weigh and cost
is in the file: 'weighs' and 'costs', or by the Ah and the watt. Without them
the first range is what should be small.

A value of 0 for a panel, a generator or an alternator is a kit without it.

The kit for some other odds is found too: what a little more certainty weighs, as
a table and a picture. --only leaves that out.

Few of the kits are sailed, and those no longer than it takes to know; the report
says how many voyages it were. That rests on one thing: more bank, panel,
alternator or fuel never makes a kit worse. Of other values nothing is taken for
granted. Where an engine or a generator is put to use by the state of charge it
may not be so; the report says how often it was, and --all tries every kit that
is smaller.`,
		Example: `  ampwake size radio-cover --range 'bank.capacity=100Ah..600Ah step 50Ah'
  ampwake size mine.yaml --range 'bank.capacity=115Ah,230Ah,345Ah' \
    --range 'sources.panels[deck panel].rated=0W..170W step 85W' --wanted 90% --out out`,
		RunE: func(c *cobra.Command, args []string) error {
			return runSize(c.Context(), args[0], o, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	onScenario(c)
	f := c.Flags()
	f.StringArrayVar(&o.ranges, "range", nil, "what to choose from, like `'bank.capacity=100Ah..600Ah step 50Ah'` or a list; up to four times")
	f.StringVar(&o.wanted, "wanted", "95%", "`share` of the weathers in which all goals must hold")
	f.StringVar(&o.by, "by", "", "what should be small: `weight` or price; what the file gives, if absent")
	f.BoolVar(&o.all, "all", false, "take nothing for granted: try every kit that is smaller than the best so far")
	f.BoolVar(&o.only, "only", false, "find the kit for the wanted share only, not for other odds")
	o.weathers.flags(f, 200, "`weathers` that each kit is for")
	o.boat.flags(f, "begin with this")
	o.faultFlag(f)
	o.answer.flags(f, "size.png, size.svg, size.json and size.csv", "a row a kit")
	return c
}

func runSize(ctx context.Context, name string, o sizeOptions, stdout, stderr io.Writer) error {
	as := forms[*report.Sizing]{report.SizeText, report.SizeJSON, report.SizeCSV}
	print, err := as.printer(o.answer)
	if err != nil {
		return err
	}
	wanted, err := o.share()
	if err != nil {
		return err
	}
	box, err := o.box(name)
	if err != nil {
		return err
	}
	choice := sim.Choice{Box: box.Box, Kit: func(kit int) (*sim.Voyage, error) {
		s, err := box.Read(kit)
		if err != nil {
			return nil, err
		}
		v, err := s.Seeded(o.seed)
		if err != nil {
			return nil, badInput{err}
		}
		return v, nil
	}}
	voyage, err := choice.Kit(choice.Len() - 1)
	if err != nil {
		return err
	}
	if len(voyage.Goals.Keep) == 0 && voyage.Goals.Above == 0 {
		return badInput{fmt.Errorf("the scenario has no goals: any kit is enough. Write goals.keep or goals.stay above")}
	}
	bar := newBar(stderr)
	opt := sim.SizeOptions{Members: o.number, Wanted: wanted, Workers: o.workers, Progress: func(kits, voyages int) {
		bar.say(fmt.Sprintf("kit %d, %d voyages sailed", kits, voyages))
	}}
	if !o.only {
		opt.Levels = []float64{0.5, 0.8, 0.9, 0.95, 0.99}
	}
	size, err := choice.Size(ctx, opt)
	bar.clear()
	if err != nil {
		return err
	}
	if size.Best >= 0 {
		if voyage, err = choice.Kit(size.Kits[size.Best].Kit); err != nil {
			return err
		}
	}
	found := &report.Sizing{Size: size, Box: box, Title: voyage.Title, Seed: o.seed, Notes: voyage.Notes}
	if err := print(stdout, found); err != nil || o.out == "" {
		return err
	}
	return o.write(ctx, stdout, drawn("size", chart.NewFrontier(frontier(found))), as.data("size", found))
}

// share checks the numbers and returns the wanted share.
func (o *sizeOptions) share() (float64, error) {
	wanted, err := units.Parse[units.Fraction](o.wanted)
	switch {
	case err != nil:
		return 0, badInput{fmt.Errorf("--wanted: %w", err)}
	case wanted <= 0 || wanted > 1:
		return 0, badInput{fmt.Errorf("--wanted %s is not above 0 %% and up to 100 %%", o.wanted)}
	}
	if err := o.check(); err != nil {
		return 0, err
	}
	switch {
	case o.by != "" && o.by != string(scenarios.ByWeight) && o.by != string(scenarios.ByPrice):
		return 0, badInput{fmt.Errorf("--by %q is not weight or price", o.by)}
	case len(o.ranges) == 0:
		return 0, badInput{fmt.Errorf("--range is missing: say what to choose from, like --range 'bank.capacity=100Ah..600Ah step 50Ah'")}
	}
	return float64(wanted), nil
}

// box reads the ranges and the kits.
func (o *sizeOptions) box(name string) (*scenarios.Kits, error) {
	var ranges []scenarios.Range
	for _, text := range o.ranges {
		r, err := scenarios.ParseRange(text)
		if err != nil {
			return nil, badInput{err}
		}
		ranges = append(ranges, r)
	}
	s, err := o.open(name)
	if err != nil {
		return nil, err
	}
	box, err := scenarios.ReadKits(s, ranges, scenarios.By(o.by))
	if err != nil {
		return nil, badInput{err}
	}
	if o.all {
		for i := range box.Box.Axes {
			box.Box.Axes[i].Rises = false
		}
	}
	return box, nil
}

// frontier returns the picture of what a weight or a price buys.
func frontier(s *report.Sizing) chart.FrontierInput {
	in := chart.FrontierInput{
		Title: s.Title, Wanted: s.Wanted, Axis: "weight of the kit, kg",
		Caption: fmt.Sprintf("ampwake %s; seed %d, %d weathers", version(), s.Seed, s.Members),
	}
	for _, line := range strings.SplitN(report.SizeAnswer(s), "\n", 3)[:2] {
		in.Facts = append(in.Facts, strings.Join(strings.Fields(line), " "))
	}
	switch r := &s.Box.Ranges[0]; {
	case s.Box.By == scenarios.ByPrice:
		in.Axis = "price of the kit"
	case s.Box.By == scenarios.ByOrder && r.Numbers != nil:
		in.Axis = r.Name() + ", " + r.Unit
	case s.Box.By == scenarios.ByOrder:
		in.Axis = r.Name() + ", by its values in order"
	}
	for i := range s.Kits {
		x := &s.Kits[i]
		p := x.Trial.Share()
		in.Kits = append(in.Kits, chart.FrontierKit{
			X: s.Box.Cost(x.Kit), P: p.P, Low: p.Low, High: p.High, Name: s.Box.Short(x.Kit),
			Early: !x.Trial.Complete(), Best: i == s.Best, Rival: i == s.Rival,
		})
	}
	for _, l := range s.Levels {
		if l.Best >= 0 {
			in.Kits[l.Best].Front = true
		}
	}
	return in
}
