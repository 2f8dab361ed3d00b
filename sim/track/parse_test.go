package track_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim/track"
	"ampwake/sim/units"
)

func TestParsePosition(t *testing.T) {
	verde := track.Position{Lat: 16 + 53.0/60, Lon: -25}
	cape := track.Position{Lat: -(33 + 2.5/60), Lon: 17 + 57.0/60}
	for text, want := range map[string]track.Position{
		"16°53.0'N 025°00.0'W":              verde,
		"N16°53.0' W025°00.0'":              verde,
		"16 53.0 N 025 00.0 W":              verde,
		"16°53′N, 25°W":                     verde,
		"16º53’n 25º00’w":                   verde,
		"25°W 16°53'N":                      verde,
		"W025°00.0', N16°53.0'":             verde,
		"N16 53, 25W":                       verde,
		" 16°53'00\"N\t25°00'00\"W ":        verde,
		"16°53′00″N 25°00′00′′W":            verde,
		"16°53' -25°00'":                    verde,
		"16 53, −25 00":                     verde,
		"+16°53', -25":                      verde,
		"33°02'30\"S 17°57'E":               cape,
		"33 02 30 S 017 57 E":               cape,
		"S33 02.5 E017 57.0":                cape,
		"33°02'30''S 17°57'00''E":           cape,
		"-33°02.5' 17.95":                   {}, // one degree sign only
		"16.883 -25.0":                      {Lat: 16.883, Lon: -25},
		"16.883, -25.0":                     {Lat: 16.883, Lon: -25},
		"16.883,-25":                        {Lat: 16.883, Lon: -25},
		"16.883N 25W":                       {Lat: 16.883, Lon: -25},
		"16.883°N 25°W":                     {Lat: 16.883, Lon: -25},
		"-0°30' 0°15'":                      {Lat: -0.5, Lon: 0.25},
		"0N 180W":                           {Lat: 0, Lon: 180},
		"90N 0E":                            {Lat: 90, Lon: 0},
		"54°59.9'S\u00a0179°59.9'W":         {Lat: -(54 + 59.9/60), Lon: -(179 + 59.9/60)},
		"0 -180":                            {Lat: 0, Lon: 180},
		"05°00.06'S\u202f035°30.5999999' W": {Lat: -(5 + 0.06/60), Lon: -(35 + 30.5999999/60)},
	} {
		got, err := track.ParsePosition(text)
		if want == (track.Position{}) {
			assert.Error(t, err, text)
			continue
		}
		if assert.NoError(t, err, text) {
			assert.InDelta(t, float64(want.Lat), float64(got.Lat), 1e-12, text)
			assert.InDelta(t, float64(want.Lon), float64(got.Lon), 1e-12, text)
		}
	}
}

func TestParsePositionRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"":                     "it is empty",
		"Horta":                "it may hold numbers",
		"16°60.0'N 25°W":       "minutes must be below 60",
		"16°53'60\"N 25°W":     "seconds must be below 60",
		"91N 25W":              "latitude is beyond 90°",
		"16N 181W":             "longitude is beyond 180°",
		"-16N 25W":             "a sign or a letter",
		"16N +25W":             "a sign or a letter",
		"16N 25":               "both or neither",
		"16 25W":               "°",
		"N16 25":               "both or neither",
		"16N 25N":              "two latitudes",
		"16E 25W":              "two longitudes",
		"16,883 25,0":          "decimal point",
		"16 53 25 00":          "give letters",
		"16.5°53'N 25°W":       "only the last number",
		"16 -53, 25":           "only degrees may have a sign",
		"16'53N 25W":           "° follows degrees",
		"16°53°N 25W":          "° follows degrees",
		"16°53'N 25°00'00'W":   "° follows degrees",
		"16 53 12 4N 25W":      "an angle is degrees",
		"16N, ":                "an angle is degrees",
		"16N 25W 3":            "an angle is degrees",
		"'16N 25W":             "a number must come before",
		"1.2.3N 25W":           "cannot be read",
		"16°53'N":              "°",
		"99999999999999999999": "give letters",
	} {
		_, err := track.ParsePosition(text)
		var syntax *units.SyntaxError
		if assert.ErrorAs(t, err, &syntax, text) {
			assert.Contains(t, err.Error(), want, text)
		}
	}
}

