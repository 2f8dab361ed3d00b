package chart

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"

	"ampwake/sim"
)

// axisWords returns the words below an axis from a time on, for a panel 440
// points wide.
func axisWords(from time.Time, span time.Duration, byDay bool) []string {
	s := &scene{width: 576}
	f := frame{x0: seconds(from), x1: seconds(from.Add(span)), data: vg.Rectangle{Min: vg.Point{X: 30, Y: 40}, Max: vg.Point{X: 470, Y: 100}}}
	timeAxis(s, &f, byDay)
	var out []string
	for _, w := range s.words {
		out = append(out, w.text)
	}
	return out[1:] // without UTC
}

// Dates against the calendar: 3 March 2027 is a Wednesday.
func TestAxisWords(t *testing.T) {
	from := time.Date(2027, 3, 3, 9, 0, 0, 0, time.UTC)
	d := 24 * time.Hour
	require.Equal(t, []string{"09:00", "09:05", "09:10", "09:15", "09:20", "09:25", "09:30", "09:35", "09:40", "09:45", "09:50", "09:55", "10:00", "Wed 3 Mar 2027"},
		axisWords(from, time.Hour, false))
	require.Equal(t, []string{"12:00", "18:00", "00:00", "06:00", "12:00", "18:00", "00:00", "06:00", "Wed 3 Mar 2027", "Thu 4 Mar", "Fri 5 Mar"},
		axisWords(from, 2*d, false))
	require.Equal(t, []string{"Mar 2027", "Wed 3", "Thu 4", "Fri 5", "Sat 6", "Sun 7", "Mon 8", "Tue 9"}, axisWords(from, 6*d+4*time.Hour, false))
	month := axisWords(from, 30*d, false)
	require.Equal(t, []string{"Mar 2027", "Apr", "3", "4", "5", "6", "7", "8", "Mon", "9"}, month[:10])
	require.Equal(t, []string{"8 Mar", "15 Mar", "22 Mar"}, axisWords(from, 60*d, false)[:3])
	require.Equal(t, "2027, Mondays", last(axisWords(from, 60*d, false)))
	year := axisWords(from, 400*d, false)
	require.Equal(t, "2027", year[0])
	require.Contains(t, year, "2028")
	require.Contains(t, year, "Mar")
	require.Equal(t, []string{"Mar 2027", "Wed 3"}, axisWords(from.Truncate(d), d, true))
	require.Less(t, len(axisWords(from, 3000*d, false)), 100)
}

func last(s []string) string { return s[len(s)-1] }

// Ship's noon is 12:00 in the zone kept. The zone of a row is UTC offset and
// UTC of noon as in any almanac: UTC = 12 − offset. From memory.
func TestNoons(t *testing.T) {
	at := time.Date(2027, 3, 3, 0, 0, 0, 0, time.UTC)
	zones := func(zone ...int8) []string {
		tr := &sim.Trace{Zone: append(slices.Clone(zone), 0)}
		for i := range len(zone) + 1 {
			tr.Time = append(tr.Time, at.Add(time.Duration(i)*6*time.Hour))
		}
		var out []string
		for _, n := range Noons(tr) {
			out = append(out, moment(n.At).Format("2 15:04")+" "+zone2(n.Zone))
		}
		return out
	}
	require.Equal(t, []string{"3 14:00 UTC−2", "4 14:00 UTC−2"}, zones(-2, -2, -2, -2, -2, -2, -2, -2))
	require.Equal(t, []string{"3 00:00 UTC+12", "4 00:00 UTC+12"}, zones(12, 12, 12, 12, 12))
	require.Equal(t, []string{"3 11:00 UTC+1"}, zones(1, 1, 1, 1))
	// Over the date line eastbound, 12 to -12: noon 3 March comes twice.
	require.Equal(t, []string{"3 00:00 UTC+12", "4 00:00 UTC−12"}, zones(12, 12, -12, -12, -12))
	// A zone west at 12:00 UTC jumps back over noon: one noon at 12:00, one at 13:00.
	require.Equal(t, []string{"3 13:00 UTC−1"}, zones(0, 0, -1, -1))
}

func zone2(h int) string { return strings.TrimSpace(zone(h)) }
