package desk

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"time"

	"ampwake/cmd/internal/report"
	"ampwake/scenarios"
	"ampwake/sim"
)

// mostMembers bounds the weathers of one request.
const mostMembers = 2000

// oddsAsk is what a request for odds asks, once it is found sound.
type oddsAsk struct {
	members int
	seed    uint64
	voyages []*sim.Voyage // ours, and the pinned one if there is one
	unlike  []string
	alone   string // why the pinned one does not sail along
}

// odds answers with many weathers, told as they come: an event "progress" now and
// then, "odds" whenever there is a surer answer, and "end" or "trouble" at last.
//
// The first answer is of few weathers and soon there, the next of more. Weather
// 17 is the same each time, so that an answer is only ever refined.
func (s *Server) odds(w http.ResponseWriter, r *http.Request) {
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
	ctx, cancel := context.WithTimeout(r.Context(), runTime)
	defer cancel()
	leave, err := s.runs.enter(ctx)
	if err != nil {
		turnedAway(w, r, err)
		return
	}
	defer leave()
	sc, ok := s.read(w, &a)
	if !ok {
		return
	}
	o, err := s.prepare(sc, &a)
	if err != nil {
		turnedAway(w, r, err)
		return
	}
	e := newEvents(w)
	if err := o.tell(ctx, e); err != nil {
		e.send("trouble", map[string]string{"trouble": err.Error()})
		return
	}
	e.send("end", map[string]int{"members": a.Members})
}

func (s *Server) prepare(sc *scenarios.Scenario, a *ask) (*oddsAsk, error) {
	o := &oddsAsk{members: a.Members, seed: a.Seed}
	v, err := sc.Seeded(a.Seed)
	if err != nil {
		return nil, err
	}
	o.voyages = []*sim.Voyage{v}
	if a.Pinned == "" {
		return o, nil
	}
	other, err := s.open([]byte(a.Pinned))
	if err == nil {
		err = bounded(other)
	}
	if err == nil {
		v, err = other.Seeded(a.Seed)
	}
	if err != nil {
		o.alone = "the pinned kit cannot be sailed: " + err.Error()
		return o, nil
	}
	o.voyages = append(o.voyages, v)
	o.unlike = unlike(sc, other)
	return o, nil
}

// stages are the numbers of weathers after which to answer.
func stages(members int) []int {
	var all []int
	for _, n := range []int{20, 100, 500} {
		if 2*n <= members {
			all = append(all, n)
		}
	}
	return append(all, members)
}

// tell sails and sends. One core is left for legs, so that sliders stay quick.
func (o *oddsAsk) tell(ctx context.Context, e *events) error {
	for _, n := range stages(o.members) {
		said := time.Now()
		all, err := sim.Fleet(ctx, o.voyages, sim.OddsOptions{
			Members: n, Workers: workers(),
			Progress: func(done, total int) {
				if now := time.Now(); now.Sub(said) > 100*time.Millisecond || done == total {
					said = now
					e.send("progress", map[string]int{"done": done * n / total, "total": o.members})
				}
			},
		})
		if err != nil {
			return err
		}
		if all[0].Stopped != nil {
			return all[0].Stopped
		}
		e.send("odds", o.found(all))
		if e.gone {
			return context.Canceled
		}
	}
	return nil
}

// chances is what many weathers told.
type chances struct {
	Answer  [][2]string `json:"answer"`
	Tone    string      `json:"tone"`
	Passed  []string    `json:"passed"`
	Done    int         `json:"done"`
	From    int64       `json:"from"`
	Band    band        `json:"band"`
	Goals   [][2]string `json:"goals"`
	Notes   [][2]string `json:"notes"`
	Against *band       `json:"against,omitempty"`
	Words   []string    `json:"words,omitempty"`
	Trouble string      `json:"trouble,omitempty"` // with the pinned kit
}

// band is the lowest state of charge of each day, %, over the weathers. X is noon
// of the day, UTC, in seconds after departure.
type band struct {
	X   []int64   `json:"x"`
	P10 []float64 `json:"p10"`
	P50 []float64 `json:"p50"`
	P90 []float64 `json:"p90"`
}

func (o *oddsAsk) found(all []*sim.Odds) chances {
	ours := all[0]
	c := chances{
		Answer: report.AnswerLines(report.OddsAnswer(ours)), Tone: "good", Passed: report.OddsPassed(ours, o.seed),
		Done: ours.Done, From: ours.Depart.Unix(), Band: bandOf(ours), Trouble: o.alone, Goals: [][2]string{}, Notes: [][2]string{},
	}
	switch {
	case len(ours.Goals) == 0:
		c.Tone = "plain"
	case ours.Holds.P < 0.5:
		c.Tone = "bad"
	case ours.Holds.P < 0.9:
		c.Tone = "plain"
	}
	for i := range ours.Goals {
		g := &ours.Goals[i]
		c.Goals = append(c.Goals, [2]string{g.Name, fmt.Sprintf("in %s of 100 (95 %% interval %s)", report.Hundred(g.Holds.P), report.Interval(g.Holds))})
	}
	for _, n := range ours.Notes {
		c.Notes = append(c.Notes, [2]string{n.About, n.Text})
	}
	if len(all) > 1 {
		b := bandOf(all[1])
		c.Against = &b
		c.Words = append(append([]string{}, o.unlike...), paired(sim.Compare([]string{"this kit", "pinned"}, all, 1))...)
	}
	return c
}

// bandOf leaves out the days on which fewer than one weather in ten is at sea:
// there is no band of a few.
func bandOf(o *sim.Odds) band {
	b := band{X: []int64{}, P10: []float64{}, P50: []float64{}, P90: []float64{}}
	for i := range o.Days {
		d := &o.Days[i]
		if 10*d.AtSea < o.Done {
			break
		}
		x := max(0, d.Date.Add(12*time.Hour).Unix()-o.Depart.Unix())
		b.X = append(b.X, x)
		b.P10, b.P50, b.P90 = append(b.P10, round(100*float64(d.Low.P10))), append(b.P50, round(100*float64(d.Low.P50))), append(b.P90, round(100*float64(d.Low.P90)))
	}
	return b
}

// events writes server-sent events.
type events struct {
	w    http.ResponseWriter
	c    *http.ResponseController
	gone bool
}

func newEvents(w http.ResponseWriter) *events {
	w.Header().Set("Content-Type", "text/event-stream; charset=utf-8")
	w.WriteHeader(http.StatusOK)
	return &events{w: w, c: http.NewResponseController(w)}
}

// send writes one event. A reader that has not taken it after ten seconds is
// taken for gone.
func (e *events) send(name string, v any) {
	if e.gone {
		return
	}
	text, err := json.Marshal(v)
	if err != nil {
		panic("desk: " + err.Error())
	}
	_ = e.c.SetWriteDeadline(time.Now().Add(10 * time.Second))
	if _, err = fmt.Fprintf(e.w, "event: %s\ndata: %s\n\n", name, text); err == nil {
		err = e.c.Flush()
	}
	e.gone = err != nil
}
