package sky

import (
	"fmt"
	"strings"
)

// nameOf returns the name of choice i.
func nameOf(names []string, i int) string {
	if i < 0 || i >= len(names) {
		return fmt.Sprintf("choice %d", i)
	}
	return names[i]
}

// setName reads a choice by its name.
func setName[T ~uint8](x *T, names []string, what string, text []byte) error {
	for i, n := range names {
		if n == string(text) {
			*x = T(i)
			return nil
		}
	}
	return fmt.Errorf("%q is not %s: want one of %s", text, what, strings.Join(names, ", "))
}
