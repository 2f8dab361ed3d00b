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
)

type mattersOptions struct {
	weathers
	boat
	answer
	seeded bool
}

func newMattersCommand() *cobra.Command {
	var o mattersOptions
	c := &cobra.Command{
		Use:   "matters SCENARIO",
		Short: "Tell which doubtful input moves the margin most",
		Long: `matters shifts each thing that is not known well, one at a time, by its usual
range: the age of the bank, shade and dirt, cloud, the generator's output and
drag, the speed of the boat, what each load draws, and more. It ranks them by
what they do to the margin, the lowest state of charge over the floor: that is
what to measure before leaving.

Each range is named with its source; most are common practice. Without -n it
sails through the weather that the file gives, with -n through so many seeded
weathers, the same for each shift.`,
		Example: `  ampwake matters radio-cover --out out
  ampwake matters southern-ocean -n 100`,
		RunE: func(c *cobra.Command, args []string) error {
			o.seeded = c.Flags().Changed("number") || c.Flags().Changed("seed")
			return runMatters(c.Context(), args[0], o, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	onScenario(c)
	f := c.Flags()
	o.weathers.flags(f, 1, "seeded `weathers` to sail each shift through, in place of that of the file")
	o.boat.flags(f, "take this")
	o.faultFlag(f)
	o.answer.flags(f, "matters.png, matters.svg, matters.json and matters.csv", "a row a shift")
	return c
}

func runMatters(ctx context.Context, name string, o mattersOptions, stdout, stderr io.Writer) error {
	as := forms[*report.Matters]{report.MattersText, report.MattersJSON, report.MattersCSV}
	print, err := as.printer(o.answer)
	if err != nil {
		return err
	}
	if err := o.check(); err != nil {
		return err
	}
	s, err := o.open(name)
	if err != nil {
		return err
	}
	bar := newBar(stderr)
	m, err := o.shift(ctx, s, func(done, total int) {
		bar.say(fmt.Sprintf("%d of %d voyages", done*o.number, total*o.number))
	})
	bar.clear()
	if err != nil {
		return err
	}
	if err := print(stdout, m); err != nil || o.out == "" {
		return err
	}
	return o.write(ctx, stdout, drawn("matters", chart.NewTornado(tornado(m))), as.data("matters", m))
}

// shift sails the scenario as it stands and with each doubt shifted.
func (o *mattersOptions) shift(ctx context.Context, s *scenarios.Scenario, progress func(done, total int)) (*report.Matters, error) {
	var seed *uint64
	if o.seeded {
		seed = &o.seed
	}
	base, err := s.Shifted(&scenarios.Shift{}, seed)
	if err != nil {
		return nil, badInput{err}
	}
	sail := func(v *sim.Voyage) (*sim.Odds, error) {
		odds, err := v.Odds(ctx, sim.OddsOptions{Members: o.number, Workers: o.workers})
		if err != nil {
			return nil, err
		}
		return odds, odds.Stopped
	}
	m := &report.Matters{Title: base.Title, Seed: seed, Notes: base.Notes}
	if m.Base, err = sail(base); err != nil {
		return nil, err
	}
	list := s.Doubts(o.seeded)
	for i, d := range list {
		row := report.Matter{Doubt: d}
		for _, side := range []struct {
			shift *scenarios.Shift
			to    **sim.Compared
		}{{d.Low, &row.Low}, {d.High, &row.High}} {
			if side.shift == nil {
				continue
			}
			v, err := s.Shifted(side.shift, seed)
			if err != nil { // it cannot be so in this scenario
				m.LeftOut = append(m.LeftOut, fmt.Sprintf("%s at %s: %v", d.Name, side.shift.Text, err))
				continue
			}
			odds, err := sail(v)
			if err != nil {
				return nil, err
			}
			*side.to = &sim.Compare([]string{"as the file has it", side.shift.Text}, []*sim.Odds{m.Base, odds}, 0).Kits[1]
		}
		if row.Low != nil || row.High != nil {
			m.Rows = append(m.Rows, row)
		}
		progress(2*i+3, 2*len(list)+1)
	}
	m.Rank()
	return m, nil
}

// tornado returns the picture of what matters.
func tornado(m *report.Matters) chart.TornadoInput {
	in := chart.TornadoInput{
		Title: m.Title, What: "Change of the margin, points of charge", About: "each shifted alone, by its usual range",
		Caption: maker(),
	}
	if m.Seed != nil {
		in.Caption += fmt.Sprintf("; seed %d, %d weathers", *m.Seed, m.Base.Done)
	}
	for _, line := range strings.SplitN(report.MattersAnswer(m), "\n", 3)[:2] {
		in.Facts = append(in.Facts, strings.Join(strings.Fields(line), " "))
	}
	sum := 0.0
	for _, x := range m.Base.Members {
		sum += float64(x.Margin)
	}
	in.Edge, in.EdgeName = -100*sum/float64(len(m.Base.Members)), "at the floor"
	for i := range m.Rows {
		x := &m.Rows[i]
		row := chart.TornadoRow{Name: x.Doubt.Name}
		for _, side := range []struct {
			shift *scenarios.Shift
			c     *sim.Compared
		}{{x.Doubt.Low, x.Low}, {x.Doubt.High, x.High}} {
			if side.c != nil {
				row.Bars = append(row.Bars, chart.TornadoBar{Shift: side.shift.Text, By: 100 * float64(side.c.Margin.By), Note: m.Harm(side.c)})
			}
		}
		in.Rows = append(in.Rows, row)
	}
	return in
}
