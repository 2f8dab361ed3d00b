package sky

import (
	"math"

	"ampwake/sim/units"
)

// Cloud chooses what comes through the cloud.
type Cloud uint8

// The cloud models on offer.
const (
	// CloudAsGiven takes the weather's own word: 1 - 0.70 C^3.4, or its
	// expectation where only a mean cloud is known.
	CloudAsGiven Cloud = iota
	// CloudKastenCzeplak darkens the weather's word from the coefficient 0.70
	// to 0.75, that of Hamburg.
	CloudKastenCzeplak
	// CloudReed is Reed's daily factor for the ocean, applied to every moment
	// of the day. Linear in the cloud; too bright under overcast.
	CloudReed
	// CloudDobsonSmith is Dobson and Smith's okta model for the ocean.
	CloudDobsonSmith
)

var cloudNames = []string{"as-given", "kasten-czeplak", "reed", "dobson-smith"}

func (c Cloud) String() string { return nameOf(cloudNames, int(c)) }

// UnmarshalText reads "as-given", "kasten-czeplak", "reed" or "dobson-smith".
func (c *Cloud) UnmarshalText(text []byte) error {
	return setName(c, cloudNames, "a cloud model", text)
}

// Coefficients a of the cloud factor 1 - a C^3.4.
const (
	// OceanCloud lies between Kasten and Czeplak (0.75), a hilly Pacific island's
	// typical year (0.71) and Dobson and Smith on the ocean (0.61 to 0.63).
	OceanCloud = 0.70
	LandCloud  = 0.75 // [Kasten 1980], Hamburg
)

const cloudPower = 3.4 // [Kasten 1980]

// Through returns what comes through, as a share of the model's clear sky: given
// is the weather's own word, computed with OceanCloud, cloud the cloud amount.
// With CloudDobsonSmith, which has a clear sky of its own, it can exceed 1.
func (m *Model) Through(s *Sun, given, cloud units.Fraction) units.Fraction {
	switch m.Cloud {
	case CloudKastenCzeplak:
		return 1 - (1-given)*(LandCloud/OceanCloud)
	case CloudReed:
		return ReedFactor(cloud, s.Noon)
	case CloudDobsonSmith:
		if s.Up <= 0 {
			return 0
		}
		beyond := float64(SolarConstant) / (s.Distance * s.Distance)
		return units.Fraction(dobsonSmith(beyond, s.Up, 8*float64(cloud)) / m.clear(s, beyond))
	}
	return given
}

// CloudFactor returns 1 - a C^3.4, the share of the clear sky's global irradiance
// under an instantaneous cloud amount: [Kasten 1980] with a = 0.75.
func CloudFactor(cloud units.Fraction, a float64) units.Fraction {
	return units.Fraction(1 - a*math.Pow(float64(cloud), cloudPower))
}

// MeanCloudFactor returns the expectation of CloudFactor when only the mean
// cloud is known and the amount is beta-distributed about it with concentration
// nu > 0 (about 3 in the trades, 1.2 in middle latitudes):
//
//	1 - a Γ(α+p) Γ(ν) / (Γ(α) Γ(ν+p)),  α = mean·ν, p = 3.4
//
// It is less than CloudFactor of the mean, by up to a third. If the mean is 0
// it returns 1, if it is 1 it returns 1 - a. The moments of the beta
// distribution are textbook matter.
func MeanCloudFactor(mean units.Fraction, nu, a float64) units.Fraction {
	switch {
	case mean <= 0:
		return 1
	case mean >= 1:
		return units.Fraction(1 - a)
	case !(nu > 0):
		panic("sky: concentration of the cloud must be positive")
	}
	α := float64(mean) * nu
	lg := func(x float64) float64 { y, _ := math.Lgamma(x); return y }
	return units.Fraction(1 - a*math.Exp(lg(α+cloudPower)-lg(α)+lg(nu)-lg(nu+cloudPower)))
}

// ReedFactor returns a day's insolation over that of the clear sky, for the
// day's mean cloud and the sun's altitude at noon: [Reed 1977], at most 1.
// It was fitted over the sea with the Smithsonian clear sky.
func ReedFactor(cloud units.Fraction, noon units.Degrees) units.Fraction {
	return units.Fraction(max(0, min(1, 1-0.62*float64(cloud)+0.0019*float64(noon))))
}

// Coefficients of [Dobson 1988] for 0 to 8 oktas; okta 1 stands for okta 0, whose
// own row (0.400, 0.386) came from few observations of a clear sky.
var (
	dobsonA = [9]float64{0.517, 0.517, 0.474, 0.421, 0.380, 0.350, 0.304, 0.230, 0.106}
	dobsonB = [9]float64{0.317, 0.317, 0.381, 0.413, 0.468, 0.457, 0.438, 0.384, 0.285}
)

// DobsonSmith returns the global irradiance on the sea under a cloud amount:
// [Dobson 1988], S sin h (A + B sin h), straight between the oktas. beyond is
// the extraterrestrial normal irradiance S, cosZ the sine of the sun's altitude.
func DobsonSmith(beyond units.WattsPerSquareMetre, cosZ float64, cloud units.Fraction) units.WattsPerSquareMetre {
	if cosZ <= 0 {
		return 0
	}
	return units.WattsPerSquareMetre(dobsonSmith(float64(beyond), cosZ, 8*float64(cloud)))
}

func dobsonSmith(beyond, cosZ, oktas float64) float64 {
	oktas = max(0, min(8, oktas))
	i := min(int(oktas), 7)
	x := oktas - float64(i)
	A := dobsonA[i] + x*(dobsonA[i+1]-dobsonA[i])
	B := dobsonB[i] + x*(dobsonB[i+1]-dobsonB[i])
	return beyond * cosZ * (A + B*cosZ)
}
