package logbook

import (
	"encoding/binary"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestEncodings reads one log as different programs save it.
func TestEncodings(t *testing.T) {
	const plain = "time [UTC], position, volts rested [V]\n2027-01-10 09:00, 16°53'N 025°00'W, 12.6\n2027-01-10 12:00, 16°38'N 025°02'W, 12.7\n"
	wide := func(order binary.AppendByteOrder) string {
		var b []byte
		for _, u := range utf16.Encode([]rune("\ufeff" + plain)) {
			b = order.AppendUint16(b, u)
		}
		return string(b)
	}
	want := read(t, plain)
	require.NotNil(t, want.Rows[0].Place)
	for name, src := range map[string]string{
		"a mark": "\ufeff" + plain, "a mark before a comment": "\ufeff# kept by hand\n" + plain,
		"UTF-16, low byte first": wide(binary.LittleEndian), "UTF-16, high byte first": wide(binary.BigEndian),
		"returns alone": strings.ReplaceAll(plain, "\n", "\r"), "both": strings.ReplaceAll(plain, "\n", "\r\n"),
		"Latin-1": strings.ReplaceAll(plain, "°", "\xb0"),
	} {
		l := read(t, src)
		assert.Empty(t, l.Problems, name)
		require.Len(t, l.Rows, 2, name)
		for i := range l.Rows {
			assert.Equal(t, says(&want.Rows[i]), says(&l.Rows[i]), name)
			assert.Equal(t, *want.Rows[i].Place, *l.Rows[i].Place, name)
		}
		assert.Equal(t, name == "Latin-1", len(l.Notes) == 1, name)
	}
}
