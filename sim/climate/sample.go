package climate

import "ampwake/sim/units"

// Sample is the weather at one place and moment.
type Sample struct {
	WindSpeed units.Knots    // true wind
	WindFrom  units.Degrees  // direction it blows from, true, [0, 360)
	Cloud     units.Fraction // cloud amount, 0 clear .. 1 overcast
	// Through is the share of clear-sky global irradiance that comes through
	// the cloud, 0..1: 1 - 0.70 C^3.4 for an instantaneous cloud amount, its
	// expectation where only a mean is known.
	Through units.Fraction
	// Skies are the equally likely values of Through that a mean cloud is made
	// of, Through being their mean; nil where Cloud is that of the moment. The
	// light of the mean is more diffuse than the mean of the lights, so what is
	// turned to the sun must be reckoned sky by sky. It belongs to the weather
	// and holds until the next question.
	Skies    *Skies
	Air, Sea units.Celsius
}

// Skies are equally likely values of Sample.Through.
type Skies [8]units.Fraction
