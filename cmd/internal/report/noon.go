package report

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"ampwake/scenarios/trial"
	"ampwake/sim"
	"ampwake/sim/units"
)

// NoonText writes where she stands beside the plan and what lies ahead: the answer
// in three lines, the readings beside the planned band, what would explain them,
// and the odds of the way that is left.
func NoonText(w io.Writer, n *trial.Noon) error {
	var b strings.Builder
	b.WriteString(NoonAnswer(n))
	b.WriteString("\n")
	fmt.Fprintf(&b, "%s, by the log %s\n", n.Title, n.Log.Log.Name)
	fmt.Fprintf(&b, "%d weathers of seed %d. Line %d: %s, %.0f miles along, %.0f to go, next %s\n",
		n.Ahead.Done, n.Seed, n.Line, when(noonMoment(n)), float64(n.Gone), float64(n.ToGo), n.Next)
	noonBand(&b, n)
	noonCauses(&b, n)
	b.WriteString("\nAhead, from " + n.Place.String() + " with " + chargeNow(n.Fit.Charge[len(n.Fit.Charge)-1]) + "\n")
	fmt.Fprintf(&b, "  %s\n  %s\n  %s\n", oddsHolds(n.Ahead), oddsFails(n.Ahead), oddsMargin(n.Ahead))
	if n.Under {
		fmt.Fprintf(&b, "  She is under the %s that she was to stay above: what lies ahead is judged without that goal\n", percent(float64(n.Floor)))
	}
	oddsGoals(&b, n.Ahead)
	oddsDays(&b, n.Ahead)
	oddsWhere(&b, n.Ahead)
	noonNotes(&b, n)
	logLines(&b, n.Log)
	b.WriteString("\n" + Caution + "\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// NoonAnswer returns three lines: whether the pencil line is inside the planned
// band, what explains it if not, and what lies ahead.
func NoonAnswer(n *trial.Noon) string {
	why := noonWhy(n)
	switch {
	case n.Fit.Poor:
		why = "DOUBTFUL, the readings fit no boat near the plan: " + why
	case len(n.Log.Warnings) > 0:
		why = "DOUBTFUL, look at the log: " + why
	}
	return noonStands(n) + "\nWhy     " + why + "\nAhead   " + noonAhead(n) + "\n"
}

func noonMoment(n *trial.Noon) sim.Moment { return sim.Moment{Time: n.Now, Zone: n.Zone} }

// pc prints points of charge.
func pc(x float64) string { return fmt.Sprintf("%.0f", 100*x) }

// bandWords prints a band as "66 to 91 %".
func bandWords(s sim.Spread[units.Fraction]) string {
	low, high := pc(float64(s.P10)), pc(float64(s.P90))
	if low == high {
		return low + " %"
	}
	return low + " to " + high + " %"
}

func noonStands(n *trial.Noon) string {
	word := map[trial.Side]string{trial.Below: "BELOW THE BAND", trial.Inside: "INSIDE THE BAND", trial.Above: "ABOVE THE BAND"}[n.Side]
	return fmt.Sprintf("%s   %s: %.0f %% of charge (± %.0f); 8 weathers in 10 of the plan have %s",
		word, when(noonMoment(n)), 100*n.Charge, 128*n.Spread, bandWords(n.PlanNow))
}

// noonWhy tells what part of the difference the weather and the speed are, and
// which factor would explain the rest.
func noonWhy(n *trial.Noon) string {
	boat := n.Charge - n.Logged
	unsure := 1.28 * math.Hypot(n.Spread, n.LoggedSpread)
	causes := likely(n)
	if n.Side == trial.Inside {
		if len(causes) > 0 && causes[0].Gain > worthSaying {
			return "nothing to explain yet, though the readings would like " + causeWords(causes)
		}
		return "nothing to explain"
	}
	weather := n.Logged - float64(n.PlanNow.P50)
	if math.Abs(boat) <= unsure {
		return fmt.Sprintf("the weather and the speed: with those of the log the plan itself comes to %s %% (± %.0f)", pc(n.Logged), 128*n.LoggedSpread)
	}
	all := math.Abs(weather + boat)
	var text string
	switch {
	case math.Abs(weather) < 0.03:
		text = "the boat, not the weather"
	case weather*boat > 0:
		text = fmt.Sprintf("%s of %s points are the weather and the speed, %s the boat", pc(math.Abs(weather)), pc(all), pc(math.Abs(boat)))
	default:
		text = fmt.Sprintf("%+.0f points are the weather and the speed, %+.0f the boat", 100*weather, 100*boat)
	}
	if len(causes) == 0 {
		if plan := float64(n.Log.Voyage.Charge); math.Abs(n.Fit.Start-plan) > max(0.05, 1.28*n.Fit.StartSpread) {
			return fmt.Sprintf("%s: she began with %.0f %% of charge (± %.0f), the plan with %.0f %%", text, 100*n.Fit.Start, 128*n.Fit.StartSpread, 100*plan)
		}
		return text + ": no one factor explains them"
	}
	return text + ": " + causeWords(causes)
}

// worthSaying is the gain, of logarithms of likelihood, from which on a cause is
// worth a word when all is well.
const worthSaying = 3

// likely returns the causes that explain about as much as the best, two at most.
func likely(n *trial.Noon) []trial.Cause {
	var list []trial.Cause
	for _, c := range n.Causes {
		if len(list) < 2 && c.Gain > 1 && c.Gain >= 0.5*n.Causes[0].Gain && c.Odd < 3 {
			list = append(list, c)
		}
	}
	return list
}

func causeWords(list []trial.Cause) string {
	var parts []string
	for _, c := range list {
		of := ""
		if len(parts) == 0 {
			of = " of the plan"
		}
		parts = append(parts, fmt.Sprintf("%s at %.0f %%%s", c.Factor, 100*c.Value, of))
	}
	return strings.Join(parts, ", or ")
}

func noonAhead(n *trial.Noon) string {
	o := n.Ahead
	text, _, _ := strings.Cut(oddsHolds(o), "   (")
	if n.Unlike {
		text += " with the boat of the plan"
	}
	if worst := hardest(o); worst != nil {
		text += fmt.Sprintf(": %s, %s on %s", worst.Name, counted(worst.Begins)[0].name, later(o.Depart, float64(worst.After.P50)).Format("2 Jan"))
	}
	if n.Under {
		switch {
		case n.BackSafe.IsZero() && n.Back.IsZero():
			text += fmt.Sprintf("; never above %s again", percent(float64(n.Floor)))
		case n.BackSafe.IsZero():
			text += fmt.Sprintf("; above %s again by %s in half of them", percent(float64(n.Floor)), n.Back.Format("2 Jan"))
		default:
			text += fmt.Sprintf("; above %s again by %s", percent(float64(n.Floor)), n.BackSafe.Format("2 Jan"))
		}
	} else if o.Begins.Total() == 0 {
		text += fmt.Sprintf("; 9 in 10 keep %.0f points over %s", 100*float64(o.Margin.P10), floorName(float64(o.Floor)))
	}
	if o.Arrived.Count > 0 {
		from := later(o.Depart, float64(o.Passage.P10)).Format("2 Jan")
		to := later(o.Depart, float64(o.Passage.P90)).Format("2 Jan")
		if from == to {
			text += "; arrives about " + to
		} else {
			text += fmt.Sprintf("; arrives %s to %s", from, to)
		}
	}
	return text
}

// hardest returns the goal that fails most, nil if none fails in one weather of
// ten.
func hardest(o *sim.Odds) *sim.OddsGoal {
	var worst *sim.OddsGoal
	for i := range o.Goals {
		if g := &o.Goals[i]; g.Begins.Total()*10 >= o.Done && (worst == nil || g.Begins.Total() > worst.Begins.Total()) {
			worst = g
		}
	}
	return worst
}

// noonBand writes the readings beside the planned band, a line a day.
func noonBand(b *strings.Builder, n *trial.Noon) {
	b.WriteString("\nState of charge so far, %: by the log, as the plan would be with the log's weather and speed, and the\nplanned band\n")
	b.WriteString("                       log   8 in 10    plan so    P10  P50  P90\n")
	for i := range n.Plan {
		p := &n.Plan[i]
		last := i == len(n.Plan)-1
		if p.Time.Hour() != 12 && !last || p.Time.Minute() != 0 && !last {
			continue
		}
		c := nearestCharge(n.Fit.Charge, p.Time)
		if c == nil {
			continue
		}
		mark := ""
		switch at := units.Fraction(c.Mean); {
		case at < p.Charge.P10-0.005:
			mark = "below"
		case at > p.Charge.P90+0.005:
			mark = "above"
		}
		line := fmt.Sprintf("  %-18s %5s   %3s – %-3s    %5s    %4s %4s %4s  %s", p.Time.Format("2 Jan 15:04 UTC"),
			pc(c.Mean), pc(c.Low), pc(c.High), pc(c.Planned), pc(float64(p.Charge.P10)), pc(float64(p.Charge.P50)), pc(float64(p.Charge.P90)), mark)
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
}

// nearestCharge returns the entry nearest to a moment, nil if none is within two
// hours.
func nearestCharge(list []trial.ChargeAt, t time.Time) *trial.ChargeAt {
	var best *trial.ChargeAt
	for i := range list {
		if d := list[i].Time.Sub(t).Abs(); d <= 2*time.Hour && (best == nil || d < best.Time.Sub(t).Abs()) {
			best = &list[i]
		}
	}
	return best
}

func noonCauses(b *strings.Builder, n *trial.Noon) {
	if len(n.Causes) == 0 {
		return
	}
	b.WriteString("\nWhat would explain the readings by itself, best first\n")
	const most = 5
	for i, c := range n.Causes {
		if i == most {
			break
		}
		how := "likely enough"
		switch {
		case c.Odd > 2.5:
			how = "hardly to be believed"
		case c.Odd > 1.5:
			how = "a stretch"
		}
		fmt.Fprintf(b, "  %-16s %4.0f %% of the plan   gains %4.1f   %s\n", c.Factor, 100*c.Value, c.Gain, how)
	}
	b.WriteString("  Gains are logarithms of likelihood; under 1 is nothing. ampwake trial weighs them all together.\n")
}

func noonNotes(b *strings.Builder, n *trial.Noon) {
	notes := n.Ahead.Notes
	for _, text := range n.Notes {
		notes = append(notes, sim.Note{About: "noon", Text: text})
	}
	assumed(b, notes)
}

// NoonSchema is the version of the JSON form of a noon.
const NoonSchema = "ampwake.noon/1"

type noonJSON struct {
	Schema  string        `json:"schema"`
	Title   string        `json:"title"`
	Log     string        `json:"log"`
	Answer  string        `json:"answer"`
	Line    int           `json:"line"`
	Time    string        `json:"utc"`
	Zone    int           `json:"ship_zone_h"`
	Lat     float64       `json:"lat_deg"`
	Lon     float64       `json:"lon_deg"`
	SoC     float64       `json:"soc"`
	SoCSD   float64       `json:"soc_sd"`
	Side    string        `json:"side"` // below, inside, above the planned band
	PlanNow spreadJSON    `json:"planned_soc"`
	Logged  float64       `json:"soc_as_planned_in_the_weather_of_the_log"`
	Causes  []causeJSON   `json:"causes"`
	Gone    float64       `json:"gone_nm"`
	ToGo    float64       `json:"to_go_nm"`
	Next    string        `json:"next"`
	Holds   shareJSON     `json:"holds"`
	Passage spreadJSON    `json:"passage_h"`
	Plan    []noonBand1   `json:"plan"`
	Band    []noonBand1   `json:"ahead"`
	Left    []leftOutJSON `json:"left_out"`
	Warn    []string      `json:"warnings"`
	Notes   []string      `json:"notes"`
}

type causeJSON struct {
	Factor string  `json:"factor"`
	Value  float64 `json:"value"`
	Odd    float64 `json:"prior_sd"`
	Gain   float64 `json:"gain"`
}

type noonBand1 struct {
	Time string     `json:"utc"`
	SoC  spreadJSON `json:"soc"`
}

// NoonJSON writes a noon for programs.
func NoonJSON(w io.Writer, n *trial.Noon) error {
	side := map[trial.Side]string{trial.Below: "below", trial.Inside: "inside", trial.Above: "above"}[n.Side]
	x := noonJSON{
		Schema: NoonSchema, Title: n.Title, Log: n.Log.Log.Name, Answer: NoonAnswer(n), Line: n.Line,
		Time: n.Now.Format(time.RFC3339), Zone: n.Zone, Lat: float64(n.Place.Lat), Lon: float64(n.Place.Lon),
		SoC: n.Charge, SoCSD: n.Spread, Side: side, PlanNow: spread(n.PlanNow), Logged: n.Logged, Causes: []causeJSON{},
		Gone: float64(n.Gone), ToGo: float64(n.ToGo), Next: n.Next, Holds: shareJSON(n.Ahead.Holds), Passage: spread(n.Ahead.Passage),
		Left: leftOut(n.Log.Log.Problems), Warn: orNone(n.Log.Warnings), Notes: append(orNone(n.Log.Notes), n.Notes...),
	}
	for _, c := range n.Causes {
		x.Causes = append(x.Causes, causeJSON{c.Factor.String(), c.Value, c.Odd, c.Gain})
	}
	for _, p := range n.Plan {
		x.Plan = append(x.Plan, noonBand1{p.Time.Format(time.RFC3339), spread(p.Charge)})
	}
	for _, p := range n.Band {
		x.Band = append(x.Band, noonBand1{p.Time.Format(time.RFC3339), spread(p.Charge)})
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", " ")
	return enc.Encode(x)
}

// NoonBand writes a row of CSV for each moment of both bands.
func NoonBand(w io.Writer, n *trial.Noon) error {
	c := csv.NewWriter(w)
	rows := [][]string{{"band", "utc", "p10_soc", "p50_soc", "p90_soc"}}
	add := func(name string, list []trial.BandAt) {
		for _, p := range list {
			rows = append(rows, []string{name, p.Time.Format(time.RFC3339), decimals(float64(p.Charge.P10), 4), decimals(float64(p.Charge.P50), 4), decimals(float64(p.Charge.P90), 4)})
		}
	}
	add("plan", n.Plan)
	add("ahead", n.Band)
	return c.WriteAll(rows)
}
