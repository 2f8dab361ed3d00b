package bank

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The table of defaults in the package comment has the numbers of Default.
func TestDocTellsTheDefaults(t *testing.T) {
	text, err := os.ReadFile("doc.go")
	require.NoError(t, err)
	_, rest, ok := strings.Cut(string(text), "// # Defaults\n")
	require.True(t, ok)
	table, _, ok := strings.Cut(rest, "// # Sources\n")
	require.True(t, ok)
	rows := map[string][]string{}
	const name, width = 27, 16
	for _, line := range strings.Split(table, "\n") {
		if line, ok := strings.CutPrefix(line, "//\t"); ok {
			r := []rune(line + strings.Repeat(" ", name+4*width))
			key := strings.TrimSpace(string(r[:name]))
			for i := range Chemistries() {
				rows[key] = append(rows[key], strings.TrimSpace(string(r[name+i*width:name+(i+1)*width])))
			}
		}
	}
	one := func(format string, of func(s *Setup) []any) func(*Setup) string {
		return func(s *Setup) string { return fmt.Sprintf(format, of(s)...) }
	}
	known := map[string]func(*Setup) string{
		"":                         func(s *Setup) string { return s.Chemistry.String() },
		"absorption, V":            one("%.1f", func(s *Setup) []any { return []any{float64(s.Charger.Absorption)} }),
		"float, V":                 one("%.1f", func(s *Setup) []any { return []any{float64(s.Charger.Float)} }),
		"compensation, mV/K":       one("%.0f", func(s *Setup) []any { return []any{1000 * s.Charger.PerKelvin} }),
		"absorption ends at, C":    one("%.3f", func(s *Setup) []any { return []any{s.Charger.Tail} }),
		"or after, h":              one("%.0f", func(s *Setup) []any { return []any{float64(s.Charger.Longest)} }),
		"or at full charge, %":     one("%.0f", func(s *Setup) []any { return []any{100 * float64(s.Charger.Full)} }),
		"largest charge, C":        one("%.2f", func(s *Setup) []any { return []any{s.Largest} }),
		"A for each Ah to go":      one("%.1f", func(s *Setup) []any { return []any{s.Acceptance} }),
		"trickle, upkeep, 1/h":     one("%.2f %.2f", func(s *Setup) []any { return []any{s.Trickle, s.Upkeep} }),
		"stored below 80 %":        one("%.2f", func(s *Setup) []any { return []any{float64(s.Efficiency.Low)} }),
		"stored when full":         one("%.2f", func(s *Setup) []any { return []any{float64(s.Efficiency.Full)} }),
		"self-discharge, %/month":  one("%.0f", func(s *Setup) []any { return []any{100 * float64(s.SelfDischarge)} }),
		"cut-off, V":               one("%.1f", func(s *Setup) []any { return []any{float64(s.CutOff)} }),
		"back at, V":               one("%.1f", func(s *Setup) []any { return []any{float64(s.Reset)} }),
		"resistance, mΩ of 100 Ah": one("%.1f", func(s *Setup) []any { return []any{10 * s.Discharge.Ohm} }),
		"held by the tanks, C20":   one("%.3f", func(s *Setup) []any { return []any{s.Tanks.Over} }),
		"of that at hand":          one("%.4f", func(s *Setup) []any { return []any{s.Tanks.C} }),
		"levelling, 1/h":           one("%.4f", func(s *Setup) []any { return []any{s.Tanks.K} }),
		"capacity left at 5 °C":    one("%.2f", func(s *Setup) []any { return []any{s.Capacity.At(5)} }),
	}
	for i, c := range Chemistries() {
		s := Default(c, 100)
		for what, of := range known {
			require.Contains(t, rows, what)
			assert.True(t, strings.HasPrefix(rows[what][i]+" ", of(&s)+" "), "%s of %v: doc has %q, Default %s", what, c, rows[what][i], of(&s))
		}
	}
	for what, row := range rows {
		if what == "" {
			continue
		}
		for _, cell := range row {
			words := strings.Fields(cell)
			if words[len(words)-1] == "(agm)" {
				words = words[:len(words)-1]
			}
			assert.Contains(t, []string{"measured", "sheet", "book", "practice", "memory", "own"}, words[len(words)-1], "standing of %s", what)
		}
	}
	assert.Len(t, rows, len(known)+2, "two rows have words alone")
}
