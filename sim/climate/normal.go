package climate

import "math"

// The functions of this file are written out so that every machine computes the
// same bits: those of package math may be replaced by assembly, and products
// fused into sums. Products that are added are wrapped for the same reason.

// quantile returns the standard normal deviate with probability p in (0, 1)
// below it: routine PPND7 of [Wichura 1988], good to 1 part in 10^7 of the
// larger of the deviate and 1.
func quantile(p float64) float64 {
	q := p - 0.5
	if q >= -0.425 && q <= 0.425 {
		r := 0.180625 - float64(q*q)
		n := horner(r, 3.3871327179, 5.0434271938e1, 1.5929113202e2, 5.9109374720e1)
		d := horner(r, 1, 1.7895169469e1, 7.8757757664e1, 6.7187563600e1)
		return q * n / d
	}
	tail := p
	if q > 0 {
		tail = 1 - p
	}
	r := math.Sqrt(-logarithm(tail))
	var z float64
	if r <= 5 {
		r -= 1.6
		z = horner(r, 1.4234372777, 2.7568153900, 1.3067284816, 1.7023821103e-1) /
			horner(r, 1, 7.3700164250e-1, 1.2021132975e-1, 0)
	} else {
		r -= 5
		z = horner(r, 6.6579051150, 3.0812263860, 4.2868294337e-1, 1.7337203997e-2) /
			horner(r, 1, 2.4197894225e-1, 1.2258202635e-2, 0)
	}
	if q < 0 {
		return -z
	}
	return z
}

// horner returns a + b x + c x² + d x³.
func horner(x, a, b, c, d float64) float64 {
	y := float64(d*x) + c
	y = float64(y*x) + b
	return float64(y*x) + a
}

// logarithm returns the natural logarithm of a normal positive number, good to
// 1e-10: with x = f 2^e, f in [1, 2), ln f by the series of the area tangent.
func logarithm(x float64) float64 {
	bits := math.Float64bits(x)
	e := float64(int(bits>>52) - 1023)
	f := math.Float64frombits(bits&(1<<52-1) | 1023<<52)
	s := (f - math.Sqrt2) / (f + math.Sqrt2)
	t := float64(s * s)
	y := float64(t*(1.0/11)) + 1.0/9
	y = float64(y*t) + 1.0/7
	y = float64(y*t) + 1.0/5
	y = float64(y*t) + 1.0/3
	y = float64(y*t) + 1
	return float64((e+0.5)*math.Ln2) + float64(2*s*y)
}

// direction returns the direction, clockwise from north in [0°, 360°), toward
// which a vector points; 0 for the zero vector. Good to 1e-7 degrees.
func direction(east, north float64) float64 {
	x, y := math.Abs(east), math.Abs(north)
	small, large := min(x, y), max(x, y)
	if large == 0 {
		return 0
	}
	const root3 = 1.7320508075688772
	q, angle := small/large, 0.0
	if q > 0.2679491924311227 { // tan 15°: turn back by 30°
		q, angle = (float64(q*root3)-1)/(q+root3), 30
	}
	t := float64(q * q) // arc tangent by its series
	a := float64(t*(1.0/13)) - 1.0/11
	a = float64(a*t) + 1.0/9
	a = float64(a*t) - 1.0/7
	a = float64(a*t) + 1.0/5
	a = float64(a*t) - 1.0/3
	a = float64(a*t) + 1
	angle += float64(a * q * (180 / math.Pi))
	if x > y { // measured from the east-west line
		angle = 90 - angle
	}
	if north < 0 {
		angle = 180 - angle
	}
	if east < 0 {
		angle = 360 - angle
	}
	if angle >= 360 { // also what rounds to 360
		return 0
	}
	return angle
}
