package desk

import (
	"bytes"
	"errors"
	"io"
	"os"

	"ampwake/scenarios"
)

// Opened is the scenario file that the page was started with. What other files
// it names was read at the start and is kept: the page opens none later.
type Opened struct {
	Name  string // as typed
	Text  []byte
	files map[string]beside
}

// beside is a file that the scenario names.
type beside struct {
	content []byte
	err     error
}

// mostBeside is the longest file beside a scenario that is kept, bytes.
const mostBeside = 32 << 20

// Open takes a scenario file and what it names. A file with problems is opened
// all the same: the page is there to mend it.
func Open(name string, text []byte) *Opened {
	o := &Opened{Name: name, Text: text, files: map[string]beside{}}
	_, _ = scenarios.ReadSealed(func(path string) (io.ReadCloser, error) {
		content, err := readBeside(path)
		o.files[path] = beside{content, err}
		return io.NopCloser(bytes.NewReader(content)), err
	}, name, text)
	return o
}

func readBeside(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }() // it is only read
	content, err := io.ReadAll(io.LimitReader(f, mostBeside+1))
	if err == nil && len(content) > mostBeside {
		err = errors.New("it is longer than 32 MiB")
	}
	return content, err
}

var errSealed = errors.New("the page opens no files but those named by the scenario it was started with: start it with that file, like: ampwake page mine.yaml")

// sealed gives what was kept and opens nothing. A nil Opened has nothing.
func (o *Opened) sealed(path string) (io.ReadCloser, error) {
	if o != nil {
		if f, ok := o.files[path]; ok {
			return io.NopCloser(bytes.NewReader(f.content)), f.err
		}
	}
	return nil, errSealed
}

// label is what messages call the scenario, and where paths in it start from.
func (o *Opened) label() string {
	if o == nil {
		return "scenario"
	}
	return o.Name
}
