package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"ampwake/testdata/refdata"
)

// heard is what the tests told.
type heard struct {
	records []refdata.Record
	steps   []refdata.StepRow
	failed  bool
}

// event is a line of go test -json (go doc test2json).
type event struct {
	Action, Package, ImportPath, Test, Output string
	Key, Value                                string
}

// listen reads the output of go test -json to its end. It prints what go test
// without -json prints: a line for each package, and all that failing tests say.
func listen(in io.Reader, out io.Writer) (*heard, error) {
	h := &heard{}
	said := map[string][]string{} // by package and test
	d := json.NewDecoder(in)
	for {
		var e event
		if err := d.Decode(&e); err == io.EOF {
			return h, nil
		} else if err != nil {
			return nil, fmt.Errorf("not the output of go test -json: %w", err)
		}
		id := e.Package + " " + e.Test
		switch e.Action {
		case "build-output":
			fmt.Fprint(out, e.Output)
		case "output":
			if e.Test == "" && (strings.HasPrefix(e.Output, "ok") || strings.HasPrefix(e.Output, "FAIL")) {
				fmt.Fprint(out, e.Output)
				continue
			}
			said[id] = append(said[id], e.Output)
		case "attr":
			if err := h.hear(e); err != nil {
				return nil, fmt.Errorf("%s: %w", id, err)
			}
		case "fail", "build-fail":
			h.failed = true
			fmt.Fprint(out, strings.Join(said[id], ""))
			delete(said, id)
		case "pass", "skip":
			delete(said, id)
		}
	}
}

func (h *heard) hear(e event) error {
	switch e.Key {
	case refdata.Attribute:
		var r refdata.Record
		if err := json.Unmarshal([]byte(e.Value), &r); err != nil {
			return err
		}
		h.records = append(h.records, r)
	case refdata.StepAttribute:
		var r refdata.StepRow
		if err := json.Unmarshal([]byte(e.Value), &r); err != nil {
			return err
		}
		h.steps = append(h.steps, r)
	}
	return nil
}
