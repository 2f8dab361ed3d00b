package scenarios

import (
	"reflect"

	"ampwake/loads"
	"ampwake/loads/timetable"
	"ampwake/scenarios/form"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// glossary holds the words for the types that packages below this one read from
// text: they do not know of files.
func glossary() form.Glossary {
	g := form.Glossary{}
	quantity := func(of any, what, example, unit string, symbols ...string) {
		g[reflect.TypeOf(of)] = form.Words{What: what, Example: example, Unit: unit, Pattern: form.QuantityPattern(symbols...)}
	}
	quantity(units.Watts(0), "a power", "85 W", "W", "W", "kW", "mW")
	quantity(units.Amps(0), "a current", "2.5 A", "A", "A", "mA")
	quantity(units.AmpHours(0), "a charge", "2 x 115 Ah", "Ah", "Ah", "mAh")
	quantity(units.Volts(0), "a voltage", "11.6 V", "V", "V", "mV")
	quantity(units.Ohms(0), "a resistance", "5 mΩ", "Ω", "Ω", "ohm", "mΩ", "mohm")
	quantity(units.Knots(0), "a speed", "5.2 kn", "kn", "kn", "kt", "kts", "m/s", "km/h")
	quantity(units.Degrees(0), "an angle", "20°", "°", "°", "deg")
	quantity(units.Celsius(0), "a temperature", "24 °C", "°C", "°C", "C")
	quantity(units.Fraction(0), "a share", "55 %", "", "", "%")
	quantity(units.Metres(0), "a length", "6 m", "m", "m", "cm", "mm", "ft")
	quantity(units.SquareMillimetres(0), "a conductor area", "16 mm²", "mm²", "mm²", "mm2")
	quantity(units.Newtons(0), "a force", "400 N", "N", "N", "kN")
	quantity(units.Litres(0), "a volume", "60 L", "L", "L", "l", "litres")
	quantity(units.LitresPerHour(0), "a fuel rate", "0.8 L/h", "L/h", "L/h", "l/h")
	quantity(units.Kilograms(0), "a mass", "28 kg", "kg", "kg", "g", "t")
	text := func(of any, what, example string) {
		g[reflect.TypeOf(of)] = form.Words{What: what, Example: example}
	}
	text(units.Hours(0), "a span of time", "15 min")
	text(track.Position{}, "a position", "16°53.0'N 025°00.0'W")
	text(loads.Draw{}, "a current or a power", "0.5 A")
	text(timetable.When{}, "a time to be on", "19:00-21:00 ship's time")
	text(Instant{}, "a moment", "2027-01-10 09:00 UTC")
	text(Stay{}, "a stay", "5 d at anchor")
	text(Heel{}, "a heel", "12° to port")
	text(CloudAmount(0), "a cloud amount", "3 oktas")
	text(PaceSpeed{}, "a speed", "5.2 kn")
	text(SpellStart{}, "the beginning of a spell", "north of 5°N")
	text(FaultText{}, "a fault", "rail panel: lost, day 12")
	text(Facing{}, "a facing", "aft")
	return g
}
