package main

import (
	"context"
	"fmt"
	"io"
	"slices"

	"github.com/spf13/cobra"

	"ampwake/cmd/internal/chart"
	"ampwake/cmd/internal/report"
	"ampwake/cmd/internal/sheet"
	"ampwake/cmd/internal/trackfile"
	"ampwake/scenarios"
	"ampwake/sim"
)

type runOptions struct {
	boat
	answer
	seed uint64
	html string
}

func newRunCommand() *cobra.Command {
	var o runOptions
	c := &cobra.Command{
		Use:   "run SCENARIO",
		Short: "Sail a scenario once and answer its question",
		Long: `run sails a built-in scenario, or a scenario file, once through the weather
that the file gives. Its first three lines answer the question: does it hold,
what fails first and when (or where it is tightest), and the margin. Then come
the daily budget, the worst moments and what was assumed.

A scenario with variants is sailed once for each: the answer is a line a
variant, and the report is that of the scenario as it stands.`,
		Example: `  ampwake run radio-cover --out out
  ampwake run mine.yaml --set bank.capacity=440Ah --set 'loads[HF radio].for=20 min'
  ampwake run bank-sizes --variant 'one battery'`,
		RunE: func(c *cobra.Command, args []string) error {
			return runScenario(c.Context(), args[0], o, c.OutOrStdout())
		},
	}
	onScenario(c)
	f := c.Flags()
	o.boat.flags(f, "sail only this")
	o.faultFlag(f)
	o.trialFlag(f, "")
	o.answer.flags(f, "the pictures of passage and track (png, svg), the track (gpx, geojson), run.json, days.csv and steps.csv", "a row a day")
	f.Uint64Var(&o.seed, "seed", 0, "`number` that random faults are drawn from")
	f.StringVar(&o.html, "html", "", htmlUsage)
	return c
}

// htmlUsage is the help of --html.
const htmlUsage = "write a report into `file`: HTML that needs no network, for a screen and for paper"

func runScenario(ctx context.Context, name string, o runOptions, w io.Writer) error {
	print, err := forms[*sim.Result]{report.Text, report.JSON, report.Daily}.printer(o.answer)
	if err != nil {
		return err
	}
	s, _, err := o.tried(name)
	if err != nil {
		return err
	}
	res, err := o.voyage(s).Sail(ctx, sim.Options{Trace: o.out != "" || o.html != ""})
	if err != nil {
		return err
	}
	var variants []sheet.Variant
	if o.format == "text" || o.html != "" {
		if variants, err = sailVariants(ctx, s, name, o); err != nil {
			return err
		}
	}
	if o.format == "text" && len(variants) > 0 {
		lines := ""
		for _, v := range variants {
			lines += report.Line(v.Name, v.Result) + "\n"
		}
		if _, err := io.WriteString(w, lines+"\nAs the file stands:\n"); err != nil {
			return err
		}
	}
	if err := print(w, res); err != nil {
		return err
	}
	var out files
	if o.out != "" {
		out = runFiles(o.out, s, res)
	}
	if o.html != "" {
		page := sheet.Run(res, sheet.RunOptions{Question: s.File.Question, Kinds: kinds(s), Version: maker(), Variants: variants})
		out.page = []output{{o.html, page.Write}}
	}
	return out.write(ctx, o.format, w)
}

// voyage returns the voyage of a scenario with its random faults as --seed has them.
func (o *runOptions) voyage(s *scenarios.Scenario) *sim.Voyage {
	v := *s.Voyage()
	v.FaultSeed = o.seed
	atRandom := func(f sim.Fault) bool { return f.Every > 0 }
	if o.seed != 0 && slices.ContainsFunc(v.Faults, atRandom) {
		v.Notes = append(slices.Clip(v.Notes), sim.Note{About: "faults", Text: fmt.Sprintf("those at random are drawn from seed %d", o.seed)})
	}
	return &v
}

// sailVariants sails every variant of the file, unless one was asked for.
func sailVariants(ctx context.Context, s *scenarios.Scenario, name string, o runOptions) ([]sheet.Variant, error) {
	if o.variant != "" {
		return nil, nil
	}
	var all []sheet.Variant
	err := o.variants(name, s, func(variant string, v *scenarios.Scenario) error {
		res, err := o.voyage(v).Sail(ctx, sim.Options{})
		all = append(all, sheet.Variant{Name: variant, Result: res})
		return err
	})
	return all, err
}

// runFiles are the pictures and the data of a run.
func runFiles(dir string, s *scenarios.Scenario, res *sim.Result) files {
	page := chart.NewPassage(res, chart.PassageOptions{Kinds: kinds(s), Version: maker()})
	route := s.Voyage().Route
	way := chart.NewTrack(res, route, chart.TrackOptions{Version: maker()})
	voyage := trackfile.Voyage{Result: res, Route: route, Maker: maker()}
	return files{dir: dir, list: slices.Concat(drawn("passage", page), drawn("track", way), []output{
		made("track.gpx", trackfile.GPX, voyage),
		made("track.geojson", trackfile.GeoJSON, voyage),
		made("run.json", report.JSON, res),
		made("days.csv", report.Daily, res),
		made("steps.csv", report.Steps, res),
	})}
}

// kinds gives each source and load the colour of its kind.
func kinds(s *scenarios.Scenario) map[string]chart.Kind {
	m := map[string]chart.Kind{}
	for name, kind := range s.Kinds() {
		m[name] = chart.Kind(kind)
	}
	return m
}
