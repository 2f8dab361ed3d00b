package report

import (
	"fmt"
	"io"
	"strings"
	"time"

	"ampwake/scenarios/outlook"
	"ampwake/sim/climate"
	"ampwake/sim/units"
)

// ClimateCaution is the short note under every report of a climate.
const ClimateCaution = `Averages of ships' reports of about 1850 to 1990, not a forecast: a week or a year
can be far from them, and squalls, fog and tropical cyclones are not in them. For
planning only, not for navigation.`

// Year writes what the climate holds at a place: the answer in three lines, a line
// a month, and what it rests on.
func Year(w io.Writer, y *outlook.Year) error {
	var b strings.Builder
	b.WriteString(YearAnswer(y))
	fmt.Fprintf(&b, "\n%v, by month\n", y.Place)
	rows := make([]climateRow, 0, 13)
	for i := range y.Months {
		m := &y.Months[i]
		rows = append(rows, climateRow{label: brief(m.Month), means: &m.Means})
	}
	rows = append(rows, climateRow{label: "Year", means: &y.Mean, total: true})
	climateTable(&b, "", rows, false)
	b.WriteString(doubts(yearDoubts(y)))
	rests(&b, restsOf(yearRests(y)))
	b.WriteString("\n" + ClimateCaution + "\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// YearAnswer tells the best and the worst months.
func YearAnswer(y *outlook.Year) string {
	sun, dark := &y.Months[0], &y.Months[0]
	windy, light := sun, sun
	long, short := sun, sun
	for i := range y.Months {
		m := &y.Months[i]
		if m.Expected > sun.Expected {
			sun = m
		}
		if m.Expected < dark.Expected {
			dark = m
		}
		if m.Wind > windy.Wind {
			windy = m
		}
		if m.Wind < light.Wind {
			light = m
		}
		if m.Night > long.Night {
			long = m
		}
		if m.Night < short.Night {
			short = m
		}
	}
	var b strings.Builder
	fmt.Fprintf(&b, "Sun    best in %s, %s kWh/m² a day: %.0f W of panel makes %s Ah; worst in %s, %s: %s Ah%s\n",
		brief(sun.Month), kWh(sun.Expected), float64(y.Panel.Rated), digits(float64(sun.Array)), brief(dark.Month), kWh(dark.Expected), digits(float64(dark.Array)), cloudDoubt(y.Mean.Quality))
	fmt.Fprintf(&b, "Wind   most in %s, %s; least in %s, %s\n", brief(windy.Month), blows(&windy.Means), brief(light.Month), blows(&light.Means))
	fmt.Fprintf(&b, "Year   the panel makes %s Ah a day on average; the night lasts %.1f h in %s, %.1f h in %s\n",
		digits(float64(y.Mean.Array)), float64(short.Night), brief(short.Month), float64(long.Night), brief(long.Month))
	return b.String()
}

// Month writes what the climate holds at a place in one month, and what the tilt
// of a panel makes of it there.
func Month(w io.Writer, y *outlook.Year, t *outlook.Tilts) error {
	m := &y.Months[t.Month-1]
	var b strings.Builder
	b.WriteString(MonthAnswer(y, t))
	fmt.Fprintf(&b, "\n%v in %s\n", y.Place, m.Month)
	climateTable(&b, "", []climateRow{{label: brief(m.Month), means: &m.Means}}, false)
	b.WriteString(doubts(monthDoubts(y, m)))
	tiltTable(&b, t)
	rests(&b, restsOf(yearRests(y)))
	b.WriteString("\n" + ClimateCaution + "\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// MonthAnswer tells what to expect in the month of the tilts.
func MonthAnswer(y *outlook.Year, t *outlook.Tilts) string {
	m := &y.Months[t.Month-1]
	var b strings.Builder
	fmt.Fprintf(&b, "Sun    %s kWh/m² a day of %s under a clear sky: %.0f W of panel makes %s Ah; the night lasts %.1f h%s\n",
		kWh(m.Expected), kWh(m.Clear), float64(y.Panel.Rated), digits(float64(m.Array)), float64(m.Night), cloudDoubt(m.Quality))
	fmt.Fprintf(&b, "Wind   %s; 8 hours in 10 between %.0f and %.0f kn\n", blows(&m.Means), float64(m.Light), float64(m.Hard))
	fmt.Fprintf(&b, "Tilt   flat %s Ah a day; %s; turned to the sun %d times a day %s Ah\n",
		digits(float64(t.Rows[0].Swings)), bestTilt(t), t.Trims, digits(float64(t.Free)))
	return b.String()
}

// bestTilt tells the best tilt of a panel that nobody turns.
func bestTilt(t *outlook.Tilts) string {
	best, fixed := t.Rows[0], t.Rows[0]
	for _, r := range t.Rows {
		if r.Swings > best.Swings {
			best = r
		}
		if r.Towards > fixed.Towards {
			fixed = r
		}
	}
	chance := "on a heading left to chance every tilt loses"
	if best.Tilt > 0 {
		chance = fmt.Sprintf("tilted %.0f° on a heading left to chance %s Ah", float64(best.Tilt), digits(float64(best.Swings)))
	}
	if fixed.Tilt == 0 {
		return chance
	}
	return fmt.Sprintf("%.0f° facing %s %s Ah; %s", float64(fixed.Tilt), towards(t), digits(float64(fixed.Towards)), chance)
}

func towards(t *outlook.Tilts) string {
	if t.Towards == 0 {
		return "north"
	}
	return "south"
}

// mostSpans is how many lines the table of a passage has at most.
const mostSpans = 14

// Passage writes what the climate holds along a passage: where the array starves
// and where the wind fails, a line for each few days, and what it rests on.
func Passage(w io.Writer, p *outlook.Passage) error {
	var b strings.Builder
	spans := p.Spans(mostSpans)
	b.WriteString(PassageAnswer(p))
	end := "ends under way"
	if p.Arrived {
		end = "arrives"
	}
	fmt.Fprintf(&b, "\n%s\nDeparts %s, %s %s\n", p.Title, stamp(p.Depart), end, stamp(p.End))
	rows := make([]climateRow, 0, len(spans)+1)
	for i := range spans {
		d := &spans[i]
		rows = append(rows, climateRow{label: fmt.Sprintf("%-6s %-10s", d.From.Format("2 Jan"), roughly(d.Place)), means: &d.Means, drawn: &d.Drawn})
	}
	rows = append(rows, climateRow{label: "Mean", means: &p.Mean.Means, drawn: &p.Mean.Drawn, total: true})
	climateTable(&b, "From   Near", rows, len(p.Panels) == 0)
	fmt.Fprintf(&b, "%s\n", spanWords(p, spans))
	b.WriteString(doubts(passageDoubts(spans)))
	rests(&b, restsOf(passageRests(p)))
	b.WriteString("\n" + ClimateCaution + "\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// PassageAnswer tells where the array starves and where the wind fails.
func PassageAnswer(p *outlook.Passage) string {
	spans := p.Spans(mostSpans)
	least, calm, light, hard := 0, 0, 0, 0
	for i := range spans {
		if leaner(p, &spans[i], &spans[least]) {
			least = i
		}
		if spans[i].Calm > spans[calm].Calm {
			calm = i
		}
		if spans[i].Wind < spans[light].Wind {
			light = i
		}
		if spans[i].Gale > spans[hard].Gale {
			hard = i
		}
	}
	var b strings.Builder
	per := "a day"
	if h := float64(p.Mean.Hours); h < 23.99 {
		per = "in " + span(h)
	}
	s := &spans[least]
	if len(p.Panels) > 0 {
		fmt.Fprintf(&b, "Sun    the panels make least %s: %s Ah %s of the %s drawn, %s kWh/m²%s\n",
			where(s), digits(float64(s.Array)), per, digits(float64(s.Drawn)), kWh(s.Expected), cloudDoubt(p.Mean.Quality))
	} else {
		fmt.Fprintf(&b, "Sun    weakest %s: %s kWh/m² %s%s\n", where(s), kWh(s.Expected), per, cloudDoubt(p.Mean.Quality))
	}
	if s = &spans[calm]; s.Calm >= failing {
		fmt.Fprintf(&b, "Wind   fails most %s: %s", where(s), blows(&s.Means))
	} else {
		s = &spans[light]
		fmt.Fprintf(&b, "Wind   holds throughout: at least %.0f kn, %s near %s", float64(s.Wind), dates(s), parallel(s.Place))
	}
	if g := &spans[hard]; hard != calm && g.Gale >= 0.01 {
		fmt.Fprintf(&b, "; most gales, %s of the time, %s near %s", share(g.Gale), dates(g), parallel(g.Place))
	}
	b.WriteString("\n")
	if len(p.Panels) > 0 {
		fmt.Fprintf(&b, "Array  %s Ah %s over the passage, %s of the %s drawn by the loads\n",
			digits(float64(p.Mean.Array)), per, percent(float64(p.Mean.Array)/max(1e-9, float64(p.Mean.Drawn))), digits(float64(p.Mean.Drawn)))
	} else {
		fmt.Fprintf(&b, "Array  there are no panels in the file; the loads draw %s Ah %s\n", digits(float64(p.Mean.Drawn)), per)
	}
	return b.String()
}

// failing is the share of calms from which on a wind is said to fail (ours).
const failing = 0.08

// leaner reports whether the panels make less in a than in b, or, without panels,
// whether there is less sun.
func leaner(p *outlook.Passage, a, b *outlook.Day) bool {
	if len(p.Panels) > 0 {
		return a.Array < b.Array
	}
	return a.Expected < b.Expected
}

// blows tells a wind in words.
func blows(m *outlook.Means) string {
	s := fmt.Sprintf("%.0f kn", float64(m.Wind))
	switch from := " from " + outlook.Compass(m.From); {
	case m.Steadiness >= 0.8:
		s += " steadily" + from
	case m.Steadiness >= 0.5:
		s += " mostly" + from
	case m.Steadiness >= variable:
		s += " often" + from
	default:
		s += " from all round"
	}
	if m.Calm >= 0.05 {
		s += fmt.Sprintf(", calm %s of the time", share(m.Calm))
	}
	if m.Gale >= 0.02 {
		s += fmt.Sprintf(", gales %s", share(m.Gale))
	}
	return s
}

// variable is the steadiness under which the direction of the mean wind says
// little: the wind comes from all round (ours).
const variable = 0.25

// where tells the days and the place of a span.
func where(d *outlook.Day) string { return dates(d) + " near " + roughly(d.Place) }

// dates tells the days of a span.
func dates(d *outlook.Day) string {
	from, to := d.From, d.Until()
	switch {
	case from.Format("2 Jan") == to.Format("2 Jan"):
		return from.Format("2 Jan")
	case from.Month() == to.Month():
		return fmt.Sprintf("%d to %s", from.Day(), to.Format("2 Jan"))
	}
	return fmt.Sprintf("%s to %s", from.Format("2 Jan"), to.Format("2 Jan"))
}

// brief shortens the name of a month.
func brief(m time.Month) string { return m.String()[:3] }

// cloudDoubt points to the doubts where the cloud was not observed.
func cloudDoubt(q climate.Quality) string {
	if q&climate.FilledCloud != 0 {
		return " (doubtful: see below)"
	}
	return ""
}

func kWh(x units.WattHours) string { return fmt.Sprintf("%.1f", float64(x)/1000) }

// digits prints a number with the digits that matter.
func digits(x float64) string {
	if x < 9.95 {
		return fmt.Sprintf("%.1f", x)
	}
	return fmt.Sprintf("%.0f", x)
}

// share prints a share of the time; some is not none.
func share(x units.Fraction) string {
	if x >= 0.0005 && x < 0.005 {
		return "<1 %"
	}
	return percent(float64(x))
}
