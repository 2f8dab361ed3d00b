package chart

import (
	"fmt"
	"iter"
	"math"
	"strings"

	"gonum.org/v1/plot/vg"
)

// chartFrame is the part of the world that a map shows: from longitude
// middle-half to middle+half, and between two latitudes by their Mercator
// ordinates.
type chartFrame struct {
	middle, half float64 // degrees; half is 180 at most
	south, north float64 // Mercator ordinates, in degrees of longitude
	data         vg.Rectangle
}

// mostLat is how near to a pole a map goes.
const mostLat = 86.0

// meridional returns the Mercator ordinate of a latitude on the sphere, in
// degrees of longitude: artanh(sin φ) (Snyder 1987, eq. 7-2a).
func meridional(lat float64) float64 {
	lat = max(-mostLat, min(mostLat, lat))
	return math.Atanh(math.Sin(lat*math.Pi/180)) * 180 / math.Pi
}

// latitudeOf is the inverse of meridional.
func latitudeOf(y float64) float64 {
	return math.Asin(math.Tanh(y*math.Pi/180)) * 180 / math.Pi
}

// fitted returns a frame that fills a rectangle of the page and shows what f
// does, and more to the sides or above and below; less of them only where the
// world ends.
func (f chartFrame) fitted(into vg.Rectangle) chartFrame {
	width, height := float64(into.Max.X-into.Min.X), float64(into.Max.Y-into.Min.Y)
	perPoint := max(2*f.half/width, (f.north-f.south)/height)
	f.half = min(180, perPoint*width/2)
	tall := perPoint * height
	top := meridional(mostLat)
	mid := (f.south + f.north) / 2
	mid = max(-top+tall/2, min(top-tall/2, mid))
	f.south, f.north = max(-top, mid-tall/2), min(top, mid+tall/2)
	// Where the world ends first the map is smaller than the rectangle.
	scale := min(width/(2*f.half), height/(f.north-f.south))
	w, h := vg.Length(2*f.half*scale), vg.Length((f.north-f.south)*scale)
	f.data = into
	f.data.Min.X += (into.Max.X - into.Min.X - w) / 2
	f.data.Max.X = f.data.Min.X + w
	f.data.Min.Y += (into.Max.Y - into.Min.Y - h) / 2
	f.data.Max.Y = f.data.Min.Y + h
	return f
}

// at returns where a place is on the page.
func (f *chartFrame) at(lat, lon float64) vg.Point {
	east := math.Remainder(lon-f.middle, 360)
	return f.on(east, meridional(lat))
}

// on returns where a place so far east of the middle is, by its ordinate.
func (f *chartFrame) on(east, ordinate float64) vg.Point {
	return vg.Point{
		X: f.data.Min.X + vg.Length((east+f.half)/(2*f.half))*(f.data.Max.X-f.data.Min.X),
		Y: f.data.Min.Y + vg.Length((ordinate-f.south)/(f.north-f.south))*(f.data.Max.Y-f.data.Min.Y),
	}
}

// holds reports whether a point of the page is on the map.
func (f *chartFrame) holds(p vg.Point) bool {
	const slack = 1e-6
	return p.X >= f.data.Min.X-slack && p.X <= f.data.Max.X+slack && p.Y >= f.data.Min.Y-slack && p.Y <= f.data.Max.Y+slack
}

// spacing returns how many degrees apart the lines of the graticule are.
func (f *chartFrame) spacing() float64 {
	span := max(2*f.half, latitudeOf(f.north)-latitudeOf(f.south))
	for _, step := range []float64{0.1, 0.25, 0.5, 1, 2, 5, 10, 20} {
		if span/step <= 9 {
			return step
		}
	}
	return 30
}

// parallels are those of the graticule.
func (f *chartFrame) parallels() iter.Seq[float64] {
	step := f.spacing()
	return func(yield func(float64) bool) {
		for k := math.Ceil(latitudeOf(f.south) / step); k*step <= latitudeOf(f.north); k++ {
			if !yield(k * step) {
				return
			}
		}
	}
}

// degreesText writes a meridian or a parallel as its number and side.
func degreesText(x float64, plus, minus string) string {
	whole := math.Round(math.Abs(x) * 60)
	side := plus
	if x < 0 {
		side = minus
	}
	if whole == 0 || whole == 180*60 {
		side = ""
	}
	text := fmt.Sprintf("%.0f°", math.Floor(whole/60))
	if m := math.Mod(whole, 60); m != 0 {
		text += fmt.Sprintf("%02.0f'", m)
	}
	return strings.TrimSpace(text + side)
}
