package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"ampwake/cmd/internal/chart"
	"ampwake/cmd/internal/report"
	"ampwake/cmd/internal/sheet"
	"ampwake/scenarios"
	"ampwake/sim"
)

type compareOptions struct {
	weathers
	boat
	answer
	html string
	vary []string
	base string
}

func newCompareCommand() *cobra.Command {
	var o compareOptions
	c := &cobra.Command{
		Use:   "compare SCENARIO",
		Short: "Sail several kits through the same weathers and tell which one to carry",
		Long: `compare sails a scenario with several kits through the same seeded weathers, so
that the difference is the kit's and not the weather's. Its first three lines
answer: the least kit that holds in 95 of 100 weathers, what it gains in the same
weathers, and what that costs. Then comes one table of all kits.

The kits are the variants of the file, or the values that --vary gives; several
--vary are combined, each value with each. "Least" is by weight, if the file gives
it (bank.weighs and the like), else by price, else by the miles lost to the drag
of a generator, else by their order.

A value that holds a comma stands in brackets or quotes. An empty one leaves the
key out: --vary 'sources.hydro.down below=,60 %'.`,
		Example: `  ampwake compare bank-sizes --out out
  ampwake compare mine.yaml --vary bank.capacity=115Ah,230Ah,460Ah
  ampwake compare generator-choice -n 1000 --base 'below 60 %'`,
		RunE: func(c *cobra.Command, args []string) error {
			return runCompare(c.Context(), args[0], o, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	onScenario(c)
	f := c.Flags()
	f.StringArrayVar(&o.vary, "vary", nil, "try several values of a `path=value,value,…`; may be repeated")
	f.StringVar(&o.base, "base", "", "measure against the kit of this `name`, not against the first")
	o.weathers.flags(f, 300, "`weathers` to sail each kit through")
	f.StringArrayVar(&o.set, "set", nil, "override a `path=value` of the file for all kits; may be repeated")
	o.faultFlag(f)
	o.answer.flags(f, "compare.png, compare.svg, compare.json and compare.csv", "a row a kit")
	f.StringVar(&o.html, "html", "", "write the report as one self-contained HTML `file`")
	return c
}

func runCompare(ctx context.Context, name string, o compareOptions, stdout, stderr io.Writer) error {
	as := forms[*report.Kits]{report.CompareText, report.CompareJSON, report.CompareCSV}
	print, err := as.printer(o.answer)
	if err != nil {
		return err
	}
	if err := o.checkWorkers(); err != nil {
		return err
	}
	choices, base, read, err := o.choices(name)
	if err != nil {
		return err
	}
	if most := mostMembers / len(choices); o.number < 1 || o.number > most {
		return badInput{fmt.Errorf("-n %d is not between 1 and %d, for %d kits", o.number, most, len(choices))}
	}
	kits := &report.Kits{Seed: o.seed}
	var names []string
	var voyages []*sim.Voyage
	for _, choice := range choices {
		s, err := read(choice)
		if err != nil {
			return err
		}
		v, err := s.Seeded(o.seed)
		if err != nil {
			return badInput{fmt.Errorf("%s: %w", choice.Name, err)}
		}
		names, voyages, kits.Files = append(names, choice.Name), append(voyages, v), append(kits.Files, s.File)
	}
	progress := newBar(stderr).of("voyages")
	odds, err := sim.Fleet(ctx, voyages, sim.OddsOptions{Members: o.number, Workers: o.workers, Progress: progress.show})
	progress.clear()
	if err != nil {
		return err
	}
	kits.Comparison = sim.Compare(names, odds, base)
	stopped := odds[0].Stopped // as for odds
	if stopped != nil && o.format == "csv" {
		return stopped
	}
	if err := print(stdout, kits); err != nil {
		return err
	}
	if stopped != nil {
		return stopped
	}
	var out files
	if o.out != "" {
		out = files{dir: o.out, list: append(drawn("compare", chart.NewCompared(kitBands(kits))), as.data("compare", kits)...)}
	}
	if o.html != "" {
		page := sheet.Compare(kits, sheet.CompareOptions{
			Title: kits.Files[0].Title, Question: kits.Files[0].Question, Version: maker(), Bands: chart.NewCompared(kitBands(kits)),
		})
		out.page = []output{{o.html, page.Write}}
	}
	return out.write(ctx, o.format, stdout)
}

// choices returns the kits to compare, which of them is the base, and how to read
// one.
func (o *compareOptions) choices(name string) (all []scenarios.Choice, base int, read func(scenarios.Choice) (*scenarios.Scenario, error), err error) {
	var axes []scenarios.Axis
	for _, text := range o.vary {
		a, err := scenarios.ParseAxis(text)
		if err != nil {
			return nil, 0, nil, badInput{fmt.Errorf("--vary %w", err)}
		}
		axes = append(axes, a)
	}
	label, src, err := scenarios.Source(name)
	if err != nil {
		return nil, 0, nil, badInput{err}
	}
	if all, err = scenarios.Choices(label, src, axes); err != nil {
		return nil, 0, nil, badInput{err}
	}
	if o.base != "" {
		if base, err = scenarios.FindChoice(all, o.base); err != nil {
			return nil, 0, nil, badInput{fmt.Errorf("--base: %w", err)}
		}
	}
	return all, base, func(c scenarios.Choice) (*scenarios.Scenario, error) { return c.Read(label, src, o.set, o.faults...) }, nil
}

// kitBands returns the picture of a comparison: the band of each kit, as in the
// picture of its odds.
func kitBands(k *report.Kits) chart.CompareInput {
	o := k.Kits[k.Base].Odds
	in := chart.CompareInput{
		Title: o.Title, Caption: fmt.Sprintf("seed %d, ampwake %s", k.Seed, version()),
		About: fmt.Sprintf("lowest of each UTC day, the same %d weathers for all: band 8 in 10, line the median", o.Done),
	}
	for line := range strings.Lines(report.CompareAnswer(k)) {
		in.Facts = append(in.Facts, strings.Join(strings.Fields(line), " "))
	}
	for i := range k.Kits {
		c := &k.Kits[i]
		fan := band(c.Odds)
		says := fmt.Sprintf("holds in %s of 100", report.Hundred(c.Odds.Holds.P))
		if len(c.Odds.Goals) == 0 {
			says = ""
		}
		in.Kits = append(in.Kits, chart.KitBand{
			Name: c.Name, Says: says, Floor: fan.Floor, Best: i == k.Best(),
			Days: fan.Days, P10: fan.P10, P50: fan.P50, P90: fan.P90,
		})
	}
	return in
}
