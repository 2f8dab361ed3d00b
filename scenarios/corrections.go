package scenarios

import (
	"fmt"
	"slices"
	"strings"

	"ampwake/loads/timetable"
	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/units"
)

// Factor is one of the things about a boat that a trial sail finds: by how much
// what the file says must be multiplied.
type Factor uint8

// The factors. The first four are groups of loads.
const (
	AlwaysOn   Factor = iota // what the loads that are always on use
	Lights                   // lights, and what else burns from dusk to dawn
	Radios                   // radios, weather fax
	OtherLoads               // what the crew uses as they like
	Panels                   // what the solar panels give
	Generator                // what the water generator gives
	Capacity                 // of the bank
	Losses                   // of charge on the way into the bank: 1 less its efficiency
	// Factors is how many there are.
	Factors int = iota
)

var factorNames = [Factors]string{"always on", "lights", "radio and fax", "other loads", "panels", "generator", "capacity", "charging losses"}

// String names the factor as the keys of trial in a scenario do.
func (f Factor) String() string { return factorNames[f] }

// Load reports whether the factor is that of a group of loads.
func (f Factor) Load() bool { return f <= OtherLoads }

// Path returns the path of the factor in a scenario file.
func (f Factor) Path() string { return "trial." + f.String() }

// FactorNamed returns the factor of a name.
func FactorNamed(name string) (Factor, bool) {
	i := slices.Index(factorNames[:], name)
	return Factor(max(i, 0)), i >= 0
}

// Corrections holds a factor for each Factor, > 0; 1 leaves things as they are.
type Corrections [Factors]float64

// Uncorrected returns corrections that change nothing.
func Uncorrected() Corrections {
	var c Corrections
	for i := range c {
		c[i] = 1
	}
	return c
}

// Trial is what a trial sail found: factors on what the rest of the file says.
// Its keys are the names of the factors.
type Trial struct {
	AlwaysOn   float64 `key:"always on" doc:"times what the loads of the group always on use" default:"1" status:"changes nothing" min:"0.05" max:"20"`
	Lights     float64 `key:"lights" doc:"times what the group lights uses" default:"1" status:"changes nothing" min:"0.05" max:"20"`
	Radios     float64 `key:"radio and fax" doc:"times what the group radio and fax uses; the peak current stays" default:"1" status:"changes nothing" min:"0.05" max:"20"`
	OtherLoads float64 `key:"other loads" doc:"times what all the other loads use" default:"1" status:"changes nothing" min:"0.05" max:"20"`
	Panels     float64 `key:"panels" doc:"times what the solar panels give" default:"1" status:"changes nothing" min:"0.05" max:"20"`
	Generator  float64 `key:"generator" doc:"times what the water generator gives" default:"1" status:"changes nothing" min:"0.05" max:"20"`
	Capacity   float64 `key:"capacity" doc:"times the capacity of the bank" default:"1" status:"changes nothing" min:"0.05" max:"20"`
	Losses     float64 `key:"charging losses" doc:"times what is lost of the charge that goes into the bank" default:"1" status:"changes nothing" min:"0.05" max:"20"`
}

// Corrections returns the keys as factors.
func (t *Trial) Corrections() Corrections {
	return Corrections{t.AlwaysOn, t.Lights, t.Radios, t.OtherLoads, t.Panels, t.Generator, t.Capacity, t.Losses}
}

// LoadGroup is a group of loads that a trial sail corrects together.
type LoadGroup string

// Choices lists the groups.
func (LoadGroup) Choices() []string { return factorNames[:int(OtherLoads)+1] }

// groupOf returns the group of a load: the one the file names, else by what it
// is. Radio and fax are known by their keys; lights by their hours or their name;
// what has no hours is always on.
func groupOf(l *Load, kind string) Factor {
	if l.Group != nil {
		f, _ := FactorNamed(string(*l.Group))
		return f
	}
	if kind == kindRadio || kind == kindFax || named(l.Name, "radio", "fax", "navtex", "vhf", "ssb") {
		return Radios
	}
	if named(l.Name, "light", "lamp", "tricolour", "lantern") {
		return Lights
	}
	always := true
	for _, w := range l.When {
		if w.Kind == timetable.Dark {
			return Lights
		}
		always = always && w.Kind == timetable.Always
	}
	if always {
		return AlwaysOn
	}
	return OtherLoads
}

