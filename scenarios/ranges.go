package scenarios

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Range is the values that a key takes in turn, to choose a kit from.
type Range struct {
	Path   string   // of the key
	Values []string // as a file would have them, the smallest first if Rises
	// Numbers are the values in the unit they are written in, for an axis; nil if
	// one of them is no number.
	Numbers []float64
	Unit    string
	// Rises tells that a step up never makes a kit worse; see rises.
	Rises bool
	// gone is the path that a value of 0 takes out of the file: a panel of 0 W is
	// no panel. "" where there is no such thing.
	gone string
}

// MostValues bounds a range.
const MostValues = 1000

const rangeWant = `text like "bank.capacity=100Ah..600Ah step 50Ah" or "bank.capacity=115Ah, 230Ah, 460Ah"`

// ParseRange reads "path=from..to step step", or "path=value, value". The last
// value is the highest that whole steps from the first one reach.
func ParseRange(text string) (Range, error) {
	fail := func(format string, args ...any) (Range, error) {
		return Range{}, fmt.Errorf("range %q: %s: want %s", text, fmt.Sprintf(format, args...), rangeWant)
	}
	cut, err := pathEnd(text)
	if err != nil {
		return fail("%v", err)
	}
	r := Range{Path: strings.TrimSpace(text[:cut])}
	if r.Path == "" {
		return fail("there is no path")
	}
	r.Rises, r.gone = rises(r.Path)
	list := strings.TrimSpace(text[cut+1:])
	if from, rest, ok := strings.Cut(list, ".."); ok {
		to, step, _ := strings.Cut(rest, "step")
		err = r.steps(from, to, step)
	} else {
		err = r.list(list)
	}
	if err != nil {
		return fail("%v", err)
	}
	return r, nil
}

// amount is "2 x 115 Ah": a number, perhaps times another, and a unit.
var amount = regexp.MustCompile(`^(?:(\d{1,5})\s*[x×]\s*)?([-−]?\d+(?:\.\d*)?|\.\d+)\s*(.*)$`)

func parseAmount(text string) (x float64, unit string, ok bool) {
	m := amount.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return 0, "", false
	}
	x, err := strconv.ParseFloat(strings.Replace(m[2], "−", "-", 1), 64)
	if err != nil || strings.ContainsAny(m[3], ".0123456789") {
		return 0, "", false
	}
	if m[1] != "" {
		times, _ := strconv.ParseFloat(m[1], 64)
		x *= times
	}
	return x, m[3], true
}

// steps fills in the values of "from..to step step". A part without a unit has
// that of the others.
func (r *Range) steps(from, to, step string) error {
	var x [3]float64
	for i, part := range []string{from, to, step} {
		v, unit, ok := parseAmount(part)
		switch {
		case i == 2 && strings.TrimSpace(part) == "":
			return errors.New("the step is missing")
		case !ok:
			return fmt.Errorf("%q is no number with a unit", strings.TrimSpace(part))
		case unit != "" && r.Unit != "" && unit != r.Unit:
			return fmt.Errorf("the units %q and %q differ", r.Unit, unit)
		case unit != "":
			r.Unit = unit
		}
		x[i] = v
	}
	if !(x[2] > 0) {
		return errors.New("the step must be above 0")
	}
	if x[1] < x[0] {
		return errors.New("it ends before it begins")
	}
	n := math.Floor((x[1]-x[0])/x[2]+1e-9) + 1
	if n > MostValues {
		return fmt.Errorf("%.0f values are more than %d", n, MostValues)
	}
	for i := range int(n) {
		// Twelve digits: 0.1 and 0.2 are 0.3.
		v, _ := strconv.ParseFloat(strconv.FormatFloat(x[0]+float64(i)*x[2], 'g', 12, 64), 64)
		r.Numbers = append(r.Numbers, v)
		r.Values = append(r.Values, strings.TrimSpace(strconv.FormatFloat(v, 'f', -1, 64)+" "+r.Unit))
	}
	return nil
}

// list fills in the values of "a, b, c". One that is not of ascending numbers of
// one unit is tried value by value.
func (r *Range) list(text string) error {
	plain := true
	parts, err := cutValues(text)
	if err != nil {
		return err
	}
	for _, part := range parts {
		if part == "" {
			return errors.New("a value is missing")
		}
		v, unit, ok := parseAmount(part)
		n := len(r.Numbers)
		plain = plain && ok && (n == 0 || unit == r.Unit)
		if n > 0 && plain && v <= r.Numbers[n-1] {
			if r.Rises {
				return errors.New("the values must ascend")
			}
			plain = false
		}
		r.Unit = unit
		r.Values, r.Numbers = append(r.Values, part), append(r.Numbers, v)
	}
	if len(r.Values) > MostValues {
		return fmt.Errorf("%d values are more than %d", len(r.Values), MostValues)
	}
	if !plain {
		r.Numbers, r.Unit, r.Rises = nil, "", false
	}
	return nil
}

// rises tells of a path whether more of it never makes a kit worse, and what a
// value of 0 of it takes out of the file.
//
// More bank, panel, alternator, shore power or fuel gives more charge, other
// things equal. It is not a law of this model: an array that fills the bank
// sooner lets the charger go to float sooner, and a rule that starts the engine
// by the state of charge starts it later in a large bank. So those who rely on it
// count how often it was so (sim.Size.Against). The limit of a generator and of a
// turbine cuts its peaks off and changes nothing else. A rotor is not here: a
// large one slows the boat.
func rises(path string) (rising bool, gone string) {
	switch path {
	case "bank.capacity", "sources.engine.fuel":
		return true, ""
	case "sources.engine.alternator", "sources.hydro.limit", "sources.wind.limit", "sources.shore.power":
		return true, path[:strings.LastIndexByte(path, '.')]
	}
	if panel, ok := strings.CutSuffix(path, ".rated"); ok && strings.HasPrefix(panel, "sources.panels") {
		return true, panel
	}
	return false, ""
}

// Removes reports whether value i takes its thing out of the kit.
func (r *Range) Removes(i int) bool {
	return r.gone != "" && r.Numbers != nil && r.Numbers[i] == 0
}

// Override returns the override that sets value i.
func (r *Range) Override(i int) string {
	if r.Removes(i) {
		return r.gone + "="
	}
	return r.Path + "=" + r.Values[i]
}

// Name returns what the key is called in a table: "bank", "deck panel", "fuel".
func (r *Range) Name() string {
	thing, key := "", r.Path
	if i := strings.LastIndexByte(r.Path, '.'); i >= 0 {
		thing, key = r.Path[:i], r.Path[i+1:]
	}
	if i := strings.LastIndexByte(thing, '['); i >= 0 {
		thing = strings.Trim(strings.TrimSuffix(thing[i+1:], "]"), `"`)
	} else if i := strings.LastIndexByte(thing, '.'); i >= 0 {
		thing = thing[i+1:]
	}
	if n, err := strconv.Atoi(thing); err == nil {
		thing = fmt.Sprintf("panel %d", n+1)
	}
	switch {
	case key == "fuel", key == "alternator":
		return key
	case key == "capacity", key == "rated", key == "power", thing == "":
		if thing == "" {
			return key
		}
		return thing
	}
	return thing + " " + key
}

// Value returns value i in words: "350 Ah", or "none".
func (r *Range) Value(i int) string {
	if r.Removes(i) {
		return "none"
	}
	return neat(r.Values[i])
}
