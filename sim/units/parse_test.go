package units_test

import (
	"encoding"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim/units"
)

// reader is one quantity: reads a text and tells its value and its String.
type reader struct {
	name string
	read func(text string) (value float64, printed string, err error)
	show func(value float64) string
}

func of[Q interface {
	~float64
	fmt.Stringer
}, P interface {
	*Q
	encoding.TextUnmarshaler
}](name string) reader {
	return reader{
		name: name,
		read: func(text string) (float64, string, error) {
			q, err := units.Parse[Q, P](text)
			return float64(q), q.String(), err
		},
		show: func(value float64) string { return Q(value).String() },
	}
}

var quantities = []reader{
	of[units.Watts]("Watts"),
	of[units.WattHours]("WattHours"),
	of[units.Amps]("Amps"),
	of[units.AmpHours]("AmpHours"),
	of[units.Volts]("Volts"),
	of[units.Ohms]("Ohms"),
	of[units.Knots]("Knots"),
	of[units.NauticalMiles]("NauticalMiles"),
	of[units.Degrees]("Degrees"),
	of[units.Celsius]("Celsius"),
	of[units.Hours]("Hours"),
	of[units.Newtons]("Newtons"),
	of[units.Fraction]("Fraction"),
	of[units.Metres]("Metres"),
	of[units.SquareMillimetres]("SquareMillimetres"),
	of[units.WattsPerSquareMetre]("WattsPerSquareMetre"),
	of[units.Litres]("Litres"),
	of[units.LitresPerHour]("LitresPerHour"),
	of[units.Kilograms]("Kilograms"),
}

func quantityNamed(t testing.TB, name string) reader {
	t.Helper()
	for _, q := range quantities {
		if q.name == name {
			return q
		}
	}
	t.Fatalf("no quantity %s", name)
	return reader{}
}

