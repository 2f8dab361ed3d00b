// Package units holds the typed quantities of ampwake and their parser.
//
// A quantity is a float64 with a name, so that watts cannot be handed over as
// amperes. Inside a formula convert once to float64, work, and convert back.
// Each type reads what people write ("85 W", "2 x 115 Ah", "5.5 kn") through
// UnmarshalText and prints itself with its unit through String.
package units

// Quantities of electricity.
type (
	Watts     float64 // power, W
	WattHours float64 // energy, Wh
	Amps      float64 // current, A
	AmpHours  float64 // charge, Ah
	Volts     float64 // voltage, V
	Ohms      float64 // resistance, Ω
)

// Quantities of the voyage.
type (
	Knots         float64 // speed, nautical miles an hour
	NauticalMiles float64 // distance, 1852 m or one minute of arc
	Degrees       float64 // angle; azimuth and course clockwise from true north
	Celsius       float64 // temperature, °C
	Hours         float64 // span of time, h
	Newtons       float64 // force, N
)

// Other quantities.
type (
	Fraction            float64 // a share, 0..1; "55 %" reads as 0.55
	Metres              float64 // length, m
	SquareMillimetres   float64 // conductor area, mm²
	WattsPerSquareMetre float64 // irradiance, W/m²
	Litres              float64 // volume, L
	LitresPerHour       float64 // fuel rate, L/h
	Kilograms           float64 // mass, kg
)
