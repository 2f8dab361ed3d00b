package report

import (
	"strings"

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