func TestAccepted(t *testing.T) {
	// The values are exact: each is the float64 nearest to the decimal, or one
	// division of whole numbers away.
	tests := []struct {
		quantity, text string
		want           float64
		printed        string
	}{
		{"Watts", "85 W", 85, "85 W"},
		{"Watts", "85W", 85, "85 W"},
		{"Watts", "  1.2 kW ", 1200, "1200 W"},
		{"Watts", "2 x 90 W", 180, "180 W"},
		{"Watts", "1e3 W", 1000, "1000 W"},
		{"Watts", "3 mW", 0.003, "3 mW"},
		{"Watts", "+7.5 W", 7.5, "7.5 W"},
		{"Watts", "0 W", 0, "0 W"},
		{"Watts", ".5 W", 0.5, "0.5 W"},
		{"Watts", "1234567.8 W", 1234567.8, "1234567.8 W"},
		{"Watts", "1e-9 W", 1e-9, "0.000001 mW"},
		{"WattHours", "1.2 kWh", 1200, "1200 Wh"},
		{"WattHours", "980 Wh", 980, "980 Wh"},
		{"Amps", "2.5 A", 2.5, "2.5 A"},
		{"Amps", "0.3 mA", 0.0003, "0.3 mA"},
		{"Amps", "12 mA", 0.012, "12 mA"},
		{"Amps", "3 x 0.5 A", 1.5, "1.5 A"},
		{"AmpHours", "2 x 115 Ah", 230, "230 Ah"},
		{"AmpHours", "2x115Ah", 230, "230 Ah"},
		{"AmpHours", "2 × 115 Ah", 230, "230 Ah"},
		{"AmpHours", "440Ah", 440, "440 Ah"},
		{"AmpHours", "500 mAh", 0.5, "0.5 Ah"},
		{"Volts", "11.6 V", 11.6, "11.6 V"},
		{"Volts", "300 mV", 0.3, "0.3 V"},
		{"Ohms", "5 mΩ", 0.005, "5 mΩ"},
		{"Ohms", "5 mohm", 0.005, "5 mΩ"},
		{"Ohms", "2 \u2126", 2, "2 Ω"}, // the ohm sign, not the letter
		{"Ohms", "0.2 ohm", 0.2, "0.2 Ω"},
		{"Knots", "5.2 kn", 5.2, "5.2 kn"},
		{"Knots", "5 knots", 5, "5 kn"},
		{"Knots", "1852 m/s", 3600, "3600 kn"}, // definition of the nautical mile, 1929
		{"Knots", "18.52 km/h", 10, "10 kn"},
		{"NauticalMiles", "120 nm", 120, "120 nm"},
		{"NauticalMiles", "120 M", 120, "120 nm"},
		{"NauticalMiles", "1852 km", 1000, "1000 nm"},
		{"Degrees", "20°", 20, "20°"},
		{"Degrees", "-20 deg", -20, "-20°"},
		{"Degrees", "20º", 20, "20°"},
		{"Celsius", "24 °C", 24, "24 °C"},
		{"Celsius", "−3 °C", -3, "-3 °C"},
		{"Celsius", "-3C", -3, "-3 °C"},
		{"Celsius", "24\u00a0℃", 24, "24 °C"},
		{"Hours", "15 min", 0.25, "15 min"},
		{"Hours", "20 min", 1.0 / 3, "20 min"},
		{"Hours", "2 h 30 min", 2.5, "2 h 30 min"},
		{"Hours", "2h30min", 2.5, "2 h 30 min"},
		{"Hours", "2 h 20 min", 7.0 / 3, "2 h 20 min"},
		{"Hours", "1h 1min 1s", 3661.0 / 3600, "1 h 1 min 1 s"},
		{"Hours", "7 d", 168, "7 d"},
		{"Hours", "2 weeks", 336, "14 d"},
		{"Hours", "1 d 12 h", 36, "1 d 12 h"},
		{"Hours", "1.5 h", 1.5, "1 h 30 min"},
		{"Hours", "-2 h 30 min", -2.5, "-2 h 30 min"},
		{"Hours", "90 s", 0.025, "1 min 30 s"},
		{"Hours", "0 h", 0, "0 h"},
		{"Hours", "0.12345 h", 0.12345, "0.12345 h"},
		{"Hours", "2 x 3 h", 6, "6 h"},
		{"Newtons", "400 N", 400, "400 N"},
		{"Newtons", "2 kN", 2000, "2000 N"},
		{"Fraction", "95%", 0.95, "95 %"},
		{"Fraction", "95 %", 0.95, "95 %"},
		{"Fraction", "0.95", 0.95, "95 %"},
		{"Fraction", "57 %", 0.57, "57 %"},
		{"Fraction", "1", 1, "100 %"},
		{"Fraction", "-0.5 %", -0.005, "-0.5 %"},
		{"Fraction", "120 %", 1.2, "120 %"},
		{"Metres", "6 m", 6, "6 m"},
		{"Metres", "28 cm", 0.28, "0.28 m"},
		{"Metres", "5 mm", 0.005, "5 mm"},
		{"Metres", "30 ft", 30 * 0.3048, "9.144 m"},
		{"SquareMillimetres", "16 mm²", 16, "16 mm²"},
		{"SquareMillimetres", "16mm2", 16, "16 mm²"},
		{"WattsPerSquareMetre", "800 W/m²", 800, "800 W/m²"},
		{"WattsPerSquareMetre", "800 W/m2", 800, "800 W/m²"},
		{"Litres", "60 L", 60, "60 L"},
		{"Litres", "60 litres", 60, "60 L"},
		{"LitresPerHour", "0.8 L/h", 0.8, "0.8 L/h"},
		{"LitresPerHour", "0.8 l/h", 0.8, "0.8 L/h"},
		{"Kilograms", "28 kg", 28, "28 kg"},
		{"Kilograms", "6.5 t", 6500, "6500 kg"},
		{"Kilograms", "50 g", 0.05, "50 g"},
	}
	seen := map[string]bool{}
	for _, tt := range tests {
		seen[tt.quantity] = true
		got, printed, err := quantityNamed(t, tt.quantity).read(tt.text)
		if assert.NoError(t, err, "%s(%q)", tt.quantity, tt.text) {
			assert.Equal(t, tt.want, got, "%s(%q)", tt.quantity, tt.text)
			assert.Equal(t, tt.printed, printed, "%s(%q).String()", tt.quantity, tt.text)
		}
	}
	for _, q := range quantities {
		assert.True(t, seen[q.name], "no accepted text for %s", q.name)
	}
}

