package report

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"math"
	"strconv"

	"ampwake/sim"
)

// CompareSchema is the version of the JSON form of a comparison; it changes when a
// field changes its name or meaning, not when one is added. Names and units are as
// in OddsSchema. A change is of the kit less the base, weather by weather. The same
// scenario, kits, seed and number of weathers give the same bytes, whatever the
// workers.
const CompareSchema = "ampwake.compare/1"

type compareJSON struct {
	Schema  string     `json:"schema"`
	Title   string     `json:"title"`
	Answer  string     `json:"answer"` // three lines for people
	Seed    uint64     `json:"seed"`
	Wanted  int        `json:"weathers_wanted"`
	Done    int        `json:"weathers"` // that all kits have sailed through
	Stopped bool       `json:"stopped"`
	Depart  string     `json:"depart_utc"`
	Base    string     `json:"base"`       // that changes are measured against
	Best    string     `json:"best"`       // that the answer names
	Sure    float64    `json:"sure_share"` // of weathers in which it is wanted to hold
	Kits    []kitJSON  `json:"kits"`
	Notes   []noteJSON `json:"notes"`
}

// kitJSON is one kit. A weight or price that the file does not give is null.
type kitJSON struct {
	Name    string        `json:"name"`
	Weight  *float64      `json:"weight_kg"`
	Price   *float64      `json:"price"`
	Items   []itemJSON    `json:"items"`
	Same    bool          `json:"same_as_base"` // the same voyage in every weather
	Floor   float64       `json:"floor_soc"`
	Holds   shareJSON     `json:"holds"`
	Goals   []kitGoalJSON `json:"goals"`
	Margin  spreadJSON    `json:"margin_soc"`
	MarginA spreadJSON    `json:"margin_ah"`
	Arrived shareJSON     `json:"arrived"`
	Change  kitChangeJSON `json:"change"`
	Days    []kitDayJSON  `json:"days"`
}

type itemJSON struct {
	Name   string   `json:"name"`
	Weight *float64 `json:"weight_kg"`
	Price  *float64 `json:"price"`
}

type kitGoalJSON struct {
	Name  string    `json:"name"`
	Holds shareJSON `json:"holds"`
}

type kitChangeJSON struct {
	Holds   holdsChangeJSON `json:"holds"`
	Margin  changeJSON      `json:"margin_soc"`
	Charge  changeJSON      `json:"margin_ah"`
	Lowest  changeJSON      `json:"lowest_soc"`
	Misses  changeJSON      `json:"misses"` // of the loads to keep
	Miles   changeJSON      `json:"lost_to_drag_nm"`
	Hours   changeJSON      `json:"lost_to_drag_h"`
	Passage changeJSON      `json:"passage_h"` // of weathers in which both arrive
	Engine  changeJSON      `json:"engine_h"`
	Fuel    changeJSON      `json:"fuel_l"`
	Life    changeJSON      `json:"cycle_life_share"`
}

// holdsChangeJSON counts the weathers in which both hold, only the kit (won), only
// the base (lost), or neither; Newcombe's 95 % interval.
type holdsChangeJSON struct {
	Both    int     `json:"both"`
	Won     int     `json:"won"`
	Lost    int     `json:"lost"`
	Neither int     `json:"neither"`
	By      float64 `json:"by"`
	Low     float64 `json:"low95"`
	High    float64 `json:"high95"`
}

// changeJSON has no interval, null, of fewer than two weathers.
type changeJSON struct {
	Count int      `json:"count"`
	Mean  float64  `json:"mean"` // of the kit
	By    float64  `json:"by"`   // mean of the kit's less the base's
	Low   *float64 `json:"low95"`
	High  *float64 `json:"high95"`
	More  int      `json:"more"` // weathers in which the kit has more
	Less  int      `json:"less"`
}

type kitDayJSON struct {
	Date  string     `json:"date"`
	AtSea int        `json:"at_sea"`
	Low   spreadJSON `json:"low_soc"`
}

// CompareJSON writes the comparison as one JSON document (CompareSchema).
func CompareJSON(w io.Writer, k *Kits) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", " ")
	return enc.Encode(compareDocument(k))
}

