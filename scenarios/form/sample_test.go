package form_test

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"ampwake/scenarios/form"
	"ampwake/sim/units"
)

// The structs here are a small boat, made to use every kind of field.

type voyage struct {
	Name    string             `key:"name,required" doc:"what the passage is called"`
	Notes   string             `key:"notes" doc:"anything at all"`
	Step    units.Hours        `key:"step" doc:"length of a step" default:"10 min" above:"0 h" max:"1 h"`
	Seed    int                `key:"seed" doc:"of the weather" default:"1" min:"0"`
	Crew    uint8              `key:"crew" doc:"people aboard" default:"2"`
	Albedo  float64            `key:"albedo" doc:"of the sea" default:"0.06" min:"0" below:"1"`
	Heeled  bool               `key:"heeled" doc:"sails with heel" default:"yes"`
	Route   []waypoint         `key:"route,required" doc:"way points" items:"2..40"`
	Cloud   *cloud             `key:"cloud" doc:"cloud cover" default:"0.4"`
	Bank    bank               `key:"bank,required" doc:"the battery"`
	Sources *sources           `key:"sources" doc:"what charges"`
	Loads   []load             `key:"loads,one" doc:"what draws"`
	Places  map[string]place   `key:"places" doc:"named places"`
	Months  [3]units.Fraction  `key:"months" doc:"cloud by month" default:"[10 %, 20 %, 30 %]" min:"0" max:"1"`
	Labels  map[string]string  `key:"labels" doc:"free words"`
	Watches []string           `key:"watches,one" doc:"who is on" items:"..4"`
	Sub     map[string][]point `key:"sub" doc:"tables by name"`
	common
	Ignored string
}

type common struct {
	Author string `key:"author" doc:"who wrote it"`
}

type bank struct {
	Chemistry chemistry        `key:"chemistry" doc:"kind of cells" default:"agm"`
	Capacity  units.AmpHours   `key:"capacity,required" doc:"rated 20-hour capacity" min:"1" max:"10000" example:"2 x 115 Ah"`
	Start     units.Fraction   `key:"start" doc:"state of charge at departure" default:"100 %" min:"0 %" max:"100 %"`
	CutOff    *units.Volts     `key:"cut-off" doc:"all loads stop under it" min:"8 V" max:"14 V"`
	Cells     *[]units.Celsius `key:"cells" doc:"temperatures"`
}

type chemistry string

func (chemistry) Choices() []string { return []string{"agm", "gel", "flooded", "lithium"} }

type sources struct {
	Hydro *hydro  `key:"hydro" doc:"the water generator"`
	Solar []panel `key:"solar,one" doc:"the panels"`
}

type hydro struct {
	LiftBelow units.Knots `key:"lift below,required" doc:"it comes up under this speed"`
	StayAbove units.Volts `key:"stay above" doc:"nor at this voltage" default:"14 V"`
	Table     []point     `key:"table" doc:"current against speed" example:"[[3 kn, 1 A], [5 kn, 8 A]]"`
}

type panel struct {
	Name  string      `key:"name" doc:"of the panel"`
	Power units.Watts `key:"power,required" doc:"rated power"`
}

type point struct {
	Speed units.Knots `key:"speed,required,row" doc:"through the water"`
	Draw  units.Amps  `key:"current,required,row" doc:"into the bank"`
	Note  string      `key:"note,row" doc:"a remark"`
}

type load struct {
	Name  string          `key:"name,required" doc:"of the load"`
	Draws units.Watts     `key:"draws,required" doc:"while it is on" min:"0 W"`
	Works *units.Volts    `key:"works above" doc:"lowest voltage at its terminals"`
	When  when            `key:"when" doc:"when it is on" default:"always"`
	Duty  *units.Fraction `key:"duty" doc:"share of the time" min:"0" max:"1"`
}

// when is written as one window or as a list of them.
type when struct {
	Windows []window `key:",scalar,list"`
}

// window reads itself from "08:00 to 08:30" or "always".
type window struct{ From, To int } // minutes of the day

func (w *window) UnmarshalText(text []byte) error {
	if string(text) == "always" {
		*w = window{0, 24 * 60}
		return nil
	}
	from, to, ok := strings.Cut(string(text), " to ")
	for _, end := range []struct {
		text string
		into *int
	}{{from, &w.From}, {to, &w.To}} {
		h, m, colon := strings.Cut(end.text, ":")
		hours, err := strconv.Atoi(h)
		minutes, err2 := strconv.Atoi(m)
		if !ok || !colon || err != nil || err2 != nil || hours > 24 || minutes > 59 {
			return fmt.Errorf("%q is no window", text)
		}
		*end.into = 60*hours + minutes
	}
	return nil
}

func (window) FormWords() form.Words {
	return form.Words{What: "a window of the day", Example: "08:00 to 08:30", Pattern: `^(always|[0-9]{2}:[0-9]{2} to [0-9]{2}:[0-9]{2})$`}
}

// cloud is one share, or a table.
type cloud struct {
	Mean  units.Fraction `key:"mean,scalar" doc:"share of the sky" min:"0" max:"1"`
	Table []month        `key:"table" doc:"by month"`
}

type month struct {
	Name  string         `key:"month,required,row" doc:"name of the month"`
	Cover units.Fraction `key:"cover,required,row" doc:"share of the sky" min:"0" max:"1"`
}

type waypoint struct {
	Name string `key:"name" doc:"of the point"`
	At   place  `key:"at,scalar,required" doc:"where"`
}

// place reads itself from "38.5 -28.6". Its words are in the glossary.
type place struct{ Lat, Lon float64 }

func (p *place) UnmarshalText(text []byte) error {
	lat, lon, _ := strings.Cut(string(text), " ")
	var err, err2 error
	p.Lat, err = strconv.ParseFloat(lat, 64)
	p.Lon, err2 = strconv.ParseFloat(lon, 64)
	if err != nil || err2 != nil || p.Lat < -90 || p.Lat > 90 {
		return fmt.Errorf("%q is no place", text)
	}
	return nil
}

var glossary = form.Glossary{
	reflect.TypeFor[place](): {What: "a place", Example: "38.5 -28.6", Pattern: `^-?[0-9.]+ -?[0-9.]+$`},
}

var voyageForm = form.Of[voyage](glossary)

func sample() *form.Form { return voyageForm }

const good = `# a passage
name: Horta to Falmouth   # the usual one
notes: no
seed: 7

route:
  - 38.5 -28.6
  - {name: Falmouth, at: 50.1 -5.0}

bank:
  capacity: 2 x 115 Ah   # two of them
  start:    95 %
  cut-off:  11.6 V

sources:
  hydro:
    lift below: 3 kn
    table: [[3 kn, 1 A], [5 kn, 8 A, measured]]
  solar:
    - {name: flat, power: 85 W}
    - name: rail
      power: 50 W

loads:
  - name: HF radio
    draws: 100 W
    when: [08:00 to 08:30, 20:00 to 20:30]
    works above: 11.8 V

  - name: VHF
    draws: 5 W
    duty: 0.5
`
