package desk

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net/http"
	"runtime"

	"ampwake/cmd/internal/card"
	"ampwake/cmd/internal/card/paper"
	"ampwake/cmd/internal/chart"
	"ampwake/cmd/internal/report"
	"ampwake/cmd/internal/sheet"
	"ampwake/scenarios"
	"ampwake/sim"
)

// product is a file that can be kept.
type product struct {
	kind string
	many bool // sails many weathers
	make func(context.Context, *Server, *scenarios.Scenario, ask, io.Writer) error
}

// products are the files by name.
var products = map[string]product{
	"card.pdf": {"application/pdf", true, printCard},
	"report.html": {"text/html; charset=utf-8", false, onLeg(func(s *Server, sc *scenarios.Scenario, r *sim.Result, w io.Writer) error {
		kinds := map[string]chart.Kind{}
		for name, kind := range sc.Kinds() {
			kinds[name] = chart.Kind(kind)
		}
		return sheet.Run(r, sheet.RunOptions{Question: sc.File.Question, Kinds: kinds, Version: s.opt.Version}).Write(w)
	})},
	"run.json":  {"application/json", false, onLeg(func(_ *Server, _ *scenarios.Scenario, r *sim.Result, w io.Writer) error { return report.JSON(w, r) })},
	"days.csv":  {"text/csv; charset=utf-8", false, onLeg(func(_ *Server, _ *scenarios.Scenario, r *sim.Result, w io.Writer) error { return report.Daily(w, r) })},
	"steps.csv": {"text/csv; charset=utf-8", false, onLeg(func(_ *Server, _ *scenarios.Scenario, r *sim.Result, w io.Writer) error { return report.Steps(w, r) })},
	"odds.json": {"application/json", true, onOdds(report.OddsJSON)},
	"band.csv":  {"text/csv; charset=utf-8", true, onOdds(func(w io.Writer, o *sim.Odds, _ uint64) error { return report.OddsBand(w, o) })},
}

func onLeg(write func(*Server, *scenarios.Scenario, *sim.Result, io.Writer) error) func(context.Context, *Server, *scenarios.Scenario, ask, io.Writer) error {
	return func(ctx context.Context, s *Server, sc *scenarios.Scenario, _ ask, w io.Writer) error {
		r, err := sailOnce(ctx, sc)
		if err != nil {
			return err
		}
		return write(s, sc, r, w)
	}
}

func onOdds(write func(io.Writer, *sim.Odds, uint64) error) func(context.Context, *Server, *scenarios.Scenario, ask, io.Writer) error {
	return func(ctx context.Context, _ *Server, sc *scenarios.Scenario, a ask, w io.Writer) error {
		v, err := sc.Seeded(a.Seed)
		if err != nil {
			return err
		}
		o, err := v.Odds(ctx, sim.OddsOptions{Members: a.Members, Workers: workers()})
		if err != nil {
			return err
		}
		if o.Stopped != nil {
			return o.Stopped
		}
		return write(w, o, a.Seed)
	}
}

// workers leaves one core for legs, so that sliders stay quick.
func workers() int { return max(1, runtime.GOMAXPROCS(0)-1) }

func printCard(ctx context.Context, s *Server, sc *scenarios.Scenario, a ask, w io.Writer) error {
	c, err := card.New(ctx, sc, card.Options{Weathers: a.Members, Seed: a.Seed, Workers: workers()})
	if err != nil {
		return err
	}
	return paper.Write(w, c, paper.Options{Size: paper.A4, Version: s.opt.Version})
}

// file answers with a file to be kept.
func (s *Server) file(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("name")
	p, ok := products[name]
	if !ok {
		refuse(w, http.StatusNotFound, "there is no such file")
		return
	}
	a, ok := readAsk(w, r)
	if !ok {
		return
	}
	if a.Members == 0 {
		a.Members = 200
	}
	if a.Members < 1 || a.Members > mostMembers {
		refuse(w, http.StatusBadRequest, fmt.Sprintf("the page sails from 1 to %d weathers: for more use ampwake odds", mostMembers))
		return
	}
	gate, limit := s.legs, legTime
	if p.many {
		gate, limit = s.runs, runTime
	}
	ctx, cancel := context.WithTimeout(r.Context(), limit)
	defer cancel()
	leave, err := gate.enter(ctx)
	if err != nil {
		turnedAway(w, r, err)
		return
	}
	defer leave()
	sc, ok := s.read(w, &a)
	if !ok {
		return
	}
	// Whole or not at all: a file cut short would look like one.
	var b bytes.Buffer
	if err := p.make(ctx, s, sc, a, &b); err != nil {
		turnedAway(w, r, err)
		return
	}
	w.Header().Set("Content-Type", p.kind)
	w.Header().Set("Content-Disposition", `attachment; filename="`+name+`"`)
	_, _ = w.Write(b.Bytes())
}
