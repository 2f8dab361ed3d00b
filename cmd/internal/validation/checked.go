package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ampwake/testdata/refdata"
)

// noise is the share of a tolerance below which an error is printed as "under": it
// is then rounding, which another machine does differently.
const noise = 0.01

// checkedTable makes the table of README: by model, a row for each quantity and
// source, the worst of all tests that tell it.
func checkedTable(h *heard) ([]line, error) {
	type key struct {
		refdata.Model
		quantity, source string
	}
	rows := map[key]*refdata.Record{}
	for i := range h.records {
		r := h.records[i]
		k := key{r.Model, r.Quantity, r.Source}
		old := rows[k]
		if old == nil {
			rows[k] = &r
			continue
		}
		if old.Check != r.Check {
			return nil, fmt.Errorf("two tests tell %q differently: %+v and %+v", r.Quantity, old.Check, r.Check)
		}
		old.Error = max(old.Error, r.Error)
		old.Values += r.Values
	}
	keys := make([]key, 0, len(rows))
	for k := range rows {
		if !slices.Contains(refdata.Models(), k.Model) {
			return nil, fmt.Errorf("%q is of no model known: %q", k.quantity, k.Model)
		}
		if !slices.Contains(refdata.Statuses(), rows[k].Status) {
			return nil, fmt.Errorf("%q is of no kind known: %q", k.quantity, rows[k].Status)
		}
		keys = append(keys, k)
	}
	// In the order of the models, what counts most first.
	model := func(k key) int { return slices.Index(refdata.Models(), k.Model) }
	kind := func(k key) int { return slices.Index(refdata.Statuses(), rows[k].Status) }
	slices.SortFunc(keys, func(a, b key) int {
		return cmp.Or(cmp.Compare(model(a), model(b)), cmp.Compare(kind(a), kind(b)),
			cmp.Compare(strings.ToLower(a.quantity), strings.ToLower(b.quantity)), cmp.Compare(a.source, b.source))
	})
	var t []line
	last := refdata.Model("")
	for _, k := range keys {
		if k.Model != last {
			t = append(t,
				line{text: "\n**" + string(k.Model) + "**\n"},
				line{cells: []string{"quantity", "checked against", "kind", "values", "tolerance", "worst error"}},
				line{text: "|---|---|---|--:|--:|--:|"})
			last = k.Model
		}
		r := rows[k]
		tolerance := "exact"
		if r.Tolerance > 0 {
			tolerance = number(r.Tolerance) + unit(r.Unit)
		}
		t = append(t, line{
			cells: []string{r.Quantity, r.Source, string(r.Status), fmt.Sprint(r.Values), tolerance, reached(r)},
			slack: noise * r.Tolerance,
		})
	}
	return t, nil
}

// reached is the error to two digits.
func reached(r *refdata.Record) string {
	switch {
	case r.Tolerance == 0:
		return number(r.Error)
	case r.Error < noise*r.Tolerance:
		return "under " + number(noise*r.Tolerance) + unit(r.Unit)
	}
	return digits(r.Error) + unit(r.Unit)
}

func unit(u string) string {
	if u == "" || u == "°" {
		return u
	}
	return " " + u
}
