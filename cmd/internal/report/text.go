// Package report turns a result into words and tables for a terminal, JSON for
// programs and CSV for spreadsheets.
package report

import (
	"fmt"
	"io"
	"strings"
	"time"

	"ampwake/sim"
)

// Caution is the short safety note under every report.
const Caution = `An estimate, not a promise: batteries age, sails shade, weather differs. Check it
against a battery monitor and a trial sail. Batteries gas, burn and short; wiring
starts fires: follow the makers' manuals and local codes, and ask a licensed
marine electrician or surveyor. Keep distress communication independent of this
bank (EPIRB, hand-held radio).`

// Text writes the report of one voyage: the answer in three lines, the daily
// budget, the worst moments and what was assumed.
func Text(w io.Writer, r *sim.Result) error {
	var b strings.Builder
	b.WriteString(Answer(r))
	b.WriteString("\n")
	header(&b, r)
	budget(&b, r)
	worst(&b, r)
	decisions(&b, r)
	prices(&b, r)
	assumed(&b, r.Notes)
	b.WriteString("\n" + Caution + "\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// Answer returns the three lines that answer the voyage's question: whether it
// holds, what fails first or where it is tightest, and the margin.
func Answer(r *sim.Result) string {
	var b strings.Builder
	v := &r.Verdict
	if v.Holds {
		fmt.Fprintf(&b, "HOLDS   %s\n", held(r))
	} else {
		fmt.Fprintf(&b, "FAILS   %s\n", failed(r))
	}
	if f := firstFailure(r); f != "" {
		fmt.Fprintf(&b, "First   %s\n", f)
	} else {
		fmt.Fprintf(&b, "Lowest  %s of charge on %s, %s\n", percent(float64(r.Lowest.Charge)), when(r.Lowest), r.Lowest.Place)
	}
	fmt.Fprintf(&b, "Margin  %s\n", margin(r))
	return b.String()
}

func held(r *sim.Result) string {
	var kept []string
	above := ""
	for i := range r.Verdict.Goals {
		g := &r.Verdict.Goals[i]
		if g.Load < 0 {
			above = fmt.Sprintf("; charge stays above %s", percent(float64(r.Verdict.Floor)))
			continue
		}
		if g.Due == 0 {
			kept = append(kept, g.Name+" is never without power")
		} else {
			kept = append(kept, fmt.Sprintf("%s keeps all %d slots", g.Name, g.Due))
		}
	}
	if len(kept) == 0 && above == "" {
		return "no goals are set; nothing was asked"
	}
	if len(kept) == 0 {
		return strings.TrimPrefix(above, "; ")
	}
	return strings.Join(kept, ", ") + above
}

func failed(r *sim.Result) string {
	var parts []string
	for i := range r.Verdict.Goals {
		g := &r.Verdict.Goals[i]
		switch {
		case g.Holds:
		case g.Load < 0:
			parts = append(parts, fmt.Sprintf("charge falls to %s, under %s", percent(float64(r.Lowest.Charge)), percent(float64(r.Verdict.Floor))))
		case g.Due == 0:
			parts = append(parts, fmt.Sprintf("%s is without power for %s", g.Name, span(float64(r.Loads[g.Load].Off))))
		default:
			parts = append(parts, fmt.Sprintf("%s misses %d of %d slots", g.Name, g.Due-g.Kept, g.Due))
		}
	}
	return strings.Join(parts, "; ")
}

// firstFailure tells the earliest of the goals' first failures.
func firstFailure(r *sim.Result) string {
	v := &r.Verdict
	var first time.Time
	text := ""
	for i := range v.Goals {
		g := &v.Goals[i]
		if m := g.First; m != nil && (text == "" || m.At.Time.Before(first)) {
			first, text = m.At.Time, miss(r, m)
		}
		if m := g.Broken; m != nil && (text == "" || m.Time.Before(first)) {
			first, text = m.Time, passes(float64(v.Floor), *m)
		}
	}
	return text
}

func miss(r *sim.Result, m *sim.Miss) string {
	return missed(r.Loads[m.Load].Name, m.What, m.At, m.Cause, float64(m.Volts))
}

func missed(name, what string, at sim.Moment, cause sim.Cause, volts float64) string {
	if strings.HasPrefix(what, "chart") {
		name += ", " + what
	}
	s := fmt.Sprintf("%s on %s, %s: %s", name, when(at), at.Place, cause)
	if cause == sim.UnderVoltage {
		s += fmt.Sprintf(", %.2f V at its terminals", volts)
	}
	return s
}

func passes(floor float64, m sim.Moment) string {
	return fmt.Sprintf("charge passes %s on %s, %s", percent(floor), when(m), m.Place)
}

func margin(r *sim.Result) string {
	v := &r.Verdict
	points, ah := 100*float64(v.Margin), float64(v.MarginCharge)
	floor := floorName(float64(v.Floor))
	if points < 0 {
		return fmt.Sprintf("%.0f points of charge (%.0f Ah) short of %s", -points, -ah, floor)
	}
	return fmt.Sprintf("%.0f points of charge (%.0f Ah) over %s", points, ah, floor)
}

func floorName(floor float64) string {
	if floor > 0 {
		return "the floor of " + percent(floor)
	}
	return "an empty bank"
}

func header(b *strings.Builder, r *sim.Result) {
	fmt.Fprintf(b, "%s\n", r.Title)
	end := "ends under way"
	if r.Arrived {
		end = "arrives"
	}
	fmt.Fprintf(b, "Departs %s, %s %s: %.0f miles in %s\n",
		stamp(r.Depart), end, stamp(r.End), float64(r.Sailed), span(r.End.Sub(r.Depart).Hours()))
}

// percent prints a share without decimals.
func percent(x float64) string { return fmt.Sprintf("%.0f %%", 100*x) }

// stamp prints a moment in UTC.
func stamp(t time.Time) string { return t.Format("2 Jan 2006 15:04 UTC") }

// when prints a moment on both clocks.
func when(m sim.Moment) string {
	t := m.Time.Round(time.Minute)
	ship := t.Add(time.Duration(m.Zone) * time.Hour)
	layout := "15:04"
	if ship.Day() != t.Day() {
		layout = "2 Jan 15:04"
	}
	return fmt.Sprintf("%s UTC (%s ship's time)", t.Format("2 Jan 15:04"), ship.Format(layout))
}

// span prints hours the way people say them.
func span(h float64) string {
	switch {
	case h < 1:
		return fmt.Sprintf("%.0f minutes", h*60)
	case h < 48:
		return fmt.Sprintf("%.1f hours", h)
	}
	return fmt.Sprintf("%.1f days", h/24)
}

// Line returns the answer in one line, for a table of variants.
func Line(name string, r *sim.Result) string {
	if r.Verdict.Holds {
		return fmt.Sprintf("HOLDS   %s: %s; margin %s", name, held(r), margin(r))
	}
	return fmt.Sprintf("FAILS   %s: %s", name, failed(r))
}
