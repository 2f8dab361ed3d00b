package main

import (
	"context"
	"fmt"
	"io"
	"slices"

	"github.com/spf13/pflag"
)

// answer is how a command answers: what it prints, and the folder that it fills.
type answer struct {
	out    string
	format string
}

// flags adds --out, with the files it writes, and --format, with what a row of csv
// is.
func (a *answer) flags(f *pflag.FlagSet, files, row string) {
	f.StringVar(&a.out, "out", "", "write "+files+" into `folder`")
	f.StringVar(&a.format, "format", "text", "what to print: `text`, json or csv ("+row+")")
}

// checkFormat refuses a format that is none.
func (a *answer) checkFormat() error {
	if !slices.Contains([]string{"text", "json", "csv"}, a.format) {
		return badInput{fmt.Errorf("--format %q is not text, json or csv", a.format)}
	}
	return nil
}

// write writes files into the folder of --out.
func (a *answer) write(ctx context.Context, stdout io.Writer, lists ...[]output) error {
	return files{dir: a.out, list: slices.Concat(lists...)}.write(ctx, a.format, stdout)
}

// printer writes an answer of a kind in one form.
type printer[T any] = func(io.Writer, T) error

// forms are the printers of an answer in all its forms.
type forms[T any] struct{ text, json, csv printer[T] }

// printer returns the one of --format.
func (p forms[T]) printer(a answer) (printer[T], error) {
	if err := a.checkFormat(); err != nil {
		return nil, err
	}
	return map[string]printer[T]{"text": p.text, "json": p.json, "csv": p.csv}[a.format], nil
}

// data are the answer as name.json and name.csv.
func (p forms[T]) data(name string, x T) []output {
	return []output{made(name+".json", p.json, x), made(name+".csv", p.csv, x)}
}

// made is a file with an answer in one form.
func made[T any](name string, print printer[T], x T) output {
	return output{name, func(w io.Writer) error { return print(w, x) }}
}

// drawn is a picture as name.png and name.svg.
func drawn(name string, p interface {
	Encode(w io.Writer, format string) error
},
) []output {
	return []output{made(name+".png", p.Encode, "png"), made(name+".svg", p.Encode, "svg")}
}
