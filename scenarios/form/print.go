package form

import (
	"io"
	"strings"
	"unicode"
)

// Print writes the problems for people: each with its source line, a caret
// under the column, and the hint if there is one.
//
//	horta.yaml:4:13: bank.capacity: "440" is not a charge, like 2 x 115 Ah: the unit is missing
//	      capacity: 440
//	                ^
//	  hint: did you mean "440 Ah"?
func (p *Problems) Print(w io.Writer) error {
	var b strings.Builder
	for _, one := range p.List {
		b.WriteString(one.String())
		b.WriteByte('\n')
		if line, caret := snippet(one.Source, one.Column); line != "" {
			b.WriteString("    " + line + "\n    " + caret + "\n")
		}
		if one.Hint != "" {
			b.WriteString("  hint: " + one.Hint + "\n")
		}
	}
	if p.More {
		b.WriteString(p.stopped() + "\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// snippet returns the line as it is printed and a second line whose caret
// stands under the column. A long line is cut to a window around it.
func snippet(source string, column int) (line, caret string) {
	const before, width = 60, 100 // characters
	runes := []rune(source)
	at := min(max(column-1, 0), len(runes))
	from := 0
	if at > before+20 {
		from = at - before
	}
	to := min(len(runes), from+width)
	var text, gap strings.Builder
	if from > 0 {
		text.WriteString("…")
		gap.WriteString(" ")
	}
	for i := from; i < to; i++ {
		r := runes[i]
		if r == '\t' {
			r = ' '
		}
		text.WriteRune(r)
		if i < at {
			gap.WriteString(strings.Repeat(" ", cells(r)))
		}
	}
	if to < len(runes) {
		text.WriteString("…")
	}
	line = strings.TrimRight(text.String(), " ")
	if line == "" {
		return "", ""
	}
	return line, gap.String() + "^"
}

// cells returns how many columns of a terminal a character fills: none for
// combining marks, two for the wide East Asian blocks, one for the rest. The
// blocks are those of Unicode Annex 11 in rough, enough to place a caret.
func cells(r rune) int {
	switch {
	case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		return 0
	case r >= 0x1100 && r <= 0x115f, r >= 0x2e80 && r <= 0xa4cf, r >= 0xac00 && r <= 0xd7a3,
		r >= 0xf900 && r <= 0xfaff, r >= 0xfe30 && r <= 0xfe6f, r >= 0xff00 && r <= 0xff60,
		r >= 0xffe0 && r <= 0xffe6, r >= 0x1f300 && r <= 0x1faff, r >= 0x20000 && r <= 0x3fffd:
		return 2
	}
	return 1
}
