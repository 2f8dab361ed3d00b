package bank

import (
	"fmt"
	"strings"
)

// Chemistry is the kind of a battery.
type Chemistry uint8

// The kinds of battery known.
const (
	AGM     Chemistry = iota // sealed lead-acid, acid held in glass mat
	Flooded                  // vented deep-cycle lead-acid
	Gel                      // sealed lead-acid, acid as gel
	LFP                      // lithium iron phosphate, with its protection
)

var chemistryNames = [...]string{AGM: "agm", Flooded: "flooded", Gel: "gel", LFP: "lfp"}

// Chemistries returns all kinds known.
func Chemistries() []Chemistry { return []Chemistry{AGM, Flooded, Gel, LFP} }

// String returns the name as written in a scenario: agm, flooded, gel or lfp.
func (c Chemistry) String() string {
	if int(c) < len(chemistryNames) {
		return chemistryNames[c]
	}
	return fmt.Sprintf("chemistry %d", uint8(c))
}

// UnmarshalText reads a name as String prints it, in any case; blanks around
// it are ignored.
func (c *Chemistry) UnmarshalText(text []byte) error {
	word := strings.ToLower(strings.TrimSpace(string(text)))
	for i, name := range chemistryNames {
		if word == name {
			*c = Chemistry(i)
			return nil
		}
	}
	return fmt.Errorf("%q is not a battery chemistry: expected agm, flooded, gel or lfp", text)
}

// Lead reports whether the chemistry is one of the lead-acid kinds.
func (c Chemistry) Lead() bool { return c != LFP }

// usualCells is the number of cells in series of a 12 V battery; the curves of
// this package are those of such a battery.
func (c Chemistry) usualCells() int {
	if c == LFP {
		return 4
	}
	return 6
}
