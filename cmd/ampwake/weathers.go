package main

import (
	"fmt"

	"github.com/spf13/pflag"
)

// weathers is how many seeded weathers to sail through, and how.
type weathers struct {
	number  int
	seed    uint64
	workers int
}

// mostMembers keeps a slip of the finger from filling the memory.
const mostMembers = 100_000

// flags adds --number, --seed and --workers.
func (w *weathers) flags(f *pflag.FlagSet, number int, usage string) {
	f.IntVarP(&w.number, "number", "n", number, usage)
	f.Uint64Var(&w.seed, "seed", 1, "`number` that the weathers are drawn from")
	f.IntVar(&w.workers, "workers", 0, "voyages under way at once; 0: one for each `core`")
}

// check refuses numbers that make no sense.
func (w *weathers) check() error {
	if w.number < 1 || w.number > mostMembers {
		return badInput{fmt.Errorf("-n %d is not between 1 and %d", w.number, mostMembers)}
	}
	return w.checkWorkers()
}

func (w *weathers) checkWorkers() error {
	if w.workers < 0 {
		return badInput{fmt.Errorf("--workers %d is less than 0", w.workers)}
	}
	return nil
}