func TestRefused(t *testing.T) {
	tests := []struct{ quantity, text, message string }{
		{"Watts", "12", `"12" is not a power, like 85 W: the unit is missing, write "12 W"`},
		{"Watts", "85 w", `"85 w" is not a power, like 85 W: write the unit "W"`},
		{"Watts", "85 hp", `"85 hp" is not a power, like 85 W: the unit "hp" does not fit`},
		{"Watts", "85 Wh", `"85 Wh" is not a power, like 85 W: the unit "Wh" does not fit`},
		{"Watts", "1e400 W", `"1e400 W" is not a power, like 85 W: the number is too large`},
		{"Watts", "1e308 kW", `"1e308 kW" is not a power, like 85 W: the number is too large`},
		{"Watts", "9 x 1e308 W", `"9 x 1e308 W" is not a power, like 85 W: the number is too large`},
		{"Watts", "1e99999999999999999999 W", `"1e99999999999999999999 W" is not a power, like 85 W: the number is too large`},
		{"Watts", "1.2.3 W", `"1.2.3 W" is not a power, like 85 W: the number cannot be read`},
		{"Watts", "", `"" is not a power, like 85 W: it is empty`},
		{"Watts", " \t", `" \t" is not a power, like 85 W: it is empty`},
		{"Watts", "W", `"W" is not a power, like 85 W: it does not begin with a number`},
		{"Watts", "-", `"-" is not a power, like 85 W: the number is missing`},
		{"Watts", "--5 W", `"--5 W" is not a power, like 85 W: it does not begin with a number`},
		{"Watts", ". W", `". W" is not a power, like 85 W: it does not begin with a number`},
		{"Watts", "0x1F W", `"0x1F W" is not a power, like 85 W: the unit "x" does not fit`},
		{"Watts", "0 x 90 W", `"0 x 90 W" is not a power, like 85 W: the unit "x" does not fit`},
		{"Watts", "1.5 x 90 W", `"1.5 x 90 W" is not a power, like 85 W: the unit "x" does not fit`},
		{"Watts", "2 x", `"2 x" is not a power, like 85 W: the number is missing`},
		{"Watts", "1_000 W", `"1_000 W" is not a power, like 85 W: the unit "_" does not fit`},
		{"Watts", "85 W 3 mW", `"85 W 3 mW" is not a power, like 85 W: there is something behind the unit`},
		{"Watts", "85 W please", `"85 W please" is not a power, like 85 W: "please" is not understood`},
		{"WattHours", "12 kwh", `"12 kwh" is not an energy, like 1.2 kWh: write the unit "kWh"`},
		{"Amps", "NaN A", `"NaN A" is not a current, like 2.5 A: it does not begin with a number`},
		{"AmpHours", "115 A", `"115 A" is not a charge, like 2 x 115 Ah: the unit "A" does not fit`},
		{"Volts", "inf V", `"inf V" is not a voltage, like 11.6 V: it does not begin with a number`},
		{"Volts", "-Inf V", `"-Inf V" is not a voltage, like 11.6 V: it does not begin with a number`},
		{"Ohms", "5 mR", `"5 mR" is not a resistance, like 5 mΩ: the unit "mR" does not fit`},
		{"Knots", "5,2 kn", `"5,2 kn" is not a speed, like 5.2 kn: write a decimal point, not a comma`},
		{"Knots", "5,2kn", `"5,2kn" is not a speed, like 5.2 kn: write a decimal point, not a comma`},
		{"NauticalMiles", "120", `"120" is not a distance, like 120 nm: the unit is missing, write "120 nm"`},
		{"Degrees", "20 %", `"20 %" is not an angle, like 20°: the unit "%" does not fit`},
		{"Celsius", "75 F", `"75 F" is not a temperature, like 24 °C: the unit "F" does not fit`},
		{"Hours", "15", `"15" is not a span of time, like 15 min, 2 h 30 min or 7 d: the unit is missing, write "15 h"`},
		{"Hours", "2 h 30", `"2 h 30" is not a span of time, like 15 min, 2 h 30 min or 7 d: the unit is missing, write "30 h"`},
		{"Hours", "30 min 2 h", `"30 min 2 h" is not a span of time, like 15 min, 2 h 30 min or 7 d: the larger unit comes first`},
		{"Hours", "2 h 2 h", `"2 h 2 h" is not a span of time, like 15 min, 2 h 30 min or 7 d: the larger unit comes first`},
		{"Hours", "2 h -30 min", `"2 h -30 min" is not a span of time, like 15 min, 2 h 30 min or 7 d: "-30 min" is not understood`},
		{"Hours", "06:30", `"06:30" is not a span of time, like 15 min, 2 h 30 min or 7 d: the unit ":" does not fit`},
		{"Newtons", "40 kg", `"40 kg" is not a force, like 400 N: the unit "kg" does not fit`},
		{"Fraction", "95", `"95" is not a share, like 55 % or 0.55: write "95 %" for hundredths`},
		{"Fraction", "5 W", `"5 W" is not a share, like 55 % or 0.55: the unit "W" does not fit`},
		{"Metres", "6", `"6" is not a length, like 6 m: the unit is missing, write "6 m"`},
		{"SquareMillimetres", "16 m2", `"16 m2" is not a conductor area, like 16 mm²: the unit "m2" does not fit`},
		{"WattsPerSquareMetre", "800 W", `"800 W" is not an irradiance, like 800 W/m²: the unit "W" does not fit`},
		{"Litres", "60 gal", `"60 gal" is not a volume, like 60 L: the unit "gal" does not fit`},
		{"LitresPerHour", "1 L", `"1 L" is not a fuel rate, like 0.8 L/h: the unit "L" does not fit`},
		{"Kilograms", "28 KG", `"28 KG" is not a mass, like 28 kg: write the unit "kg"`},
	}
	seen := map[string]bool{}
	for _, tt := range tests {
		seen[tt.quantity] = true
		_, _, err := quantityNamed(t, tt.quantity).read(tt.text)
		var syntax *units.SyntaxError
		if assert.True(t, errors.As(err, &syntax), "%s(%q): %v", tt.quantity, tt.text, err) {
			assert.Equal(t, tt.message, err.Error(), tt.quantity)
			assert.Equal(t, tt.text, syntax.Text)
		}
	}
	for _, q := range quantities {
		assert.True(t, seen[q.name], "no refused text for %s", q.name)
	}
}

