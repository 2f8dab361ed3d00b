package bank

import (
	"fmt"
	"math"

	"ampwake/sim/units"
)

// Curve is a voltage without current against state of charge s in [0, 1], of a
// battery of 12 V (6 lead-acid or 4 lithium iron phosphate cells).
//
// With Grid empty it is [Manwell 1993]
//
//	V = A + B u + C u/(D-u)     u = s, or u = 1-s when Depth is set
//
// and D must be above 1. Otherwise Grid holds the voltages at evenly spaced s
// from 0 to 1, two or more, with straight lines between.
type Curve struct {
	A, B, C, D float64 // V, V, V, -
	Depth      bool    // u is the depth of discharge 1-s
	Grid       []units.Volts
}

func (c Curve) check(name string) error {
	if len(c.Grid) == 0 {
		if c.D <= 1 || !finite(c.A, c.B, c.C, c.D) {
			return fmt.Errorf("%s curve: D must be above 1, is %g", name, c.D)
		}
		return nil
	}
	if len(c.Grid) < 2 {
		return fmt.Errorf("%s curve: the grid needs two or more voltages, has %d", name, len(c.Grid))
	}
	for i, v := range c.Grid {
		if !finite(float64(v)) || v <= 0 || i > 0 && v < c.Grid[i-1] {
			return fmt.Errorf("%s curve: voltages must be above 0 and not fall with charge, see entry %d (%v)", name, i+1, v)
		}
	}
	return nil
}

// Volts returns the voltage at state of charge s, which is held to [0, 1].
func (c Curve) Volts(s units.Fraction) units.Volts {
	e := c.emf(1)
	return units.Volts(e.at(unit(float64(s))))
}

// emf is a Curve made ready for the step: scaled to the cells in series, and
// the formula brought to a + b s + c/(s+d) for both senses of u.
type emf struct {
	a, b, c, d float64
	steps      float64
	grid       []float64
}

func (c Curve) emf(scale float64) emf {
	if len(c.Grid) > 0 {
		e := emf{steps: float64(len(c.Grid) - 1), grid: make([]float64, len(c.Grid))}
		for i, v := range c.Grid {
			e.grid[i] = scale * float64(v)
		}
		return e
	}
	// C u/(D-u) = -C + C D/(D-u).
	if c.Depth { // u = 1-s
		return emf{a: scale * (c.A + c.B - c.C), b: -scale * c.B, c: scale * c.C * c.D, d: c.D - 1}
	}
	return emf{a: scale * (c.A - c.C), b: scale * c.B, c: -scale * c.C * c.D, d: -c.D}
}

// at returns the voltage at s in [0, 1].
func (e *emf) at(s float64) float64 {
	if e.grid == nil {
		return e.a + float64(e.b*s) + e.c/(s+e.d)
	}
	y := s * e.steps
	n := min(int(y), len(e.grid)-2)
	lo := e.grid[n]
	return lo + float64((y-float64(n))*(e.grid[n+1]-lo))
}

// line returns the voltage at s in [0, 1] and its slope there, V for the whole
// of the charge, >= 0.
func (e *emf) line(s float64) (v, slope float64) {
	if e.grid == nil {
		q := 1 / (s + e.d)
		return e.a + float64(e.b*s) + float64(e.c*q), max(0, e.b-float64(e.c*float64(q*q)))
	}
	y := s * e.steps
	n := min(int(y), len(e.grid)-2)
	lo := e.grid[n]
	rise := e.grid[n+1] - lo
	return lo + float64((y-float64(n))*rise), rise * e.steps
}

// sum returns the integral of the curve from 0 to s in [0, 1].
func (e *emf) sum(s float64) float64 {
	if e.grid == nil {
		return e.a*s + float64(e.b*s*s)/2 + float64(e.c*math.Log((s+e.d)/e.d))
	}
	y := s * e.steps
	n := min(int(y), len(e.grid)-2)
	var area float64
	for i := range n {
		area += (e.grid[i] + e.grid[i+1]) / 2
	}
	return (area + (y-float64(n))*(e.grid[n]+e.at(s))/2) / e.steps
}

// Factor is how a parameter changes with temperature, 1 at 25 °C.
//
// With Table empty it is 1 + Slope (T-25), held between Least and Most.
// Otherwise it is read from Table, straight lines between the points and the
// end values beyond them.
type Factor struct {
	Slope       float64 // 1/K
	Least, Most float64
	Table       []Warm // by rising temperature
}

// Warm is one point of a table against temperature.
type Warm struct {
	Temp   units.Celsius
	Factor float64 // > 0
}

func (f Factor) check(name string) error {
	if len(f.Table) == 0 {
		if !finite(f.Slope, f.Least, f.Most) || f.Least <= 0 || f.Most < f.Least {
			return fmt.Errorf("%s against temperature: bounds %g..%g must be above 0 and rising", name, f.Least, f.Most)
		}
		return nil
	}
	for i, p := range f.Table {
		if !finite(p.Factor, float64(p.Temp)) || p.Factor <= 0 || i > 0 && p.Temp <= f.Table[i-1].Temp {
			return fmt.Errorf("%s against temperature: temperatures must rise and factors be above 0, see entry %d", name, i+1)
		}
	}
	return nil
}

// At returns the factor at temperature t.
func (f *Factor) At(t units.Celsius) float64 {
	if len(f.Table) == 0 {
		return min(max(1+float64(f.Slope*(float64(t)-25)), f.Least), f.Most)
	}
	for i, p := range f.Table {
		if t < p.Temp {
			if i == 0 {
				return p.Factor
			}
			o := f.Table[i-1]
			return o.Factor + float64((p.Factor-o.Factor)*float64((t-o.Temp)/(p.Temp-o.Temp)))
		}
	}
	return f.Table[len(f.Table)-1].Factor
}

// unit holds x to [0, 1]; NaN becomes 0.
func unit(x float64) float64 {
	if !(x > 0) {
		return 0
	}
	return min(x, 1)
}

// finite reports whether all numbers are.
func finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}
