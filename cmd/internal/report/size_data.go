package report

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"strconv"

	"ampwake/scenarios"
)

// SizeSchema is the version of the JSON form of a search; it changes when a field
// changes its name or meaning, not when one is added. The same scenario, ranges,
// seed and number of weathers give the same bytes, whatever the workers.
const SizeSchema = "ampwake.size/1"

type sizeJSON struct {
	Schema   string      `json:"schema"`
	Title    string      `json:"title"`
	Answer   string      `json:"answer"` // three lines for people
	Seed     uint64      `json:"seed"`
	Weathers int         `json:"weathers"`
	Wanted   float64     `json:"wanted_share"`
	Need     int         `json:"wanted_weathers"` // it must hold in so many
	By       string      `json:"by"`              // weight, price or order
	Ranges   []rangeJSON `json:"ranges"`
	InBox    int         `json:"kits_to_choose_from"`
	Asked    int         `json:"answer_kits"`    // kits sailed to find the best
	Answered int         `json:"answer_voyages"` // sailed to find and complete it
	Voyages  int         `json:"voyages"`        // sailed, of all kits and for all levels
	// Best is the index into kits of the smallest that is enough; rival that of
	// the smaller kit that comes nearest, or of the nearest if none is enough. -1:
	// there is none.
	Best  int  `json:"best"`
	Rival int  `json:"rival"`
	Sure  bool `json:"sure"` // both intervals clear the wanted share
	// More is how many weathers would make it sure, 0 if it is.
	More int `json:"weathers_to_be_sure"`
	// Compared counts weathers in which a kit and a smaller one were sailed,
	// against those in which the larger failed and the smaller held.
	Compared int            `json:"compared"`
	Against  int            `json:"against"`
	Levels   []levelJSON    `json:"frontier"`
	Kits     []sizedKitJSON `json:"kits"` // in the order sailed
	Notes    []noteJSON     `json:"notes"`
}

type rangeJSON struct {
	Path   string   `json:"path"`
	Name   string   `json:"name"`
	Values []string `json:"values"`
	Rises  bool     `json:"more_is_never_worse"` // taken for granted
}

// levelJSON is the smallest kit for one share.
type levelJSON struct {
	Wanted float64 `json:"wanted_share"`
	Best   int     `json:"best"` // index into kits, -1: none is enough
}

type sizedKitJSON struct {
	Name     string    `json:"name"`
	Set      []string  `json:"set"`      // overrides that make it
	Values   []string  `json:"values"`   // one for each range
	Cost     float64   `json:"cost"`     // kg, price, or the first range's value
	Holds    shareJSON `json:"holds"`    // of the weathers sailed
	Complete bool      `json:"complete"` // all weathers were sailed
	// Enough tells that it holds in as many as wanted, short that it does not;
	// neither, that it was sailed for other odds and this was not asked.
	Enough bool `json:"enough"`
	Short  bool `json:"short"`
}

// SizeJSON writes a search as one JSON document (SizeSchema).
func SizeJSON(w io.Writer, s *Sizing) error {
	best, rival := s.Sure()
	d := sizeJSON{
		Schema: SizeSchema, Title: s.Title, Answer: SizeAnswer(s), Seed: s.Seed, Weathers: s.Members, Wanted: s.Wanted, Need: s.Need,
		By: string(s.Box.By), InBox: s.InBox, Asked: s.Asked, Answered: s.Answered, Voyages: s.Voyages, Best: s.Best, Rival: s.Rival, Sure: best && rival, More: s.Enough(),
		Compared: s.Compared, Against: s.Against, Notes: []noteJSON{},
	}
	for i := range s.Box.Ranges {
		r := &s.Box.Ranges[i]
		d.Ranges = append(d.Ranges, rangeJSON{r.Path, r.Name(), r.Values, s.Box.Box.Axes[i].Rises})
	}
	for i := range s.Kits {
		x := &s.Kits[i]
		k := sizedKitJSON{
			Name: s.Box.Name(x.Kit), Set: s.Box.Overrides(x.Kit), Cost: s.Box.Cost(x.Kit), Holds: shareJSON(x.Trial.Share()),
			Complete: x.Trial.Complete(), Enough: x.Trial.Reaches(s.Need), Short: x.Trial.Misses(s.Need),
		}
		for j, at := range s.Box.Box.Point(x.Kit) {
			k.Values = append(k.Values, s.Box.Ranges[j].Value(at))
		}
		d.Kits = append(d.Kits, k)
	}
	for _, l := range s.Levels {
		d.Levels = append(d.Levels, levelJSON{l.Wanted, l.Best})
	}
	for _, n := range s.Notes {
		d.Notes = append(d.Notes, noteJSON(n))
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", " ")
	return enc.Encode(d)
}

// SizeCSV writes one row a kit sailed, the largest first. weight_kg or price is left out
// where the file gives neither; a range has a column under its path; enough is
// empty where it was not asked.
func SizeCSV(w io.Writer, s *Sizing) error {
	out := csv.NewWriter(w)
	head := []string{"weight_kg"}
	switch s.Box.By {
	case scenarios.ByPrice:
		head = []string{"price"}
	case scenarios.ByOrder:
		head = nil
	}
	for i := range s.Box.Ranges {
		head = append(head, s.Box.Ranges[i].Path)
	}
	if err := out.Write(append(head, "holds", "sailed", "share", "low95", "high95", "enough", "best")); err != nil {
		return err
	}
	for _, i := range s.bySize() {
		x := &s.Kits[i]
		var row []string
		if s.Box.By != scenarios.ByOrder {
			row = append(row, num(s.Box.Cost(x.Kit), 2))
		}
		for j, at := range s.Box.Box.Point(x.Kit) {
			row = append(row, s.Box.Ranges[j].Value(at))
		}
		enough := "" // not asked
		if x.Trial.Reaches(s.Need) || x.Trial.Misses(s.Need) {
			enough = strconv.FormatBool(x.Trial.Reaches(s.Need))
		}
		p := x.Trial.Share()
		row = append(row, strconv.Itoa(p.Count), strconv.Itoa(p.Of), num(p.P, 4), num(p.Low, 4), num(p.High, 4), enough, strconv.FormatBool(i == s.Best))
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}
