package sky

import (
	"math"

	"ampwake/sim/units"
)

// ClearSky chooses the model of the cloudless sky.
type ClearSky uint8

// The clear skies on offer.
const (
	// ClearHaurwitz is Haurwitz's global irradiance times the inverse square of
	// the sun's distance, which the plain formula leaves out (±3.4 %).
	ClearHaurwitz ClearSky = iota
	// ClearHaurwitzPlain is Haurwitz's formula as published.
	ClearHaurwitzPlain
	// ClearIneichen is Ineichen and Perez with the Linke turbidity of the Model.
	ClearIneichen
	// ClearSmithsonian is the sky that Reed's cloud factor was made for.
	ClearSmithsonian
)

var clearNames = []string{"haurwitz", "haurwitz-plain", "ineichen", "smithsonian"}

func (c ClearSky) String() string { return nameOf(clearNames, int(c)) }

// UnmarshalText reads "haurwitz", "haurwitz-plain", "ineichen" or "smithsonian".
func (c *ClearSky) UnmarshalText(text []byte) error {
	return setName(c, clearNames, "a clear sky", text)
}

// clear returns the global irradiance of the cloudless sky for a sun that is up.
func (m *Model) clear(s *Sun, beyond float64) float64 {
	cosZ := s.Up
	switch m.Clear {
	case ClearHaurwitzPlain:
		return haurwitz(cosZ)
	case ClearIneichen:
		turbidity := m.Turbidity
		if turbidity == 0 {
			turbidity = 3
		}
		return 0.868 * beyond * cosZ * math.Exp(-0.0387*airMass(cosZ, float64(s.Zenith()))*turbidity)
	case ClearSmithsonian:
		return smithsonian(beyond, cosZ)
	}
	return haurwitz(cosZ) / (s.Distance * s.Distance)
}

// AirMass returns the relative optical air mass for an apparent zenith angle in
// [0°, 90°]: 1 overhead, 38 at the horizon; +Inf beyond 90°. [Kasten 1989] eq. 3.
func AirMass(zenith units.Degrees) float64 {
	z := float64(zenith)
	if z > 90 {
		return math.Inf(1)
	}
	return airMass(math.Cos(z*rad), z)
}

func airMass(cosZ, z float64) float64 {
	return 1 / (cosZ + 0.50572*math.Pow(96.07995-z, -1.6364)) // [Kasten 1989] eq. 3
}

// Haurwitz returns the clear sky's global irradiance for the cosine of the
// apparent zenith: [Haurwitz 1945] as 1098 cos Z exp(-0.059/cos Z) W/m², 0 for a
// sun that is down. It knows nothing of the sun's distance. The exponent is
// 0.057 in other places: 0.2 % more overhead, 0.6 % at 70° of zenith.
func Haurwitz(cosZ float64) units.WattsPerSquareMetre {
	if cosZ <= 0 {
		return 0
	}
	return units.WattsPerSquareMetre(haurwitz(cosZ))
}

func haurwitz(cosZ float64) float64 { return 1098 * cosZ * math.Exp(-0.059/cosZ) }

// Smithsonian returns the clear sky's global irradiance with an atmospheric
// transmission of 0.7 and 9 % absorbed by water vapour and ozone: [Rosati 1988]. beyond is the extraterrestrial normal irradiance.
func Smithsonian(beyond units.WattsPerSquareMetre, cosZ float64) units.WattsPerSquareMetre {
	if cosZ <= 0 {
		return 0
	}
	return units.WattsPerSquareMetre(smithsonian(float64(beyond), cosZ))
}

func smithsonian(beyond, cosZ float64) float64 {
	t := math.Exp(-0.35667494393873245 / cosZ) // 0.7^(1/cos Z), ln 0.7
	return beyond * cosZ * (t + (1-0.09-t)/2)
}

// IneichenPerez returns global, direct normal and diffuse irradiance of the
// clear sky at sea level for an apparent zenith angle and a Linke turbidity:
// [Ineichen 2002] at height 0. beyond is the extraterrestrial normal
// irradiance. Clean to ordinary sea air has a turbidity of 2.5 to 3.5 (common
// practice, no source). Beyond 90° it is zero.
func IneichenPerez(beyond units.WattsPerSquareMetre, zenith units.Degrees, turbidity float64) Irradiance {
	z, e0 := float64(zenith), float64(beyond)
	if z >= 90 {
		return Irradiance{}
	}
	cosZ := math.Cos(z * rad)
	am := airMass(cosZ, z)
	global := 0.868 * e0 * cosZ * math.Exp(-0.0387*am*turbidity)
	b1 := 0.827 * e0 * math.Exp(-0.09*am*(turbidity-1))
	b2 := global * (1 - (0.1-0.2*math.Exp(-turbidity))/0.982) / cosZ
	beam := min(b1, b2)
	return Irradiance{
		Global:  units.WattsPerSquareMetre(global),
		Beam:    units.WattsPerSquareMetre(beam),
		Diffuse: units.WattsPerSquareMetre(global - beam*cosZ),
		Beyond:  beyond,
	}
}
