package form_test

import (
	"bytes"
	"errors"
	"reflect"
	"testing"
	"unicode/utf8"

	"ampwake/scenarios/form"
)

// examine loads a text and checks what holds for any: the error is a list,
// every problem can be placed and printed, and what reads also saves and reads
// back the same.
func examine(t *testing.T, src []byte, sets ...string) {
	var v voyage
	f := sample()
	doc, err := f.Load("x.yaml", src, form.Sets(sets), &v)
	if doc == nil {
		t.Fatal("no document")
	}
	if err != nil {
		var all *form.Problems
		if !errors.As(err, &all) || len(all.List) == 0 || len(all.List) > 100 {
			t.Fatalf("the error is %#v", err)
		}
		lines := bytes.Count(src, []byte("\n")) + bytes.Count(src, []byte("\r")) + 1
		for _, p := range all.List {
			if p.Message == "" || p.Kind == "" || p.Line < 0 || p.Line > lines || p.Column < 0 || p.Line == 0 && p.Column > 0 && p.Override == "" {
				t.Fatalf("an odd problem: %+v", p)
			}
		}
		var b bytes.Buffer
		if err := all.Print(&b); err != nil || !utf8.Valid(b.Bytes()) {
			t.Fatalf("cannot print: %v\n%q", err, b.String())
		}
		return
	}
	text, err := doc.Save()
	if err != nil {
		t.Fatalf("cannot save: %v", err)
	}
	var again voyage
	if _, err := f.Load("x.yaml", text, nil, &again); err != nil {
		t.Fatalf("saved text does not load: %v\n%s", err, text)
	}
	if !reflect.DeepEqual(v, again) {
		t.Fatalf("saved text reads otherwise\n%+v\n%+v\n%s", v, again, text)
	}
}

func FuzzLoad(f *testing.F) {
	for _, src := range []string{good, ten, whole, "", "a: &a [*a]", "\ufeffname: x\r\n", "route: [&h 1 2, *h]\n<<: {name: x}\n", "? [a]\n: b\n", "- {a: !x 1}\n", "name: |\n  x\n"} {
		f.Add([]byte(src))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		examine(t, src)
		examine(t, src, "seed=8", "cloud.mean=5 %", "loads[0].draws=1 W", "labels=")
	})
}

func FuzzOverride(f *testing.F) {
	for _, set := range []string{
		"bank.capacity=440Ah", "loads[HF radio].when[0]=always", "loads.VHF=", `labels["a b"]=c`, "cloud={mean: 1}", "route[0].name=x",
		"sources.hydro.table[1].note=", "notes='it''s'", "sources.solar[0]=", "sources.solar.power=1 W", "bank.=", "[", "seed=[&a 1, *a]",
	} {
		f.Add(set, "seed=8")
	}
	f.Fuzz(func(t *testing.T, first, second string) {
		examine(t, []byte(good), first, second)
		examine(t, []byte(whole+"sources:\n  solar:\n    - &p {name: a, power: 1 W}\n    - {<<: *p, name: b}\n    - *p\n"), first, second)
	})
}