func compareDocument(k *Kits) compareJSON {
	o := k.Kits[k.Base].Odds
	d := compareJSON{
		Schema: CompareSchema, Title: o.Title, Answer: CompareAnswer(k), Seed: k.Seed, Wanted: o.Wanted, Done: o.Done, Stopped: o.Stopped != nil,
		Depart: utc(o.Depart), Base: k.Kits[k.Base].Name, Best: k.Kits[k.Best()].Name, Sure: Sure, Notes: []noteJSON{},
	}
	for i := range k.Kits {
		d.Kits = append(d.Kits, k.document(i))
	}
	for _, n := range k.notes() {
		d.Notes = append(d.Notes, noteJSON(n))
	}
	return d
}

func (k *Kits) document(i int) kitJSON {
	c := &k.Kits[i]
	o := c.Odds
	d := kitJSON{
		Name: c.Name, Weight: known(k.weight(i)), Price: known(k.price(i)), Items: []itemJSON{}, Same: c.Same, Floor: float64(o.Floor),
		Holds: shareJSON(o.Holds), Goals: []kitGoalJSON{}, Margin: spread(o.Margin), MarginA: spread(o.MarginCharge), Arrived: shareJSON(o.Arrived),
		Change: kitChangeJSON{
			holdsChangeJSON(c.Holds), change(c.Margin), change(c.Charge), change(c.Lowest), change(c.Misses), change(c.Miles), change(c.Hours),
			change(c.Passage), change(c.Engine), change(c.Fuel), change(c.Life),
		},
	}
	for _, x := range k.Files[i].Items() {
		j := itemJSON{Name: x.Name, Price: x.Price}
		if x.Weight != nil {
			j.Weight = known(float64(*x.Weight), true)
		}
		d.Items = append(d.Items, j)
	}
	for _, g := range o.Goals {
		d.Goals = append(d.Goals, kitGoalJSON{g.Name, shareJSON(g.Holds)})
	}
	for j := range o.Days {
		x := &o.Days[j]
		d.Days = append(d.Days, kitDayJSON{x.Date.Format("2006-01-02"), x.AtSea, spread(x.Low)})
	}
	return d
}

// known returns a value, or nil if it is not given.
func known(x float64, given bool) *float64 {
	if !given {
		return nil
	}
	return &x
}

func change[Q ~float64](c sim.Change[Q]) changeJSON {
	end := func(x Q) *float64 { return known(float64(x), !math.IsInf(float64(x), 0)) }
	return changeJSON{c.Count, float64(c.Mean), float64(c.By), end(c.Low), end(c.High), c.More, c.Less}
}

// CompareCSV writes one row a kit: how often it holds, and what it does otherwise
// than the base.
func CompareCSV(w io.Writer, k *Kits) error {
	out := csv.NewWriter(w)
	head := []string{
		"kit", "base", "weight_kg", "price", "weathers", "holds", "holds_share", "holds_low95", "holds_high95",
		"won", "lost", "holds_by", "holds_by_low95", "holds_by_high95", "margin_p10_soc", "margin_p50_soc", "margin_p90_soc",
	}
	for _, name := range []string{"margin_soc", "margin_ah", "lowest_soc", "misses", "lost_to_drag_nm", "lost_to_drag_h", "passage_h", "engine_h", "fuel_l", "cycle_life_share"} {
		head = append(head, name+"_mean", name+"_by", name+"_by_low95", name+"_by_high95")
	}
	if err := out.Write(head); err != nil {
		return err
	}
	for i := range k.Kits {
		d := k.document(i)
		h, x := &d.Holds, &d.Change.Holds
		row := []string{
			d.Name, strconv.FormatBool(i == k.Base), maybe(d.Weight), maybe(d.Price), strconv.Itoa(h.Of), strconv.Itoa(h.Count), num(h.P, 4), num(h.Low, 4), num(h.High, 4),
			strconv.Itoa(x.Won), strconv.Itoa(x.Lost), num(x.By, 4), num(x.Low, 4), num(x.High, 4), num(d.Margin.P10, 4), num(d.Margin.P50, 4), num(d.Margin.P90, 4),
		}
		c := &d.Change
		for _, one := range []changeJSON{c.Margin, c.Charge, c.Lowest, c.Misses, c.Miles, c.Hours, c.Passage, c.Engine, c.Fuel, c.Life} {
			row = append(row, num(one.Mean, 4), num(one.By, 4), maybe(one.Low), maybe(one.High))
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// maybe prints a value, or nothing if there is none.
func maybe(x *float64) string {
	if x == nil {
		return ""
	}
	return num(*x, 4)
}
