// Command ampwake tells a short-handed sailor, before the lines are let go,
// whether the boat will make more electricity than it uses.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"ampwake/scenarios/form"
)

func main() { os.Exit(Main()) }

// Main runs the command line of the process and returns its exit code.
func Main() int {
	// Without this a reader that goes away kills the process at once, which then
	// writes no files.
	signal.Notify(make(chan os.Signal, 1), syscall.SIGPIPE)
	var stops []os.Signal
	for _, s := range []os.Signal{os.Interrupt, syscall.SIGTERM} {
		if !signal.Ignored(s) { // as by nohup, or a shell for what runs behind
			stops = append(stops, s)
		}
	}
	ctx := context.Background()
	if len(stops) > 0 { // with none named, all would be taken
		with, stop := signal.NotifyContext(ctx, stops...)
		defer stop()
		context.AfterFunc(with, stop) // the second signal ends the process at once
		ctx = with
	}
	return run(ctx, os.Args[1:], os.Stdout, os.Stderr)
}

// Exit codes.
const (
	exitOK          = 0
	exitFailure     = 1   // something broke: a full disk, a folder that cannot be written
	exitBadInput    = 2   // a wrong flag, name or scenario
	exitInterrupted = 130 // stopped by the user
)

// badInput marks an error that the user can mend in what was typed.
type badInput struct{ error }

func (e badInput) Unwrap() error { return e.error }

// run is the command line without the process around it.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	root := newRoot()
	root.SetArgs(args)
	told := &teller{w: stdout}
	root.SetOut(told)
	root.SetErr(stderr)
	err := root.ExecuteContext(ctx)
	if err == nil && told.err != nil {
		err = fmt.Errorf("not all could be printed: %w", told.err)
	}
	if err == nil {
		return exitOK
	}
	return explain(stderr, err)
}

// explain prints an error once and returns its exit code.
func explain(w io.Writer, err error) int {
	if problems, ok := errors.AsType[*form.Problems](err); ok {
		_ = problems.Print(w) // the exit code tells all the same
		return exitBadInput
	}
	if errors.Is(err, context.Canceled) {
		fmt.Fprintln(w, "ampwake: interrupted")
		return exitInterrupted
	}
	if errors.Is(err, syscall.EPIPE) {
		return exitFailure // whoever read is gone: nobody to tell
	}
	fmt.Fprintf(w, "ampwake: %v\n", err)
	if _, ok := errors.AsType[badInput](err); ok || strings.HasPrefix(err.Error(), "unknown command") {
		return exitBadInput
	}
	return exitFailure
}

func newRoot() *cobra.Command {
	root := &cobra.Command{
		Use:   "ampwake",
		Short: "Will the boat make more electricity than it uses?",
		Long: `ampwake sails a boat along its route on paper, step by step, and keeps the
books of its electricity: what the panels, the water generator and the engine
make, what the radio, the weather fax and the lights use, what the bank holds.

It is an aid to planning. It replaces no maker's manual, no local code and no
licensed marine electrician or surveyor, and it must not be relied on for
distress communication.

Exit codes: 0 done, 1 a failure, 2 bad input, 130 interrupted.`,
		Example: `  ampwake list
  ampwake run radio-cover --out out
  ampwake odds southern-ocean --out out
  ampwake compare bank-sizes --out out
  ampwake size radio-cover --range 'bank.capacity=100Ah..600Ah step 50Ah'
  ampwake matters radio-cover
  ampwake climate "16°53'N 25°W"
  ampwake new mine.yaml --like radio-cover
  ampwake check mine.yaml`,
		SilenceUsage:  true,
		SilenceErrors: true,
	}
	root.Version = version()
	root.SetVersionTemplate("ampwake {{.Version}}\n")
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return badInput{err} })
	root.AddCommand(newRunCommand(), newOddsCommand(), newSizeCommand(), newMattersCommand(), newCompareCommand(), newCardCommand(), newTrialCommand(), newNoonCommand(), newClimateCommand(), newBreakEvenCommand(), newListCommand(), newNewCommand(), newCheckCommand(), newSchemaCommand(), newPageCommand(), newVersionCommand())
	completeFlags(root)
	return root
}

// exactly wants n arguments and says which.
func exactly(n int, what string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		if len(args) != n {
			return badInput{fmt.Errorf("want %s, got %d arguments", what, len(args))}
		}
		return nil
	}
}

// onScenario gives a command its argument, and what the shell proposes for it.
func onScenario(c *cobra.Command) {
	c.Args, c.ValidArgsFunction = exactly(1, "one scenario: a built-in name or a file"), completeScenario
}

// onScenarioAndLog does so for a command that takes a log too.
func onScenarioAndLog(c *cobra.Command) {
	c.Args, c.ValidArgsFunction = exactly(2, "a scenario and a log"), completeScenarioAndLog
}
