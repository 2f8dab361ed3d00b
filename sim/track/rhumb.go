package track

import (
	"math"

	"ampwake/sim/units"
)

// RhumbLine returns the line of constant course from one position to another.
// It crosses the date line where that is shorter; if both ways round are equal
// it leads east.
//
// Errors: a latitude beyond 85° at an end.
func (s Sphere) RhumbLine(from, to Position) (Leg, error) {
	from, to, dλ, err := ends(from, to)
	if err != nil {
		return Leg{}, err
	}
	l := Leg{line: RhumbLine, from: from, to: to, radius: s.radius()}
	φ1, φ2 := float64(from.Lat)*radian, float64(to.Lat)*radian
	dφ := φ2 - φ1
	// Departure, the distance made good east: dλ by the mean cosine of the
	// latitude in the sense of the isometric latitude, dφ/dψ.
	departure := dλ * math.Cos(φ1)
	if dφ != 0 {
		departure = dλ * (dφ / isometric(φ1, φ2))
	}
	θ := math.Hypot(departure, dφ)
	l.length = l.radius * θ
	if θ == 0 {
		return l, nil
	}
	c := math.Atan2(departure, dφ)
	l.initial = compass(c)
	l.final = l.initial
	l.hold(c, θ)
	return l, nil
}

// isometric returns the difference of the isometric latitudes ψ = artanh(sin φ)
// of two latitudes in radians [Snyder 1987, eq. 7-1, another form], without loss
// of digits when they are close: by the difference rule of artanh, and of sin.
func isometric(φ1, φ2 float64) float64 {
	diff := 2 * math.Sin((φ2-φ1)/2) * math.Cos((φ2+φ1)/2)
	return math.Atanh(diff / (1 - float64(math.Sin(φ1)*math.Sin(φ2))))
}

// flat is the change of latitude, radians, below which a rhumb line counts as
// level. dλ/dψ is nearly 0/0 there and a series in the latitude takes over; its
// first left-out term is below 1e-11 radians.
const flat = 1e-4

// hold sets a rhumb line of θ radians on course c, radians.
func (l *Leg) hold(c, θ float64) {
	l.lat, l.lon = float64(l.from.Lat)*radian, float64(l.from.Lon)*radian
	l.sinC, l.cosC = math.Sincos(c)
	l.level = math.Abs(θ*l.cosC) < flat
	if !l.level {
		l.tanC = l.sinC / l.cosC
		l.ψ = math.Atanh(math.Sin(l.lat))
		l.spread(θ)
	}
}

// knot is the longitude about one place of a rhumb line: its Taylor polynomial in
// the distance from there, radians.
type knot [4]float64

// The knots of a rhumb line lie 10' apart. Within 5' of one the first term left
// out is below 1e-11 radians up to 70° of latitude; beyond that there are none.
const (
	knotGap = 10.0 / 60 * radian
	knotTop = 70 * radian
)

// spread lays the knots of a rhumb line of θ radians, so that a place on it costs
// no logarithm: dλ/dθ = sin C sec φ with dφ/dθ = cos C, and its derivatives.
func (l *Leg) spread(θ float64) {
	if far := math.Max(math.Abs(l.lat), math.Abs(l.lat+θ*l.cosC)); far > knotTop || θ > 2*math.Pi {
		return
	}
	n := int(θ/knotGap) + 2
	l.knots = make([]knot, n)
	for i := range l.knots {
		d := float64(i) * knotGap
		φ := l.lat + d*l.cosC
		sin, cos := math.Sincos(φ)
		sec, tan := 1/cos, sin/cos
		slope := l.sinC * sec
		l.knots[i] = knot{
			l.lon + l.tanC*(0.5*math.Log((1+sin)/(1-sin))-l.ψ),
			slope,
			slope * tan * l.cosC / 2,
			slope * (1 + 2*tan*tan) * l.cosC * l.cosC / 6,
		}
	}
}

// onRhumbLine returns the place θ radians from the start.
func (l *Leg) onRhumbLine(θ float64) Position {
	dφ := θ * l.cosC
	φ := l.lat + dφ
	var dλ float64
	if l.level {
		// The integral of sec φ about the middle latitude, to the third power
		// of dφ: sec φ dφ (1 + (1 + 2 tan²φ) dφ²/24).
		cos := math.Cos(l.lat + dφ/2)
		bend := dφ * dφ / 24 * (2/(cos*cos) - 1)
		dλ = θ * l.sinC / cos * (1 + bend)
	} else if l.knots != nil {
		k := &l.knots[int(θ*(1/knotGap)+0.5)]
		h := θ - float64(int(θ*(1/knotGap)+0.5))*knotGap
		λ := k[0] + float64(h*(k[1]+float64(h*(k[2]+float64(h*k[3])))))
		return Position{Lat: units.Degrees(φ * degree), Lon: longitude(λ)}
	} else {
		sin := math.Sin(φ)
		ψ := 0.5 * math.Log((1+sin)/(1-sin)) // artanh
		dλ = l.tanC * (ψ - l.ψ)
	}
	// Only dead reckoning can go round more than once.
	λ := l.lon + dλ
	if math.Abs(λ) > 2*math.Pi {
		λ = math.Remainder(λ, 2*math.Pi)
	}
	return Position{Lat: units.Degrees(φ * degree), Lon: longitude(λ)}
}
