package hull

import (
	"fmt"
	"math"

	"ampwake/sim/units"
)

// Betz is the greatest power coefficient of a rotor in an open stream, 16/27.
const Betz = 16.0 / 27

// DiscThrust returns the thrust coefficient CT = 4a(1-a) of an actuator disc with
// induction a in [0, 1/2]: the stream has slowed by the share a at the disc.
func DiscThrust(a float64) float64 { return 4 * a * (1 - a) }

// DiscPower returns the power coefficient CP = 4a(1-a)² of an actuator disc with
// induction a in [0, 1/2].
func DiscPower(a float64) float64 { return 4 * a * (1 - a) * (1 - a) }

// Induction returns the lesser induction at which an actuator disc has the given
// power coefficient in [0, 16/27], at most 1/3. It returns NaN beyond the Betz
// limit, which no rotor passes.
func Induction(cp float64) float64 {
	// 4a(1-a)² = CP is a cubic in 1-a; its trigonometric solution, written with
	// half angles so that small CP lose no digits.
	s := math.Sin(math.Asin(math.Sqrt(cp/Betz)) / 3)
	return 4.0 / 3 * s * s
}

// LeastThrust returns the least thrust coefficient with which a power coefficient
// in [0, 16/27] can be had, that of an actuator disc; real rotors need more. It
// returns NaN beyond the Betz limit.
func LeastThrust(cp float64) float64 { return DiscThrust(Induction(cp)) }

// Rotor is a propeller or turbine towed through the water to make power. Typical
// small ones have CP 0.35 and CT 0.7 to 0.9 (common practice, no source).
type Rotor struct {
	Diameter units.Metres
	CP       float64 // power coefficient of the shaft, (0, 16/27]
	CT       float64 // thrust coefficient, [LeastThrust(CP), 2]
	Density  float64 // of the water, kg/m³; 0 stands for SeaWater
}

// Check returns what is impossible about the rotor: a size or density that is not
// positive, more power than Betz's limit, less thrust than the power needs, or a
// CT above 2, where no rotor brakes.
func (r Rotor) Check() error {
	switch {
	case !(r.Diameter > 0) || math.IsInf(float64(r.Diameter), 0):
		return fmt.Errorf("rotor diameter %v is not a length above 0 m", r.Diameter)
	case !(r.Density >= 0) || math.IsInf(r.Density, 0):
		return fmt.Errorf("water density %g is not above 0 kg/m³", r.Density)
	case !(r.CP > 0 && r.CP <= Betz):
		return fmt.Errorf("power coefficient %g of the rotor is not above 0 and at most 0.593 (Betz's limit, 16/27)", r.CP)
	case !(r.CT >= LeastThrust(r.CP) && r.CT <= 2):
		return fmt.Errorf("thrust coefficient %g of the rotor is not between %.3f, the least that a power coefficient of %g needs, and 2",
			r.CT, LeastThrust(r.CP), r.CP)
	}
	return nil
}

// pressure returns ½ ρ A v², N, with v in m/s.
func (r Rotor) pressure(v float64) float64 {
	ρ := r.Density
	if ρ == 0 {
		ρ = SeaWater
	}
	d := float64(r.Diameter)
	return math.Pi / 8 * ρ * d * d * v * v
}

// Shaft returns the power of the shaft at speed v >= 0 through the water,
// ½ ρ A CP v³, before any electrical loss.
func (r Rotor) Shaft(v units.Knots) units.Watts {
	u := float64(v) * metresPerSecond
	return units.Watts(r.pressure(u) * r.CP * u)
}

// Thrust returns the drag of the working rotor at speed v >= 0 through the water,
// ½ ρ A CT v².
func (r Rotor) Thrust(v units.Knots) units.Newtons {
	return units.Newtons(r.pressure(float64(v)*metresPerSecond) * r.CT)
}

// MeanCube returns the mean of the cube, in kn³, of a speed spread normally about
// a mean: µ³ + 3µσ², exactly. A boat that makes 5 kn give or take 1 kn turns 12 %
// more power out of a rotor than one that makes 5 kn throughout.
func MeanCube(mean, spread units.Knots) float64 {
	µ, σ := float64(mean), float64(spread)
	return µ * (float64(µ*µ) + float64(3*σ*σ))
}
