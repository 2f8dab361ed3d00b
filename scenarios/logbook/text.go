package logbook

import (
	"bytes"
	"unicode/utf16"
	"unicode/utf8"
)

// text returns a file as UTF-8 with the ends of lines that the reader knows:
// spreadsheets also write UTF-16 with a mark before it, and Latin-1, old ones end
// lines by a carriage return alone. guessed tells that it was taken for Latin-1
// because it is nothing else.
func text(src []byte) (out []byte, guessed bool) {
	switch {
	case bytes.HasPrefix(src, []byte{0xff, 0xfe}):
		src = fromUTF16(src[2:], func(a, b byte) uint16 { return uint16(a) | uint16(b)<<8 })
	case bytes.HasPrefix(src, []byte{0xfe, 0xff}):
		src = fromUTF16(src[2:], func(a, b byte) uint16 { return uint16(b) | uint16(a)<<8 })
	case !utf8.Valid(src):
		latin := make([]rune, len(src))
		for i, b := range src {
			latin[i] = rune(b) // the first 256 characters are those of Latin-1
		}
		src, guessed = []byte(string(latin)), true
	}
	src = bytes.TrimPrefix(src, []byte("\ufeff"))
	if bytes.IndexByte(src, '\n') < 0 {
		src = bytes.ReplaceAll(src, []byte{'\r'}, []byte{'\n'})
	}
	return src, guessed
}

// fromUTF16 decodes pairs of bytes; an odd one at the end is left out.
func fromUTF16(src []byte, unit func(a, b byte) uint16) []byte {
	units := make([]uint16, 0, len(src)/2)
	for i := 0; i+1 < len(src); i += 2 {
		units = append(units, unit(src[i], src[i+1]))
	}
	return []byte(string(utf16.Decode(units)))
}
