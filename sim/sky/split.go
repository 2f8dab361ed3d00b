package sky

import "ampwake/sim/units"

// lowestClearness is the least cosine of the zenith in the clearness index, that
// of 86.3°: below it the index would say nothing of the cloud.
const lowestClearness = 0.065

// DiffuseFraction returns the diffuse share of hourly global irradiance for a
// clearness index kt (global over extraterrestrial horizontal), clamped to
// [0, 1]: [Erbs 1982]. The branches do not quite meet at 0.22 and 0.80,
// which belong to the lower ones. A fit to places on land, with a scatter of
// about 0.1 (common practice, no source).
func DiffuseFraction(kt float64) units.Fraction {
	return units.Fraction(erbs(max(0, min(1, kt))))
}

func erbs(kt float64) float64 {
	switch {
	case kt <= 0.22:
		return 1 - float64(0.09*kt)
	case kt <= 0.80:
		return 0.9511 + float64(kt*(-0.1604+float64(kt*(4.388+float64(kt*(-16.638+float64(kt*12.336)))))))
	}
	return 0.165
}
