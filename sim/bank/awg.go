package bank

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ampwake/sim/units"
)

// Gauge is an American wire gauge [ASTM B258]: 40 is thin, 1 thick, then come
// 1/0, 2/0, 3/0 and 4/0, held as 0, -1, -2 and -3.
type Gauge int

// String returns "6 AWG" or "2/0 AWG".
func (g Gauge) String() string {
	if g <= 0 {
		return strconv.Itoa(1-int(g)) + "/0 AWG"
	}
	return strconv.Itoa(int(g)) + " AWG"
}

// UnmarshalText reads "6 AWG", "AWG 6", "2/0" or "6", 4/0 to 40.
func (g *Gauge) UnmarshalText(text []byte) error {
	word := strings.ToUpper(strings.TrimSpace(string(text)))
	word = strings.TrimSpace(strings.TrimSuffix(strings.TrimPrefix(word, "AWG"), "AWG"))
	fail := fmt.Errorf("%q is not a wire gauge: expected 4/0 to 40 AWG, like 6 AWG", text)
	head, noughts := strings.CutSuffix(word, "/0")
	if head == "" || head[0] < '0' || head[0] > '9' {
		return fail
	}
	n, err := strconv.Atoi(head)
	if err != nil {
		return fail
	}
	if noughts {
		if n < 1 || n > 4 {
			return fail
		}
		*g = Gauge(1 - n)
		return nil
	}
	if n < 0 || n > 40 {
		return fail
	}
	*g = Gauge(n)
	return nil
}

// Diameter returns the diameter of a solid wire, mm: 0.127 × 92^((36-n)/39).
func (g Gauge) Diameter() float64 { return 0.127 * math.Pow(92, float64(36-g)/39) }

// Area returns the conductor area. Marine cable sized by SAE has about 10 %
// less.
func (g Gauge) Area() units.SquareMillimetres {
	d := g.Diameter()
	return units.SquareMillimetres(math.Pi / 4 * d * d)
}

// CircularMils returns the area as the square of the diameter in thousandths of
// an inch.
func (g Gauge) CircularMils() float64 {
	mils := g.Diameter() / 0.0254
	return mils * mils
}

// PerKilometre returns the resistance of 1 km of annealed copper at 20 °C;
// stranded marine cable has 2 to 6 % more.
func (g Gauge) PerKilometre() units.Ohms {
	return units.Ohms(copper * 1e9 / float64(g.Area()))
}

// GaugeFor returns the thinnest even-numbered gauge, or 1/0 to 4/0, of at least
// so many circular mils; ok is false above 4/0. Odd gauges are not sold for
// boats.
func GaugeFor(circularMils float64) (g Gauge, ok bool) {
	for _, g := range []Gauge{18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 0, -1, -2, -3} {
		if g.CircularMils() >= circularMils {
			return g, true
		}
	}
	return 0, false
}

// CircularMilsFor returns the area for a current on a loop out and back of so
// many feet losing at most drop: the ABYC formula, 10.75 Ω for one mil foot.
func CircularMilsFor(i units.Amps, feet float64, drop units.Volts) float64 {
	return 10.75 * float64(i) * feet / float64(drop)
}
