package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"ampwake/cmd/internal/chart"
	"ampwake/cmd/internal/report"
	"ampwake/scenarios/breakeven"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

type breakEvenOptions struct {
	boat
	answer
	at    string
	month string
	speed string
}

func newBreakEvenCommand() *cobra.Command {
	var o breakEvenOptions
	c := &cobra.Command{
		Use:   "breakeven SCENARIO",
		Short: "Tell at what speed, under what cloud, where and when the kit carries the loads",
		Long: `breakeven sails single days with a scenario's sources and loads and tells what a
day makes less what it uses: against boat speed and cloud at one place and month,
half way along the passage unless --at and --month say otherwise; and against
latitude and month at one speed, her mean speed unless --speed says otherwise.

The first line tells the speed at which she breaks even, the second what a day
without way costs, the third where at sea she lives on her kit all year. With --out
both maps are drawn.

The bank is taken to accept all that is made; the engine and the shore charger are
left out: the question is whether she lives without them.`,
		Example: `  ampwake breakeven radio-cover --out out
  ampwake breakeven southern-ocean --at "50°S 120°W" --month june
  ampwake breakeven mine.yaml --speed 0kn --set 'loads[HF radio].for=20 min'`,
		RunE: func(c *cobra.Command, args []string) error {
			return runBreakEven(c.Context(), args[0], o, c.OutOrStdout())
		},
	}
	onScenario(c)
	f := c.Flags()
	f.StringVar(&o.at, "at", "", "the `position` of the map by speed and cloud, like \"16°53'N 25°W\"")
	f.StringVar(&o.month, "month", "", "the `month` of the map by speed and cloud")
	f.StringVar(&o.speed, "speed", "", "the `speed` through the water of the map by latitude and month, like 5kn")
	o.boat.flags(f, "take this")
	o.answer.flags(f, "breakeven.png and .svg, breakeven-year.png and .svg, breakeven.json and breakeven.csv", "a row a day of the maps")
	return c
}

func runBreakEven(ctx context.Context, name string, o breakEvenOptions, w io.Writer) error {
	as := forms[*breakeven.Maps]{report.BreakEven, report.BreakEvenJSON, report.BreakEvenCSV}
	print, err := as.printer(o.answer)
	if err != nil {
		return err
	}
	opt, err := o.options()
	if err != nil {
		return badInput{err}
	}
	s, err := o.open(name)
	if err != nil {
		return err
	}
	m, err := breakeven.Of(ctx, s, opt)
	if err != nil {
		return err
	}
	if err := print(w, m); err != nil || o.out == "" {
		return err
	}
	return o.write(ctx, w, breakEvenPictures(m), as.data("breakeven", m))
}

// options reads what was asked for.
func (o *breakEvenOptions) options() (opt breakeven.Options, err error) {
	if o.at != "" {
		p, err := track.ParsePosition(o.at)
		if err != nil {
			return opt, fmt.Errorf("--at: %w", err)
		}
		if p.Lat < -85 || p.Lat > 85 {
			return opt, fmt.Errorf("--at %q: want a latitude within 85°", o.at)
		}
		opt.At = &p
	}
	if opt.Month, err = parseMonth(o.month); err != nil {
		return opt, err
	}
	if o.speed != "" {
		v, err := units.Parse[units.Knots](o.speed)
		if err != nil || !(v >= 0 && v <= 20) {
			return opt, fmt.Errorf("--speed %q: want a speed from 0 kn to 20 kn, like 5 kn", o.speed)
		}
		opt.Speed = &v
	}
	return opt, nil
}

// breakEvenPictures are both maps.
func breakEvenPictures(m *breakeven.Maps) []output {
	lines := strings.Split(strings.TrimSpace(report.BreakEvenAnswer(m)), "\n")
	fact := func(line string) string {
		what, rest, _ := strings.Cut(line, " ")
		return what + ": " + strings.TrimSpace(rest) + "."
	}
	speed := chart.NewBreakEven(m, chart.BreakEvenOptions{Version: maker(), Facts: []string{fact(lines[0]), fact(lines[1])}})
	year := chart.NewBreakEvenYear(m, chart.BreakEvenOptions{Version: maker(), Facts: []string{fact(lines[2])}})
	return append(drawn("breakeven", speed), drawn("breakeven-year", year)...)
}
