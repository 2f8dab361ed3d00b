package chart

import "math"

// Coasts returns the outlines of the land of the world as rings of longitude and
// latitude, degrees to a hundredth: soft lines after the squares of one degree of
// climate.Land, for a map on a screen. Land at 180° is cut there.
func Coasts() [][][2]float64 {
	const perDegree = 2
	r := &raster{columns: 360*perDegree + 1, rows: 180*perDegree + 1}
	r.v = make([]float64, 0, r.columns*r.rows)
	for j := range r.rows {
		for i := range r.columns {
			r.v = append(r.v, landAt(float64(j)/perDegree-90, float64(i)/perDegree-180))
		}
	}
	var rings [][][2]float64
	for _, o := range r.above(shore) {
		ring := make([][2]float64, len(o.knots))
		for i, k := range o.knots {
			ring[i] = [2]float64{math.Round(100*(k.x/perDegree-180)) / 100, math.Round(100*(k.y/perDegree-90)) / 100}
		}
		rings = append(rings, ring)
	}
	return rings
}
