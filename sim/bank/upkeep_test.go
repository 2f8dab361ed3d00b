package bank_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"ampwake/sim/bank"
	"ampwake/sim/units"
)

// A lead-acid bank on float comes up to full within two days and stays there
// (common practice, no source); it must not run down under a charger.
func TestFloatKeepsTheBankFull(t *testing.T) {
	for _, kind := range []bank.Chemistry{bank.AGM, bank.Flooded, bank.Gel} {
		m, err := bank.New(bank.Default(kind, 200))
		require.NoError(t, err)
		for _, temp := range []units.Celsius{5, 25, 30} {
			in := bank.Node{Supply: 150, Current: 2, Temp: 25, Length: 1.0 / 6}
			in.Temp = temp
			s := m.Start(0.9, in.Temp)
			at := map[int]float64{}
			for day := 1; day <= 30; day++ {
				for range 144 {
					require.False(t, m.Step(&s, in).Flat)
				}
				at[day] = float64(m.Charge(&s, in.Temp))
			}
			require.Equal(t, bank.Floating, s.Stage(), "%v at %v", kind, temp)
			require.Greater(t, at[3], 0.975, "%v at %v °C, third day", kind, temp)
			require.InDelta(t, at[15], at[30], 0.01, "%v at %v °C: stays", kind, temp)
		}
	}
}
