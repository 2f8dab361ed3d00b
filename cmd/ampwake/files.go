package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"

	"github.com/spf13/cobra"

	"ampwake/cmd/internal/whole"
	"ampwake/scenarios"
	"ampwake/scenarios/logbook"
)

func newListCommand() *cobra.Command {
	var format string
	c := &cobra.Command{
		Use:   "list",
		Short: "List the built-in scenarios with the question that each answers, and the built-in logs",
		Args:  exactly(0, "no arguments"),
		RunE: func(c *cobra.Command, _ []string) error {
			return list(c.OutOrStdout(), format)
		},
	}
	c.Flags().StringVar(&format, "format", "text", "what to print: `text` or json")
	return c
}

func list(w io.Writer, format string) error {
	switch format {
	case "json":
		enc := json.NewEncoder(w)
		enc.SetIndent("", " ")
		return enc.Encode(struct {
			Schema    string           `json:"schema"`
			Scenarios []scenarios.Info `json:"scenarios"`
			Logs      []logbook.Info   `json:"logs"`
		}{"ampwake.list/1", scenarios.Builtin(), logbook.Builtin()})
	case "text":
		var b strings.Builder
		for _, x := range scenarios.Builtin() {
			fmt.Fprintf(&b, "%-18s %s\n", x.Name, x.Question)
		}
		b.WriteString("\nLogs, for trial and noon:\n")
		for _, x := range logbook.Builtin() {
			fmt.Fprintf(&b, "%-18s %s (with %s)\n", x.Name, x.About, x.Scenario)
		}
		_, err := io.WriteString(w, b.String())
		return err
	}
	return badInput{fmt.Errorf("--format %q is not text or json", format)}
}

func newNewCommand() *cobra.Command {
	var like string
	c := &cobra.Command{
		Use:   "new FILE",
		Short: "Write a scenario file to edit, like a built-in one",
		Args:  exactly(1, "the file to write"),
		RunE: func(c *cobra.Command, args []string) error {
			_, src, err := scenarios.Source(like)
			if err != nil {
				return badInput{err}
			}
			if err := whole.New(args[0], src); err != nil {
				if errors.Is(err, fs.ErrExist) {
					return badInput{fmt.Errorf("%s is there already: choose another name", args[0])}
				}
				return err
			}
			_, err = fmt.Fprintf(c.OutOrStdout(), "%s is written, like %s: edit it, then: ampwake check %s\n", args[0], like, args[0])
			return err
		},
	}
	c.Flags().StringVar(&like, "like", "radio-cover", "the built-in `name` to copy")
	return c
}

func newCheckCommand() *cobra.Command {
	var b boat
	c := &cobra.Command{
		Use:   "check FILE",
		Short: "Check a scenario file and report every problem in it",
		RunE: func(c *cobra.Command, args []string) error {
			s, err := b.open(args[0])
			if err != nil {
				return err
			}
			if err := b.variants(args[0], s, func(string, *scenarios.Scenario) error { return nil }); err != nil {
				return err
			}
			_, err = fmt.Fprintf(c.OutOrStdout(), "%s is in order: %s\n", args[0], s.Summary())
			return err
		},
	}
	onScenario(c)
	c.Flags().StringArrayVar(&b.set, "set", nil, setUsage)
	return c
}

func newSchemaCommand() *cobra.Command {
	var format string
	c := &cobra.Command{
		Use:   "schema",
		Short: "Print the JSON Schema of scenario files, for editors",
		Args:  exactly(0, "no arguments"),
		RunE: func(c *cobra.Command, _ []string) error {
			switch format {
			case "json":
				_, err := c.OutOrStdout().Write(scenarios.Schema())
				return err
			case "text":
				_, err := io.WriteString(c.OutOrStdout(), scenarios.Reference())
				return err
			}
			return badInput{fmt.Errorf("--format %q is not json or text", format)}
		},
	}
	c.Flags().StringVar(&format, "format", "json", "what to print: `json` or text (every key with its meaning)")
	return c
}
