package report

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"strconv"
	"time"

	"ampwake/sim"
	"ampwake/sim/track"
)

// Schema is the version of the JSON form; it changes when a field changes its
// name or meaning, not when one is added.
const Schema = "ampwake.run/1"

type runJSON struct {
	Schema      string         `json:"schema"`
	Title       string         `json:"title"`
	Holds       bool           `json:"holds"`
	Answer      string         `json:"answer"`
	Margin      float64        `json:"margin_soc"`
	MarginAh    float64        `json:"margin_ah"`
	Floor       float64        `json:"floor_soc"`
	Goals       []goalJSON     `json:"goals"`
	Depart      string         `json:"depart_utc"`
	End         string         `json:"end_utc"`
	Arrived     bool           `json:"arrived"`
	Sailed      float64        `json:"sailed_nm"`
	Steps       int            `json:"steps"`
	StartSoC    float64        `json:"start_soc"`
	EndSoC      float64        `json:"end_soc"`
	Lowest      momentJSON     `json:"lowest_charge"`
	LowestVolts momentJSON     `json:"lowest_voltage"`
	Sources     []sourceJSON   `json:"sources"`
	Loads       []loadJSON     `json:"loads"`
	Bus         busJSON        `json:"bus_ledger"`
	Bank        bankJSON       `json:"bank_ledger"`
	Fuel        float64        `json:"fuel_l"`
	Misses      []missJSON     `json:"misses"`
	Decisions   []decisionJSON `json:"decisions"`
	Days        []dayJSON      `json:"days"`
	Notes       []noteJSON     `json:"notes"`
}

type goalJSON struct {
	Name  string `json:"name"`
	Holds bool   `json:"holds"`
	Due   int    `json:"slots_due"`
	Kept  int    `json:"slots_kept"`
	First string `json:"first_failure_utc,omitempty"`
}

type momentJSON struct {
	Time string  `json:"utc"`
	Zone int     `json:"ship_zone_h"`
	Lat  float64 `json:"lat_deg"`
	Lon  float64 `json:"lon_deg"`
	SoC  float64 `json:"soc"`
	Bus  float64 `json:"bus_v"`
}

type sourceJSON struct {
	Name  string  `json:"name"`
	Wh    float64 `json:"wh"`
	Ah    float64 `json:"ah"`
	Lost  float64 `json:"lost_wh"`
	Hours float64 `json:"in_use_h"`
}

type loadJSON struct {
	Name string  `json:"name"`
	Wh   float64 `json:"wh"`
	Ah   float64 `json:"ah"`
	Due  int     `json:"slots_due"`
	Kept int     `json:"slots_kept"`
	Off  float64 `json:"not_served_h"`
}

type busJSON struct {
	Made    float64 `json:"made_wh"`
	Lost    float64 `json:"controllers_and_wiring_wh"`
	Used    float64 `json:"used_wh"`
	Spilled float64 `json:"spilled_wh"`
	In      float64 `json:"bank_in_wh"`
	Out     float64 `json:"bank_out_wh"`
	Gap     float64 `json:"gap_wh"`
}

type bankJSON struct {
	Taken   float64 `json:"taken_ah"`
	Charged float64 `json:"charged_ah"`
	Drawn   float64 `json:"drawn_ah"`
	Faded   float64 `json:"self_discharge_ah"`
	Change  float64 `json:"store_change_ah"`
	Gap     float64 `json:"gap_ah"`
	Spilled float64 `json:"spilled_ah"`
	Lost    float64 `json:"lost_in_bank_wh_derived"`
}

type missJSON struct {
	Load  string     `json:"load"`
	What  string     `json:"what"`
	Slot  string     `json:"slot_utc"`
	At    momentJSON `json:"at"`
	Until string     `json:"until_utc,omitempty"`
	Cause string     `json:"cause"`
	Volts float64    `json:"terminal_v,omitempty"`
}

type decisionJSON struct {
	At   momentJSON `json:"at"`
	What string     `json:"what"`
	Use  bool       `json:"in_use"`
	Why  string     `json:"why"`
}

