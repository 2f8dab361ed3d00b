// Command validation keeps the tables that the tests themselves write: what was
// checked against what, with the error reached, in README.md, and what the length
// of a step does, in DEVELOPERS.md. It reads the output of
//
//	go test -json ./...
//
// from its standard input and prints it as go test would. Tests tell their rows as
// attributes (package testdata/refdata). With -check nothing is written: it fails
// when a table is stale, or a test did.
package main

import (
	"flag"
	"fmt"
	"io"
	"os"
	"strings"

	"ampwake/cmd/internal/whole"
)

// remake is how the tables are made anew.
const remake = "go test -json ./... | go run ./cmd/internal/validation"

// kept is a table in a document, between "<!-- name: ... -->" and "<!-- end -->".
type kept struct {
	file, name string
	table      func(*heard) ([]line, error)
}

var tables = []kept{
	{"README.md", "checked", checkedTable},
	{"DEVELOPERS.md", "steps", stepsTable},
}

func main() {
	check := flag.Bool("check", false, "compare only, write nothing")
	flag.Parse()
	if err := keep(os.Stdin, os.Stdout, *check); err != nil {
		fmt.Fprintln(os.Stderr, "validation:", err)
		os.Exit(1)
	}
}

func keep(in io.Reader, out io.Writer, check bool) error {
	h, err := listen(in, out)
	if err != nil {
		return err
	}
	if h.failed {
		return fmt.Errorf("tests failed")
	}
	for _, k := range tables {
		fresh, err := k.table(h)
		if err != nil {
			return fmt.Errorf("table %q: %w", k.name, err)
		}
		text, err := os.ReadFile(k.file)
		if err != nil {
			return err
		}
		before, old, after, err := cut(string(text), k.name)
		if err != nil {
			return fmt.Errorf("%s: %w", k.file, err)
		}
		diffs := compare(old, fresh)
		switch {
		case len(diffs) == 0: // last digits of another machine change nothing
		case check:
			return fmt.Errorf("%s, table %q is stale:\n  %s\nmake it anew: %s", k.file, k.name, strings.Join(diffs, "\n  "), remake)
		default:
			if err := whole.Write(k.file, []byte(before+written(fresh)+after)); err != nil {
				return err
			}
			fmt.Fprintf(out, "%s: table %q written, %d differences\n", k.file, k.name, len(diffs))
		}
	}
	return nil
}
