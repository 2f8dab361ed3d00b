package report

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"ampwake/scenarios/outlook"
	"ampwake/sim"
)

// ClimateSchema is the version of the JSON form of a climate; it changes when a
// field changes its name or meaning, not when one is added.
const ClimateSchema = "ampwake.climate/1"

type climateJSON struct {
	Schema string `json:"schema"`
	Kind   string `json:"kind"` // position or scenario
	Answer string `json:"answer"`

	// At a position.
	Place  *placeJSON  `json:"place,omitempty"`
	Ashore *bool       `json:"mostly_land,omitempty"`
	Panel  *panelJSON  `json:"panel,omitempty"`
	Months []monthJSON `json:"months,omitempty"`
	Year   *meansJSON  `json:"year,omitempty"`
	Tilts  *tiltsJSON  `json:"tilts,omitempty"`

	// Along a scenario.
	Title   string        `json:"title,omitempty"`
	Depart  string        `json:"depart_utc,omitempty"`
	End     string        `json:"end_utc,omitempty"`
	Arrived *bool         `json:"arrived,omitempty"`
	Sailed  float64       `json:"sailed_nm,omitempty"`
	Panels  []string      `json:"panels,omitempty"`
	Days    []climateDay  `json:"days,omitempty"`
	Left    float64       `json:"left_out_at_the_end_h,omitempty"`
	Passage *passageMeans `json:"passage,omitempty"`
	Doubts  []string      `json:"doubts"`
	Rests   []noteJSON    `json:"rests_on"`
	Caution string        `json:"caution"`
}

type placeJSON struct {
	Lat float64 `json:"lat_deg"`
	Lon float64 `json:"lon_deg"`
}

type panelJSON struct {
	Rated  float64  `json:"rated_w"`
	Tilt   *float64 `json:"tilt_deg"`        // null: the crew sets it
	Facing *float64 `json:"facing_true_deg"` // null: the mean over all headings, or the crew sets it
	Trims  int      `json:"turned_to_the_sun_a_day"`
	Shade  float64  `json:"shaded"`
	Dirt   float64  `json:"dirt"`
	Volts  float64  `json:"bus_v"`
}

// meansJSON has shares as 0..1; what is by the day is named so.
type meansJSON struct {
	Wind       float64  `json:"wind_kn"`
	From       float64  `json:"wind_from_deg"`
	Steadiness float64  `json:"wind_steadiness"`
	Calm       float64  `json:"calm_under_4kn"`
	Gale       float64  `json:"gale_over_34kn"`
	Light      float64  `json:"wind_p10_kn"`
	Hard       float64  `json:"wind_p90_kn"`
	Cloud      float64  `json:"cloud"`
	Air        float64  `json:"air_c"`
	Sea        float64  `json:"sea_c"`
	Night      float64  `json:"night_h"`
	Clear      float64  `json:"clear_kwh_m2_day"`
	Expected   float64  `json:"expected_kwh_m2_day"`
	Array      *float64 `json:"array_ah_day"` // null: there are no panels
	Doubts     []string `json:"doubts"`
}

type monthJSON struct {
	Month int    `json:"month"`
	Name  string `json:"name"`
	meansJSON
}

type climateDay struct {
	From  string  `json:"from_utc"`
	Hours float64 `json:"hours"`
	Lat   float64 `json:"lat_deg"`
	Lon   float64 `json:"lon_deg"`
	meansJSON
	Drawn float64 `json:"drawn_ah_day"`
}

type passageMeans struct {
	meansJSON
	Drawn float64 `json:"drawn_ah_day"`
}

type tiltsJSON struct {
	Towards float64    `json:"noon_sun_true_deg"`
	Trims   int        `json:"turned_to_the_sun_a_day"`
	Rows    []tiltJSON `json:"rows"`
	Free    float64    `json:"turned_tilt_and_all_ah_day"`
}

type tiltJSON struct {
	Tilt    float64 `json:"tilt_deg"`
	Swings  float64 `json:"any_heading_ah_day"`
	Towards float64 `json:"facing_noon_sun_ah_day"`
	Trimmed float64 `json:"turned_ah_day"`
}

// YearJSON writes the months at a place for programs. With t, only its month and
// what the tilt of a panel makes of it.
func YearJSON(w io.Writer, y *outlook.Year, t *outlook.Tilts) error {
	p := &y.Panel
	j := climateJSON{
		Kind: "position", Answer: YearAnswer(y),
		Place: &placeJSON{rounded(float64(y.Place.Lat)), rounded(float64(y.Place.Lon))}, Ashore: &y.Ashore,
		Panel: &panelJSON{Rated: float64(p.Rated), Trims: p.Trims, Shade: rounded(float64(p.Shade)), Dirt: rounded(float64(p.Dirt)), Volts: float64(outlook.BusVolts)},
		Rests: notesJSON(restsOf(yearRests(y))),
	}
	if tilt := float64(p.Tilt); !p.FreeTilt {
		j.Panel.Tilt = &tilt
	}
	if facing := float64(p.Facing); !p.Swings && p.Trims == 0 {
		j.Panel.Facing = &facing
	}
	for i := range y.Months {
		m := &y.Months[i]
		if t == nil || t.Month == m.Month {
			j.Months = append(j.Months, monthJSON{int(m.Month), m.Month.String(), newMeans(&m.Means, true)})
		}
	}
	j.Doubts = yearDoubts(y)
	if t == nil {
		year := newMeans(&y.Mean, true)
		j.Year = &year
	} else {
		j.Answer, j.Doubts = MonthAnswer(y, t), monthDoubts(y, &y.Months[t.Month-1])
		j.Tilts = &tiltsJSON{Towards: float64(t.Towards), Trims: t.Trims, Free: rounded(float64(t.Free))}
		for _, r := range t.Rows {
			j.Tilts.Rows = append(j.Tilts.Rows, tiltJSON{float64(r.Tilt), rounded(float64(r.Swings)), rounded(float64(r.Towards)), rounded(float64(r.Trimmed))})
		}
	}
	return j.write(w)
}

