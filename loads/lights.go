package loads

import (
	"math"

	"ampwake/sim/units"
)

// Candela is a luminous intensity, cd.
type Candela float64

// Intensity returns the least luminous intensity of a navigation light that is
// to be seen at the given range, >= 0, in an atmosphere of transmissivity 0.8
// a nautical mile (COLREGS 1972, Annex I section 8): I = 3.43e6 T D² K^-D with
// the threshold T = 2e-7 lux. The Annex prints it rounded: 0.9 cd for 1 nm,
// 12 cd for 3 nm.
func Intensity(luminous units.NauticalMiles) Candela {
	const (
		threshold       = 2e-7 // T, lux
		transmissivity  = 0.8  // K, a nautical mile
		squareOfTheMile = 3.43e6
	)
	d := float64(luminous)
	return Candela(squareOfTheMile * threshold * d * d * math.Pow(transmissivity, -d)) // Annex I, 8(a)
}
