package report

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"ampwake/sim"
	"ampwake/sim/units"
)

// OddsText writes the report of a voyage through many weathers: the answer in
// three lines, the chance of each goal, the state of charge by day, where and
// why trouble begins, arrival and fuel, and what was assumed. The seed is told
// so that the run can be repeated.
func OddsText(w io.Writer, o *sim.Odds, seed uint64) error {
	var b strings.Builder
	b.WriteString(OddsAnswer(o))
	b.WriteString("\n")
	oddsHeader(&b, o, seed)
	oddsGoals(&b, o)
	oddsDays(&b, o)
	oddsWhere(&b, o)
	oddsMisses(&b, o)
	oddsSpreads(&b, o)
	assumed(&b, o.Notes)
	b.WriteString("\n" + Caution + "\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// OddsAnswer returns the three lines that answer the voyage's question: in how
// many weathers it holds, where it fails or how low it gets, and the margin.
func OddsAnswer(o *sim.Odds) string {
	return oddsHolds(o) + "\n" + oddsFails(o) + "\n" + oddsMargin(o) + "\n"
}

func oddsHolds(o *sim.Odds) string {
	stopped := ""
	if o.Stopped != nil {
		stopped = fmt.Sprintf("STOPPED AT %d OF %d: ", o.Done, o.Wanted)
	}
	if len(o.Goals) == 0 {
		return fmt.Sprintf("%sNOTHING ASKED   no goals are set: %d weathers sailed", stopped, o.Done)
	}
	verb, s := "HOLDS", o.Holds
	if s.P < 0.5 { // an answer that is mostly no begins with no
		verb, s = "FAILS", sim.NewShare(s.Of-s.Count, s.Of)
	}
	if s.Count == s.Of {
		return fmt.Sprintf("%s%s IN ALL %d WEATHERS   (95 %% interval %s of 100)", stopped, verb, s.Of, interval(s))
	}
	return fmt.Sprintf("%s%s IN %s OF 100 WEATHERS   (%d of %d; 95 %% interval %s)", stopped, verb, hundred(s.P), s.Count, s.Of, interval(s))
}

// hundred prints a share as so many of 100, and never some as none or most as
// all.
func hundred(p float64) string {
	switch x := 100 * p; {
	case p == 0:
		return "0"
	case p == 1:
		return "100"
	case x < 0.05:
		return "under 0.1"
	case x >= 99.95:
		return "over 99.9"
	case x < 0.95 || x >= 99.05:
		return fmt.Sprintf("%.1f", x)
	default:
		return fmt.Sprintf("%.0f", x)
	}
}

func interval(s sim.Share) string { return hundred(s.Low) + " to " + hundred(s.High) }

func oddsFails(o *sim.Odds) string {
	fails := o.Begins.Total()
	if fails == 0 {
		m := lowest(o)
		return fmt.Sprintf("Lowest  %s of charge in the worst weather, on %s, %s", percent(float64(m.Lowest.Charge)), when(m.Lowest), m.Lowest.Place)
	}
	var after []units.Hours
	var one *sim.Failure
	for _, m := range o.Members {
		if f := m.First(); f != nil {
			one = f
			after = append(after, units.Hours(f.At.Time.Sub(o.Depart).Hours()))
		}
	}
	if fails == 1 {
		return "Fails   in one weather: " + failure(o, one)
	}
	zone := &o.Zones[0]
	for i := range o.Zones {
		if o.Zones[i].Begins.Total() > zone.Begins.Total() {
			zone = &o.Zones[i]
		}
	}
	where := "in " + zone.Name
	if from, to, leg := strings.Cut(zone.Name, " – "); leg {
		where = "between " + from + " and " + to
	}
	cause := counted(o.Begins)[0]
	half := later(o.Depart, float64(sim.NewSpread(after).P50))
	return fmt.Sprintf("Fails   in %d weathers: %s begin %s, %s by %s; half by %s",
		fails, some(zone.Begins.Total(), fails), where, some(cause.n, fails), inWords(cause.name), half.Format("2 Jan"))
}

// some prints a part of a number.
func some(n, of int) string {
	if n == of {
		return "all"
	}
	return fmt.Sprint(n)
}

// failure tells one failure in words.
func failure(o *sim.Odds, f *sim.Failure) string {
	if f.Floor {
		return passes(float64(o.Floor), f.At)
	}
	return missed(o.Goals[f.Goal].Name, f.What, f.At, f.Cause, float64(f.Volts))
}

// lowest returns the member whose charge falls lowest.
func lowest(o *sim.Odds) *sim.Member {
	worst := o.Members[0]
	for _, m := range o.Members {
		if m.Lowest.Charge < worst.Lowest.Charge {
			worst = m
		}
	}
	return worst
}

func oddsMargin(o *sim.Odds) string {
	p, ah := 100*float64(o.Margin.P10), float64(o.MarginCharge.P10)
	rest := fmt.Sprintf("median %.0f, worst %.0f", 100*float64(o.Margin.P50), 100*float64(o.Margin.Min))
	floor := floorName(float64(o.Floor))
	if p < 0 {
		return fmt.Sprintf("Margin  1 weather in 10 falls at least %.0f points of charge (%.0f Ah) short of %s; %s", -p, -ah, floor, rest)
	}
	return fmt.Sprintf("Margin  9 weathers in 10 keep at least %.0f points of charge (%.0f Ah) over %s; %s", p, ah, floor, rest)
}

func oddsHeader(b *strings.Builder, o *sim.Odds, seed uint64) {
	fmt.Fprintf(b, "%s\n", o.Title)
	fmt.Fprintf(b, "%d weathers of seed %d. Departs %s; ", o.Done, seed, stamp(o.Depart))
	switch n := o.Arrived.Count; {
	case n == 0:
		b.WriteString("in none of them does she arrive in the time given\n")
	case n < o.Done:
		fmt.Fprintf(b, "arrives in %d of them, ", n)
	default:
		b.WriteString("arrives in all, ")
	}
	if o.Arrived.Count > 0 {
		from := later(o.Depart, float64(o.Passage.P10)).Format("2 Jan 2006")
		to := later(o.Depart, float64(o.Passage.P90)).Format("2 Jan 2006")
		if from == to {
			fmt.Fprintf(b, "8 in 10 on %s\n", to)
		} else {
			fmt.Fprintf(b, "8 in 10 between %s and %s\n", from, to)
		}
	}
	if o.Alike {
		b.WriteString("All weathers gave the very same voyage: what follows is one voyage and tells nothing of chance.\n")
	}
	if o.Stopped != nil {
		fmt.Fprintf(b, "Stopped before all %d weathers were sailed: what follows is of the %d done.\n", o.Wanted, o.Done)
	}
}

// later returns a moment some hours after departure.
func later(depart time.Time, hours float64) time.Time {
	return depart.Add(time.Duration(math.Round(hours * 3.6e12))).UTC()
}
