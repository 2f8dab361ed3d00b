package report

import (
	"strings"
	"time"

	"ampwake/sim"
)

// The words of the reports, for other forms of the same report.

// AnswerLines splits an answer into its lines, each into what it is called and
// what it says: "Margin" and "8 points of charge …".
func AnswerLines(answer string) [][2]string {
	var out [][2]string
	for line := range strings.Lines(answer) {
		label, text, _ := strings.Cut(strings.TrimSpace(line), "  ")
		if text == "" { // one blank between them
			label, text, _ = strings.Cut(label, " ")
		}
		out = append(out, [2]string{label, strings.TrimSpace(text)})
	}
	return out
}

// Passed returns when and how far a voyage went, in one line.
func Passed(r *sim.Result) string {
	var b strings.Builder
	header(&b, r)
	_, line, _ := strings.Cut(b.String(), "\n")
	return strings.TrimSpace(line)
}

// When prints a moment on both clocks.
func When(m sim.Moment) string { return when(m) }

// Lasting prints hours the way people say them.
func Lasting(hours float64) string { return span(hours) }

// LeanestDay finds the whole day with the worst balance, in Ah; ok is false if
// there is no whole day.
func LeanestDay(r *sim.Result) (day *sim.Day, net float64, ok bool) { return leanestDay(r) }

// DayBalance is what a day's sources made more than its loads used, in Ah,
// spilled part taken off.
func DayBalance(d *sim.Day) float64 { return netCharge(d) }

// Costs tells what the charge cost in miles and what the voyage cost the bank:
// of what, and what. A line of nothing goes with the one before.
func Costs(r *sim.Result) [][2]string { return costs(r) }

// OddsPassed returns how many weathers were sailed and when she arrives, a
// sentence or two.
func OddsPassed(o *sim.Odds, seed uint64) []string {
	var b strings.Builder
	oddsHeader(&b, o, seed)
	lines := strings.Split(strings.TrimSpace(b.String()), "\n")
	return lines[1:] // the first is the title
}

// Hundred prints a share as so many of 100, and never some as none or most as
// all.
func Hundred(share float64) string { return hundred(share) }

// Interval prints the 95 % interval of a share, of 100.
func Interval(s sim.Share) string { return interval(s) }

// Causes prints how often each cause was, the most frequent first.
func Causes(c sim.Counts) string { return causes(c) }

// Later returns a moment some hours after departure.
func Later(depart time.Time, hours float64) time.Time { return later(depart, hours) }