// PassageJSON writes the days of a passage for programs.
func PassageJSON(w io.Writer, p *outlook.Passage) error {
	spans, panels := p.Spans(mostSpans), len(p.Panels) > 0
	j := climateJSON{
		Kind: "scenario", Answer: PassageAnswer(p),
		Title: p.Title, Depart: utc(p.Depart), End: utc(p.End), Arrived: &p.Arrived, Sailed: rounded(float64(p.Sailed)),
		Panels: p.Panels, Left: rounded(float64(p.Left)),
		Passage: &passageMeans{meansJSON: newMeans(&p.Mean.Means, panels), Drawn: rounded(float64(p.Mean.Drawn))},
		Doubts:  passageDoubts(spans), Rests: notesJSON(restsOf(passageRests(p))),
	}
	for i := range p.Days {
		d := &p.Days[i]
		j.Days = append(j.Days, climateDay{
			utc(d.From), rounded(float64(d.Hours)), rounded(float64(d.Place.Lat)), rounded(float64(d.Place.Lon)),
			newMeans(&d.Means, panels), rounded(float64(d.Drawn)),
		})
	}
	return j.write(w)
}

func (j *climateJSON) write(w io.Writer) error {
	j.Schema, j.Caution = ClimateSchema, ClimateCaution
	if j.Doubts == nil {
		j.Doubts = []string{}
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", " ")
	enc.SetEscapeHTML(false)
	return enc.Encode(j)
}

func newMeans(m *outlook.Means, panels bool) meansJSON {
	j := meansJSON{
		Wind: rounded(float64(m.Wind)), From: rounded(float64(m.From)), Steadiness: rounded(float64(m.Steadiness)),
		Calm: rounded(float64(m.Calm)), Gale: rounded(float64(m.Gale)), Light: rounded(float64(m.Light)), Hard: rounded(float64(m.Hard)),
		Cloud: rounded(float64(m.Cloud)), Air: rounded(float64(m.Air)), Sea: rounded(float64(m.Sea)), Night: rounded(float64(m.Night)),
		Clear: rounded(float64(m.Clear) / 1000), Expected: rounded(float64(m.Expected) / 1000), Doubts: m.Quality.Notes(),
	}
	if array := rounded(float64(m.Array)); panels {
		j.Array = &array
	}
	if j.Doubts == nil {
		j.Doubts = []string{}
	}
	return j
}

func notesJSON(notes []sim.Note) []noteJSON {
	out := make([]noteJSON, 0, len(notes))
	for _, n := range notes {
		out = append(out, noteJSON{n.About, n.Text})
	}
	return out
}

// rounded keeps four decimals: the last bits of a float are not the same on all
// machines.
func rounded(x float64) float64 { return math.Round(x*1e4) / 1e4 }

// meansHead names the columns of means with their units; shares are 0..1.
var meansHead = []string{
	"wind_kn", "wind_from_deg", "wind_steadiness", "calm_under_4kn", "gale_over_34kn", "wind_p10_kn", "wind_p90_kn",
	"cloud", "air_c", "sea_c", "night_h", "clear_kwh_m2_day", "expected_kwh_m2_day", "array_ah_day", "doubts",
}

func meansRow(m *outlook.Means, panels bool) []string {
	array := ""
	if panels {
		array = num(float64(m.Array), 2)
	}
	return []string{
		num(float64(m.Wind), 2), num(float64(m.From), 1), num(float64(m.Steadiness), 3), num(float64(m.Calm), 4),
		num(float64(m.Gale), 4), num(float64(m.Light), 2), num(float64(m.Hard), 2), num(float64(m.Cloud), 3), num(float64(m.Air), 2),
		num(float64(m.Sea), 2), num(float64(m.Night), 3), num(float64(m.Clear)/1000, 3), num(float64(m.Expected)/1000, 3), array, strings.Join(m.Quality.Notes(), "; "),
	}
}

// YearCSV writes a row a month; every column names its unit. only leaves the
// other months out, 0 keeps all.
func YearCSV(w io.Writer, y *outlook.Year, only time.Month) error {
	rows := [][]string{append([]string{"month"}, meansHead...)}
	for i := range y.Months {
		if m := &y.Months[i]; only == 0 || only == m.Month {
			rows = append(rows, append([]string{strconv.Itoa(int(m.Month))}, meansRow(&m.Means, true)...))
		}
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// PassageCSV writes a row for each 24 hours of a passage; every column names its
// unit.
func PassageCSV(w io.Writer, p *outlook.Passage) error {
	rows := [][]string{append([]string{"from_utc", "hours", "lat_deg", "lon_deg", "drawn_ah_day"}, meansHead...)}
	for i := range p.Days {
		d := &p.Days[i]
		row := []string{utc(d.From), num(float64(d.Hours), 3), num(float64(d.Place.Lat), 4), num(float64(d.Place.Lon), 4), num(float64(d.Drawn), 2)}
		rows = append(rows, append(row, meansRow(&d.Means, len(p.Panels) > 0)...))
	}
	return csv.NewWriter(w).WriteAll(rows)
}
