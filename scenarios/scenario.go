package scenarios

import (
	"embed"
	"errors"
	"fmt"
	"os"
	"path"
	"slices"
	"sort"
	"strings"
	"sync"

	"ampwake/scenarios/form"
	"ampwake/sim"
	"ampwake/sim/climate"
)

// Scenario is a file that has been read, checked and assembled.
type Scenario struct {
	File   *File
	Doc    *form.Doc
	voyage *sim.Voyage
	kinds  map[string]string
	parts  assembly

	// What it was read from: see With.
	src    []byte
	sets   []form.Override
	faults []string
	open   Opener
}

// With reads the scenario once more, with overrides that come after those it has;
// from says in messages where they are from. The scenario itself stays as it is.
func (s *Scenario) With(from string, overrides ...string) (*Scenario, error) {
	sets := slices.Clone(s.sets)
	for _, text := range overrides {
		sets = append(sets, form.Override{Text: text, From: from})
	}
	return readThrough(s.open, s.parts.label, s.src, sets, s.faults)
}

// Voyage returns the voyage, ready to sail. It must not be changed.
func (s *Scenario) Voyage() *sim.Voyage { return s.voyage }

// Assume adds a line to what reports say was assumed, of this voyage and of those
// seeded after it.
func (s *Scenario) Assume(about, text string) {
	s.voyage.Notes = append(s.voyage.Notes, sim.Note{About: about, Text: text})
}

// Seeded returns the voyage through the synthetic weathers of a seed: those of
// the ocean climate along the route, with the file's spells laid over them, and
// with what the file gives beside "from: climate". A file that tells its weather
// alone is sailed through the climate in place of it, and a note says so. The
// error says where the climate knows nothing, or that a recorded log is one
// weather and not many.
func (s *Scenario) Seeded(seed uint64) (*sim.Voyage, error) {
	a := &s.parts
	v := *s.voyage
	v.Notes = append([]sim.Note(nil), v.Notes...)
	v.FaultSeed = seed
	note := func(about, text string) { v.Notes = append(v.Notes, sim.Note{About: about, Text: text}) }
	if s.File.Weather.Record != "" {
		return nil, errors.New("weather.record is one weather, not many: run it, or take it out for the odds")
	}
	place, at, doubts, dry := a.sea()
	if dry {
		return nil, fmt.Errorf("%w: the route lies inland near %v, %.0f miles out: there are no odds without a climate", climate.ErrInland, place, float64(at))
	}
	if s.File.Weather.From != "climate" {
		for _, n := range doubts.Notes() {
			note("climate", "in places: "+n)
		}
		note("weather", "seeded weathers of the ocean climate, in place of the cloud, wind and temperatures of the file")
		v.Weather = func(member int) sim.Weather { return a.lay(climate.NewSynthetic(climate.Ocean(), seed, member)) }
		return &v, nil
	}
	note("weather", "seeded weathers with the climate's means, scatter and persistence")
	v.Weather = func(member int) sim.Weather { return a.build(climate.NewSynthetic(climate.Ocean(), seed, member)) }
	return &v, nil
}

// Kinds tells what kind of thing a source or load is, by its name: solar, hydro,
// engine, wind, shore, radio or fax; plain loads are not in it. Pictures give
// each kind its colour.
func (s *Scenario) Kinds() map[string]string { return s.kinds }

// Summary returns what is in the file, in one line.
func (s *Scenario) Summary() string {
	v := s.voyage
	return fmt.Sprintf("%s, %.0f miles, %d sources, %d loads", s.File.Title, float64(v.Route.Length()), len(v.Sources), len(v.Loads))
}

// layout is the compiled form of File.
var layout = sync.OnceValue(func() *form.Form { return form.Of[File](glossary()) })

