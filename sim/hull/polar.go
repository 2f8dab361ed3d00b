package hull

import (
	"fmt"
	"math"

	"ampwake/sim/units"
)

// Polar is a table of a boat's speed through the water against the true wind's
// speed and its angle from the bow, the same on both tacks. It never changes.
type Polar struct {
	winds, angles []float64 // knots and degrees, ascending from 0
	speeds        []float64 // knots; a row of angles for each wind
	// Where to begin looking: the row at or below each whole knot, and the
	// column at or below each whole degree.
	row, column []uint8
}

// NewPolar returns the polar of a table: speeds[i][j] at winds[i] and angles[j].
//
// A table that does not begin at no wind gets a row of zeros there, so that the
// boat stops in a calm; one that does not begin at 0° gets a column of zeros, so
// that she stops head to wind. Above the last wind and beyond the last angle the
// last ones hold.
//
// Errors: no rows or columns or more than 200, winds or angles that do not rise,
// angles outside 0°..180°, speeds outside 0..50 kn, rows of unequal length.
func NewPolar(winds []units.Knots, angles []units.Degrees, speeds [][]units.Knots) (*Polar, error) {
	const most = 200
	if len(winds) == 0 || len(winds) > most || len(angles) == 0 || len(angles) > most {
		return nil, fmt.Errorf("polar has %d winds and %d angles: want 1 to %d of each", len(winds), len(angles), most)
	}
	if len(speeds) != len(winds) {
		return nil, fmt.Errorf("polar has %d rows of speeds for %d winds: want one for each", len(speeds), len(winds))
	}
	p := &Polar{}
	for i, a := range angles {
		switch {
		case !(a >= 0 && a <= 180):
			return nil, fmt.Errorf("polar angle %v is not between 0° and 180°", a)
		case i > 0 && !(a > angles[i-1]):
			return nil, fmt.Errorf("polar angle %v does not rise from %v: want rising angles", a, angles[i-1])
		case i == 0 && a > 0:
			p.angles = append(p.angles, 0)
		}
		p.angles = append(p.angles, float64(a))
	}
	headed := len(p.angles) > len(angles) // a column of zeros came in
	for i, w := range winds {
		switch {
		case !(w >= 0 && w <= 200):
			return nil, fmt.Errorf("polar wind %v is not between 0 kn and 200 kn", w)
		case i > 0 && !(w > winds[i-1]):
			return nil, fmt.Errorf("polar wind %v does not rise from %v: want rising winds", w, winds[i-1])
		case len(speeds[i]) != len(angles):
			return nil, fmt.Errorf("polar row at %v has %d speeds for %d angles", w, len(speeds[i]), len(angles))
		case i == 0 && w > 0:
			p.winds = append(p.winds, 0)
			p.speeds = append(p.speeds, make([]float64, len(p.angles))...)
		}
		p.winds = append(p.winds, float64(w))
		if headed {
			p.speeds = append(p.speeds, 0)
		}
		for j, v := range speeds[i] {
			if !(v >= 0 && v <= 50) {
				return nil, fmt.Errorf("polar speed %v at %v and %v is not between 0 kn and 50 kn", v, w, angles[j])
			}
			p.speeds = append(p.speeds, float64(v))
		}
	}
	p.row, p.column = index(p.winds), index(p.angles)
	return p, nil
}

// index returns, for each whole number up to the last value, the place of the
// last value at or below it.
func index(values []float64) []uint8 {
	list := make([]uint8, int(values[len(values)-1])+1)
	k := 0
	for i := range list {
		for k+1 < len(values) && values[k+1] <= float64(i) {
			k++
		}
		list[i] = uint8(k)
	}
	return list
}

// PassageFactor is the share of a polar's speed that a crew makes good day and
// night on passage: night reefing, fouling, seaway. Common practice, no source.
const PassageFactor units.Fraction = 0.88

// Times returns the polar with all speeds times factor, such as PassageFactor. It
// panics on a factor that is negative or no number.
func (p *Polar) Times(factor units.Fraction) *Polar {
	if f := float64(factor); !(f >= 0) || math.IsInf(f, 0) {
		panic("hull: factor of a polar must not be negative")
	}
	q := *p
	q.speeds = make([]float64, len(p.speeds))
	for i, v := range p.speeds {
		q.speeds[i] = v * float64(factor)
	}
	return &q
}

// Speed returns the boat's speed in a true wind at an angle from the bow (either
// side, any turn of the circle), interpolated linearly in both. It does not
// allocate.
func (p *Polar) Speed(wind units.Knots, angle units.Degrees) units.Knots {
	i, f := locate(p.winds, p.row, float64(wind))
	j, g := locate(p.angles, p.column, math.Abs(float64(FromBow(angle, 0))))
	n := len(p.angles)
	low := between(p.speeds[i*n:(i+1)*n], j, g)
	if f == 0 {
		return units.Knots(low)
	}
	high := between(p.speeds[(i+1)*n:(i+2)*n], j, g)
	return units.Knots(low + float64((high-low)*f))
}

// locate returns the place of the last value at or below x, and the share of the
// way to the next one, 0 at the last and below the first.
func locate(values []float64, index []uint8, x float64) (int, float64) {
	if !(x > 0) {
		return 0, 0
	}
	last := len(values) - 1
	if x >= values[last] {
		return last, 0
	}
	k := int(index[int(x)])
	for values[k+1] <= x {
		k++
	}
	return k, (x - values[k]) / (values[k+1] - values[k])
}

// between returns the value g of the way from place j to the next.
func between(row []float64, j int, g float64) float64 {
	if g == 0 {
		return row[j]
	}
	return row[j] + float64((row[j+1]-row[j])*g)
}
