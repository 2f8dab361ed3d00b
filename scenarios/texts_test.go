package scenarios_test

import (
	"encoding"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/sim"
)

// refuses asserts that none of the texts is read, and that the refusal leaves
// what was there.
func refuses[T any, P interface {
	*T
	encoding.TextUnmarshaler
}](t *testing.T, texts ...string) {
	t.Helper()
	for _, text := range texts {
		var x T
		err := P(&x).UnmarshalText([]byte(text))
		assert.Error(t, err, "%T takes %q", x, text)
		if err != nil {
			assert.NotEmpty(t, err.Error())
			assert.Zero(t, x, "%q", text)
		}
	}
}

func reads[T any, P interface {
	*T
	encoding.TextUnmarshaler
}](t *testing.T, text string) (x T) {
	t.Helper()
	require.NoError(t, P(&x).UnmarshalText([]byte(text)), text)
	return x
}

func TestInstant(t *testing.T) {
	utc := func(h, m, s int) time.Time { return time.Date(2027, 1, 10, h, m, s, 0, time.UTC) }
	for text, c := range map[string]struct {
		zone int
		want time.Time
	}{
		"2027-01-10 09:00 UTC":            {-2, utc(9, 0, 0)},
		"2027-01-10 09:00:30 UTC":         {0, utc(9, 0, 30)},
		"  2027-01-10   09:00   UTC ":     {0, utc(9, 0, 0)},
		"2027-01-10T09:00Z":               {5, utc(9, 0, 0)},
		"2027-01-10T09:00:01Z":            {5, utc(9, 0, 1)},
		"2027-01-10 UTC":                  {0, utc(0, 0, 0)},
		"2027-01-10 07:00 ship's time":    {-2, utc(9, 0, 0)}, // west: the ship's clock is behind
		"2027-01-10 07:00 ship’s time":    {-2, utc(9, 0, 0)},
		"2027-01-10 21:00 ship's time":    {12, utc(9, 0, 0)},
		"2027-01-09 21:00 ship's time":    {-12, utc(9, 0, 0)},
		"2027-01-10 ship's time":          {0, utc(0, 0, 0)},
		"2027-01-10 07:00:15 ship's time": {0, utc(7, 0, 15)},
	} {
		assert.Equal(t, c.want, reads[scenarios.Instant](t, text).At(c.zone), text)
	}
	refuses[scenarios.Instant](t, "", "2027-01-10 09:00", "09:00 UTC", "2027-13-10 09:00 UTC", "2027-02-30 09:00 UTC", "10 January 2027 UTC",
		"2027-01-10 25:00 UTC", "2027-01-10 09:00 BST", "2027-01-10 09:00 ship time", "1970-01-10 09:00 UTC", "2101-01-10 09:00 UTC", "UTC", "Z",
		"2027-01-10 09:00 UTC UTC", "2027-01-10 09:00Z UTC", "2027-1-10 09:00 UTC", "-2027-01-10 09:00 UTC")
}

func TestStay(t *testing.T) {
	for text, want := range map[string]scenarios.Stay{
		"5 d at anchor":   {For: 120, State: sim.AtAnchor},
		"36 h alongside":  {For: 36, State: sim.Alongside},
		"12 h hove-to":    {For: 12, State: sim.HoveTo},
		"90 min drifting": {For: 1.5, State: sim.Drifting},
		" 2 d alongside ": {For: 48, State: sim.Alongside},
		"400 d at anchor": {For: 9600, State: sim.AtAnchor},
	} {
		x := reads[scenarios.Stay](t, text)
		assert.Equal(t, want, x, text)
		assert.Equal(t, x, reads[scenarios.Stay](t, x.String()), "reads what it prints")
	}
	refuses[scenarios.Stay](t, "", "5 d", "at anchor", "5 at anchor", "0 h alongside", "-5 d at anchor", "401 d at anchor", "5 d under sail",
		"5 d at sea", "five days at anchor", "5 d  at  anchor ashore")
}

func TestHeel(t *testing.T) {
	for text, want := range map[string]scenarios.Heel{
		"12° to port":     {Angle: -12},
		"8° to starboard": {Angle: 8},
		"15° to leeward":  {Angle: 15, Leeward: true},
		"0°":              {},
		"12 deg to port":  {Angle: -12},
		"60° to port":     {Angle: -60},
	} {
		assert.Equal(t, want, reads[scenarios.Heel](t, text), text)
	}
	refuses[scenarios.Heel](t, "", "12°", "to port", "12° to windward", "-12° to port", "61° to port", "12° port", "12 kn to port", "NaN° to port")
}

