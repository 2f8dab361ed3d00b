package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"ampwake/scenarios"
	"ampwake/scenarios/logbook"
)

// completer proposes words for the one that is being typed.
type completer = func(c *cobra.Command, args []string, word string) ([]string, cobra.ShellCompDirective)

// nothing else is proposed than what is returned, no files in particular.
const nothingElse = cobra.ShellCompDirectiveNoFileComp

// completeFlags gives every flag of every command its proposals.
func completeFlags(root *cobra.Command) {
	for _, c := range root.Commands() {
		if c.ValidArgsFunction == nil && c.Name() != "new" { // a new file may have any name
			c.ValidArgsFunction = cobra.NoFileCompletions
		}
		c.Flags().VisitAll(func(f *pflag.Flag) {
			if err := c.RegisterFlagCompletionFunc(f.Name, flagCompleter(c.Name(), f.Name)); err != nil {
				panic("ampwake: " + err.Error()) // a flag twice in the list of flags
			}
		})
	}
}

func flagCompleter(command, flag string) completer {
	switch flag {
	case "format":
		switch command {
		case "list", "schema":
			return oneOf("text", "json")
		}
		return oneOf("text", "json", "csv")
	case "set", "vary", "range":
		return completePath
	case "variant", "base":
		return completeVariant
	case "fault":
		return completeFault
	case "like":
		return completeBuiltin
	case "by":
		return oneOf("weight", "price")
	case "paper":
		return oneOf("a4", "letter")
	case "month":
		return oneOf("january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november", "december")
	case "facing":
		return oneOf("any", "north", "east", "south", "west", "trimmed")
	case "trial":
		return ending("yaml", "yml")
	case "html":
		return ending("html")
	case "out":
		return func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return nil, cobra.ShellCompDirectiveFilterDirs
		}
	}
	return cobra.NoFileCompletions
}

// oneOf proposes words in their order.
func oneOf(list ...string) completer {
	return func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return list, nothingElse | cobra.ShellCompDirectiveKeepOrder
	}
}

// ending proposes files by the ends of their names.
func ending(ends ...string) completer {
	return func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return ends, cobra.ShellCompDirectiveFilterFileExt
	}
}

// completeScenario proposes the built-in scenarios with their questions, and the
// files that may be scenarios.
func completeScenario(_ *cobra.Command, args []string, word string) ([]string, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, nothingElse
	}
	return withFiles(builtinNames(), word, ".yaml", ".yml")
}

// completeScenarioAndLog proposes a scenario, and then the built-in logs and the
// files that may be logs.
func completeScenarioAndLog(c *cobra.Command, args []string, word string) ([]string, cobra.ShellCompDirective) {
	if len(args) != 1 {
		return completeScenario(c, args, word)
	}
	var names []string
	for _, b := range logbook.Builtin() {
		names = append(names, b.Name+"\t"+b.About)
	}
	return withFiles(names, word, ".csv")
}

func completeBuiltin(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return builtinNames(), nothingElse
}

func builtinNames() []string {
	var names []string
	for _, b := range scenarios.Builtin() {
		names = append(names, b.Name+"\t"+b.Question)
	}
	return names
}

// withFiles proposes names, the files with one of the ends and the folders, as far
// as they begin with the word. Where nothing does the shell proposes any file.
func withFiles(names []string, word string, ends ...string) ([]string, cobra.ShellCompDirective) {
	list := slices.DeleteFunc(names, func(name string) bool { return !strings.HasPrefix(name, word) })
	named := len(list)
	dir, begin := filepath.Split(word)
	where := dir
	if where == "" {
		where = "."
	}
	entries, _ := os.ReadDir(where) // a folder that cannot be read has nothing to propose
	onlyFolders := true
	for _, e := range entries {
		name := e.Name()
		if !strings.HasPrefix(name, begin) || strings.HasPrefix(name, ".") && begin == "" {
			continue
		}
		info, err := os.Stat(filepath.Join(where, name)) // and not e: a link counts as what it leads to
		switch {
		case err != nil:
		case info.IsDir():
			list = append(list, dir+name+string(filepath.Separator))
		case slices.Contains(ends, strings.ToLower(filepath.Ext(name))):
			list, onlyFolders = append(list, dir+name), false
		}
	}
	switch {
	case len(list) == 0:
		return nil, cobra.ShellCompDirectiveDefault
	case named == 0 && onlyFolders:
		return list, nothingElse | cobra.ShellCompDirectiveNoSpace // one may want to go on into the folder
	}
	return list, nothingElse
}

// completeVariant proposes the variants of the scenario that is named already.
func completeVariant(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	return itemNames(args)["variants"], nothingElse
}

// completeFault proposes what may go wrong: the bank, and each source and load of
// the scenario that is named already.
func completeFault(_ *cobra.Command, args []string, word string) ([]string, cobra.ShellCompDirective) {
	if strings.Contains(word, ":") {
		return cobra.AppendActiveHelp(nil, "WHAT: EFFECT, OCCASION, like rail panel: lost, day 12"), nothingElse
	}
	list := []string{"bank:"}
	if len(args) > 0 {
		if s, err := new(boat).open(args[0]); err == nil {
			for name := range s.Kinds() {
				list = append(list, name+":")
			}
		}
	}
	slices.Sort(list)
	return list, nothingElse | cobra.ShellCompDirectiveNoSpace
}

// itemNames reads the names in the scenario that is named already.
func itemNames(args []string) map[string][]string {
	if len(args) == 0 {
		return nil
	}
	label, src, err := scenarios.Source(args[0])
	if err != nil {
		return nil
	}
	return scenarios.ItemNames(label, src)
}
