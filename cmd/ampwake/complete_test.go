package main

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/scenarios/form"
)

// Every path that is proposed is one that an override may name.
func TestProposedPathsAreKnown(t *testing.T) {
	label, src, err := scenarios.Source("radio-cover")
	require.NoError(t, err)
	all := paths(scenarios.ItemNames(label, src))
	require.Greater(t, len(all), 200)
	for _, p := range all {
		_, err = scenarios.Read(label, src, []string{p.whole()}, "") // no value: the default, or a required key that is missing
		if problems, ok := errors.AsType[*form.Problems](err); ok {
			for _, x := range problems.List {
				assert.NotContains(t, []form.Kind{form.BadPath, form.UnknownKey, form.Syntax}, x.Kind, x.String())
			}
		}
	}
	_, err = scenarios.Read(label, src, []string{"bank.capcity="}, "")
	require.ErrorContains(t, err, "capcity", "and what is none is refused")
}

// No flag is left to the shell's guess: where a flag takes a value, completion
// knows which, or that there is nothing to propose.
func TestEveryFlagIsCompleted(t *testing.T) {
	root := newRoot()
	for _, c := range root.Commands() {
		c.Flags().VisitAll(func(f *pflag.Flag) {
			propose, ok := c.GetFlagCompletionFunc(f.Name)
			if !assert.True(t, ok, "%s --%s", c.Name(), f.Name) {
				return
			}
			_, directive := propose(c, nil, "")
			assert.NotEqual(t, cobra.ShellCompDirectiveDefault, directive, "%s --%s", c.Name(), f.Name)
		})
	}
}

// What completion proposes for --format is what the command takes.
func TestFormatsAreThoseOfTheHelp(t *testing.T) {
	for _, c := range newRoot().Commands() {
		f := c.Flags().Lookup("format")
		if f == nil {
			continue
		}
		list, _ := flagCompleter(c.Name(), "format")(c, nil, "")
		for _, format := range []string{"text", "json", "csv"} {
			assert.Equal(t, strings.Contains(f.Usage, format), slices.Contains(list, format), "%s --format %s", c.Name(), format)
		}
	}
}
