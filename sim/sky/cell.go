package sky

import (
	"math"

	"ampwake/sim/units"
)

// metresPerSecond in a knot.
const metresPerSecond = 1852.0 / 3600

// CellNOCT returns the temperature of the cells from the plane-of-array
// irradiance and the nominal operating cell temperature (45 to 48 °C for a free
// panel), without regard to the wind: [Ross 1981]. A rail panel at sea is
// usually cooler than this.
func CellNOCT(air units.Celsius, plane units.WattsPerSquareMetre, noct units.Celsius) units.Celsius {
	return air + (noct-20)/800*units.Celsius(plane)
}

// CellFaiman returns the same with the wind at the panel: [Faiman 2008],
// with the mean coefficients 25 W/m²K and 6.84 Ws/m³K.
func CellFaiman(air units.Celsius, plane units.WattsPerSquareMetre, wind units.Knots) units.Celsius {
	return air + units.Celsius(float64(plane)/(25+6.84*metresPerSecond*float64(wind)))
}

// Sandia describes how a panel sheds heat in CellSandia.
type Sandia struct {
	A, B float64       // with wind in m/s at 10 m
	Lag  units.Celsius // of the back behind the cells at 1000 W/m²
}

// SandiaOpen returns the coefficients of a glass and polymer panel in the open:
// [King 2004] table 1, as SandiaGlued.
func SandiaOpen() Sandia { return Sandia{-3.56, -0.075, 3} }

// SandiaGlued returns those of a panel with an insulated back, as when stuck on
// deck: 20 °C hotter at noon.
func SandiaGlued() Sandia { return Sandia{-2.81, -0.0455, 0} }

// CellSandia returns the temperature of the cells by [King 2004] eq. 11 and 12,
// with the wind at 10 m.
func CellSandia(air units.Celsius, plane units.WattsPerSquareMetre, wind units.Knots, k Sandia) units.Celsius {
	e := float64(plane)
	back := e*math.Exp(k.A+k.B*metresPerSecond*float64(wind)) + float64(air)
	return units.Celsius(back + e/1000*float64(k.Lag))
}

// PanelPower returns the power of a panel at its best point for the irradiance
// that reaches the cells, its rating at 1000 W/m² and 25 °C, and the change of
// power per kelvin (about -0.004), not below 0: [Dobos 2014].
func PanelPower(effective units.WattsPerSquareMetre, rated units.Watts, perKelvin float64, cell units.Celsius) units.Watts {
	return units.Watts(max(0, float64(effective)/1000*float64(rated)*(1+float64(perKelvin*float64(cell-25)))))
}