func TestCloudAmount(t *testing.T) {
	for text, want := range map[string]float64{
		"3 oktas": 0.375, "8 oktas": 1, "0 oktas": 0, "1 okta": 0.125, "6.5 oktas": 0.8125, "3oktas": 0.375,
		"40 %": 0.4, "0.4": 0.4, "1": 1, "0": 0, "100 %": 1,
	} {
		assert.InDelta(t, want, float64(reads[scenarios.CloudAmount](t, text)), 1e-12, text)
	}
	refuses[scenarios.CloudAmount](t, "", "40", "-0.1", "1.1", "101 %", "9 oktas", "-1 oktas", "oktas", "NaN", "NaN oktas", "Inf oktas", "cloudy", "3 octas", "3 W")
}

func TestFacing(t *testing.T) {
	for text, want := range map[string]scenarios.Facing{
		"up": {Up: true}, "forward": {}, "starboard": {Bow: 90}, "aft": {Bow: 180}, "port": {Bow: 270},
		"135° from the bow": {Bow: 135}, "0°": {}, "360°": {Bow: 360},
		"trimmed to the sun 3 times a day": {Trimmed: 3}, "trimmed to the sun once a day": {Trimmed: 1},
		"trimmed to the sun twice a day": {Trimmed: 2}, "trimmed  to the sun 24 times a day": {Trimmed: 24},
	} {
		assert.Equal(t, want, reads[scenarios.Facing](t, text), text)
	}
	refuses[scenarios.Facing](t, "", "down", "-5°", "361°", "trimmed to the sun 0 times a day", "trimmed to the sun 25 times a day", "trimmed to the sun often a day",
		"trimmed", "5 m", "NaN°", "aft of the mast")
}

func TestPaceSpeed(t *testing.T) {
	for text, want := range map[string]scenarios.PaceSpeed{
		"5.2 kn": {Knots: 5.2}, "0 kn": {}, "20 kn": {Knots: 20}, "by wind": {ByWind: true}, " by the wind ": {ByWind: true},
	} {
		assert.Equal(t, want, reads[scenarios.PaceSpeed](t, text), text)
	}
	refuses[scenarios.PaceSpeed](t, "", "-1 kn", "21 kn", "5.2", "fast", "5 V", "NaN kn")
}

func TestSpellStart(t *testing.T) {
	at := reads[scenarios.Instant](t, "2027-01-20 00:00 UTC")
	for text, want := range map[string]scenarios.SpellStart{
		"2027-01-20 00:00 UTC": {At: &at}, "north of 5°N": {Side: "north of", Lat: 5}, "south of 40°S": {Side: "south of", Lat: -40},
		"crossing the equator": {Side: "crossing"}, "crossing 12°30'S": {Side: "crossing", Lat: -12.5},
	} {
		assert.Equal(t, want, reads[scenarios.SpellStart](t, text), text)
	}
	refuses[scenarios.SpellStart](t, "", "5°N", "north of", "north of Madeira", "crossing 91°N", "east of 20°W", "2027-01-20")
}