type dayJSON struct {
	Date    string          `json:"date"`
	Hours   float64         `json:"hours"`
	Lat     float64         `json:"noon_lat_deg"`
	Lon     float64         `json:"noon_lon_deg"`
	Sailed  float64         `json:"sailed_nm"`
	Low     float64         `json:"low_soc"`
	LowAt   string          `json:"low_utc"`
	High    float64         `json:"high_soc"`
	Close   float64         `json:"close_soc"`
	Cloud   float64         `json:"cloud"`
	Air     float64         `json:"air_c"`
	Sea     float64         `json:"sea_c"`
	Made    map[string]whAh `json:"made"`
	Used    map[string]whAh `json:"used"`
	Spilled float64         `json:"spilled_ah"`
	Misses  int             `json:"slots_missed"`
}

type whAh struct {
	Wh float64 `json:"wh"`
	Ah float64 `json:"ah"`
}

type noteJSON struct {
	About string `json:"about"`
	Text  string `json:"text"`
}

// JSON writes the result as one JSON document (Schema).
func JSON(w io.Writer, r *sim.Result) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", " ")
	return enc.Encode(runDocument(r))
}

func runDocument(r *sim.Result) runJSON {
	k := &r.Books
	d := runJSON{
		Schema: Schema, Title: r.Title, Holds: r.Verdict.Holds, Answer: Answer(r),
		Margin: float64(r.Verdict.Margin), MarginAh: float64(r.Verdict.MarginCharge), Floor: float64(r.Verdict.Floor),
		Depart: utc(r.Depart), End: utc(r.End), Arrived: r.Arrived, Sailed: float64(r.Sailed), Steps: r.Steps,
		StartSoC: float64(r.Start), EndSoC: float64(r.Last), Lowest: moment(r.Lowest), LowestVolts: moment(r.LowestVolts),
		Fuel: float64(r.Fuel),
		Bus: busJSON{
			float64(k.Made), float64(k.Lost), float64(k.Used), float64(k.Spilled),
			float64(k.BankIn), float64(k.BankOut), float64(k.BusGap()),
		},
		Bank: bankJSON{
			float64(k.Taken), float64(k.Charged), float64(k.Drawn), float64(k.SelfDischarge),
			float64(k.StoreChange), float64(k.BankGap()), float64(k.SpilledCharge), float64(k.BankLost),
		},
		Goals: []goalJSON{}, Misses: []missJSON{}, Decisions: []decisionJSON{}, Notes: []noteJSON{},
	}
	for i := range r.Verdict.Goals {
		g := &r.Verdict.Goals[i]
		j := goalJSON{Name: g.Name, Holds: g.Holds, Due: g.Due, Kept: g.Kept}
		if g.First != nil {
			j.First = utc(g.First.At.Time)
		} else if g.Broken != nil {
			j.First = utc(g.Broken.Time)
		}
		d.Goals = append(d.Goals, j)
	}
	for _, s := range r.Sources {
		d.Sources = append(d.Sources, sourceJSON{s.Name, float64(s.Energy), float64(s.Charge), float64(s.Lost), float64(s.InUse)})
	}
	for _, l := range r.Loads {
		d.Loads = append(d.Loads, loadJSON{l.Name, float64(l.Energy), float64(l.Charge), l.Due, l.Kept, float64(l.Off)})
	}
	for i := range r.Misses {
		m := &r.Misses[i]
		j := missJSON{
			Load: r.Loads[m.Load].Name, What: m.What, Slot: utc(m.Slot), At: moment(m.At),
			Cause: m.Cause.String(), Volts: float64(m.Volts),
		}
		if !m.Until.IsZero() {
			j.Until = utc(m.Until)
		}
		d.Misses = append(d.Misses, j)
	}
	for _, x := range r.Decisions {
		d.Decisions = append(d.Decisions, decisionJSON{moment(x.At), x.What, x.Use, x.Why})
	}
	for i := range r.Days {
		d.Days = append(d.Days, day(&r.Days[i]))
	}
	for _, n := range r.Notes {
		d.Notes = append(d.Notes, noteJSON(n))
	}
	return d
}

