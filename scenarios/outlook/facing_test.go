package outlook

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim/units"
)

func TestFacing(t *testing.T) {
	for text, want := range map[string]Facing{
		"any": {Swings: true}, "north": {}, "N": {}, "South": {True: 180}, "s": {True: 180}, "SSW": {True: 202.5},
		"nnw": {True: 337.5}, "190°": {True: 190}, "45 deg": {True: 45}, "360°": {True: 360},
		"trimmed to the sun 3 times a day": {Trims: 3}, "  trimmed  to the sun twice a day ": {Trims: 2},
	} {
		var f Facing
		require.NoError(t, f.UnmarshalText([]byte(text)), text)
		assert.Equal(t, want, f, text)
	}
	for text, says := range map[string]string{
		"": "want", "aft": "where the boat heads", "port": "where the boat heads", "up": "where the boat heads",
		"SNW": `"SNW" is no direction`, "-10°": "want", "400°": "want", "trimmed": "want", "trimmed to the sun 0 times a day": "want", "x": "want",
	} {
		var f Facing
		assert.ErrorContains(t, f.UnmarshalText([]byte(text)), says, text)
	}
}

func TestFacingOn(t *testing.T) {
	p, err := Facing{True: 180}.On(Reference(), 30, true)
	require.NoError(t, err)
	assert.Equal(t, units.Degrees(30), p.Tilt)
	assert.Equal(t, units.Degrees(180), p.Facing)
	assert.False(t, p.Swings)
	_, err = Facing{True: 180}.On(Reference(), 0, false)
	assert.ErrorContains(t, err, "flat panel looks up")
	p, err = Facing{Trims: 3}.On(Reference(), 0, false)
	require.NoError(t, err)
	assert.True(t, p.FreeTilt)
	p, err = Facing{Trims: 3}.On(Reference(), 40, true)
	require.NoError(t, err)
	assert.False(t, p.FreeTilt)
	p, err = Facing{Swings: true}.On(Reference(), 0, false)
	require.NoError(t, err)
	assert.True(t, p.Swings)
}

func TestCompass(t *testing.T) {
	for d, want := range map[units.Degrees]string{0: "N", 11: "N", 12: "NNE", 45: "NE", 180: "S", 348: "NNW", 349: "N", 360: "N", -90: "W"} {
		assert.Equal(t, want, Compass(d), "%v", d)
	}
}

// Each point of the compass is read back, and nothing panics.
func FuzzFacing(f *testing.F) {
	for _, s := range append(points, "any", "190°", "trimmed to the sun 3 times a day", "") {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		var x Facing
		if x.UnmarshalText([]byte(s)) != nil {
			return
		}
		if !(x.True >= 0 && x.True <= 360) || x.Trims < 0 || x.Trims > 24 || x.Swings && (x.True != 0 || x.Trims != 0) {
			t.Fatalf("%q reads as %+v", s, x)
		}
		if x.Swings || x.Trims > 0 {
			return
		}
		var y Facing
		if err := y.UnmarshalText([]byte(Compass(x.True))); err != nil {
			t.Fatal(err)
		}
	})
}
