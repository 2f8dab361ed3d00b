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
	Through  units.Fraction
	Air, Sea units.Celsius
}
