package logbook

import (
	"embed"
	"fmt"
	"io"
	"os"
	"path"
	"strings"
)

//go:embed builtin/*.csv
var builtin embed.FS

// Info is a log that comes with the program.
type Info struct {
	Name     string `json:"name"`
	Scenario string `json:"scenario"` // the built-in scenario whose voyage it is of
	About    string `json:"about"`
}

// Builtin lists the logs that come with the program. All are invented.
func Builtin() []Info {
	return []Info{{
		Name: "trial-sail", Scenario: "radio-cover",
		About: "Two weeks of readings by hand, invented: what does the boat really use and make?",
	}}
}

// names are those of the built-in logs.
func names() string {
	var list []string
	for _, b := range Builtin() {
		list = append(list, b.Name)
	}
	return strings.Join(list, ", ")
}

// Source returns the text of a built-in log or of a file.
func Source(name string) ([]byte, error) {
	if src, err := builtin.ReadFile("builtin/" + name + ".csv"); err == nil && path.Base(name) == name {
		return src, nil
	}
	f, err := os.Open(name)
	if err != nil {
		if os.IsNotExist(err) && !strings.ContainsAny(name, "./\\") {
			return nil, fmt.Errorf("no built-in log and no file is called %q: built in are %s", name, names())
		}
		return nil, err
	}
	defer func() { _ = f.Close() }() // only read
	return io.ReadAll(io.LimitReader(f, mostBytes+1))
}
