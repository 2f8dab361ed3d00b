package desk

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"

	"ampwake/scenarios"
	"ampwake/scenarios/form"
)

// panel is the controls that go with a scenario, in two halves.
type panel struct {
	Kit []group `json:"kit"`
	Leg []group `json:"leg"`
}

// group is the controls of one thing: the bank, a panel, a radio.
type group struct {
	Deck     string    `json:"deck,omitempty"` // heading that it stands under
	Title    string    `json:"title"`
	Sum      string    `json:"sum,omitempty"` // what it is, in few words
	Open     bool      `json:"open,omitempty"`
	Controls []control `json:"controls"`
	Remove   []string  `json:"remove,omitempty"` // overrides that take it out
	Adds     []add     `json:"adds,omitempty"`   // what can be fitted
}

// add fits one thing more.
type add struct {
	Label  string   `json:"label"`
	Sets   []string `json:"sets,omitempty"`
	Insert *insert  `json:"insert,omitempty"`
}

// control changes one key of the file. What it writes is Path=value.
type control struct {
	Path   string `json:"path"`
	Label  string `json:"label"`
	Kind   string `json:"kind"` // range, choice, text, switch, moment
	Doc    string `json:"doc"`  // what the key means and takes
	Absent bool   `json:"absent,omitempty"`

	Number float64  `json:"number,omitempty"` // of a range
	Min    float64  `json:"min,omitempty"`
	Max    float64  `json:"max,omitempty"`
	Step   float64  `json:"step,omitempty"`
	Unit   string   `json:"unit,omitempty"`
	None   string   `json:"none,omitempty"` // a range that may be left out: what is true then
	Text   string   `json:"text,omitempty"` // of a text or moment
	On     bool     `json:"on,omitempty"`   // of a switch
	Sets   []string `json:"sets,omitempty"` // of a switch: off, on

	Options []option `json:"options,omitempty"`
	Note    string   `json:"note,omitempty"`
}

// option is one of a choice, with the overrides that make it.
type option struct {
	Label  string   `json:"label"`
	Sets   []string `json:"sets"`
	Chosen bool     `json:"chosen,omitempty"`
}

// keys holds what the file format says of each of its keys, by path with the
// indexes left out.
var keys = sync.OnceValue(func() map[string]form.Key {
	m := map[string]form.Key{}
	for _, k := range scenarios.Keys() {
		m[k.Path] = k
	}
	return m
})

// about is what a key means, its range and its default, for a tooltip. It panics
// if there is no such key, so that no control can outlive its key.
func about(path string) string {
	k, ok := keys()[path]
	if !ok {
		panic("desk: no key " + path)
	}
	text := k.Doc
	if k.Range != "" {
		text += "; " + k.Range
	}
	if k.Default != "" {
		text += "; default " + k.Default
	}
	return text
}

// bench makes controls for one scenario.
type bench struct{ s *scenarios.Scenario }

func panelOf(s *scenarios.Scenario) panel {
	b := bench{s}
	return panel{Kit: b.kit(), Leg: b.leg()}
}

// slider makes a range for a quantity. key is the path with the indexes left
// out, path that in the file. The scale is widened for a value beyond it.
func (b bench) slider(path, key, label string, value, least, most, step float64, unit string) control {
	value = math.Round(value*1e6) / 1e6
	return control{
		Path: path, Label: label, Kind: "range", Doc: about(key), Absent: !b.s.Doc.Given(path),
		Number: value, Min: math.Min(least, value), Max: math.Max(most, value), Step: step, Unit: unit,
	}
}

// perhaps is a slider for a key that may be absent; usual is where it starts then.
func perhaps[Q ~float64](b bench, path, key, label string, value *Q, usual, times, least, most, step float64, unit, none string) control {
	v := usual
	if value != nil {
		v = times * float64(*value)
	}
	c := b.slider(path, key, label, v, least, most, step, unit)
	c.None, c.Absent = none, value == nil
	return c
}

func (b bench) text(path, key, label, value string) control {
	return control{Path: path, Label: label, Kind: "text", Doc: about(key), Text: value, Absent: !b.s.Doc.Given(path)}
}

// yes is a switch that writes true, or takes the key out.
func (b bench) yes(path, key, label string, on bool) control {
	return control{Path: path, Label: label, Kind: "switch", Doc: about(key), On: on, Sets: []string{path + "=", path + "=true"}}
}

// choice offers values; one in the file that is not among them is offered too.
func (b bench) choice(path, key, label, value string, values ...string) control {
	c := control{Path: path, Label: label, Kind: "choice", Doc: about(key)}
	found := false
	for _, v := range values {
		c.Options = append(c.Options, option{v, []string{path + "=" + v}, v == value})
		found = found || v == value
	}
	if !found {
		c.Options = append([]option{{value + " (as in the file)", nil, true}}, c.Options...)
	}
	return c
}

// item returns the path of an item of a list: by its name where no other has it,
// since that stays the same when one before it goes.
func item(list string, i int, names []string) string {
	for j, n := range names {
		if n == "" || j != i && n == names[i] {
			return fmt.Sprintf("%s[%d]", list, i)
		}
	}
	return list + "[" + strconv.Quote(names[i]) + "]"
}

// plain prints a number as a file would have it.
func plain[Q ~float64](x Q) string { return strconv.FormatFloat(float64(x), 'f', -1, 64) }

// tidy prints a number with as few places as two allow.
func tidy[Q ~float64](x Q) string { return plain(math.Round(100*float64(x)) / 100) }

// fresh returns a name that is not taken yet.
func fresh(name string, taken []string) string {
	for n := 1; ; n++ {
		try := name
		if n > 1 {
			try = fmt.Sprintf("%s %d", name, n)
		}
		free := true
		for _, t := range taken {
			free = free && !strings.EqualFold(t, try)
		}
		if free {
			return try
		}
	}
}
