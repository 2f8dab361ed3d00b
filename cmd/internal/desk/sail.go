package desk

import (
	"context"
	"fmt"
	"net/http"

	"ampwake/scenarios"
	"ampwake/sim"
)

// Bounds of one leg on the page. The traces of all legs under way must fit the
// memory of a small machine: cells of a trace are 8 bytes.
const (
	mostItems = 120        // sources and loads
	mostCells = 12_000_000 // steps times what is kept of each
)

// bounded refuses a scenario that is too large for the page.
func bounded(s *scenarios.Scenario) error {
	v := s.Voyage()
	if n := len(v.Sources) + len(v.Loads); n > mostItems {
		return fmt.Errorf("%d sources and loads are more than the page takes (%d): use ampwake run", n, mostItems)
	}
	return nil
}

// sailOnce sails one leg and keeps every step. It is sailed without keeping
// anything first, since only then it is known how many steps there are.
func sailOnce(ctx context.Context, s *scenarios.Scenario) (*sim.Result, error) {
	v := s.Voyage()
	dry, err := v.Sail(ctx, sim.Options{Lean: true})
	if err != nil {
		return nil, err
	}
	if dry.Steps*(20+len(v.Sources)+len(v.Loads)) > mostCells {
		return nil, fmt.Errorf("%d steps are more than the page can show: give a longer model.step or a shorter voyage, or use ampwake run", dry.Steps)
	}
	return v.Sail(ctx, sim.Options{Trace: true})
}

// sail answers with one leg: the text as changed, its controls and the result.
func (s *Server) sail(w http.ResponseWriter, r *http.Request) {
	a, ok := readAsk(w, r)
	if !ok {
		return
	}
	ctx, cancel := context.WithTimeout(r.Context(), legTime)
	defer cancel()
	leave, err := s.legs.enter(ctx)
	if err != nil {
		turnedAway(w, r, err)
		return
	}
	defer leave()
	sc, ok := s.read(w, &a)
	if !ok {
		return
	}
	text, err := sc.Doc.Save()
	if err != nil {
		turnedAway(w, r, err)
		return
	}
	res, err := sailOnce(ctx, sc)
	if err != nil {
		turnedAway(w, r, err)
		return
	}
	out := sailed{Text: string(text), Panel: panelOf(sc), Leg: legOf(sc, res)}
	if a.Pinned != "" {
		out.Against = s.against(ctx, a.Pinned, sc, res)
	}
	answer(w, http.StatusOK, out)
}

type sailed struct {
	Text    string   `json:"text"`
	Panel   panel    `json:"panel"`
	Leg     leg      `json:"leg"`
	Against *against `json:"against,omitempty"`
}

// against is the pinned kit in the same weather, and what differs.
type against struct {
	Charge  line     `json:"charge"`
	From    int64    `json:"from"`
	Words   []string `json:"words"`
	Trouble string   `json:"trouble,omitempty"` // in place of all else
}

// against sails the pinned kit too.
func (s *Server) against(ctx context.Context, text string, ours *scenarios.Scenario, res *sim.Result) *against {
	sc, err := s.open([]byte(text))
	if err == nil {
		err = bounded(sc)
	}
	var other *sim.Result
	if err == nil {
		other, err = sailOnce(ctx, sc)
	}
	if err != nil {
		return &against{Trouble: "the pinned kit cannot be sailed: " + err.Error()}
	}
	return &against{
		From:   other.Depart.Unix(),
		Charge: chargeLine(other.Trace),
		Words:  append(unlike(ours, sc), difference(res, other)...),
	}
}