// Read reads the scenario in src, called label in messages. Overrides are
// "path=value" and come after those of the variant, if one is named; faults are
// added to those of the file. The error is a *form.Problems with all that is
// wrong.
func Read(label string, src []byte, overrides []string, variant string, faults ...string) (*Scenario, error) {
	var sets []form.Override
	if variant != "" {
		var plain File
		doc, err := layout().Load(label, src, nil, &plain)
		if err != nil {
			return nil, err
		}
		v := plain.variant(variant)
		if v == nil {
			names := plain.variantNames()
			if p := doc.Problem("variants", "no variant is called %q", variant); len(names) > 0 {
				want(p, "one of "+strings.Join(names, ", "))
				p.Hint = form.Nearest(variant, names)
			}
			return nil, doc.Err()
		}
		sets = v.sets()
	}
	return read(label, src, append(sets, form.Sets(overrides)...), faults)
}

// read reads a scenario with all that is changed in it.
func read(label string, src []byte, sets []form.Override, faults []string) (*Scenario, error) {
	return readThrough(openFile, label, src, sets, faults)
}

func readThrough(open Opener, label string, src []byte, sets []form.Override, faults []string) (*Scenario, error) {
	f := new(File)
	doc, err := layout().Load(label, src, sets, f)
	if err != nil && doc.Empty() {
		return nil, err
	}
	// With some values wrong the rest is checked all the same, so that every
	// problem is told in one run.
	for _, text := range faults {
		var x FaultText
		if err := x.UnmarshalText([]byte(text)); err != nil {
			doc.Problem("faults", "--fault: %v", err)
			continue
		}
		f.Faults = append(f.Faults, x)
	}
	a := assembly{file: f, doc: doc, kinds: map[string]string{}, label: label, open: open}
	voyage := a.voyage()
	if err := doc.Err(); err != nil {
		return nil, err
	}
	return &Scenario{File: f, Doc: doc, voyage: voyage, kinds: a.kinds, parts: a, src: src, sets: sets, faults: faults, open: open}, nil
}

func (f *File) variant(name string) *Variant {
	for i := range f.Variants {
		if f.Variants[i].Name == name {
			return &f.Variants[i]
		}
	}
	return nil
}

func (f *File) variantNames() []string {
	var names []string
	for i := range f.Variants {
		names = append(names, f.Variants[i].Name)
	}
	return names
}

func sortedKeys(m map[string]string) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

//go:embed builtin/*.yaml
var builtin embed.FS

// Info is a built-in scenario.
type Info struct {
	Name     string `json:"name"`
	Title    string `json:"title"`
	Question string `json:"question"`
}

// order lists the built-in scenarios in the order of a beginner's questions.
var order = []string{"radio-cover", "doldrums-week", "bank-sizes", "generator-choice", "spare-panel", "southern-ocean"}

// Builtin lists the built-in scenarios.
func Builtin() []Info {
	infos := make([]Info, 0, len(order))
	for _, name := range order {
		src, err := builtin.ReadFile("builtin/" + name + ".yaml")
		if err != nil {
			panic("scenarios: " + err.Error()) // the list and the folder disagree
		}
		var f File
		if _, err := layout().Load(name, src, nil, &f); err != nil {
			panic("scenarios: " + err.Error())
		}
		infos = append(infos, Info{Name: name, Title: f.Title, Question: f.Question})
	}
	return infos
}

// Source returns the text of a built-in scenario or of a file, and what to call
// it in messages.
func Source(name string) (label string, src []byte, err error) {
	if src, err := builtin.ReadFile("builtin/" + name + ".yaml"); err == nil && path.Base(name) == name {
		return name, src, nil
	}
	f, err := os.Open(name)
	if err != nil {
		if os.IsNotExist(err) && !strings.ContainsAny(name, "./\\") {
			return "", nil, fmt.Errorf("no built-in scenario and no file is called %q: built in are %s", name, strings.Join(order, ", "))
		}
		return "", nil, err
	}
	defer func() { _ = f.Close() }() // only read
	src, err = form.ReadAll(f)
	return name, src, err
}
