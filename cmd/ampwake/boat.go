package main

import (
	"fmt"
	"os"

	"github.com/spf13/pflag"

	"ampwake/scenarios"
	"ampwake/scenarios/form"
	"ampwake/scenarios/trial"
)

// boat is what the command line changes of a scenario. A command takes some or all
// of its flags.
type boat struct {
	set     []string
	faults  []string
	variant string
	trial   string
}

// setUsage is the help of --set.
const setUsage = "override a `path=value` of the file; may be repeated"

// flags adds --set and --variant; does is what the command does with a variant,
// like "sail only this".
func (b *boat) flags(f *pflag.FlagSet, does string) {
	f.StringArrayVar(&b.set, "set", nil, setUsage)
	f.StringVar(&b.variant, "variant", "", does+" `name` of the file's variants")
}

// faultFlag adds --fault.
func (b *boat) faultFlag(f *pflag.FlagSet) {
	f.StringArrayVar(&b.faults, "fault", nil, "something goes wrong, like `'rail panel: lost, day 12'`; may be repeated")
}

// trialFlag adds --trial; more is said behind its help.
func (b *boat) trialFlag(f *pflag.FlagSet, more string) {
	f.StringVar(&b.trial, "trial", "", "correct the scenario by what a trial sail found: `file` written by ampwake trial"+more)
}

// open reads a built-in scenario or a file, with what the command line changes. Of
// --trial it knows nothing: see tried.
func (b *boat) open(name string) (*scenarios.Scenario, error) {
	label, src, err := scenarios.Source(name)
	if err != nil {
		return nil, badInput{err}
	}
	return scenarios.Read(label, src, b.set, b.variant, b.faults...)
}

// variants calls do with the name and the scenario of each variant of s, which was
// opened by that name.
func (b boat) variants(name string, s *scenarios.Scenario, do func(name string, s *scenarios.Scenario) error) error {
	for i := range s.File.Variants {
		b.variant = s.File.Variants[i].Name
		v, err := b.open(name)
		if err != nil {
			return err
		}
		if err := do(b.variant, v); err != nil {
			return err
		}
	}
	return nil
}

// tried opens a scenario as a trial sail corrects it, and returns what that found,
// nil without --trial. The overrides of the command line stay the last word; those
// of the trial are before them in b from then on.
func (b *boat) tried(name string) (*scenarios.Scenario, *trial.File, error) {
	found, err := openTrial(b.trial)
	if err != nil {
		return nil, nil, err
	}
	if found != nil {
		b.set = append(found.Overrides(), b.set...)
	}
	s, err := b.open(name)
	if err != nil {
		return nil, nil, err
	}
	if found != nil {
		for _, doubt := range found.Doubts(name) {
			s.Assume("trial", doubt)
		}
	}
	return s, found, nil
}

// openTrial reads what a trial found; no name is none.
func openTrial(name string) (*trial.File, error) {
	if name == "" {
		return nil, nil
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, badInput{fmt.Errorf("--trial: %w", err)}
	}
	defer func() { _ = f.Close() }() // only read
	src, err := form.ReadAll(f)
	if err != nil {
		return nil, badInput{fmt.Errorf("--trial: %w", err)}
	}
	return trial.ReadFile(name, src)
}
