package outlook

import (
	"fmt"
	"math"
	"strings"

	"ampwake/scenarios"
	"ampwake/sim/units"
)

// Facing is where a panel looks on a boat at rest.
type Facing struct {
	Swings bool          // by chance: the boat's heading is not known
	True   units.Degrees // true direction, [0°, 360°]
	Trims  int           // times a day that the crew turns it to the sun, 0: never
}

// points are the names of the compass.
var points = strings.Fields("N NNE NE ENE E ESE SE SSE S SSW SW WSW W WNW NW NNW")

// Compass names a true direction to the nearest of 16 points.
func Compass(d units.Degrees) string {
	return points[(int(math.Floor(float64(d)/22.5+0.5))%16+16)%16]
}

// UnmarshalText reads "any", a true direction ("south", "SSW", "190°") or
// "trimmed to the sun 3 times a day".
func (f *Facing) UnmarshalText(text []byte) error {
	s := strings.Join(strings.Fields(string(text)), " ")
	full := map[string]string{"north": "N", "east": "E", "south": "S", "west": "W"}
	name := strings.ToUpper(s)
	if short, ok := full[strings.ToLower(s)]; ok {
		name = short
	}
	for i, p := range points {
		if name == p {
			*f = Facing{True: units.Degrees(i) * 22.5}
			return nil
		}
	}
	if s == "any" {
		*f = Facing{Swings: true}
		return nil
	}
	if strings.HasPrefix(s, "trimmed ") {
		var x scenarios.Facing
		if err := x.UnmarshalText([]byte(s)); err == nil && x.Trimmed > 0 {
			*f = Facing{Trims: x.Trimmed}
			return nil
		}
	}
	var d units.Degrees
	if err := d.UnmarshalText([]byte(s)); err == nil && d >= 0 && d <= 360 {
		*f = Facing{True: d}
		return nil
	}
	err := fmt.Errorf(`%q is no direction: want "any" (the boat's heading is not known), a true one like "south", "SSW" or "190°", or "trimmed to the sun 3 times a day"`, s)
	switch s {
	case "forward", "aft", "port", "starboard", "up":
		return fmt.Errorf("%w; where the boat heads at a place is not known", err)
	}
	return err
}

// On returns the panel mounted so. A panel that is trimmed has a free tilt if
// none is given; the error is that of a flat panel that is to look somewhere.
func (f Facing) On(p Panel, tilt units.Degrees, given bool) (Panel, error) {
	p.Tilt, p.Facing, p.Swings, p.Trims = tilt, f.True, f.Swings, f.Trims
	p.FreeTilt = f.Trims > 0 && !given
	if p.Tilt == 0 && !f.Swings && !p.FreeTilt {
		return p, fmt.Errorf("a flat panel looks up wherever it faces: give a tilt too")
	}
	return p, nil
}
