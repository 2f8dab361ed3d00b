package desk

import (
	"net/http"

	"ampwake/scenarios"
)

// start answers with what the page begins with.
func (s *Server) start(w http.ResponseWriter, _ *http.Request) {
	type opened struct {
		Name string `json:"name"`
		Text string `json:"text"`
	}
	out := struct {
		Version   string           `json:"version"`
		Built     []scenarios.Info `json:"built"`
		Opened    opened           `json:"opened"`
		Own       bool             `json:"own"` // it is the user's file
		MostSeeds int              `json:"mostMembers"`
	}{Version: s.opt.Version, Built: scenarios.Builtin(), MostSeeds: mostMembers}
	if o := s.opt.Opened; o != nil {
		out.Opened, out.Own = opened{o.Name, string(o.Text)}, true
	} else {
		label, text, err := scenarios.Source(s.startName())
		if err != nil {
			panic("desk: " + err.Error())
		}
		out.Opened = opened{label, string(text)}
	}
	answer(w, http.StatusOK, out)
}

func (s *Server) startName() string {
	if s.opt.Start != "" {
		return s.opt.Start
	}
	return scenarios.Builtin()[0].Name
}

// builtin answers with the text of a built-in scenario. The name is looked up in
// the list and never as a file.
func (s *Server) builtin(w http.ResponseWriter, r *http.Request) {
	for _, b := range scenarios.Builtin() {
		if b.Name != r.PathValue("name") {
			continue
		}
		_, text, err := scenarios.Source(b.Name)
		if err != nil {
			panic("desk: " + err.Error())
		}
		answer(w, http.StatusOK, map[string]string{"name": b.Name, "text": string(text)})
		return
	}
	refuse(w, http.StatusNotFound, "no built-in scenario has this name")
}
