package units

// String writes each quantity so that UnmarshalText reads the same value back;
// infinities and NaN, which no text can give, are written as such.

// set reads text as q into a quantity.
func set[T ~float64](x *T, q *quantity, text []byte) error {
	v, err := q.parse(string(text))
	if err != nil {
		return err
	}
	*x = T(v)
	return nil
}

// UnmarshalText reads "85 W"; the error is a *SyntaxError.
func (x *Watts) UnmarshalText(text []byte) error { return set(x, &power, text) }
func (x Watts) String() string                   { return power.format(float64(x)) }

// UnmarshalText reads "1.2 kWh"; the error is a *SyntaxError.
func (x *WattHours) UnmarshalText(text []byte) error { return set(x, &energy, text) }
func (x WattHours) String() string                   { return energy.format(float64(x)) }

// UnmarshalText reads "2.5 A"; the error is a *SyntaxError.
func (x *Amps) UnmarshalText(text []byte) error { return set(x, &current, text) }
func (x Amps) String() string                   { return current.format(float64(x)) }

// UnmarshalText reads "2 x 115 Ah"; the error is a *SyntaxError.
func (x *AmpHours) UnmarshalText(text []byte) error { return set(x, &charge, text) }
func (x AmpHours) String() string                   { return charge.format(float64(x)) }

// UnmarshalText reads "11.6 V"; the error is a *SyntaxError.
func (x *Volts) UnmarshalText(text []byte) error { return set(x, &voltage, text) }
func (x Volts) String() string                   { return voltage.format(float64(x)) }

// UnmarshalText reads "5 mΩ"; the error is a *SyntaxError.
func (x *Ohms) UnmarshalText(text []byte) error { return set(x, &resistance, text) }
func (x Ohms) String() string                   { return resistance.format(float64(x)) }

// UnmarshalText reads "5.2 kn"; the error is a *SyntaxError.
func (x *Knots) UnmarshalText(text []byte) error { return set(x, &speed, text) }
func (x Knots) String() string                   { return speed.format(float64(x)) }

// UnmarshalText reads "120 nm"; the error is a *SyntaxError.
func (x *NauticalMiles) UnmarshalText(text []byte) error { return set(x, &distance, text) }
func (x NauticalMiles) String() string                   { return distance.format(float64(x)) }

// UnmarshalText reads "20°"; the error is a *SyntaxError.
func (x *Degrees) UnmarshalText(text []byte) error { return set(x, &angle, text) }
func (x Degrees) String() string                   { return angle.format(float64(x)) }

// UnmarshalText reads "24 °C"; the error is a *SyntaxError.
func (x *Celsius) UnmarshalText(text []byte) error { return set(x, &temperature, text) }
func (x Celsius) String() string                   { return temperature.format(float64(x)) }

// UnmarshalText reads "15 min", "2 h 30 min" or "7 d"; the error is a *SyntaxError.
func (x *Hours) UnmarshalText(text []byte) error { return set(x, &span, text) }
func (x Hours) String() string                   { return formatSpan(float64(x)) }

// UnmarshalText reads "400 N"; the error is a *SyntaxError.
func (x *Newtons) UnmarshalText(text []byte) error { return set(x, &force, text) }
func (x Newtons) String() string                   { return force.format(float64(x)) }

// UnmarshalText reads "55 %" or "0.55"; the error is a *SyntaxError.
func (x *Fraction) UnmarshalText(text []byte) error { return set(x, &fraction, text) }
func (x Fraction) String() string                   { return fraction.format(float64(x)) }

// UnmarshalText reads "6 m"; the error is a *SyntaxError.
func (x *Metres) UnmarshalText(text []byte) error { return set(x, &length, text) }
func (x Metres) String() string                   { return length.format(float64(x)) }

// UnmarshalText reads "16 mm²"; the error is a *SyntaxError.
func (x *SquareMillimetres) UnmarshalText(text []byte) error { return set(x, &area, text) }
func (x SquareMillimetres) String() string                   { return area.format(float64(x)) }

// UnmarshalText reads "800 W/m²"; the error is a *SyntaxError.
func (x *WattsPerSquareMetre) UnmarshalText(text []byte) error { return set(x, &light, text) }
func (x WattsPerSquareMetre) String() string                   { return light.format(float64(x)) }

// UnmarshalText reads "60 L"; the error is a *SyntaxError.
func (x *Litres) UnmarshalText(text []byte) error { return set(x, &volume, text) }
func (x Litres) String() string                   { return volume.format(float64(x)) }

// UnmarshalText reads "0.8 L/h"; the error is a *SyntaxError.
func (x *LitresPerHour) UnmarshalText(text []byte) error { return set(x, &fuelRate, text) }
func (x LitresPerHour) String() string                   { return fuelRate.format(float64(x)) }

// UnmarshalText reads "28 kg"; the error is a *SyntaxError.
func (x *Kilograms) UnmarshalText(text []byte) error { return set(x, &mass, text) }
func (x Kilograms) String() string                   { return mass.format(float64(x)) }