func named(name string, words ...string) bool {
	name = strings.ToLower(name)
	return slices.ContainsFunc(words, func(w string) bool { return strings.Contains(name, w) })
}

// Group returns the group of load i of the voyage.
func (s *Scenario) Group(i int) Factor { return s.parts.groups[i] }

// Factors lists those that something in the scenario answers to, in order.
func (s *Scenario) Factors() []Factor {
	var has [Factors]bool
	has[Capacity], has[Losses] = true, true
	for _, g := range s.parts.groups {
		has[g] = true
	}
	for _, src := range s.voyage.Sources {
		if f, ok := yields(s.kinds[src.Source.Name()]); ok {
			has[f] = true
		}
	}
	var list []Factor
	for i, there := range has {
		if there {
			list = append(list, Factor(i))
		}
	}
	return list
}

// yields returns the factor of a kind of source.
func yields(kind string) (Factor, bool) {
	switch kind {
	case kindSolar:
		return Panels, true
	case kindHydro:
		return Generator, true
	}
	return 0, false
}

// Corrected returns a voyage of this scenario (its own, or one made from it with
// the same sources and loads) with factors laid over those it has already. The
// voyage given is left as it is. The error is that of a bank which cannot be.
func (s *Scenario) Corrected(v *sim.Voyage, c Corrections) (*sim.Voyage, error) {
	return corrected(v, c, s.kinds, s.parts.groups)
}

func corrected(v *sim.Voyage, c Corrections, kinds map[string]string, groups []Factor) (*sim.Voyage, error) {
	out := *v
	out.Sources = slices.Clone(v.Sources)
	for i := range out.Sources {
		f := &out.Sources[i]
		if k, ok := yields(kinds[f.Source.Name()]); ok {
			f.Times = times(f.Times, c[k])
		}
	}
	out.Loads = slices.Clone(v.Loads)
	for i := range out.Loads {
		f := &out.Loads[i]
		f.Times = times(f.Times, c[groups[i]])
	}
	if c[Capacity] == 1 && c[Losses] == 1 {
		return &out, nil
	}
	var err error
	if out.Bank, err = correctedBank(v.Bank, c); err != nil {
		return nil, err
	}
	out.Faults = slices.Clone(v.Faults)
	for i := range out.Faults {
		if f := &out.Faults[i]; f.Bank != nil {
			if f.Bank, err = correctedBank(f.Bank, c); err != nil {
				return nil, err
			}
		}
	}
	return &out, nil
}

// times multiplies a factor of the engine, for which 0 stands for 1.
func times(was, by float64) float64 {
	if was == 0 {
		return by
	}
	return was * by
}

// leastEfficiency keeps a bank with great losses chargeable.
const leastEfficiency = 0.05

// correctedBank scales the rated capacity, and with it all that goes by the
// capacity: resistances, tail current, largest current. Of the efficiency it
// scales the loss, so that no factor makes it more than 1.
func correctedBank(m *bank.Model, c Corrections) (*bank.Model, error) {
	s := m.Setup()
	s.Rated *= units.AmpHours(c[Capacity])
	lose := func(e units.Fraction) units.Fraction {
		return max(leastEfficiency, 1-(1-e)*units.Fraction(c[Losses]))
	}
	s.Efficiency.Low, s.Efficiency.Full = lose(s.Efficiency.Low), lose(s.Efficiency.Full)
	out, err := bank.New(s)
	if err != nil {
		return nil, fmt.Errorf("corrections of the bank: %w", err)
	}
	return out, nil
}

// correct lays the file's own trial section over the voyage.
func (a *assembly) correct() {
	c := a.file.Trial.Corrections()
	if c == Uncorrected() || !a.clean("trial", "bank", "loads", "sources") || a.out.Bank == nil {
		return
	}
	out, err := corrected(&a.out, c, a.kinds, a.groups)
	if err != nil {
		a.doc.Problem("trial", "%v", err)
		return
	}
	a.out = *out
	var said []string
	for i, x := range c {
		if x != 1 {
			said = append(said, fmt.Sprintf("%s × %.2f", Factor(i), x))
		}
	}
	a.noted("trial", "corrected by what a trial sail found: "+strings.Join(said, ", "))
}
