package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"ampwake/cmd/internal/chart"
	"ampwake/cmd/internal/report"
	"ampwake/scenarios"
	"ampwake/scenarios/outlook"
	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

type climateOptions struct {
	boat
	answer
	tilt   string
	facing string
	rated  string
	month  string
	given  func(flag string) bool
}

func newClimateCommand() *cobra.Command {
	var o climateOptions
	c := &cobra.Command{
		Use:   "climate POSITION|SCENARIO",
		Short: "Tell what weather, light and night to expect, by month or along the route",
		Long: `climate tells what the ocean climate holds: wind, calms and gales, cloud,
temperatures, hours of night, sunlight, and what panels make of it.

At a position it does so by month, for 100 W of flat panel unless --rated, --tilt
or --facing say otherwise. With --month it tells of one month, and what tilting
and turning the panel make of it.

Along a scenario it sails the voyage through the climate's mean weather, in place
of what the file says of the weather, and tells what she meets day by day and what
her own panels make.

A position has degrees and letters, in one argument or several: 16.883N 25W,
33 02 S 17 57 E, or, in the quotes that its minutes need, "16°53'N 025°00'W".`,
		Example: `  ampwake climate "16°53'N 25°W"
  ampwake climate 50N 20W --month june --out out
  ampwake climate 38N 28W --tilt 40° --facing south
  ampwake climate radio-cover --out out`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return badInput{errors.New("want a position like 16°53'N 25°W, or one scenario")}
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			o.given = c.Flags().Changed
			return runClimate(c.Context(), args, o, c.OutOrStdout())
		},
		ValidArgsFunction: completeScenario,
	}
	f := c.Flags()
	f.StringVar(&o.rated, "rated", "100 W", "at a position: the panel's `power`")
	f.StringVar(&o.tilt, "tilt", "0°", "at a position: the panel's `angle` from the level")
	f.StringVar(&o.facing, "facing", "any", "at a position: where a tilted panel looks: any (the heading is not known), a true `direction` like south, or trimmed to the sun 3 times a day")
	f.StringVar(&o.month, "month", "", "at a position: tell of this `month` alone")
	f.StringArrayVar(&o.set, "set", nil, "of a scenario: "+setUsage)
	f.StringVar(&o.variant, "variant", "", "of a scenario: sail this `name` of the file's variants")
	o.answer.flags(f, "climate.png, climate.svg, climate.json and climate.csv", "a row a month or a day")
	return c
}

func runClimate(ctx context.Context, args []string, o climateOptions, w io.Writer) error {
	if err := o.checkFormat(); err != nil {
		return err
	}
	text := strings.Join(args, " ")
	place, err := track.ParsePosition(text)
	if err == nil {
		return climateAt(ctx, place, o, w)
	}
	if len(args) > 1 || strings.ContainsRune(text, '°') {
		return badInput{fmt.Errorf("neither a position nor one scenario: %w", err)}
	}
	if _, _, missing := scenarios.Source(text); missing != nil {
		return badInput{fmt.Errorf("%w; nor is it a position like 16°53'N 25°W", missing)}
	}
	return climateAlong(ctx, text, o, w)
}

// climateAt tells of a position.
func climateAt(ctx context.Context, place track.Position, o climateOptions, w io.Writer) error {
	if o.given("set") || o.given("variant") {
		return badInput{errors.New("--set and --variant are for a scenario: at a position give --rated, --tilt and --facing")}
	}
	panel, err := o.panel()
	if err != nil {
		return badInput{err}
	}
	month, err := parseMonth(o.month)
	if err != nil {
		return badInput{err}
	}
	year, err := outlook.Months(place, panel)
	if err != nil {
		return outside(err)
	}
	var tilts *outlook.Tilts
	if month != 0 {
		if tilts, err = outlook.InMonth(place, month, panel); err != nil {
			return outside(err)
		}
	}
	return o.tell(ctx, w, told{
		text: func(w io.Writer) error {
			if tilts != nil {
				return report.Month(w, year, tilts)
			}
			return report.Year(w, year)
		},
		json: func(w io.Writer) error { return report.YearJSON(w, year, tilts) },
		csv:  func(w io.Writer) error { return report.YearCSV(w, year, month) },
		picture: func() *chart.Climate {
			return chart.NewClimateYear(year, around("The climate at "+place.String(), report.YearAnswer(year)))
		},
	})
}

