package report

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"strconv"

	"ampwake/scenarios"
	"ampwake/sim"
)

// MattersSchema is the version of the JSON form; it changes when a field changes
// its name or meaning, not when one is added. Changes are against the scenario as
// the file has it, in the same weathers.
const MattersSchema = "ampwake.matters/1"

type mattersJSON struct {
	Schema   string    `json:"schema"`
	Title    string    `json:"title"`
	Answer   string    `json:"answer"`         // three lines for people
	Seed     *uint64   `json:"seed,omitempty"` // absent: the one weather of the file
	Weathers int       `json:"weathers"`
	Holds    shareJSON `json:"holds"`
	Margin   float64   `json:"margin_soc"` // mean
	// Together is how much all shifts may take from the margin and add to it, as
	// the root of the sum of squares.
	Less    float64      `json:"together_less_soc"`
	More    float64      `json:"together_more_soc"`
	Inputs  []matterJSON `json:"inputs"` // the one that does most first
	LeftOut []string     `json:"left_out"`
	Notes   []noteJSON   `json:"notes"`
}

type matterJSON struct {
	Name     string     `json:"name"`
	Range    string     `json:"range"`
	Standing string     `json:"standing"` // whence the range is
	Low      *shiftJSON `json:"low"`      // null: it cannot go further that way
	High     *shiftJSON `json:"high"`
}

type shiftJSON struct {
	Value  string    `json:"value"`
	Margin float64   `json:"margin_change_soc"` // mean
	Low    *float64  `json:"margin_change_low95_soc"`
	High   *float64  `json:"margin_change_high95_soc"` // null for one weather
	Holds  shareJSON `json:"holds"`
	Misses float64   `json:"misses_change"` // mean, of the loads to keep
}

// MattersJSON writes what matters as one JSON document (MattersSchema).
func MattersJSON(w io.Writer, m *Matters) error {
	less, more := m.Together()
	d := mattersJSON{
		Schema: MattersSchema, Title: m.Title, Answer: MattersAnswer(m), Seed: m.Seed, Weathers: m.Base.Done, Holds: shareJSON(m.Base.Holds),
		Margin: m.margin() / 100, Less: less / 100, More: more / 100, Inputs: []matterJSON{}, LeftOut: append([]string{}, m.LeftOut...), Notes: []noteJSON{},
	}
	for i := range m.Rows {
		x := &m.Rows[i]
		d.Inputs = append(d.Inputs, matterJSON{x.Doubt.Name, x.Doubt.Range, x.Doubt.Standing, shifted(x.Doubt.Low, x.Low), shifted(x.Doubt.High, x.High)})
	}
	for _, n := range m.Notes {
		d.Notes = append(d.Notes, noteJSON(n))
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", " ")
	return enc.Encode(d)
}

func shifted(x *scenarios.Shift, c *sim.Compared) *shiftJSON {
	if c == nil {
		return nil
	}
	j := &shiftJSON{Value: x.Text, Margin: float64(c.Margin.By), Holds: shareJSON(c.Odds.Holds), Misses: c.Misses.By}
	if c.Margin.Count > 1 {
		low, high := float64(c.Margin.Low), float64(c.Margin.High)
		j.Low, j.High = &low, &high
	}
	return j
}

// MattersCSV writes one row a shift, the input that does most first.
func MattersCSV(w io.Writer, m *Matters) error {
	out := csv.NewWriter(w)
	if err := out.Write([]string{"input", "shift", "value", "margin_change_soc", "holds", "weathers", "misses_change", "range", "standing"}); err != nil {
		return err
	}
	for i := range m.Rows {
		x := &m.Rows[i]
		for _, s := range []struct {
			name  string
			shift *scenarios.Shift
			c     *sim.Compared
		}{{"down", x.Doubt.Low, x.Low}, {"up", x.Doubt.High, x.High}} {
			if s.c == nil {
				continue
			}
			p := s.c.Odds.Holds
			row := []string{x.Doubt.Name, s.name, s.shift.Text, num(float64(s.c.Margin.By), 5), strconv.Itoa(p.Count), strconv.Itoa(p.Of), num(s.c.Misses.By, 3), x.Doubt.Range, x.Doubt.Standing}
			if err := out.Write(row); err != nil {
				return err
			}
		}
	}
	out.Flush()
	return out.Error()
}