func TestPositionString(t *testing.T) {
	for want, p := range map[string]track.Position{
		"16°53.0'N 025°00.0'W": {Lat: 16 + 53.0/60, Lon: -25},
		"00°00.0'N 000°00.0'E": {Lat: -1e-9, Lon: -1e-9},
		"34°00.0'S 018°00.0'E": {Lat: -33.99999, Lon: 17.99999}, // minutes carry
		"05°07.0'N 180°00.0'E": {Lat: 5 + 7.0/60, Lon: 180},
		"no position":          {Lat: units.Degrees(math.NaN())},
	} {
		assert.Equal(t, want, p.String())
	}
}

func TestUnmarshalText(t *testing.T) {
	p := track.Position{Lat: 1, Lon: 2}
	require.Error(t, p.UnmarshalText([]byte("somewhere")))
	assert.Equal(t, track.Position{Lat: 1, Lon: 2}, p, "left as it was")
	require.NoError(t, p.UnmarshalText([]byte("10S 20E")))
	assert.Equal(t, track.Position{Lat: -10, Lon: 20}, p)

	for text, want := range map[string]track.Line{"great circle": track.GreatCircle, "Rhumb-line": track.RhumbLine, "rhumb": track.RhumbLine, "great_circle": track.GreatCircle} {
		l := track.Line(9)
		require.NoError(t, l.UnmarshalText([]byte(text)))
		assert.Equal(t, want, l, text)
	}
	var l track.Line
	assert.ErrorContains(t, l.UnmarshalText([]byte("straight")), `write "great circle" or "rhumb line"`)
	assert.Equal(t, "line 9", track.Line(9).String())
}

// Whatever parses prints, and parses again to the same place within half a
// tenth of a minute; and prints the same again.
func FuzzParsePosition(f *testing.F) {
	for _, s := range []string{
		"16°53.0'N 025°00.0'W", "16.883 -25.0", "16.883, -25.0", "16.883N 25W", "N16°53.0' W025°00.0'",
		"33 02.0 S 017 57.0 E", "33°02'30\"S 17°57'E", "179°59.99'W 89°59'59.9\"N", "-0°0.03', -180", "E", ",", "°'\"",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := track.ParsePosition(text)
		if err != nil {
			var syntax *units.SyntaxError
			if !errors.As(err, &syntax) || p != (track.Position{}) {
				t.Fatalf("%q: %v, %v", text, p, err)
			}
			return
		}
		if !(math.Abs(float64(p.Lat)) <= 90 && p.Lon > -180 && p.Lon <= 180) {
			t.Fatalf("%q: %v %v is out of range", text, p.Lat, p.Lon)
		}
		q, err := track.ParsePosition(p.String())
		const half = 0.05/60 + 1e-12
		if err != nil || math.Abs(float64(q.Lat-p.Lat)) > half || math.Abs(turn(q.Lon, p.Lon)) > half {
			t.Fatalf("%q prints as %v and reads again as %v, %v", text, p, q, err)
		}
		if r, err := track.ParsePosition(q.String()); err != nil || r != q {
			t.Fatalf("%q: %v reads again as %v, %v", text, q, r, err)
		}
	})
}

func ExampleParsePosition() {
	for _, text := range []string{"33°02'30\"S 17°57'E", "16.883, -25.0", "16°72'N 25°W"} {
		p, err := track.ParsePosition(text)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(p)
	}
	// Output:
	// 33°02.5'S 017°57.0'E
	// 16°53.0'N 025°00.0'W
	// "16°72'N 25°W" is not a position, like 16°53.0'N 025°00.0'W: minutes must be below 60
}

func BenchmarkParsePosition(b *testing.B) {
	for b.Loop() {
		_, _ = track.ParsePosition("16°53.0'N 025°00.0'W")
	}
}
