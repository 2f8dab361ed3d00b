package hull

import (
	"fmt"
	"math"

	"ampwake/sim/units"
)

const (
	gravity   = 9.80665 // standard, m/s²
	viscosity = 1.19e-6 // kinematic, of sea water at about 15 °C, m²/s
	// SeaWater is the usual density of sea water, kg/m³: within 0.55 % at sea.
	SeaWater = 1025.0
)

// Yacht holds what is needed to estimate a hull's resistance: a keelboat of
// medium displacement, upright, smooth and in flat water. At sea multiply by 1.3
// to 1.6 (see Resistance.Times).
type Yacht struct {
	Waterline          units.Metres    // length
	Displacement       units.Kilograms // as she sails, laden
	WettedSquareMetres float64         // wetted area of hull and keel
}

// residuary holds the residuary resistance over weight, in thousandths, against
// Froude number: mean of the hulls of length-displacement ratio 4.78 in the data
// set of Gerritsma, Onnink and Versluis (1981).
var residuary = [...][2]float64{
	{0.125, 0.101},
	{0.150, 0.247},
	{0.175, 0.479},
	{0.200, 0.787},
	{0.225, 1.228},
	{0.250, 1.865},
	{0.275, 2.720},
	{0.300, 3.933},
	{0.325, 5.450},
	{0.350, 8.230},
	{0.375, 13.425},
	{0.400, 22.277},
	{0.425, 35.225},
	{0.450, 52.643},
}

// check reports what keeps the yacht from having a resistance.
func (y Yacht) check() error {
	positive := func(x float64) bool { return x > 0 && !math.IsInf(x, 0) }
	switch {
	case !positive(float64(y.Waterline)):
		return fmt.Errorf("waterline %v is not a length above 0 m", y.Waterline)
	case !positive(float64(y.Displacement)):
		return fmt.Errorf("displacement %v is not a mass above 0 kg", y.Displacement)
	case !positive(y.WettedSquareMetres):
		return fmt.Errorf("wetted area %v is not an area above 0 m²", y.WettedSquareMetres)
	}
	return nil
}

// Friction returns the frictional resistance at speed v >= 0, by the ITTC 1957
// line on 0.7 of the waterline: Cf = 0.075/(log Re - 2)².
func (y Yacht) Friction(v units.Knots) units.Newtons {
	u := float64(v) * metresPerSecond
	reynolds := u * 0.7 * float64(y.Waterline) / viscosity
	if reynolds < 1e3 { // the line has a pole at 100; a yacht drifts faster
		return 0
	}
	c := math.Log10(reynolds) - 2
	return units.Newtons(0.5 * SeaWater * y.WettedSquareMetres * 0.075 / (c * c) * u * u)
}

// Residuary returns the residuary resistance (waves, mostly) at speed v >= 0 from
// the mean of the series. Beyond Froude numbers of 0.125 and 0.45 the end
// intervals go on as powers of speed: a guess.
func (y Yacht) Residuary(v units.Knots) units.Newtons {
	u := float64(v) * metresPerSecond
	if u <= 0 {
		return 0
	}
	froude := u / math.Sqrt(gravity*float64(y.Waterline))
	i := 0
	for i < len(residuary)-2 && froude > residuary[i+1][0] {
		i++
	}
	a, b := residuary[i], residuary[i+1]
	n := math.Log(b[1]/a[1]) / math.Log(b[0]/a[0])
	return units.Newtons(a[1] / 1000 * math.Exp(n*math.Log(froude/a[0])) * float64(y.Displacement) * gravity)
}

// Resistance returns the sum of friction and residuary resistance, tabulated so
// finely from Froude number 0.01 to 0.6 that the table is within 1e-4 of the sum.
// The error says what of the yacht is missing.
func (y Yacht) Resistance() (*Resistance, error) {
	if err := y.check(); err != nil {
		return nil, err
	}
	// Nodes on the residuary table's own, where its power changes, and between.
	ends := []float64{0.01}
	for _, p := range residuary {
		ends = append(ends, p[0])
	}
	ends = append(ends, 0.6)
	const fine = 0.008 // of the logarithm
	var points []Point
	unit := math.Sqrt(gravity*float64(y.Waterline)) / metresPerSecond // knots at Froude number 1
	for i := range len(ends) - 1 {
		ratio := math.Log(ends[i+1] / ends[i])
		parts := int(math.Ceil(ratio / fine))
		for k := range parts {
			froude := ends[i] * math.Exp(ratio*float64(k)/float64(parts))
			v := units.Knots(froude * unit)
			points = append(points, Point{v, y.Friction(v) + y.Residuary(v)})
		}
	}
	return NewResistance(points)
}
