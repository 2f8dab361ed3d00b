package sky

import (
	"math"

	"ampwake/sim/units"
)

// Transposition chooses how the diffuse light of the sky falls on a tilted plane.
type Transposition uint8

// The transpositions on offer.
const (
	HayDavies Transposition = iota // round the sun and all over: [Hay 1980]
	Isotropic                      // all over the sky alike: [Liu 1962]
	Perez                          // also from the horizon: [Perez 1990]
)

var transpositionNames = []string{"hay-davies", "isotropic", "perez"}

func (t Transposition) String() string { return nameOf(transpositionNames, int(t)) }

// UnmarshalText reads "hay-davies", "isotropic" or "perez".
func (t *Transposition) UnmarshalText(text []byte) error {
	return setName(t, transpositionNames, "a transposition", text)
}

// SeaAlbedo is the share of the light that the open sea throws back: [Payne 1972]
// has 0.061 under overcast.
const SeaAlbedo units.Fraction = 0.06

// Surroundings is what a panel sees besides the sun. The zero value is the
// default but for the albedo: write Surroundings{Albedo: SeaAlbedo}.
type Surroundings struct {
	Sky    Transposition
	Albedo units.Fraction // of the sea, [0, 1]
	// Glitter takes the albedo of Taylor for the sun's elevation in its stead.
	Glitter bool
}

// Plane is the light on a plane, before glass, shade and dirt, in W/m².
type Plane struct {
	Beam, Sky, Sea units.WattsPerSquareMetre
	CosIncidence   float64 // of the angle between sun and normal; negative behind
}

// Total returns the plane-of-array irradiance.
func (p *Plane) Total() units.WattsPerSquareMetre { return p.Beam + p.Sky + p.Sea }

// lowestRatio is the least cosine of the zenith in the ratio of the beam on the
// plane to that on the horizontal, that of 89°.
const lowestRatio = 0.01745

// On returns the light on a plane with the given normal. There is none unless
// the apparent sun is up. It does not allocate.
func (q *Surroundings) On(s *Sun, l *Irradiance, n Vector) Plane {
	cosI := float64(n.North*s.North) + float64(n.East*s.East) + float64(n.Up*s.Up)
	if s.Up <= 0 || l.Global <= 0 {
		return Plane{CosIncidence: cosI}
	}
	facing := max(0, cosI)
	albedo := float64(q.Albedo)
	if q.Glitter {
		albedo = float64(TaylorAlbedo(s.Up))
	}
	beam, diffuse := float64(l.Beam), float64(l.Diffuse)
	dome := (1 + n.Up) / 2 // view factor of the sky, [Liu 1962]
	sky := 0.0
	switch q.Sky {
	case Isotropic:
		sky = diffuse * dome
	case Perez:
		sky = perez(s, l, n, facing)
	default:
		round := beam / float64(l.Beyond)                                                        // anisotropy index, [Hay 1980]
		sky = diffuse * (float64(round*facing/max(s.Up, lowestRatio)) + float64((1-round)*dome)) // [Hay 1980]
	}
	return Plane{
		Beam:         units.WattsPerSquareMetre(beam * facing),
		Sky:          units.WattsPerSquareMetre(sky),
		Sea:          units.WattsPerSquareMetre(float64(l.Global) * albedo * (1 - dome)),
		CosIncidence: cosI,
	}
}

// TaylorAlbedo returns the albedo of the open sea for direct light and the sine
// of the sun's elevation: [Taylor 1996], 0.03 overhead to 0.25 at the horizon.
func TaylorAlbedo(sinElevation float64) units.Fraction {
	return units.Fraction(0.037 / (1.1*math.Pow(max(0, sinElevation), 1.4) + 0.15))
}

// perezBins are the brightness coefficients of [Perez 1990] table 6 (all sites
// composite): the clearness below which a bin ends, f11 f12 f13 f21 f22 f23.
var perezBins = [8][7]float64{
	{1.065, -0.008, 0.588, -0.062, -0.060, 0.072, -0.022},
	{1.230, 0.130, 0.683, -0.151, -0.019, 0.066, -0.029},
	{1.500, 0.330, 0.487, -0.221, 0.055, -0.064, -0.026},
	{1.950, 0.568, 0.187, -0.295, 0.109, -0.152, -0.014},
	{2.800, 0.873, -0.392, -0.362, 0.226, -0.462, 0.001},
	{4.500, 1.132, -1.237, -0.412, 0.288, -0.823, 0.056},
	{6.200, 1.060, -1.600, -0.359, 0.264, -1.127, 0.131},
	{math.Inf(1), 0.678, -0.327, -0.250, 0.156, -1.377, 0.251},
}

// perez returns the sky's diffuse light on a plane by [Perez 1990]; facing is
// the cosine of incidence, not below 0.
func perez(s *Sun, l *Irradiance, n Vector, facing float64) float64 {
	diffuse, beam := float64(l.Diffuse), float64(l.Beam)
	if diffuse <= 0 {
		return 0
	}
	z := float64(s.Zenith()) * rad
	k := 1.041 * z * z * z
	ε := ((diffuse+beam)/diffuse + k) / (1 + k)                           // eq. 1
	Δ := diffuse * airMass(s.Up, float64(s.Zenith())) / float64(l.Beyond) // eq. 2
	i := 0
	for ε >= perezBins[i][0] {
		i++
	}
	f := &perezBins[i]
	F1 := max(0, f[1]+f[2]*Δ+f[3]*z)
	F2 := f[4] + f[5]*Δ + f[6]*z
	const lowest = 0.08715574274765817 // cos 85°
	sinTilt := math.Sqrt(max(0, 1-n.Up*n.Up))
	return max(0, diffuse*((1-F1)*(1+n.Up)/2+F1*facing/max(lowest, s.Up)+F2*sinTilt)) // eq. 9
}
