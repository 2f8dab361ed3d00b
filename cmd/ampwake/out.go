package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"ampwake/cmd/internal/whole"
)

// output is a file to write into the folder of --out.
type output struct {
	name string
	make func(io.Writer) error
}

// writeAll writes the files into a folder, which it makes if there is none, and
// returns their names. All are made before the first is written: a failure must
// not leave half of them new.
func writeAll(dir string, files []output) (names string, err error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return "", err
	}
	made := make([]bytes.Buffer, len(files))
	list := make([]string, len(files))
	for i, f := range files {
		if err := f.make(&made[i]); err != nil {
			return "", fmt.Errorf("%s: %w", f.name, err)
		}
		list[i] = f.name
	}
	for i, f := range files {
		if err := whole.Write(filepath.Join(dir, f.name), made[i].Bytes()); err != nil {
			return "", err
		}
	}
	return strings.Join(list, ", "), nil
}
