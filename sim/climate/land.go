package climate

import (
	_ "embed" // for the land mask
	"math"

	"ampwake/sim/track"
)

// landBits has one bit for each 1° square; internal/pack says how.
//
//go:embed land.bin
var landBits string

// Land reports whether the 1° square of a place is mostly land: four or more of
// its nine heights on a 20-minute grid above the sea. It is for drawing: islands
// are missing, and seas below the level of the ocean count as sea.
func Land(place track.Position) bool {
	row := min(max(int(math.Floor(90-float64(place.Lat))), 0), 179)
	column := int(math.Floor(float64(place.Lon)+180)) % 360
	if column < 0 {
		column += 360
	}
	bit := row*360 + column
	return landBits[bit>>3]>>(7-bit&7)&1 == 1
}