// climateAlong tells of a scenario.
func climateAlong(ctx context.Context, name string, o climateOptions, w io.Writer) error {
	for _, f := range []string{"rated", "tilt", "facing", "month"} {
		if o.given(f) {
			return badInput{fmt.Errorf("--%s is for a position: the panels of a scenario are in its file, see --set", f)}
		}
	}
	s, err := o.open(name)
	if err != nil {
		return err
	}
	passage, err := outlook.Along(ctx, s)
	if err != nil {
		return outside(err)
	}
	return o.tell(ctx, w, told{
		text: func(w io.Writer) error { return report.Passage(w, passage) },
		json: func(w io.Writer) error { return report.PassageJSON(w, passage) },
		csv:  func(w io.Writer) error { return report.PassageCSV(w, passage) },
		picture: func() *chart.Climate {
			return chart.NewClimatePassage(passage, around("The climate along "+passage.Title, report.PassageAnswer(passage)))
		},
	})
}

// told is one answer in all its forms.
type told struct {
	text, json, csv func(io.Writer) error
	picture         func() *chart.Climate
}

// around is what stands around the panels of the picture: the answer.
func around(title, answer string) chart.ClimateOptions {
	o := chart.ClimateOptions{Title: title, Caption: maker()}
	for line := range strings.Lines(answer) {
		what, rest, _ := strings.Cut(line, " ")
		o.Facts = append(o.Facts, what+": "+strings.TrimSpace(rest))
	}
	return o
}

// tell prints the answer in the form asked for and writes the others into the
// folder of --out.
func (o *climateOptions) tell(ctx context.Context, w io.Writer, t told) error {
	print := map[string]func(io.Writer) error{"text": t.text, "json": t.json, "csv": t.csv}[o.format]
	if err := print(w); err != nil || o.out == "" {
		return err
	}
	return o.write(ctx, w, drawn("climate", t.picture()), []output{{"climate.json", t.json}, {"climate.csv", t.csv}})
}

// panel is the panel at a position.
func (o *climateOptions) panel() (outlook.Panel, error) {
	p := outlook.Reference()
	rated, err := units.Parse[units.Watts](o.rated)
	if err != nil || !(rated >= 1 && rated <= 5000) {
		return p, fmt.Errorf("--rated %q: want a power from 1 W to 5 kW, like 85 W", o.rated)
	}
	p.Rated = rated
	tilt, err := units.Parse[units.Degrees](o.tilt)
	if err != nil || !(tilt >= 0 && tilt <= 90) {
		return p, fmt.Errorf("--tilt %q: want an angle from 0° to 90°, like 40° or 40deg", o.tilt)
	}
	var f outlook.Facing
	if err := f.UnmarshalText([]byte(o.facing)); err != nil {
		return p, fmt.Errorf("--facing: %w", err)
	}
	if p, err = f.On(p, tilt, o.given("tilt")); err != nil {
		return p, fmt.Errorf("--facing %s: %w", o.facing, err)
	}
	return p, nil
}

// parseMonth reads "june", "Jun" or "6"; "" is no month.
func parseMonth(text string) (time.Month, error) {
	if text == "" {
		return 0, nil
	}
	if n, err := strconv.Atoi(text); err == nil && n >= 1 && n <= 12 {
		return time.Month(n), nil
	}
	for m := time.January; m <= time.December; m++ {
		if len(text) >= 3 && strings.HasPrefix(strings.ToLower(m.String()), strings.ToLower(text)) {
			return m, nil
		}
	}
	return 0, fmt.Errorf("--month %q is no month: want one like june, jun or 6", text)
}

// outside marks a place without a climate as something the user can mend.
func outside(err error) error {
	if errors.Is(err, climate.ErrInland) {
		return badInput{err}
	}
	return err
}
