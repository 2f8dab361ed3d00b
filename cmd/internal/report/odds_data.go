package report

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"strconv"

	"ampwake/sim"
)

// OddsSchema is the version of the JSON form of the odds; it changes when a
// field changes its name or meaning, not when one is added.
//
// Names end in their unit: _soc is a share of the capacity, 0 to 1, _ah, _wh,
// _h, _l, _nm, _v and _deg as one reads them. Times are RFC 3339 in UTC. A
// spread is what a quantity is over the weathers; a share is how many weathers
// have something, with its 95 % interval; counts go by cause. The same scenario,
// seed and number of weathers give the same bytes, whatever the workers.
const OddsSchema = "ampwake.odds/1"

// oddsJSON is one voyage through many weathers.
type oddsJSON struct {
	Schema string `json:"schema"`
	Title  string `json:"title"`
	Answer string `json:"answer"` // three lines for people
	Seed   uint64 `json:"seed"`
	Wanted int    `json:"weathers_wanted"`
	Done   int    `json:"weathers"` // all below is of these
	// Stopped tells that the run was stopped before all were done; alike that
	// all gave the very same voyage.
	Stopped bool    `json:"stopped"`
	Alike   bool    `json:"alike"`
	Depart  string  `json:"depart_utc"`
	Floor   float64 `json:"floor_soc"` // that margins are measured from

	Holds    shareJSON      `json:"holds"` // all goals together
	Goals    []oddsGoalJSON `json:"goals"`
	Begins   countsJSON     `json:"first_failures"` // weathers, by the cause of their first failure
	Margin   spreadJSON     `json:"margin_soc"`     // lowest charge less the floor
	MarginAh spreadJSON     `json:"margin_ah"`
	Arrived  shareJSON      `json:"arrived"`
	Passage  spreadJSON     `json:"passage_h"` // of those that arrived
	End      spreadJSON     `json:"end_soc"`
	Engine   spreadJSON     `json:"engine_h"` // use of the sources that burn fuel, added up
	Fuel     spreadJSON     `json:"fuel_l"`
	Made     spreadJSON     `json:"made_wh"`
	Used     spreadJSON     `json:"used_wh"`
	Spilled  spreadJSON     `json:"spilled_ah"`

	Sources []oddsSourceJSON `json:"sources"`
	Loads   []oddsLoadJSON   `json:"loads"`
	Days    []oddsDayJSON    `json:"days"`
	Bins    []oddsBinJSON    `json:"bins"` // equal parts of the passage
	Zones   []oddsZoneJSON   `json:"zones"`
	Members []memberJSON     `json:"members"` // one for each weather, by index
	Notes   []noteJSON       `json:"notes"`
}

// spreadJSON has all zero if count is 0. Quantiles are of Hyndman and Fan's
// type 7.
type spreadJSON struct {
	Count int     `json:"count"`
	Min   float64 `json:"min"`
	P10   float64 `json:"p10"`
	P50   float64 `json:"p50"`
	P90   float64 `json:"p90"`
	Max   float64 `json:"max"`
}

// shareJSON is count of so many, and Wilson's 95 % interval of the true share.
type shareJSON struct {
	Count int     `json:"count"`
	Of    int     `json:"of"`
	P     float64 `json:"share"`
	Low   float64 `json:"low95"`
	High  float64 `json:"high95"`
}

type countsJSON struct {
	Flat    int `json:"flat"`
	Voltage int `json:"voltage_under_load"`
	Shed    int `json:"shed"`
	Floor   int `json:"floor"`
}

// oddsGoalJSON tells of the goal's own first failure in the weathers that fail.
type oddsGoalJSON struct {
	Name   string     `json:"name"`
	Holds  shareJSON  `json:"holds"`
	Begins countsJSON `json:"first_failures"`
	After  spreadJSON `json:"first_failure_after_h"` // since departure
	Sailed spreadJSON `json:"first_failure_sailed_nm"`
}

type oddsSourceJSON struct {
	Name  string     `json:"name"`
	Wh    spreadJSON `json:"wh"`
	Hours spreadJSON `json:"in_use_h"`
}

// oddsLoadJSON counts over all weathers together.
type oddsLoadJSON struct {
	Name    string     `json:"name"`
	Keep    bool       `json:"keep"`
	Due     int        `json:"slots_due"`
	Kept    int        `json:"slots_kept"`
	Misses  countsJSON `json:"misses"`
	Missing int        `json:"weathers_with_misses"`
	Off     spreadJSON `json:"not_served_h"`
}

// oddsDayJSON is a UTC day over the weathers in which she is at sea on it. Noon
// is 12:00 UTC, or the departure or arrival if that is not at sea.
type oddsDayJSON struct {
	Date   string     `json:"date"`
	AtSea  int        `json:"at_sea"`
	Noon   spreadJSON `json:"noon_soc"`
	Low    spreadJSON `json:"low_soc"`
	Begins countsJSON `json:"first_failures"`
	Misses int        `json:"misses"` // of the loads to keep
}

type oddsBinJSON struct {
	From   float64    `json:"from_nm"`
	To     float64    `json:"to_nm"`
	Lat    float64    `json:"centre_lat_deg"`
	Lon    float64    `json:"centre_lon_deg"`
	Begins countsJSON `json:"first_failures"`
	Misses countsJSON `json:"misses"` // of the loads to keep
}

type oddsZoneJSON struct {
	Name   string     `json:"name"`
	From   float64    `json:"from_nm"`
	To     float64    `json:"to_nm"`
	Begins countsJSON `json:"first_failures"`
}

