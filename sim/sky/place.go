package sky

import (
	"math"
	"time"

	"ampwake/sim/units"
)

// At returns the sun at one instant seen from one place, in standard air of
// 1013.25 hPa and 15 °C. Latitude is in [-90°, 90°], longitude in [-180°, 360°].
// The hot loop of a voyage uses an Almanac instead.
func At(t time.Time, lat, lon units.Degrees) Sun {
	ns := t.UnixNano()
	m := meeusAt(centuries(ns))
	return m.fast(ns).sun(float64(lat)*rad, float64(lon)*rad)
}

// SinElevation returns the sine of the true elevation of the sun's centre.
func SinElevation(t time.Time, lat, lon units.Degrees) float64 {
	ns := t.UnixNano()
	m := meeusAt(centuries(ns))
	f := m.fast(ns)
	up, _, _ := f.height(float64(lat)*rad, float64(lon)*rad)
	return up
}

// fast is the sun at one instant for all places.
type fast struct {
	greenwich float64 // hour angle at Greenwich, radians
	sinDec    float64
	dec       float64 // radians
	distance  float64 // au
}

// fast adds the turning earth to the slow terms.
func (m *meeus) fast(ns int64) fast {
	return fast{greenwich: clockAngle(ns) + m.equation, sinDec: m.sinDec, dec: m.declination(), distance: m.distance}
}

// clockAngle returns the hour angle of the mean sun at Greenwich, [-π, π).
func clockAngle(ns int64) float64 {
	ns %= day
	if ns < 0 {
		ns += day
	}
	return float64(ns-day/2) * (2 * math.Pi / float64(day))
}

// height returns the sine of the true elevation, the local hour angle (radians,
// reduced to (-π, π] for the ranges At documents) and the swing cos φ cos δ, by
// which the sine moves with the cosine of the hour angle.
func (f fast) height(lat, lon float64) (up, hour, swing float64) {
	sinLat, cosLat := math.Sincos(lat)
	hour = wrap(f.greenwich + lon)
	swing = cosLat * math.Sqrt(1-float64(f.sinDec*f.sinDec))
	return float64(sinLat*f.sinDec) + float64(swing*math.Cos(hour)), hour, swing
}

// wrap reduces an angle in (-3π, 5π) to (-π, π].
func wrap(x float64) float64 {
	if x > math.Pi {
		x -= 2 * math.Pi
		if x > math.Pi {
			x -= 2 * math.Pi
		}
	} else if x <= -math.Pi {
		x += 2 * math.Pi
	}
	return x
}

// sun turns the sun into the horizon's frame and refracts it. lat, lon in
// radians. Products are rounded before they are added, so that no machine
// fuses the two and all give the same bits.
func (f fast) sun(lat, lon float64) Sun {
	hour := wrap(f.greenwich + lon)
	sinLat, cosLat := math.Sincos(lat)
	sinH, cosH := math.Sincos(hour)
	cosDec := math.Sqrt(1 - float64(f.sinDec*f.sinDec))
	south := cosDec * cosH
	up := float64(sinLat*f.sinDec) + float64(cosLat*south)    // [Meeus 1998] eq. 13.6
	north := float64(cosLat*f.sinDec) - float64(sinLat*south) // [Meeus 1998] eq. 13.5, north for south
	east := -cosDec * sinH
	level := math.Sqrt(float64(north*north) + float64(east*east))
	h := math.Atan(up/level) * deg // level 0 gives ±90°

	s := Sun{
		North: north, East: east, Up: up,
		Elevation:   units.Degrees(h),
		Apparent:    units.Degrees(h),
		Hour:        units.Degrees(hour * deg),
		Declination: units.Degrees(f.dec * deg),
		Noon:        units.Degrees(90 - math.Abs(lat-f.dec)*deg),
		Distance:    f.distance,
	}
	if h < lowestRefracted {
		return s
	}
	// cot(h + δ) of [Reda 2004] eq. 42 by the addition theorem, since sin h and
	// cos h are at hand; the series of tan δ is exact to 1e-13 for δ < 2.5°.
	δ := rad * 10.3 / (h + 5.11)
	δδ := δ * δ
	tanδ := δ * (1 + float64(δδ*(1.0/3+float64(δδ*(2.0/15+float64(δδ*(17.0/315)))))))
	r := standardRefraction * (level - float64(up*tanδ)) / (up + float64(level*tanδ))
	s.Apparent += units.Degrees(r)
	// Lift the vector by r: sin r and cos r by their series, exact to 1e-9 for
	// the 0.011 rad of refraction at the horizon.
	r *= rad
	sinR := r * (1 - float64(r*r)/6)
	cosR := 1 - float64(r*r)/2
	s.Up = float64(up*cosR) + float64(level*sinR)
	if level > 1e-9 {
		shrink := cosR - float64(up/level)*sinR
		s.North *= shrink
		s.East *= shrink
	}
	return s
}
