package main

import (
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"ampwake/scenarios"
	"ampwake/scenarios/form"
)

// completePath proposes the path of an override, one step at a time: "bank." then
// "bank.capacity=". The items of lists are those of the scenario that is named
// already. Behind the "=" it proposes the words that the key takes, or tells what
// it takes.
func completePath(_ *cobra.Command, args []string, word string) ([]string, cobra.ShellCompDirective) {
	var list []string
	const directive = nothingElse | cobra.ShellCompDirectiveNoSpace | cobra.ShellCompDirectiveKeepOrder
	for _, p := range paths(itemNames(args)) {
		if value, ok := strings.CutPrefix(word, p.whole()); ok {
			return completeValue(p, value)
		}
		at := ""
		for i, step := range p.steps {
			at += step
			if len(at) <= len(word) {
				continue
			}
			if strings.HasPrefix(at, word) {
				says := ""
				if i == len(p.steps)-1 {
					says = p.key.Doc
				}
				list = addOnce(list, at, says)
			}
			break
		}
	}
	return list, directive
}

// completeValue proposes what may stand behind a path.
func completeValue(p path, value string) ([]string, cobra.ShellCompDirective) {
	var list []string
	for _, c := range p.key.Choices {
		if strings.HasPrefix(c, value) {
			list = append(list, p.whole()+c)
		}
	}
	if len(list) == 0 {
		facts := []string{p.key.Doc, p.key.Words, p.key.Range}
		facts = slices.DeleteFunc(facts, func(f string) bool { return f == "" })
		list = cobra.AppendActiveHelp(nil, strings.Join(facts, "; "))
	}
	return list, nothingElse
}

// path is the path of a key, in steps that end where one stops to think.
type path struct {
	steps []string // "loads[", "HF radio].", "draws="
	key   form.Key
}

func (p path) whole() string { return strings.Join(p.steps, "") }

// paths lists the paths of all keys that take a value of their own, with the
// named items of the lists.
func paths(items map[string][]string) []path {
	var list []path
	keys := scenarios.Keys()
	for i, k := range keys {
		if i+1 < len(keys) && deeper(keys[i+1].Path, k.Path) {
			continue // its own keys follow
		}
		under, inner, inList := strings.Cut(k.Path, "[].")
		switch {
		case strings.Contains(inner, "[]") || strings.Contains(k.Path, "<"):
			continue // items without a name
		case !inList && len(items[k.Path[:max(0, strings.LastIndex(k.Path, "."))]]) > 0:
			continue // the list stands there, and this is another way to write it
		case !inList:
			list = append(list, path{steps(k.Path), k})
			continue
		}
		for _, name := range items[under] {
			if strings.ContainsAny(name, `.[]="\`) {
				name = strconv.Quote(name)
			}
			before := steps(under)
			before[len(before)-1] = strings.TrimSuffix(before[len(before)-1], "=") + "["
			list = append(list, path{append(append(before, name+"]."), steps(inner)...), k})
		}
	}
	return list
}

// deeper reports whether a path leads through another.
func deeper(p, through string) bool {
	rest, ok := strings.CutPrefix(p, through)
	return ok && (strings.HasPrefix(rest, ".") || strings.HasPrefix(rest, "["))
}

// steps cuts "bank.capacity" into "bank." and "capacity=".
func steps(p string) []string {
	list := strings.SplitAfter(p, ".")
	list[len(list)-1] += "="
	return list
}

// addOnce adds a proposal with what it means, unless it is there.
func addOnce(list []string, text, says string) []string {
	if says != "" {
		text += "\t" + says
	}
	if slices.Contains(list, text) {
		return list
	}
	return append(list, text)
}