type memberJSON struct {
	Index   int          `json:"index"`
	Holds   bool         `json:"holds"`
	Margin  float64      `json:"margin_soc"`
	Lowest  momentJSON   `json:"lowest_charge"`
	End     string       `json:"end_utc"`
	Arrived bool         `json:"arrived"`
	Sailed  float64      `json:"sailed_nm"`
	EndSoC  float64      `json:"end_soc"`
	Engine  float64      `json:"engine_h"`
	Fuel    float64      `json:"fuel_l"`
	Spilled float64      `json:"spilled_ah"`
	First   *failureJSON `json:"first_failure,omitempty"`
}

type failureJSON struct {
	Goal   string     `json:"goal"`
	Cause  string     `json:"cause"` // as in counts, in words
	What   string     `json:"what,omitempty"`
	Sailed float64    `json:"sailed_nm"`
	At     momentJSON `json:"at"`
	Volts  float64    `json:"terminal_v,omitempty"`
}

// OddsJSON writes the odds as one JSON document (OddsSchema).
func OddsJSON(w io.Writer, o *sim.Odds, seed uint64) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", " ")
	return enc.Encode(oddsDocument(o, seed))
}

func oddsDocument(o *sim.Odds, seed uint64) oddsJSON {
	d := oddsJSON{
		Schema: OddsSchema, Title: o.Title, Answer: OddsAnswer(o), Seed: seed,
		Wanted: o.Wanted, Done: o.Done, Stopped: o.Stopped != nil, Alike: o.Alike,
		Depart: utc(o.Depart), Floor: float64(o.Floor),
		Holds: shareJSON(o.Holds), Begins: countsJSON(o.Begins), Margin: spread(o.Margin), MarginAh: spread(o.MarginCharge),
		Arrived: shareJSON(o.Arrived), Passage: spread(o.Passage), End: spread(o.Last), Engine: spread(o.Engine),
		Fuel: spread(o.Fuel), Made: spread(o.Made), Used: spread(o.Used), Spilled: spread(o.Spilled),
		Goals: []oddsGoalJSON{}, Sources: []oddsSourceJSON{}, Loads: []oddsLoadJSON{}, Notes: []noteJSON{},
	}
	for i := range o.Goals {
		g := &o.Goals[i]
		d.Goals = append(d.Goals, oddsGoalJSON{g.Name, shareJSON(g.Holds), countsJSON(g.Begins), spread(g.After), spread(g.Sailed)})
	}
	for i := range o.Sources {
		s := &o.Sources[i]
		d.Sources = append(d.Sources, oddsSourceJSON{s.Name, spread(s.Energy), spread(s.InUse)})
	}
	for i := range o.Loads {
		l := &o.Loads[i]
		d.Loads = append(d.Loads, oddsLoadJSON{l.Name, l.Keep, l.Due, l.Kept, countsJSON(l.Misses), l.Missing, spread(l.Off)})
	}
	for i := range o.Days {
		x := &o.Days[i]
		d.Days = append(d.Days, oddsDayJSON{x.Date.Format("2006-01-02"), x.AtSea, spread(x.Noon), spread(x.Low), countsJSON(x.Begins), x.Misses})
	}
	for i := range o.Bins {
		x := &o.Bins[i]
		d.Bins = append(d.Bins, oddsBinJSON{float64(x.From), float64(x.To), float64(x.Place.Lat), float64(x.Place.Lon), countsJSON(x.Begins), countsJSON(x.Misses)})
	}
	for i := range o.Zones {
		z := &o.Zones[i]
		d.Zones = append(d.Zones, oddsZoneJSON{z.Name, float64(z.From), float64(z.To), countsJSON(z.Begins)})
	}
	for _, m := range o.Members {
		d.Members = append(d.Members, memberDocument(o, m))
	}
	for _, n := range o.Notes {
		d.Notes = append(d.Notes, noteJSON(n))
	}
	return d
}

func memberDocument(o *sim.Odds, m *sim.Member) memberJSON {
	j := memberJSON{
		Index: m.Index, Holds: m.Holds, Margin: float64(m.Margin), Lowest: moment(m.Lowest), End: utc(m.End), Arrived: m.Arrived,
		Sailed: float64(m.Sailed), EndSoC: float64(m.Last), Engine: float64(m.Engine), Fuel: float64(m.Fuel), Spilled: float64(m.Spilled),
	}
	if f := m.First(); f != nil {
		j.First = &failureJSON{o.Goals[f.Goal].Name, f.Why(), f.What, float64(f.At.Sailed), moment(f.At), float64(f.Volts)}
	}
	return j
}

func spread[Q ~float64](s sim.Spread[Q]) spreadJSON {
	return spreadJSON{s.Count, float64(s.Min), float64(s.P10), float64(s.P50), float64(s.P90), float64(s.Max)}
}

// OddsBand writes one CSV row a UTC day: the state of charge at 12:00 UTC and
// the lowest of the day over the weathers at sea, and how many begin to fail.
func OddsBand(w io.Writer, o *sim.Odds) error {
	out := csv.NewWriter(w)
	head := []string{
		"date", "day", "at_sea",
		"noon_p10_soc", "noon_p50_soc", "noon_p90_soc", "noon_min_soc", "noon_max_soc",
		"low_p10_soc", "low_p50_soc", "low_p90_soc", "low_min_soc", "low_max_soc", "first_failures", "misses",
	}
	if err := out.Write(head); err != nil {
		return err
	}
	for i := range o.Days {
		d := &o.Days[i]
		row := []string{d.Date.Format("2006-01-02"), strconv.Itoa(i + 1), strconv.Itoa(d.AtSea)}
		for _, s := range []spreadJSON{spread(d.Noon), spread(d.Low)} {
			for _, x := range []float64{s.P10, s.P50, s.P90, s.Min, s.Max} {
				row = append(row, num(x, 4))
			}
		}
		row = append(row, strconv.Itoa(d.Begins.Total()), strconv.Itoa(d.Misses))
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}
