package main

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"ampwake/cmd/internal/card"
	"ampwake/cmd/internal/card/paper"
)

type cardOptions struct {
	weathers
	boat
	out   string
	paper string
}

func newCardCommand() *cobra.Command {
	var o cardOptions
	c := &cobra.Command{
		Use:   "card SCENARIO --out FOLDER",
		Short: "Print the passage on a card: what is normal in each zone, and what to do when it is not",
		Long: `card writes card.pdf, two sides for each ocean zone of the passage (voyage.zones
of the file, or else the legs of the route), black on white and legible in the
light of a red torch.

The first side is to act by: the budget of a day, scheds and charts, what to do
at which voltage, days left, hours of generator and engine. The second is a log
with the projected band of the state of charge at noon, empty, to be filled in by
pencil.

What is normal comes from many seeded weathers, as in "ampwake odds"; the tables
come from a boat that stands in the middle of the zone. Print it on both sides of
the paper.`,
		Example: `  ampwake card southern-ocean --out out
  ampwake card mine.yaml --out out --paper letter -n 500`,
		RunE: func(c *cobra.Command, args []string) error {
			return runCard(c.Context(), args[0], o, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	onScenario(c)
	f := c.Flags()
	o.weathers.flags(f, 200, "`weathers` to sail through")
	o.boat.flags(f, "sail only this")
	f.StringVar(&o.out, "out", "", "write card.pdf into `folder`")
	f.StringVar(&o.paper, "paper", "a4", "the `size` of the paper: a4 or letter")
	return c
}

func runCard(ctx context.Context, name string, o cardOptions, stdout, stderr io.Writer) error {
	size, err := paper.ParseSize(o.paper)
	if err != nil {
		return badInput{fmt.Errorf("--%w", err)}
	}
	if o.out == "" {
		return badInput{fmt.Errorf("--out is missing: where is card.pdf to go?")}
	}
	if err := o.check(); err != nil {
		return err
	}
	s, err := o.open(name)
	if err != nil {
		return err
	}
	progress := newBar(stderr)
	c, err := card.New(ctx, s, card.Options{Weathers: o.number, Seed: o.seed, Workers: o.workers, Progress: progress.show})
	progress.clear()
	if err != nil {
		return err
	}
	written, err := files{dir: o.out, list: []output{{"card.pdf", func(w io.Writer) error {
		return paper.Write(w, c, paper.Options{Size: size, Version: maker()})
	}}}}.writeAll(ctx)
	if err != nil {
		return err
	}
	if !c.Seeded {
		fmt.Fprintf(stdout, "One weather only: %s\n", c.Why)
	}
	_, err = fmt.Fprintf(stdout, "Written to %s: %s, %d sides for %d zones\n", o.out, written, 2*len(c.Zones), len(c.Zones))
	return err
}
