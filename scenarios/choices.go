package scenarios

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"ampwake/scenarios/form"
)

// Choice is a file with some values changed, to be compared with others.
type Choice struct {
	Name string
	sets []form.Override
	last bool // its values come after the overrides of all choices
}

// MostChoices is how many may be compared.
const MostChoices = 64

// Choices returns what can be chosen from in a file: its variants, or all
// combinations of the axes if there are any. There are two at least.
func Choices(label string, src []byte, axes []Axis) ([]Choice, error) {
	var all []Choice
	if len(axes) > 0 {
		n := 1
		for _, a := range axes {
			if n *= len(a.Values); n > MostChoices {
				return nil, fmt.Errorf("more than %d kits: give fewer values, since every value of an axis is tried with every one of the others", MostChoices)
			}
		}
		all = product(axes)
	} else {
		var plain File
		if _, err := layout().Load(label, src, nil, &plain); err != nil {
			return nil, err
		}
		for i := range plain.Variants {
			v := &plain.Variants[i]
			all = append(all, Choice{Name: v.Name, sets: v.sets()})
		}
		if len(all) == 0 {
			return nil, fmt.Errorf("%s has no variants to compare: say what to try, like --vary bank.capacity=115Ah,230Ah", label)
		}
		if len(all) > MostChoices {
			return nil, fmt.Errorf("more than %d kits: there are %d variants", MostChoices, len(all))
		}
	}
	if len(all) == 1 {
		return nil, errors.New("one kit alone cannot be compared: want two at least")
	}
	for i, k := range all {
		if slices.ContainsFunc(all[:i], func(b Choice) bool { return strings.EqualFold(b.Name, k.Name) }) {
			return nil, fmt.Errorf("two kits are called %q", k.Name)
		}
	}
	return all, nil
}

// product combines every value of each axis with every one of the others, the
// last axis changing fastest.
func product(axes []Axis) []Choice {
	all := []Choice{{last: true}}
	for i, a := range axes {
		names := a.names(slices.Concat(axes[:i:i], axes[i+1:]))
		var longer []Choice
		for _, k := range all {
			for j, v := range a.Values {
				name := names[j]
				if k.Name != "" {
					name = k.Name + ", " + name
				}
				set := form.Override{Text: a.Path + "=" + v, From: "--vary"}
				longer = append(longer, Choice{Name: name, sets: append(slices.Clip(k.sets), set), last: true})
			}
		}
		all = longer
	}
	return all
}

// Read reads the scenario as the function Read does, with the values of the
// choice. Those of a variant come before the overrides, those of an axis after
// them.
func (k Choice) Read(label string, src []byte, overrides []string, faults ...string) (*Scenario, error) {
	sets := form.Sets(overrides)
	if k.last {
		sets = append(sets, k.sets...)
	} else {
		sets = append(slices.Clip(k.sets), sets...)
	}
	return read(label, src, sets, faults)
}

// FindChoice returns the index of the choice of that name.
func FindChoice(all []Choice, name string) (int, error) {
	names := make([]string, len(all))
	for i, k := range all {
		if strings.EqualFold(k.Name, strings.TrimSpace(name)) {
			return i, nil
		}
		names[i] = k.Name
	}
	hint := ""
	if near := form.Nearest(name, names); near != "" {
		hint = ": " + near
	}
	return 0, fmt.Errorf("no kit is called %q%s; there are %s", name, hint, strings.Join(names, "; "))
}

// sets returns the values of the variant as overrides.
func (v *Variant) sets() []form.Override {
	var sets []form.Override
	for _, path := range sortedKeys(v.Set) {
		sets = append(sets, form.Override{Text: path + "=" + v.Set[path], From: "variant " + v.Name})
	}
	return sets
}
