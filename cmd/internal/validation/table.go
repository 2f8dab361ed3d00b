package main

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// line is a line of a table: a row of cells, or any other text. A number in a cell
// may differ by a unit of its last digit and the slack before it counts as changed,
// that of the cell if it is loose.
type line struct {
	cells []string
	text  string
	slack float64
	loose map[int]float64
}

func (l line) slackOf(cell int) float64 {
	if x, ok := l.loose[cell]; ok {
		return x
	}
	return l.slack
}

func (l line) String() string {
	if l.cells == nil {
		return l.text
	}
	return "| " + strings.Join(l.cells, " | ") + " |"
}

// written is a table as it stands in the document.
func written(t []line) string {
	var b strings.Builder
	for _, l := range t {
		b.WriteString(l.String() + "\n")
	}
	return b.String()
}

// cut finds a table in a document between its marks.
func cut(text, name string) (before, table, after string, err error) {
	open, end := "<!-- "+name+": written by cmd/internal/validation -->\n", "<!-- end of "+name+" -->\n"
	before, rest, ok := strings.Cut(text, open)
	if !ok {
		return "", "", "", fmt.Errorf("no mark %q", strings.TrimSpace(open))
	}
	table, after, ok = strings.Cut(rest, end)
	if !ok {
		return "", "", "", fmt.Errorf("no mark %q", strings.TrimSpace(end))
	}
	return before + open, table, end + after, nil
}

// compare tells how a table in a document differs from a fresh one.
func compare(old string, fresh []line) []string {
	var diffs []string
	were := strings.Split(strings.TrimSuffix(old, "\n"), "\n")
	next := 0
	for _, l := range fresh {
		for _, now := range strings.Split(l.String(), "\n") {
			was := ""
			if next < len(were) {
				was = were[next]
			}
			next++
			if now != was && !near(was, now, l.slackOf) {
				diffs = append(diffs, fmt.Sprintf("is  %s\n  was %s", now, was))
			}
		}
	}
	for ; next < len(were); next++ {
		diffs = append(diffs, "is no more\n  was "+were[next])
	}
	if len(diffs) > most { // a row more moves all below it
		diffs = append(diffs[:most], fmt.Sprintf("and %d lines more", len(diffs)-most))
	}
	return diffs
}

// most is how many differences are worth printing.
const most = 5

var numeral = regexp.MustCompile(`[0-9]+(?:\.[0-9]+)?(?:e-?[0-9]+)?`)

// near reports whether two rows are the same but for the last digits of their
// numbers with a decimal point or an exponent; whole numbers of up to three digits
// are counts, dates and names.
func near(was, now string, slack func(cell int) float64) bool {
	a, b := strings.Split(was, "|"), strings.Split(now, "|")
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] == b[i] {
			continue
		}
		x, y := bare(a[i]), bare(b[i])
		if numeral.ReplaceAllString(x, "#") != numeral.ReplaceAllString(y, "#") {
			return false
		}
		p, q := numeral.FindAllString(x, -1), numeral.FindAllString(y, -1)
		for j := range p {
			if p[j] != q[j] && (counts(p[j]) || counts(q[j]) || !alike(p[j], q[j], slack(i-1))) {
				return false
			}
		}
	}
	return true
}

// bare is a cell without the word for an error that is only rounding.
func bare(cell string) string { return strings.TrimPrefix(strings.TrimSpace(cell), "under ") }

func counts(s string) bool { return !strings.ContainsAny(s, ".e") && len(s) < 4 }

func alike(p, q string, slack float64) bool {
	x, err := strconv.ParseFloat(p, 64)
	if err != nil {
		return false
	}
	y, err := strconv.ParseFloat(q, 64)
	if err != nil {
		return false
	}
	return math.Abs(x-y) <= max(last(p), last(q))*1.0001+slack
}

// last is the worth of the last digit of a numeral.
func last(s string) float64 {
	mantissa, power, _ := strings.Cut(s, "e")
	_, decimals, _ := strings.Cut(mantissa, ".")
	e, _ := strconv.Atoi(power)
	return math.Pow10(e - len(decimals))
}

// number prints a number with three digits at most, the small ones with an exponent.
func number(x float64) string {
	if math.Abs(x) < 1e-4 || math.Abs(x) >= 1000 {
		return tidy(strconv.FormatFloat(x, 'g', 3, 64))
	}
	return strconv.FormatFloat(x, 'g', 3, 64)
}

// digits prints two digits of a number.
func digits(x float64) string {
	switch {
	case x == 0:
		return "0"
	case math.Abs(x) < 1e-4:
		return tidy(strconv.FormatFloat(x, 'e', 1, 64))
	case math.Abs(x) >= 10:
		return strconv.FormatFloat(x, 'f', 0, 64)
	}
	places := 1 - int(math.Floor(math.Log10(math.Abs(x))))
	return strconv.FormatFloat(x, 'f', places, 64)
}

// tidy turns 1.0e-06 into 1.0e-6.
func tidy(s string) string { return strings.Replace(s, "e-0", "e-", 1) }
