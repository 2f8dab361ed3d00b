package card

import (
	"fmt"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"ampwake/sim/units"
)

// series joins names for a sentence: "a, b and c"; beyond most of them the rest
// is counted.
func series(names []string, most int) string {
	if len(names) > most {
		names = append(append([]string(nil), names[:most-1]...), fmt.Sprintf("%d more", len(names)-most+1))
	}
	switch n := len(names); n {
	case 0:
		return ""
	case 1:
		return names[0]
	default:
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
}

// brief is series with as many names, four at most, as fit into so many letters,
// and two in any case.
func brief(names []string, letters int) string {
	for most := 4; most > 2; most-- {
		if text := series(names, most); utf8.RuneCountInString(text) <= letters {
			return text
		}
	}
	return series(names, 2)
}

// capital returns text with its first letter a capital.
func capital(text string) string {
	r, n := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(r)) + text[n:]
}

// amount prints a charge or a volume: with a decimal below 10.
func amount(x units.AmpHours) string {
	if v := float64(x); math.Abs(v) < 9.95 {
		return fmt.Sprintf("%.1f", v)
	}
	return fmt.Sprintf("%.0f", float64(x))
}

// clock prints hours as "40 min" or "1.5 h".
func clock(h units.Hours) string {
	if m := math.Round(float64(h)*12) * 5; m < 60 {
		return fmt.Sprintf("%.0f min", math.Max(5, m))
	}
	return fmt.Sprintf("%.1f h", float64(h))
}

func volts(v units.Volts) string { return fmt.Sprintf("%.1f V", float64(v)) }
