package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"ampwake/cmd/internal/whole"
)

// teller passes on what a command prints. After a failure, as of a full disk or a
// reader that has gone, it takes the rest and keeps the error: the files of --out
// are worth writing all the same, and the exit code tells in the end.
type teller struct {
	w   io.Writer
	err error // the first
}

func (t *teller) Write(p []byte) (int, error) {
	if t.err == nil {
		_, t.err = t.w.Write(p)
	}
	return len(p), nil
}

// output is a file to write: its name in the folder of --out, or its path.
type output struct {
	name string
	make func(io.Writer) error
}

// files is what a command writes beside what it prints.
type files struct {
	dir  string   // of --out; "": none
	list []output // what goes there
	page []output // of --html, by its path; none without
}

// writeAll writes the files, into a folder that it makes if there is none, and
// returns the names of those there. All are made before the first is written, and
// all written before the first takes the place of an old one: a failure must not
// leave half of them new.
func (f files) writeAll(ctx context.Context) (names string, err error) {
	var all []whole.File
	var list []string
	add := func(path string, o output) error {
		var b bytes.Buffer
		if err := o.make(&b); err != nil {
			return fmt.Errorf("%s is not written: %w", path, err)
		}
		all = append(all, whole.File{Path: path, Data: b.Bytes()})
		return ctx.Err()
	}
	for _, o := range f.list {
		if err := add(filepath.Join(f.dir, o.name), o); err != nil {
			return "", err
		}
		list = append(list, o.name)
	}
	for _, o := range f.page {
		if err := add(o.name, o); err != nil {
			return "", err
		}
	}
	if f.dir != "" {
		if err := os.MkdirAll(f.dir, 0o755); err != nil {
			return "", fmt.Errorf("--out %s: the folder cannot be made: %w", f.dir, err)
		}
	}
	return strings.Join(list, ", "), whole.WriteAll(all)
}

// write writes the files and, among text, says so.
func (f files) write(ctx context.Context, format string, stdout io.Writer) error {
	names, err := f.writeAll(ctx)
	if err != nil || format != "text" {
		return err
	}
	if f.dir != "" {
		fmt.Fprintf(stdout, "\nWritten to %s: %s\n", f.dir, names)
	}
	for _, o := range f.page {
		fmt.Fprintf(stdout, "\nWritten: %s\n", o.name)
	}
	return nil
}
