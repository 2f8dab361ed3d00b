package sky

import (
	"math"
	"time"

	"ampwake/sim/units"
)

const (
	day   = int64(24 * time.Hour)
	j2000 = int64(946728000) * int64(time.Second) // 2000-01-01 12:00 UTC in Unix ns, JD 2451545
)

// Terms are the slow terms of the sun, the same for all places.
type Terms struct {
	Declination units.Degrees // north positive
	Equation    time.Duration // equation of time: apparent minus mean solar time
	Distance    float64       // from the earth, astronomical units
}

// TermsAt returns the slow terms at t, for years 1900 to 2100. Accuracy 1950 to
// 2050: declination 0.004°, equation of time 4 s, distance 0.0001 au.
func TermsAt(t time.Time) Terms {
	m := meeusAt(centuries(t.UnixNano()))
	return Terms{
		Declination: units.Degrees(m.declination() * deg),
		Equation:    time.Duration(m.equation / (2 * math.Pi) * float64(day)),
		Distance:    m.distance,
	}
}

// centuries returns Julian centuries since J2000 for Unix nanoseconds.
func centuries(ns int64) float64 { return float64(ns-j2000) / (36525 * float64(day)) }

// meeus holds the low-precision sun of [Meeus 1998] ch. 25 and its steps, in
// radians where not said otherwise, so that its worked example can be checked
// line by line.
type meeus struct {
	meanLongitude float64 // L0, [0, 2π)
	meanAnomaly   float64 // M, [0, 2π)
	eccentricity  float64 // e
	centre        float64 // C, equation of the centre
	distance      float64 // R, au
	longitude     float64 // λ, apparent
	obliquity     float64 // ε, corrected for the longitude
	sinDec        float64 // sine of the declination
	equation      float64 // equation of time as an angle
}

// declination returns δ in radians.
func (m *meeus) declination() float64 { return math.Asin(m.sinDec) }

// rightAscension returns α in radians, [0, 2π): [Meeus 1998] eq. 25.6.
func (m *meeus) rightAscension() float64 {
	sinL, cosL := math.Sincos(m.longitude)
	return turn(math.Atan2(math.Cos(m.obliquity)*sinL, cosL))
}

// turn reduces an angle to [0, 2π).
func turn(x float64) float64 {
	x = math.Mod(x, 2*math.Pi)
	if x < 0 {
		x += 2 * math.Pi
	}
	return x
}

// meeusAt computes the sun T Julian centuries after J2000. Equation numbers are
// those of [Meeus 1998].
func meeusAt(T float64) meeus {
	L0 := turn((280.46646 + T*(36000.76983+T*0.0003032)) * rad) // eq. 25.2
	M := turn((357.52911 + T*(35999.05029-T*0.0001537)) * rad)  // eq. 25.3
	e := 0.016708634 - T*(0.000042037+T*0.0000001267)           // eq. 25.4
	sinM, cosM := math.Sincos(M)
	sin2M := 2 * sinM * cosM
	sin3M := sinM * (3 - 4*sinM*sinM)
	C := rad * (sinM*(1.914602-T*(0.004817+T*0.000014)) +
		sin2M*(0.019993-T*0.000101) + 0.000289*sin3M) // p. 164
	R := 1.000001018 * (1 - e*e) / (1 + e*math.Cos(M+C))                     // eq. 25.5
	sinΩ, cosΩ := math.Sincos((125.04 - 1934.136*T) * rad)                   // p. 164
	λ := L0 + C - rad*(0.00569+0.00478*sinΩ)                                 // p. 164
	ε := rad * (23 + (26+(21.448-T*(46.815+T*(0.00059-T*0.001813)))/60)/60 + // eq. 22.2
		0.00256*cosΩ) // eq. 25.8

	y := math.Tan(ε / 2)
	y *= y
	sin2L, cos2L := math.Sincos(2 * L0)
	E := y*sin2L - 2*e*sinM + 4*e*y*sinM*cos2L - y*y*sin2L*cos2L - 1.25*e*e*sin2M // eq. 28.3
	return meeus{
		meanLongitude: L0, meanAnomaly: M, eccentricity: e, centre: C, distance: R,
		longitude: λ, obliquity: ε,
		sinDec:   math.Sin(ε) * math.Sin(λ), // eq. 25.7
		equation: E,
	}
}
