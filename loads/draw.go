package loads

import (
	"math"

	"ampwake/sim/units"
)

// Draw is what a load takes: a constant current or a constant power, the other
// being zero. A constant power takes more current from a low battery; a
// constant current takes less power from it.
type Draw struct {
	Power   units.Watts // >= 0
	Current units.Amps  // >= 0
}

// UnmarshalText reads "0.2 A" or "3 W", also "2 x 0.5 A". The error is a
// *units.SyntaxError that names both.
func (d *Draw) UnmarshalText(text []byte) error {
	var x Draw
	hint := ""
	if x.Current.UnmarshalText(text) != nil && x.Power.UnmarshalText(text) != nil {
		hint = "?"
	} else if !(x.Power >= 0 && x.Current >= 0) {
		hint = "it must not be negative"
	}
	if hint != "" {
		e := &units.SyntaxError{Text: string(text), Want: "a draw: a constant current, like 0.2 A, or a constant power, like 3 W"}
		if hint != "?" {
			e.Hint = hint
		}
		return e
	}
	*d = x
	return nil
}

// String prints the draw as "0.2 A" or "3 W".
func (d Draw) String() string {
	if d.Current != 0 {
		return d.Current.String()
	}
	return d.Power.String()
}

// MarshalText prints the draw in the form that UnmarshalText reads.
func (d Draw) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// check returns what is wrong with the draw, or "".
func (d Draw) check() string {
	switch {
	case d.Power != 0 && d.Current != 0:
		return "both a power and a current: want one"
	case !finite(float64(d.Power)) || !finite(float64(d.Current)) || d.Power < 0 || d.Current < 0:
		return "a draw must not be negative"
	}
	return ""
}

// times returns the draw scaled by a share.
func (d Draw) times(share float64) Draw {
	return Draw{units.Watts(float64(d.Power) * share), units.Amps(float64(d.Current) * share)}
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
