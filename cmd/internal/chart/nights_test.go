package chart

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/sky"
	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

// The nights of a boat at rest are as long as an independent ephemeris says.
func TestNightsAgainstEphemeris(t *testing.T) {
	const step = 20 * time.Second
	for _, row := range refdata.Read(t, "radio/night_length_check.csv") {
		lat := units.Degrees(row.Float("lat_deg"))
		noon, err := time.Parse(time.DateOnly, row.Text("date_of_evening"))
		require.NoError(t, err)
		var a sky.Almanac
		tr := &sim.Trace{}
		for at := noon.Add(12 * time.Hour); at.Before(noon.Add(36 * time.Hour)); at = at.Add(step) {
			tr.Time = append(tr.Time, at)
			tr.Sun = append(tr.Sun, a.Sun(at.Add(step/2), lat, 0).Elevation)
		}
		dark := 0.0
		for _, n := range Nights(tr) {
			dark += (n.To - n.From) / hour
		}
		want := row.Float("sunset_to_sunrise_h")
		if lat >= 60 || lat <= -60 {
			// The file promises nothing there; but a night of nothing or of all
			// the day is that.
			if want == 0 {
				require.Zero(t, dark)
			}
			continue
		}
		require.InDelta(t, want, dark, 2.0/60, "%v on %s", lat, row.Text("date_of_evening")) // tol: the file's, 2 min
	}
}

func TestNightsAtTheEdges(t *testing.T) {
	at := time.Date(2027, 6, 1, 0, 0, 0, 0, time.UTC)
	sun := func(elevations ...units.Degrees) []Span {
		tr := &sim.Trace{Sun: append(elevations, 0)}
		for i := range len(elevations) + 1 {
			tr.Time = append(tr.Time, at.Add(time.Duration(i)*time.Hour))
		}
		return Nights(tr)
	}
	x := seconds(at)
	require.Nil(t, sun(10, 5, 1), "a day without sunset")
	require.Equal(t, []Span{{x, x + 3*hour}}, sun(-5, -9, -3), "a day without sunrise")
	require.Nil(t, sun(-0.8), "part of the disc is up")
	require.Equal(t, []Span{{x, x + hour}, {x + 2*hour, x + 3*hour}}, sun(-1, 0, -1))
	require.Nil(t, Nights(&sim.Trace{}))
}

// The tint under the floor is cut at the nights: its parts meet and do not
// overlap.
func TestPieces(t *testing.T) {
	l := Series{X: []float64{0, 10, 20}, Y: []float64{0, 10, 0}}
	require.Equal(t, Series{X: []float64{5, 10, 15}, Y: []float64{5, 10, 5}}, piece(l, 5, 15))
	require.Equal(t, Series{X: []float64{10, 20}, Y: []float64{10, 0}}, piece(l, 10, 20))
	require.Empty(t, piece(l, 7, 7).X)
	require.Equal(t, 0.0, valueAt(l, 25))
	require.Equal(t, 0.0, valueAt(l, -5))
}
