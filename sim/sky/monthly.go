package sky

import (
	"math"

	"ampwake/sim/units"
)

// The formulae below work with a day of the year and give daily sums, for
// checks by hand and against books. Positions by day of the year are up to 0.8°
// off: nothing in the voyage uses them.

// CooperDeclination returns the declination on day n of the year (1 to 366):
// [Cooper 1969], [Duffie 2013] eq. 1.6.1a.
func CooperDeclination(n int) units.Degrees {
	return units.Degrees(23.45 * math.Sin(2*math.Pi*float64(284+n)/365))
}

// DistanceFactor returns the inverse square of the sun's distance in au on day
// n of the year: [Duffie 2013] eq. 1.4.1a.
func DistanceFactor(n int) float64 { return 1 + 0.033*math.Cos(2*math.Pi*float64(n)/365) }

// SunsetHour returns the hour angle at which the centre of the sun sets on a
// plain horizon, 0° in polar night, 180° in polar day: [Duffie 2013] eq. 1.6.10.
func SunsetHour(lat, declination units.Degrees) units.Degrees {
	c := -math.Tan(float64(lat)*rad) * math.Tan(float64(declination)*rad)
	return units.Degrees(math.Acos(max(-1, min(1, c))) * deg)
}

// DailyExtraterrestrial returns a day's irradiation of the horizontal beyond the
// atmosphere in Wh/m²: [Duffie 2013] eq. 1.10.3, whose books use 1367 W/m².
func DailyExtraterrestrial(n int, lat units.Degrees, constant units.WattsPerSquareMetre) float64 {
	δ := CooperDeclination(n)
	w := float64(SunsetHour(lat, δ)) * rad
	sinφ, cosφ := math.Sincos(float64(lat) * rad)
	sinδ, cosδ := math.Sincos(float64(δ) * rad)
	return 24 / math.Pi * float64(constant) * DistanceFactor(n) * (cosφ*cosδ*math.Sin(w) + w*sinφ*sinδ)
}

// MonthlyDiffuseFraction returns the diffuse share of a month's irradiation for
// its mean clearness index in [0.3, 0.8] and the sunset hour angle: [Erbs 1982],
// [Duffie 2013] eq. 2.12.1.
func MonthlyDiffuseFraction(k float64, sunset units.Degrees) units.Fraction {
	if sunset <= 81.4 {
		return units.Fraction(1.391 + k*(-3.560+k*(4.189-k*2.137)))
	}
	return units.Fraction(1.311 + k*(-3.022+k*(3.427-k*1.821)))
}

// MonthlyTilted returns a month's mean daily irradiation of a plane that faces
// the equator, by the isotropic method of [Liu 1962] and [Klein 1977]
// ([Duffie 2013] eq. 2.19.1), in the unit of the horizontal's h. h0 is the
// extraterrestrial one in that unit, n the month's mean day.
func MonthlyTilted(h, h0 float64, n int, lat, tilt units.Degrees, albedo units.Fraction) float64 {
	δ := CooperDeclination(n)
	w := SunsetHour(lat, δ)
	fd := float64(MonthlyDiffuseFraction(h/h0, w))
	cosT := math.Cos(float64(tilt) * rad)
	return h*(1-fd)*monthlyBeamRatio(lat, tilt, δ) + h*fd*(1+cosT)/2 + h*float64(albedo)*(1-cosT)/2
}

// monthlyBeamRatio is the beam on the plane over that on the horizontal:
// [Klein 1977], [Duffie 2013] eq. 2.19.3, for both hemispheres.
func monthlyBeamRatio(lat, tilt, δ units.Degrees) float64 {
	p := lat - tilt // the latitude where the plane would be flat
	if lat < 0 {
		p = lat + tilt
	}
	w := float64(SunsetHour(lat, δ)) * rad
	v := min(w, float64(SunsetHour(p, δ))*rad)
	sinφ, cosφ := math.Sincos(float64(lat) * rad)
	sinp, cosp := math.Sincos(float64(p) * rad)
	sinδ, cosδ := math.Sincos(float64(δ) * rad)
	return (cosp*cosδ*math.Sin(v) + v*sinp*sinδ) / (cosφ*cosδ*math.Sin(w) + w*sinφ*sinδ)
}
