package desk

import (
	"fmt"
	"image/color"
	"math"
	"strings"
	"time"

	"ampwake/cmd/internal/chart"
	"ampwake/cmd/internal/report"
	"ampwake/scenarios"
	"ampwake/sim"
)

// leg is one voyage sailed, as the page shows it. Times are seconds after From.
type leg struct {
	Title    string      `json:"title"`
	Question string      `json:"question"`
	Answer   [][2]string `json:"answer"`
	Tone     string      `json:"tone"` // good, bad, or plain where no goal is set
	Passed   string      `json:"passed"`
	From     int64       `json:"from"`
	To       int64       `json:"to"`
	Charge   line        `json:"charge"` // %
	Floor    float64     `json:"floor"`  // %, 0: none
	Nights   [][2]int64  `json:"nights"`
	In       stack       `json:"in"`  // A, by source
	Out      stack       `json:"out"` // A, by load
	Made     []total     `json:"made"`
	Used     []total     `json:"used"`
	Spilled  float64     `json:"spilled"` // Ah a day
	Bus      []entry     `json:"bus"`     // Wh
	Bank     []entry     `json:"bank"`    // Ah
	Misses   []miss      `json:"misses"`
	Missed   int         `json:"missed"` // all of them
	Actions  []action    `json:"actions"`
	Costs    [][2]string `json:"costs"`
	Notes    [][2]string `json:"notes"`
	Caution  string      `json:"caution"`
	Way      way         `json:"way"`
}

type line struct {
	X []int64   `json:"x"`
	Y []float64 `json:"y"`
}

type stack struct {
	X       []int64   `json:"x"` // edges of bins, one more than values
	Layers  []layer   `json:"layers"`
	Offered []float64 `json:"offered,omitempty"`
	About   string    `json:"about"`
}

type layer struct {
	Name string    `json:"name"`
	Fill [2]string `json:"fill"` // on paper, on dark
	Y    []float64 `json:"y"`
}

type total struct {
	Name  string    `json:"name"`
	Fill  [2]string `json:"fill"`
	Daily float64   `json:"daily"` // Ah
	All   float64   `json:"all"`   // Ah
	Note  string    `json:"note,omitempty"`
	Layer int       `json:"layer"` // of the pile that it is in
}

type entry struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
	Sum   bool    `json:"sum,omitempty"`
}

type miss struct {
	When, Load, Why, Place string
	Lat, Lon               float64
}

type action struct{ When, What, Why string }

// Rows of a table that is read, not searched.
const (
	mostMisses  = 100
	mostActions = 60
)

func legOf(s *scenarios.Scenario, r *sim.Result) leg {
	kinds := map[string]chart.Kind{}
	for name, kind := range s.Kinds() {
		kinds[name] = chart.Kind(kind)
	}
	page := chart.NewPassage(r, chart.PassageOptions{Kinds: kinds})
	l := leg{
		Title: r.Title, Question: s.File.Question, Answer: report.AnswerLines(report.Answer(r)), Tone: "bad", Passed: report.Passed(r),
		From: r.Depart.Unix(), To: r.End.Unix() - r.Depart.Unix(), Charge: chargeLine(r.Trace), Floor: 100 * float64(r.Verdict.Floor),
		Nights: [][2]int64{}, Missed: len(r.Misses), Misses: []miss{}, Actions: []action{}, Costs: report.Costs(r), Notes: [][2]string{},
		Caution: report.Caution, Way: wayOf(s, r),
	}
	switch {
	case len(r.Verdict.Goals) == 0:
		l.Tone = "plain"
	case r.Verdict.Holds:
		l.Tone = "good"
	}
	for _, n := range page.Nights {
		l.Nights = append(l.Nights, [2]int64{int64(n.From) - l.From, int64(n.To) - l.From})
	}
	l.In, l.Out = stackOf(&page.Panels[1], l.From), stackOf(&page.Panels[2], l.From)
	l.totals(r)
	l.books(&r.Books)
	for i := range r.Misses[:min(len(r.Misses), mostMisses)] {
		m := &r.Misses[i]
		name := r.Loads[m.Load].Name
		if m.What != "" && m.What != name {
			name += ", " + m.What
		}
		why := m.Cause.String()
		if m.Cause == sim.UnderVoltage {
			why += fmt.Sprintf(", %.2f V at its terminals", float64(m.Volts))
		}
		l.Misses = append(l.Misses, miss{report.When(m.At), name, why, m.At.Place.String(), float64(m.At.Place.Lat), float64(m.At.Place.Lon)})
	}
	for _, d := range r.Decisions[:min(len(r.Decisions), mostActions)] {
		what := d.What
		if d.Use {
			what += ": in use"
		} else {
			what += ": off"
		}
		l.Actions = append(l.Actions, action{report.When(d.At), what, d.Why})
	}
	for _, n := range r.Notes {
		l.Notes = append(l.Notes, [2]string{n.About, n.Text})
	}
	return l
}