func day(d *sim.Day) dayJSON {
	j := dayJSON{
		Date: d.Date.Format("2006-01-02"), Hours: float64(d.Hours), Lat: float64(d.Noon.Lat), Lon: float64(d.Noon.Lon),
		Sailed: float64(d.Sailed), Low: float64(d.Low), LowAt: utc(d.LowAt), High: float64(d.High), Close: float64(d.Close),
		Cloud: float64(d.Cloud), Air: float64(d.Air), Sea: float64(d.Sea), Spilled: float64(d.Spilled), Misses: d.Misses,
		Made: map[string]whAh{}, Used: map[string]whAh{},
	}
	for _, s := range d.Sources {
		j.Made[s.Name] = whAh{float64(s.Energy), float64(s.Charge)}
	}
	for _, l := range d.Loads {
		j.Used[l.Name] = whAh{float64(l.Energy), float64(l.Charge)}
	}
	return j
}

func moment(m sim.Moment) momentJSON {
	return momentJSON{utc(m.Time), m.Zone, float64(m.Place.Lat), float64(m.Place.Lon), float64(m.Charge), float64(m.Bus)}
}

func utc(t time.Time) string { return t.UTC().Format(time.RFC3339) }

// Daily writes one CSV row a UTC day; every column names its unit.
func Daily(w io.Writer, r *sim.Result) error {
	head := []string{"date", "hours", "noon_lat_deg", "noon_lon_deg", "sailed_nm", "low_soc", "low_utc", "high_soc", "close_soc", "cloud", "air_c", "sea_c"}
	for _, s := range r.Sources {
		head = append(head, "in "+s.Name+" ah")
	}
	for _, l := range r.Loads {
		head = append(head, "out "+l.Name+" ah")
	}
	head = append(head, "spilled_ah", "slots_missed")
	out := csv.NewWriter(w)
	if err := out.Write(head); err != nil {
		return err
	}
	for i := range r.Days {
		d := &r.Days[i]
		row := []string{
			d.Date.Format("2006-01-02"), num(float64(d.Hours), 3), num(float64(d.Noon.Lat), 4), num(float64(d.Noon.Lon), 4),
			num(float64(d.Sailed), 2), num(float64(d.Low), 4), utc(d.LowAt), num(float64(d.High), 4), num(float64(d.Close), 4),
			num(float64(d.Cloud), 3), num(float64(d.Air), 2), num(float64(d.Sea), 2),
		}
		for _, s := range d.Sources {
			row = append(row, num(float64(s.Charge), 3))
		}
		for _, l := range d.Loads {
			row = append(row, num(float64(l.Charge), 3))
		}
		row = append(row, num(float64(d.Spilled), 3), strconv.Itoa(d.Misses))
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// Steps writes one CSV row a step of the trace; every column names its unit.
func Steps(w io.Writer, r *sim.Result) error {
	t := r.Trace
	head := []string{
		"utc", "lat_deg", "lon_deg", "ship_zone_h", "speed_kn", "heading_deg", "cloud", "air_c", "sea_c",
		"sun_true_elevation_deg", "global_wm2", "soc", "bus_v", "battery_a_discharge", "spilled_w",
	}
	for _, s := range r.Sources {
		head = append(head, "in "+s.Name+" w")
	}
	for _, l := range r.Loads {
		head = append(head, "out "+l.Name+" w")
	}
	out := csv.NewWriter(w)
	if err := out.Write(head); err != nil {
		return err
	}
	for i := range t.Time {
		place := track.Position{Lat: t.Lat[i], Lon: t.Lon[i]}
		row := []string{
			utc(t.Time[i]), num(float64(place.Lat), 5), num(float64(place.Lon), 5), strconv.Itoa(int(t.Zone[i])),
			num(float64(t.Speed[i]), 3), num(float64(t.Heading[i]), 2), num(float64(t.Cloud[i]), 3), num(float64(t.Air[i]), 2),
			num(float64(t.Sea[i]), 2), num(float64(t.Sun[i]), 3), num(float64(t.Global[i]), 2), num(float64(t.Charge[i]), 5),
			num(float64(t.Bus[i]), 4), num(float64(t.Battery[i]), 4), num(float64(t.Spilled[i]), 3),
		}
		for j := range t.Sources {
			row = append(row, num(float64(t.Sources[j][i]), 3))
		}
		for j := range t.Loads {
			row = append(row, num(float64(t.Loads[j][i]), 3))
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

func num(x float64, places int) string { return strconv.FormatFloat(x, 'f', places, 64) }
