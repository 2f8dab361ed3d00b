package desk

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"time"

	"ampwake/scenarios"
	"ampwake/scenarios/form"
)

// ask is the body of a POST.
type ask struct {
	Text    string   `json:"text"`             // of the scenario
	Sets    []string `json:"sets,omitempty"`   // path=value, see package form
	Insert  *insert  `json:"insert,omitempty"` // comes before Sets
	Pinned  string   `json:"pinned,omitempty"` // text of the kit to compare with
	Members int      `json:"members,omitempty"`
	Seed    uint64   `json:"seed,omitempty"`
}

// mostSets bounds the overrides of one request: a page has far fewer controls.
const mostSets = 500

// readAsk reads the body; false means that it has answered already.
func readAsk(w http.ResponseWriter, r *http.Request) (a ask, ok bool) {
	// Who sends slowly holds up only itself, and not for ever. The deadline must
	// go before the work begins: it would end the request's context.
	c := http.NewResponseController(w)
	_ = c.SetReadDeadline(time.Now().Add(15 * time.Second))
	d := json.NewDecoder(r.Body)
	d.DisallowUnknownFields()
	err := d.Decode(&a)
	if err == nil {
		if _, more := d.Token(); more != io.EOF {
			err = errors.New("more than one value")
		}
	}
	_ = c.SetReadDeadline(time.Time{})
	if _, long := errors.AsType[*http.MaxBytesError](err); long {
		refuse(w, http.StatusRequestEntityTooLarge, tooLong)
		return a, false
	}
	if err != nil {
		refuse(w, http.StatusBadRequest, "the request is not understood: "+err.Error())
		return a, false
	}
	if len(a.Sets) > mostSets {
		refuse(w, http.StatusBadRequest, "too many changes at once")
		return a, false
	}
	return a, true
}

// read reads the scenario of a request; false means that it has answered.
func (s *Server) read(w http.ResponseWriter, a *ask) (*scenarios.Scenario, bool) {
	text := []byte(a.Text)
	if a.Insert != nil {
		longer, err := a.Insert.into(text, s.open)
		if err != nil {
			refuse(w, http.StatusUnprocessableEntity, err.Error())
			return nil, false
		}
		text = longer
	}
	sc, err := s.open(text, a.Sets...)
	if err != nil {
		if p, ok := errors.AsType[*form.Problems](err); ok {
			answer(w, http.StatusUnprocessableEntity, map[string]any{"problems": p.List, "more": p.More})
		} else {
			refuse(w, http.StatusUnprocessableEntity, err.Error())
		}
		return nil, false
	}
	if err := bounded(sc); err != nil {
		refuse(w, http.StatusUnprocessableEntity, err.Error())
		return nil, false
	}
	return sc, true
}

// open reads a text from the page. Of files it can name only those that the file
// opened at the start named.
func (s *Server) open(text []byte, sets ...string) (*scenarios.Scenario, error) {
	return scenarios.ReadSealed(s.opt.Opened.sealed, s.opt.Opened.label(), text, sets...)
}

// turnedAway answers an error that kept a run from its end.
func turnedAway(w http.ResponseWriter, r *http.Request, err error) {
	switch {
	case errors.Is(err, errBusy):
		w.Header().Set("Retry-After", "1")
		refuse(w, http.StatusServiceUnavailable, err.Error())
	case r.Context().Err() != nil: // who asked has left
		w.WriteHeader(499)
	case errors.Is(err, context.DeadlineExceeded):
		refuse(w, http.StatusServiceUnavailable, "this takes too long for the page: use ampwake run")
	default:
		refuse(w, http.StatusUnprocessableEntity, err.Error())
	}
}

// answer writes JSON.
func answer(w http.ResponseWriter, code int, v any) {
	text, err := json.Marshal(v)
	if err != nil {
		panic("desk: " + err.Error())
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(code)
	_, _ = w.Write(text)
}