func TestRefusedLeavesTheValue(t *testing.T) {
	x := units.Watts(7)
	require.Error(t, x.UnmarshalText([]byte("12")))
	assert.Equal(t, units.Watts(7), x)
}

func ExampleParse() {
	bank, err := units.Parse[units.AmpHours]("2 x 115 Ah")
	fmt.Println(bank, err)
	_, err = units.Parse[units.Knots]("5,2 kn")
	fmt.Println(err)
	// Output:
	// 230 Ah <nil>
	// "5,2 kn" is not a speed, like 5.2 kn: write a decimal point, not a comma
}

func FuzzParse(f *testing.F) {
	for i := range quantities {
		for _, text := range []string{
			"2 x 115 Ah", "95 %", "0.95", "15 min", "2h30min", "-2 d 3 h 1 s", "7 d", "−3 °C", "5,2 kn",
			"1e400 W", "NaN A", "1e-320 kW", "0.1 mΩ", "123456789.123456789 %", "65535 x 1 s", "3 W/m2", "1e15 h", "12",
		} {
			f.Add(i, text)
		}
	}
	f.Fuzz(func(t *testing.T, i int, text string) {
		q := quantities[((i%len(quantities))+len(quantities))%len(quantities)]
		value, printed, err := q.read(text)
		if err != nil {
			var syntax *units.SyntaxError
			require.True(t, errors.As(err, &syntax), "%s(%q): %T", q.name, text, err)
			require.False(t, strings.HasSuffix(err.Error(), "."), err.Error())
			return
		}
		require.False(t, math.IsNaN(value) || math.IsInf(value, 0), "%s(%q) = %v", q.name, text, value)
		again, _, err := q.read(printed)
		require.NoError(t, err, "%s(%q) prints as %q", q.name, text, printed)
		require.Equal(t, math.Float64bits(value), math.Float64bits(again), "%s(%q) prints as %q", q.name, text, printed)
	})
}

func TestPrintedAnyValueReadsBack(t *testing.T) {
	// Also values no text gave: sums, products, the smallest and the largest.
	values := []float64{
		1.0 / 3, 0.1 + 0.2, math.Pi * 1e-5, 1e-7, 99999999999999.9, 1e15, 1e22,
		math.MaxFloat64, math.SmallestNonzeroFloat64, 7.0 / 3, 1.2345678901234567, 0.07 * 100, 1<<53 + 2,
	}
	for _, q := range quantities {
		for _, v := range values {
			for _, v := range []float64{v, -v} {
				got, _, err := q.read(q.show(v))
				if assert.NoError(t, err, "%s %v prints as %q", q.name, v, q.show(v)) {
					assert.Equal(t, v, got, "%s %v prints as %q", q.name, v, q.show(v))
				}
			}
		}
	}
}
