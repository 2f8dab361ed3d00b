package trackfile

import (
	"math"

	"ampwake/sim/track"
	"ampwake/sim/units"
)

// cut turns a track into lines of which none crosses the antimeridian. Where it
// does, one line ends on 180° and the next begins on -180°, or the other way
// round, at the same latitude (RFC 7946, section 3.1.9). Each line has two
// places at least.
func cut(fixes []fix) [][]place {
	var lines [][]place
	var line []place
	for i, x := range fixes {
		lon, lat := rounded(x.place.Lon), rounded(x.place.Lat)
		if i == 0 {
			line = []place{{lon, lat}}
			continue
		}
		before := line[len(line)-1]
		step := lon - before[0]
		if math.Abs(step) <= 180 {
			line = append(line, place{lon, lat})
			continue
		}
		// The short way round leads across.
		side := math.Copysign(180, before[0])
		share := 0.0
		if east := math.Remainder(step, 360); east != 0 {
			share = (side - before[0]) / east
		}
		at := math.Round((before[1]+share*(lat-before[1]))*1e5) / 1e5
		if before[0] != side {
			line = append(line, place{side, at})
		}
		if len(line) > 1 {
			lines = append(lines, line)
		}
		line = []place{{-side, at}}
		if lon != -side || lat != at {
			line = append(line, place{lon, lat})
		}
	}
	if len(line) == 1 && len(lines) == 0 {
		line = append(line, line[0]) // she went nowhere: a line still has two ends
	}
	if len(line) > 1 {
		lines = append(lines, line)
	}
	return lines
}

// bounds is the box around places that follow each other, with the longitude
// counted on across the antimeridian.
type bounds struct {
	south, north, west, east float64
	first, lon               float64 // of the first place and the last, counted on
	any                      bool
}

func (b *bounds) add(p track.Position) {
	lon, lat := rounded(p.Lon), rounded(p.Lat)
	if !b.any {
		*b = bounds{south: lat, north: lat, west: lon, east: lon, first: lon, lon: lon, any: true}
		return
	}
	b.lon += math.Remainder(lon-b.lon, 360)
	b.south, b.north = min(b.south, lat), max(b.north, lat)
	b.west, b.east = min(b.west, b.lon), max(b.east, b.lon)
}

// back goes back to the first place, from which another row of places starts.
func (b *bounds) back() { b.lon = b.first }

// bbox returns west, south, east, north; west is the larger of the two where the
// antimeridian lies between (RFC 7946, section 5.2).
func (b *bounds) bbox() [4]float64 {
	west, east := b.west, b.east
	if east-west >= 360 {
		west, east = -180, 180
	}
	if west < -180 || west >= 180 {
		west -= 360 * math.Floor((west+180)/360)
	}
	if east <= -180 || east > 180 {
		east -= 360 * math.Floor((east+180)/360)
	}
	return [4]float64{rounded(units.Degrees(west)), b.south, rounded(units.Degrees(east)), b.north}
}
