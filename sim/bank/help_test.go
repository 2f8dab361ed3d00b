package bank

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// model returns the model of a setup that must be right.
func model(t testing.TB, s Setup) *Model {
	t.Helper()
	m, err := New(s)
	require.NoError(t, err)
	return m
}

// within fails the test when got is further than tol from want, relative to want.
func within(t testing.TB, got, want, tol float64, what string) {
	t.Helper()
	if !(math.Abs(got-want) <= tol*math.Abs(want)) {
		t.Errorf("%s = %.8g, want %.8g within %g %%", what, got, want, tol*100)
	}
}

// inputs reads cells like "C=120; H=20; n=1.4".
func inputs(t testing.TB, cell string) map[string]float64 {
	t.Helper()
	in := map[string]float64{}
	for _, part := range strings.FieldsFunc(cell, func(r rune) bool { return r == ';' || r == ' ' }) {
		key, number, ok := strings.Cut(part, "=")
		if !ok {
			continue
		}
		x, err := strconv.ParseFloat(number, 64)
		require.NoError(t, err, "in %q", cell)
		in[key] = x
	}
	return in
}

// straight is a battery whose two sides are the same straight line
// E = e0 + e1 s behind r Ω, with tanks of qmax at any temperature, no losses and
// no charger that holds it back.
func straight(t Tanks, qmax, e0, e1, r float64) Setup {
	t.Over = 1
	one := Factor{Least: 1, Most: 1}
	line := Side{Curve{A: e0, B: e1, D: 2}, r * qmax, one}
	return Setup{
		Rated: ah(qmax), Cells: 6, Health: 1, Tanks: t,
		Capacity: one, Discharge: line, Charge: line,
		Largest: 100, Efficiency: Efficiency{Low: 1, Full: 1},
		Charger: Charger{Absorption: 100, Coldest: 0, Hottest: 1},
	}
}
