package report

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"strconv"

	"ampwake/scenarios/breakeven"
)

// BreakEvenSchema is the version of the JSON form of the break-even maps; it
// changes when a field changes its name or meaning.
const BreakEvenSchema = "ampwake.breakeven/1"

type breakEvenJSON struct {
	Schema  string         `json:"schema"`
	Title   string         `json:"title"`
	Answer  string         `json:"answer"`
	Lat     float64        `json:"lat_deg"`
	Lon     float64        `json:"lon_deg"`
	Date    string         `json:"date"`
	Course  float64        `json:"course_deg"`
	Heel    float64        `json:"heel_deg"`
	Air     float64        `json:"air_c"`
	Sea     float64        `json:"sea_c"`
	Wind    float64        `json:"wind_kn"`
	Cloud   float64        `json:"cloud"`
	Average bool           `json:"cloud_is_mean"`
	Speed   float64        `json:"speed_kn"`
	Here    balanceJSON    `json:"here"`
	Even    []crossingJSON `json:"even"`
	Still   stillJSON      `json:"without_way"`
	BySpeed bySpeedJSON    `json:"by_speed_and_cloud"`
	ByYear  byYearJSON     `json:"by_latitude_and_date"`
	AllYear *bandJSON      `json:"gains_all_year"`
	Notes   []noteJSON     `json:"notes"`
}

type balanceJSON struct {
	Made float64 `json:"made_ah"`
	Used float64 `json:"used_ah"`
	Net  float64 `json:"net_ah"`
	Lost float64 `json:"charging_loss_ah"`
}

type crossingJSON struct {
	Speed float64 `json:"speed_kn"`
	Gains bool    `json:"gains_above"`
	Leaps bool    `json:"leaps"`
}

type stillJSON struct {
	Clear    balanceJSON `json:"clear"`
	There    balanceJSON `json:"cloud"`
	Overcast balanceJSON `json:"overcast"`
}

type bySpeedJSON struct {
	Speeds []float64   `json:"speed_kn"`
	Clouds []float64   `json:"cloud"`
	Net    [][]float64 `json:"net_ah"` // by cloud, then speed
}

type byYearJSON struct {
	Speed     float64     `json:"speed_kn"`
	Dates     []string    `json:"date"`
	Latitudes []float64   `json:"lat_deg"`
	Cloud     [][]float64 `json:"cloud"`  // by latitude, then date
	Net       [][]float64 `json:"net_ah"` // likewise
}

type bandJSON struct {
	South float64 `json:"south_deg"`
	North float64 `json:"north_deg"`
}

func balanceOf(b breakeven.Balance) balanceJSON {
	return balanceJSON{rounded(float64(b.Made)), rounded(float64(b.Used)), rounded(float64(b.Net())), rounded(float64(b.Lost))}
}

// tableOf turns a table of one kind into one of numbers.
func tableOf[T any](rows [][]T, of func(T) float64) [][]float64 {
	out := make([][]float64, len(rows))
	for j, row := range rows {
		out[j] = listOf(row, of)
	}
	return out
}

func listOf[T any](row []T, of func(T) float64) []float64 {
	out := make([]float64, len(row))
	for i, x := range row {
		out[i] = rounded(of(x))
	}
	return out
}

func number[T ~float64](x T) float64 { return float64(x) }

func netOf(b breakeven.Balance) float64 { return float64(b.Net()) }

const isoDate = "2006-01-02"

// BreakEvenJSON writes both maps for programs.
func BreakEvenJSON(w io.Writer, m *breakeven.Maps) error {
	j := breakEvenJSON{
		Schema: BreakEvenSchema, Title: m.Title, Answer: BreakEvenAnswer(m),
		Lat: rounded(float64(m.Place.Lat)), Lon: rounded(float64(m.Place.Lon)), Date: m.Date.Format(isoDate),
		Course: rounded(float64(m.Course)), Heel: rounded(float64(m.Heel)),
		Air: rounded(float64(m.Air)), Sea: rounded(float64(m.Sea)), Wind: rounded(float64(m.Wind)),
		Cloud: rounded(float64(m.Cloud)), Average: m.Average, Speed: rounded(float64(m.Speed)), Here: balanceOf(m.Here),
		Even:  []crossingJSON{},
		Still: stillJSON{balanceOf(m.Still[0]), balanceOf(m.Still[1]), balanceOf(m.Still[2])},
		BySpeed: bySpeedJSON{
			Speeds: listOf(m.Speeds, number), Clouds: listOf(m.Clouds, number), Net: tableOf(m.BySpeed, netOf),
		},
		ByYear: byYearJSON{
			Speed: rounded(float64(m.YearSpeed)), Latitudes: listOf(m.Latitudes, number),
			Cloud: tableOf(m.YearCloud, number), Net: tableOf(m.ByYear, netOf),
		},
		Notes: notesJSON(breakEvenRests(m)),
	}
	for _, d := range m.Dates {
		j.ByYear.Dates = append(j.ByYear.Dates, d.Format(isoDate))
	}
	for _, c := range m.Even {
		j.Even = append(j.Even, crossingJSON{rounded(float64(c.Speed)), c.Gains, c.Leaps})
	}
	if south, north, ok := m.AllYear(); ok {
		j.AllYear = &bandJSON{float64(south), float64(north)}
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", " ")
	enc.SetEscapeHTML(false)
	return enc.Encode(j)
}

// BreakEvenCSV writes a row for each day of both maps: the first at the place
// asked for, the second at each latitude.
func BreakEvenCSV(w io.Writer, m *breakeven.Maps) error {
	c := csv.NewWriter(w)
	f := func(x float64) string { return strconv.FormatFloat(rounded(x), 'f', -1, 64) }
	rows := [][]string{{"map", "lat_deg", "date", "speed_kn", "cloud", "made_ah", "used_ah", "net_ah", "charging_loss_ah"}}
	add := func(name string, lat float64, date string, speed, cloud float64, b breakeven.Balance) {
		rows = append(rows, []string{name, f(lat), date, f(speed), f(cloud), f(float64(b.Made)), f(float64(b.Used)), f(float64(b.Net())), f(float64(b.Lost))})
	}
	for j, cloud := range m.Clouds {
		for i, v := range m.Speeds {
			add("speed", float64(m.Place.Lat), m.Date.Format(isoDate), float64(v), float64(cloud), m.BySpeed[j][i])
		}
	}
	for j, lat := range m.Latitudes {
		for i, d := range m.Dates[:len(m.Dates)-1] {
			add("year", float64(lat), d.Format(isoDate), float64(m.YearSpeed), float64(m.YearCloud[j][i]), m.ByYear[j][i])
		}
	}
	if err := c.WriteAll(rows); err != nil {
		return err
	}
	return c.Error()
}
