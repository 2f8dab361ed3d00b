package main

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"net"
	"strconv"

	"github.com/spf13/cobra"

	"ampwake/cmd/internal/desk"
	"ampwake/scenarios"
)

type pageOptions struct {
	port  int
	quiet bool
}

func newPageCommand() *cobra.Command {
	var o pageOptions
	c := &cobra.Command{
		Use:   "page [SCENARIO]",
		Short: "Change kit and leg by hand in the browser, and see the curve answer at once",
		Long: `page serves a page to the browser of this machine and of no other: kit and leg
as sliders with their units, the curve of the state of charge at once, then the
odds of many weathers. Pin a kit to compare another with it, drag waypoints on
the map, save the file, print the card.

It needs no network. It writes no file: what is saved goes the way of every
download, and an unfinished change is kept by the browser. With --port the
address stays the same, and so does what the browser keeps.

It opens no file but SCENARIO and those that SCENARIO names (a GPX file, a log of
weather). Ctrl-C stops it.`,
		Example: `  ampwake page
  ampwake page mine.yaml
  ampwake page southern-ocean --port 8642 --no-browser`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return badInput{fmt.Errorf("want one scenario at most: a built-in name or a file, got %d arguments", len(args))}
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			name := ""
			if len(args) == 1 {
				name = args[0]
			}
			return servePage(c.Context(), name, o, c.OutOrStdout(), c.ErrOrStderr())
		},
		ValidArgsFunction: completeScenario,
	}
	f := c.Flags()
	f.IntVar(&o.port, "port", 0, "listen on this `port`; 0: any that is free")
	f.BoolVar(&o.quiet, "no-browser", false, "only print the address")
	return c
}

func servePage(ctx context.Context, name string, o pageOptions, stdout, stderr io.Writer) error {
	if o.port < 0 || o.port > 65535 {
		return badInput{fmt.Errorf("--port %d is not between 0 and 65535", o.port)}
	}
	opt := desk.Options{Version: maker(), Start: name, Log: slog.New(slog.NewTextHandler(stderr, &slog.HandlerOptions{Level: slog.LevelWarn}))}
	if name != "" {
		label, text, err := scenarios.Source(name)
		if err != nil {
			return badInput{err}
		}
		if !builtIn(label) {
			opt.Start, opt.Opened = "", desk.Open(label, text)
		}
	}
	l, err := net.Listen("tcp4", net.JoinHostPort("127.0.0.1", strconv.Itoa(o.port)))
	if err != nil {
		return fmt.Errorf("port %d cannot be had: %w", o.port, err)
	}
	url := "http://" + l.Addr().String() + "/"
	fmt.Fprintf(stdout, "The chart table is at %s\nCtrl-C stops it.\n", url)
	if t, ok := stdout.(*teller); ok && t.err != nil && o.quiet {
		_ = l.Close()
		return nil // nobody knows the address: the error is told by run
	}
	if !o.quiet {
		if err := desk.Browse(url); err != nil {
			fmt.Fprintf(stderr, "ampwake: no browser is opened (%v): open the address by hand\n", err)
		}
	}
	return desk.New(opt).Serve(ctx, l)
}

// builtIn reports whether a label is that of a built-in scenario: Source calls
// files by their path, and prefers a built-in name.
func builtIn(label string) bool {
	for _, b := range scenarios.Builtin() {
		if b.Name == label {
			return true
		}
	}
	return false
}