func TestFaultText(t *testing.T) {
	for text, want := range map[string]scenarios.FaultText{
		"rail panel: lost, day 12":                            {What: "rail panel", Day: 12},
		"hydro: 40 % left, at Horta, for 2 d, weed":           {What: "hydro", Left: 0.4, Waypoint: "Horta", For: 48, Why: "weed"},
		"HF radio: left on at 2.5 A, day 3, for 12 h":         {What: "HF radio", Draws: 2.5, Day: 3, For: 12},
		"hydro: lost, at random every 60 d, for 3 d, a, b":    {What: "hydro", Every: 1440, For: 72, Why: "a, b"},
		"bank: cell lost, hove-to south of 40°S":              {What: "bank", Cell: true, State: "hove-to", Side: "south of", Lat: -40},
		"bank: 50 % left, north of 5°N":                       {What: "bank", Left: 0.5, Side: "north of", Lat: 5},
		"panel: lost, at anchor":                              {What: "panel", State: "at anchor"},
		"panel: lost, at Horta bay":                           {What: "panel", Waypoint: "Horta bay"},
		"engine: lost, alongside, for 1 h, dirty fuel, again": {What: "engine", State: "alongside", For: 1, Why: "dirty fuel, again"},
	} {
		got := reads[scenarios.FaultText](t, text)
		assert.Equal(t, text, got.String())
		again := reads[scenarios.FaultText](t, got.String())
		assert.Equal(t, got, again)
		assert.Equal(t, [6]any{want.What, want.Left, want.Cell, want.Draws, want.Day, want.Waypoint}, [6]any{got.What, got.Left, got.Cell, got.Draws, got.Day, got.Waypoint}, text)
		assert.Equal(t, [6]any{want.Side, want.Lat, want.State, want.Every, want.For, want.Why}, [6]any{got.Side, got.Lat, got.State, got.Every, got.For, got.Why}, text)
	}
	refuses[scenarios.FaultText](t, "", "rail panel", "rail panel: lost", "rail panel: broken, day 2", "panel: lost, day 0", "panel: lost, day 401", "panel: lost, day 2.5",
		"panel: lost, someday", "panel: 100 % left, day 2", "panel: -5 % left, day 2", "radio: left on at 0 A, day 2", "radio: left on at 2 W, day 2",
		"panel: lost, at random every 5 min", "panel: lost, day 2, for -1 h", "panel: lost, hove-to east of 40°W", "panel: lost, north of Spain")
}

// Where UTC and ship's time part, the same wall clock is hours apart.
func TestInstantByBothClocks(t *testing.T) {
	for zone := -12; zone <= 12; zone++ {
		ship := reads[scenarios.Instant](t, "2027-06-01 12:00 ship's time")
		utc := reads[scenarios.Instant](t, "2027-06-01 12:00 UTC")
		assert.InDelta(t, float64(zone), utc.At(zone).Sub(ship.At(zone)).Hours(), 1e-12)
	}
}

func FuzzTexts(f *testing.F) {
	for _, s := range []string{
		"2027-01-10 09:00 UTC", "2027-01-10 07:00:30 ship's time", "5 d at anchor", "12° to port", "3 oktas", "40 %", "135° from the bow",
		"trimmed to the sun 3 times a day", "by wind", "north of 5°N", "hydro: 40 % left, at 5°N, for 2 d, weed", "0x1p3 oktas", "1e308 d alongside", "\xff", "’",
	} {
		f.Add([]byte(s))
	}
	finite := func(t *testing.T, text []byte, from, to float64, values ...float64) {
		for _, x := range values {
			if !(x >= from && x <= to) || math.IsNaN(x) {
				t.Fatalf("%q reads as %v", text, x)
			}
		}
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		var instant, again scenarios.Instant
		if instant.UnmarshalText(text) == nil {
			require.NoError(t, again.UnmarshalText([]byte(instant.String())))
			require.Equal(t, instant, again)
			finite(t, text, 1971, 2101, float64(instant.At(12).Year()), float64(instant.At(-12).Year()))
		}
		var stay scenarios.Stay
		if stay.UnmarshalText(text) == nil {
			finite(t, text, math.SmallestNonzeroFloat64, float64(sim.MaxLength), float64(stay.For))
			_ = stay.String()
		}
		var heel scenarios.Heel
		if heel.UnmarshalText(text) == nil {
			finite(t, text, -60, 60, float64(heel.Angle))
		}
		var cloud scenarios.CloudAmount
		if cloud.UnmarshalText(text) == nil {
			finite(t, text, 0, 1, float64(cloud))
		}
		var facing scenarios.Facing
		if facing.UnmarshalText(text) == nil {
			finite(t, text, 0, 360, float64(facing.Bow), float64(facing.Trimmed))
		}
		var speed scenarios.PaceSpeed
		if speed.UnmarshalText(text) == nil {
			finite(t, text, 0, 20, float64(speed.Knots))
		}
		var spell scenarios.SpellStart
		if spell.UnmarshalText(text) == nil {
			finite(t, text, -90, 90, float64(spell.Lat))
		}
		var fault scenarios.FaultText
		if fault.UnmarshalText(text) == nil {
			finite(t, text, 0, 1, float64(fault.Left))
			finite(t, text, -90, 100, float64(fault.Lat), float64(fault.Draws))
			finite(t, text, 0, math.MaxFloat64, float64(fault.For), float64(fault.Every), float64(fault.Day))
			var twice scenarios.FaultText
			require.NoError(t, twice.UnmarshalText([]byte(fault.String())))
		}
	})
}
