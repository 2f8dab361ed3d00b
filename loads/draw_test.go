package loads

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestDraw(t *testing.T) {
	for text, want := range map[string]Draw{
		"0.2 A": {Current: 0.2}, "3 W": {Power: 3}, "350 mA": {Current: 0.35}, "2 x 10 W": {Power: 20}, "0 W": {}, "1.2 kW": {Power: 1200},
	} {
		var d Draw
		require.NoError(t, d.UnmarshalText([]byte(text)), text)
		assert.InDelta(t, float64(want.Power), float64(d.Power), 1e-12, text)
		assert.InDelta(t, float64(want.Current), float64(d.Current), 1e-12, text)
	}
	for text, say := range map[string]string{"3": "", "": "", "-3 W": "negative", "3 V": "", "many": "", "3 Ah": ""} {
		d := Draw{Power: 7}
		err := d.UnmarshalText([]byte(text))
		require.Error(t, err, text)
		for _, part := range []string{"0.2 A", "3 W", say} {
			assert.ErrorContains(t, err, part)
		}
		assert.Equal(t, Draw{Power: 7}, d, "left alone")
	}
}

func ExampleDraw_UnmarshalText() {
	var d Draw
	fmt.Println(d.UnmarshalText([]byte("0.2 A")), d)
	fmt.Println(d.UnmarshalText([]byte("3 knots")))
	// Output:
	// <nil> 0.2 A
	// "3 knots" is not a draw: a constant current, like 0.2 A, or a constant power, like 3 W
}

// What is read prints as a text that reads the same.
func FuzzDraw(f *testing.F) {
	for _, s := range []string{"0.2 A", "3 W", "2 x 350 mA", "1e-3 kW", "-1 W", "0 A"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		var d, again Draw
		if d.UnmarshalText([]byte(text)) != nil {
			return
		}
		if wrong := d.check(); wrong != "" {
			t.Fatalf("%q reads as %v: %s", text, d, wrong)
		}
		if err := again.UnmarshalText([]byte(d.String())); err != nil || again.String() != d.String() {
			t.Fatalf("%q reads as %v, then %v, %v", text, d, again, err)
		}
	})
}
