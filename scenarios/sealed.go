package scenarios

import (
	"io"
	"os"

	"ampwake/scenarios/form"
)

// Opener opens a file that a scenario names: a log of weather or a GPX file. The
// path is as seen from where the program runs. An error that is fs.ErrNotExist
// reads as "there is no file"; any other is told as it is.
type Opener func(path string) (io.ReadCloser, error)

func openFile(path string) (io.ReadCloser, error) { return os.Open(path) }

// ReadSealed is Read for a text from elsewhere: the files that it names are
// opened through open and no other way, so that a text that came over a network
// cannot have files read for it.
func ReadSealed(open Opener, label string, src []byte, overrides ...string) (*Scenario, error) {
	sets := make([]form.Override, len(overrides))
	for i, text := range overrides {
		sets[i].Text = text
	}
	return readThrough(open, label, src, sets, nil)
}

// Keys lists every key of a scenario file with its meaning, range and default.
func Keys() []form.Key { return layout().Reference() }
