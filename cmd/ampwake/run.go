package main

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"ampwake/cmd/internal/chart"
	"ampwake/cmd/internal/report"
	"ampwake/cmd/internal/sheet"
	"ampwake/cmd/internal/trackfile"
	"ampwake/scenarios"
	"ampwake/sim"
)

type runOptions struct {
	set     []string
	faults  []string
	variant string
	trial   string
	out     string
	html    string
	format  string
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
		Args: exactly(1, "one scenario: a built-in name or a file"),
		RunE: func(c *cobra.Command, args []string) error {
			return runScenario(c.Context(), args[0], o, c.OutOrStdout())
		},
		ValidArgsFunction: completeScenario,
	}
	f := c.Flags()
	f.StringArrayVar(&o.set, "set", nil, "override a `path=value` of the file; may be repeated")
	f.StringArrayVar(&o.faults, "fault", nil, faultUsage)
	f.StringVar(&o.variant, "variant", "", "sail only this `name` of the file's variants")
	f.StringVar(&o.trial, "trial", "", trialUsage)
	f.StringVar(&o.out, "out", "", "write the pictures of passage and track (png, svg), the track (gpx, geojson), run.json, days.csv and steps.csv into `folder`")
	f.StringVar(&o.html, "html", "", htmlUsage)
	f.StringVar(&o.format, "format", "text", "what to print: `text`, json or csv (a row a day)")
	return c
}

// htmlUsage is the help of --html.
const htmlUsage = "write a report into `file`: HTML that needs no network, for a screen and for paper"

// faultUsage is the help of --fault.
const faultUsage = "something goes wrong, like `'rail panel: lost, day 12'`; may be repeated"

func runScenario(ctx context.Context, name string, o runOptions, w io.Writer) error {
	write, err := writer(o.format)
	if err != nil {
		return err
	}
	found, err := openTrial(o.trial)
	if err != nil {
		return err
	}
	o.set = corrected(found, o.set)
	s, err := open(name, o.set, o.variant, o.faults...)
	if err != nil {
		return err
	}
	res, err := s.Voyage().Sail(ctx, sim.Options{Trace: o.out != "" || o.html != ""})
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
	if err := write(w, res); err != nil {
		return err
	}
	var out files
	if o.out != "" {
		out = runFiles(o.out, s, res)
	}
	if o.html != "" {
		page := sheet.Run(res, sheet.RunOptions{Question: s.File.Question, Kinds: kinds(s), Version: "ampwake " + version(), Variants: variants})
		out.page = []output{{o.html, page.Write}}
	}
	return out.write(ctx, o.format, w)
}

// writer returns the printer of a format.
func writer(format string) (func(io.Writer, *sim.Result) error, error) {
	switch format {
	case "text":
		return report.Text, nil
	case "json":
		return report.JSON, nil
	case "csv":
		return report.Daily, nil
	}
	return nil, badInput{fmt.Errorf("--format %q is not text, json or csv", format)}
}

// sailVariants sails every variant of the file, unless one was asked for.
func sailVariants(ctx context.Context, s *scenarios.Scenario, name string, o runOptions) ([]sheet.Variant, error) {
	if o.variant != "" {
		return nil, nil
	}
	var all []sheet.Variant
	for i := range s.File.Variants {
		v, err := open(name, o.set, s.File.Variants[i].Name, o.faults...)
		if err != nil {
			return nil, err
		}
		res, err := v.Voyage().Sail(ctx, sim.Options{})
		if err != nil {
			return nil, err
		}
		all = append(all, sheet.Variant{Name: s.File.Variants[i].Name, Result: res})
	}
	return all, nil
}

// runFiles are the pictures and the data of a run.
func runFiles(dir string, s *scenarios.Scenario, res *sim.Result) files {
	page := chart.NewPassage(res, chart.PassageOptions{Kinds: kinds(s), Version: "ampwake " + version()})
	route := s.Voyage().Route
	way := chart.NewTrack(res, route, chart.TrackOptions{Version: "ampwake " + version()})
	voyage := trackfile.Voyage{Result: res, Route: route, Maker: "ampwake " + version()}
	return files{dir: dir, list: []output{
		{"passage.png", func(w io.Writer) error { return page.Encode(w, "png") }},
		{"passage.svg", func(w io.Writer) error { return page.Encode(w, "svg") }},
		{"track.png", func(w io.Writer) error { return way.Encode(w, "png") }},
		{"track.svg", func(w io.Writer) error { return way.Encode(w, "svg") }},
		{"track.gpx", func(w io.Writer) error { return trackfile.GPX(w, voyage) }},
		{"track.geojson", func(w io.Writer) error { return trackfile.GeoJSON(w, voyage) }},
		{"run.json", func(w io.Writer) error { return report.JSON(w, res) }},
		{"days.csv", func(w io.Writer) error { return report.Daily(w, res) }},
		{"steps.csv", func(w io.Writer) error { return report.Steps(w, res) }},
	}}
}

// kinds gives each source and load the colour of its kind.
func kinds(s *scenarios.Scenario) map[string]chart.Kind {
	m := map[string]chart.Kind{}
	for name, kind := range s.Kinds() {
		m[name] = chart.Kind(kind)
	}
	return m
}

// open reads a built-in scenario or a file, with overrides and one variant.
func open(name string, set []string, variant string, faults ...string) (*scenarios.Scenario, error) {
	label, src, err := scenarios.Source(name)
	if err != nil {
		return nil, badInput{err}
	}
	return scenarios.Read(label, src, set, variant, faults...)
}
