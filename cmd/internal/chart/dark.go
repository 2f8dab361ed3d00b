package chart

import (
	"image/color"
	"math"
)

// Ground is the colours that belong to no kind: what things stand on, and
// words.
type Ground struct {
	Paper, Night, Hair color.RGBA // behind everything; the sun is down; hairlines
	Ink, Quiet         color.RGBA // words; words that may be missed
	Stock, Alarm       Paint      // state of charge; floor and missed
}

// Light returns the ground of all pictures.
func Light() Ground {
	return Ground{Paper: white, Night: night, Hair: hair, Ink: ink, Quiet: quiet, Stock: stock, Alarm: alarm}
}

// Dark returns the ground for a screen at night.
func Dark() Ground {
	return Ground{
		Paper: darkPaper, Night: darkNight, Hair: hex(0x3A4149), Ink: hex(0xE3E5E8), Quiet: hex(0xA4ABB3),
		Stock: Paint{Darkened(stock.Fill, true), Darkened(stock.Ink, false)},
		Alarm: Paint{Darkened(alarm.Fill, true), Darkened(alarm.Ink, false)},
	}
}

var (
	darkPaper = hex(0x1B1F24)
	darkNight = hex(0x101317)
)

// tints are the colours that are mixed over a ground: each is mixed over the
// dark one instead.
var tints = []struct {
	of     Paint
	ground color.RGBA
	dark   color.RGBA
	share  float64
	after  float64 // of the colour in the dark
}{
	{stock, white, darkPaper, 0.3, 0.4},
	{alarm, white, darkPaper, 0.5, 0.5},
	{alarm, white, darkPaper, 0.35, 0.4},
	{alarm, night, darkNight, 0.35, 0.4},
}

// Darkened returns what a colour of a picture becomes on the dark ground, as
// an area or, if area is false, as a line or a word. Hue stays, so that a thing
// keeps its colour.
func Darkened(c color.RGBA, area bool) color.RGBA {
	switch c {
	case white:
		return darkPaper
	case night:
		return darkNight
	case hair:
		return hex(0x3A4149)
	case ink:
		return hex(0xE3E5E8)
	case quiet:
		return hex(0xA4ABB3)
	}
	for _, t := range tints {
		if c == over(t.of.Fill, t.ground, t.share) {
			return over(Darkened(t.of.Fill, true), t.dark, t.after)
		}
	}
	l, a, b := toLab(c)
	if area && c != alarm.Ink { // marks of what was missed are read like words
		// Two areas that differ as greys go on doing so; the darkest still
		// stands out from the ground.
		return fromLab(0.54+0.7*(l-0.42), a, b)
	}
	return fromLab(0.80, 0.85*a, 0.85*b)
}

// toLab and fromLab are Ottosson, "A perceptual color space for image
// processing" (2020): l is lightness, 0 to 1.
func toLab(c color.RGBA) (l, a, b float64) {
	r, g, u := unbent(c.R), unbent(c.G), unbent(c.B)
	x := math.Cbrt(0.4122214708*r + 0.5363325363*g + 0.0514459929*u)
	y := math.Cbrt(0.2119034982*r + 0.6806995451*g + 0.1073969566*u)
	z := math.Cbrt(0.0883024619*r + 0.2817188376*g + 0.6299787005*u)
	return 0.2104542553*x + 0.7936177850*y - 0.0040720468*z,
		1.9779984951*x - 2.4285922050*y + 0.4505937099*z,
		0.0259040371*x + 0.7827717662*y - 0.8086757660*z
}

// fromLab returns the nearest colour that a screen has: of one that is too
// vivid, the grey part grows.
func fromLab(l, a, b float64) color.RGBA {
	for vivid := 1.0; ; vivid -= 0.02 {
		x := cube(l + vivid*(0.3963377774*a+0.2158037573*b))
		y := cube(l - vivid*(0.1055613458*a+0.0638541728*b))
		z := cube(l - vivid*(0.0894841775*a+1.2914855480*b))
		r := 4.0767416621*x - 3.3077115913*y + 0.2309699292*z
		g := -1.2684380046*x + 2.6097574011*y - 0.3413193965*z
		u := -0.0041960863*x - 0.7034186147*y + 1.7076147010*z
		if vivid <= 0.01 || min(r, g, u) >= -0.001 && max(r, g, u) <= 1.001 {
			return color.RGBA{R: bent(r), G: bent(g), B: bent(u), A: 255}
		}
	}
}

func cube(x float64) float64 { return x * x * x }

// unbent undoes the curve of sRGB (IEC 61966-2-1); bent is its inverse.
func unbent(v uint8) float64 {
	x := float64(v) / 255
	if x <= 0.04045 {
		return x / 12.92
	}
	return math.Pow((x+0.055)/1.055, 2.4)
}

func bent(x float64) uint8 {
	x = held(x, 0, 1)
	if x <= 0.0031308 {
		x *= 12.92
	} else {
		x = 1.055*math.Pow(x, 1/2.4) - 0.055
	}
	return uint8(math.Round(255 * x))
}