// totals fills the tables of what was made and used, by the day.
func (l *leg) totals(r *sim.Result) {
	days := math.Max(r.End.Sub(r.Depart).Hours()/24, 1.0/24)
	for _, s := range r.Sources {
		l.Made = append(l.Made, l.In.paint(total{Name: s.Name, Daily: round(float64(s.Charge) / days), All: round(float64(s.Charge))}))
	}
	for _, u := range r.Loads {
		t := total{Name: u.Name, Daily: round(float64(u.Charge) / days), All: round(float64(u.Charge))}
		switch {
		case u.Due > u.Kept:
			t.Note = fmt.Sprintf("misses %d of %d", u.Due-u.Kept, u.Due)
		case u.Due > 0:
			t.Note = fmt.Sprintf("keeps all %d", u.Due)
		case u.Off > 0:
			t.Note = "without power for " + report.Lasting(float64(u.Off))
		}
		l.Used = append(l.Used, l.Out.paint(t))
	}
	l.Spilled = round(float64(r.Books.SpilledCharge) / days)
}

// books fills the two ledgers, each ending in what it does not explain.
func (l *leg) books(b *sim.Books) {
	l.Bus = []entry{
		{"from the sources", float64(b.Made), false},
		{"out of the bank", float64(b.BankOut), false},
		{"to the loads", -float64(b.Used), false},
		{"spilled", -float64(b.Spilled), false},
		{"controllers and wiring", -float64(b.Lost), false},
		{"into the bank", -float64(b.BankIn), false},
		{"not explained", float64(b.BusGap()), true},
	}
	l.Bank = []entry{
		{"charged", float64(b.Charged), false}, {"drawn", -float64(b.Drawn), false}, {"self-discharge", -float64(b.SelfDischarge), false},
	}
	if b.Gone != 0 {
		l.Bank = append(l.Bank, entry{"gone with a part of the bank", -float64(b.Gone), false})
	}
	l.Bank = append(l.Bank, entry{"change in the bank", -float64(b.StoreChange), false}, entry{"not explained", float64(b.BankGap()), true})
	for _, of := range [][]entry{l.Bus, l.Bank} {
		for i := range of {
			of[i].Value = round(of[i].Value)
		}
	}
}

// mostColumns is how many pieces a line is thinned by: as many as a wide screen
// has pixels.
const mostColumns = 900

// chargeLine returns the state of charge, %, with the lowest and the highest of
// each piece kept.
func chargeLine(t *sim.Trace) line {
	n := len(t.Time)
	y := func(i int) float64 { return round(100 * float64(t.Charge[i])) }
	from := t.Time[0]
	x := func(i int) int64 { return int64(t.Time[i].Sub(from) / time.Second) }
	l := line{X: []int64{}, Y: []float64{}}
	add := func(i int) {
		// Steps may be shorter than a second, and charts want rising times.
		if k := len(l.X); k == 0 || x(i) > l.X[k-1] {
			l.X, l.Y = append(l.X, x(i)), append(l.Y, y(i))
		}
	}
	piece := max(1, float64(n)/mostColumns)
	for k := 0.0; int(k) < n; k += piece {
		lo, hi := int(k), int(k)
		for i := int(k); i < min(n, int(k+piece)); i++ {
			if t.Charge[i] < t.Charge[lo] {
				lo = i
			}
			if t.Charge[i] > t.Charge[hi] {
				hi = i
			}
		}
		add(min(lo, hi))
		add(max(lo, hi))
	}
	add(n - 1)
	return l
}

func stackOf(p *chart.Panel, from int64) stack {
	out := stack{X: []int64{}, Layers: []layer{}, About: p.About}
	if p.Stack == nil {
		return out
	}
	for _, e := range p.Stack.Edges {
		out.X = append(out.X, int64(math.Round(e))-from)
	}
	for _, l := range p.Stack.Layers {
		out.Layers = append(out.Layers, layer{l.Name, pairOf(l.Paint.Fill), rounded(l.Values)})
	}
	if p.Stack.Offered != nil {
		out.Offered = rounded(p.Stack.Offered)
	}
	return out
}

// paint gives a row of a table the colour that its thing has in the pile. Small
// things share a layer there, called "other (4)".
func (s *stack) paint(t total) total {
	for i, l := range s.Layers {
		if l.Name == t.Name || strings.HasPrefix(l.Name, "other (") {
			t.Fill, t.Layer = l.Fill, i
		}
		if l.Name == t.Name {
			break
		}
	}
	return t
}

// pairOf returns the colour of an area on paper and on a dark screen.
func pairOf(c color.RGBA) [2]string { return [2]string{hexOf(c), hexOf(chart.Darkened(c, true))} }

func hexOf(c color.RGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// round keeps two places, and no −0.
func round(x float64) float64 { return math.Round(x*100)/100 + 0 }

func rounded(v []float64) []float64 {
	out := make([]float64, len(v))
	for i, x := range v {
		out[i] = round(x)
	}
	return out
}
