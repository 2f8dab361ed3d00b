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
	html    string
	vary    []string
	base    string
	members int
	seed    uint64
	workers int
	set     []string
	faults  []string
	out     string
	format  string
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
		Args: exactly(1, "one scenario: a built-in name or a file"),
		RunE: func(c *cobra.Command, args []string) error {
			return runCompare(c.Context(), args[0], o, c.OutOrStdout(), c.ErrOrStderr())
		},
		ValidArgsFunction: completeScenario,
	}
	f := c.Flags()
	f.StringArrayVar(&o.vary, "vary", nil, "try several values of a `path=value,value,…`; may be repeated")
	f.StringVar(&o.base, "base", "", "measure against the kit of this `name`, not against the first")
	f.IntVarP(&o.members, "number", "n", 300, "`weathers` to sail each kit through")
	f.Uint64Var(&o.seed, "seed", 1, "`number` that the weathers are drawn from")
	f.IntVar(&o.workers, "workers", 0, "voyages under way at once; 0: one for each `core`")
	f.StringArrayVar(&o.set, "set", nil, "override a `path=value` of the file for all kits; may be repeated")
	f.StringArrayVar(&o.faults, "fault", nil, faultUsage)
	f.StringVar(&o.out, "out", "", "write compare.png, compare.svg, compare.json and compare.csv into `folder`")
	f.StringVar(&o.html, "html", "", "write the report as one self-contained HTML `file`")
	f.StringVar(&o.format, "format", "text", "what to print: `text`, json or csv (a row a kit)")
	return c
}

func runCompare(ctx context.Context, name string, o compareOptions, stdout, stderr io.Writer) error {
	write, err := compareWriter(o.format)
	if err != nil {
		return err
	}
	if o.workers < 0 {
		return badInput{fmt.Errorf("--workers %d is less than 0", o.workers)}
	}
	choices, base, read, err := o.choices(name)
	if err != nil {
		return err
	}
	if most := mostMembers / len(choices); o.members < 1 || o.members > most {
		return badInput{fmt.Errorf("-n %d is not between 1 and %d, for %d kits", o.members, most, len(choices))}
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
	odds, err := sim.Fleet(ctx, voyages, sim.OddsOptions{Members: o.members, Workers: o.workers, Progress: progress.show})
	progress.clear()
	if err != nil {
		return err
	}
	kits.Comparison = sim.Compare(names, odds, base)
	stopped := odds[0].Stopped // as for odds
	if stopped != nil && o.format == "csv" {
		return stopped
	}
	if err := write(stdout, kits); err != nil {
		return err
	}
	if stopped != nil {
		return stopped
	}
	var out files
	if o.out != "" {
		out = compareFiles(o.out, kits)
	}
	if o.html != "" {
		page := sheet.Compare(kits, sheet.CompareOptions{
			Title: kits.Files[0].Title, Question: kits.Files[0].Question, Version: "ampwake " + version(), Bands: chart.NewCompared(kitBands(kits)),
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

// compareWriter returns the printer of a format.
func compareWriter(format string) (func(io.Writer, *report.Kits) error, error) {
	switch format {
	case "text":
		return report.CompareText, nil
	case "json":
		return report.CompareJSON, nil
	case "csv":
		return report.CompareCSV, nil
	}
	return nil, badInput{fmt.Errorf("--format %q is not text, json or csv", format)}
}

// compareFiles are the picture and the data for the folder of --out.
func compareFiles(dir string, k *report.Kits) files {
	page := chart.NewCompared(kitBands(k))
	return files{dir: dir, list: []output{
		{"compare.png", func(w io.Writer) error { return page.Encode(w, "png") }},
		{"compare.svg", func(w io.Writer) error { return page.Encode(w, "svg") }},
		{"compare.json", func(w io.Writer) error { return report.CompareJSON(w, k) }},
		{"compare.csv", func(w io.Writer) error { return report.CompareCSV(w, k) }},
	}}
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
