package scenarios_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
)

func withSets(t testing.TB, sets ...string) (*scenarios.Scenario, error) {
	t.Helper()
	label, src, err := scenarios.Source("radio-cover")
	require.NoError(t, err)
	return scenarios.Read(label, src, sets, "")
}

func TestWeightAndPrice(t *testing.T) {
	s, err := withSets(t)
	require.NoError(t, err)
	_, given := s.File.Weight()
	assert.False(t, given)
	_, given = s.File.Price()
	assert.False(t, given)

	capacity := "bank.capacity=200 Ah"
	for _, c := range []struct {
		sets      []string
		kg, price float64 // below 0: not given
	}{
		{[]string{"bank.weighs=60 kg"}, 60, -1},
		{[]string{"bank.weighs per Ah=280 g", "bank.costs per Ah=2.5"}, 56, 500},
		{[]string{"bank.weighs=60 kg", "bank.costs=0"}, 60, 0},
		{[]string{"sources.hydro.weighs=9 kg", "sources.hydro.costs=1200"}, 9, 1200},
		{[]string{"bank.weighs per Ah=0.28 kg", "sources.panels[0].rated=50 W", "sources.panels[0].weighs per W=0.1 kg", "sources.panels[0].costs per W=2"}, 61, 100},
		{[]string{"sources.panels[0].weighs=4 kg", "sources.panels[1].weighs=5 kg"}, 9, -1},
		{[]string{"weather.wind={speed: 15 kn, from: 60°}", "sources.wind={weighs: 8 kg, costs: 900}"}, 8, 900},
		{[]string{"sources.shore={power: 300 W, weighs: 3 kg, costs: 150}"}, 3, 150},
		// The fuel weighs once the engine does; 100 L at 0.833 kg.
		{[]string{"sources.engine={alternator: 60 A, fuel: 100 L, weighs: 0 kg}"}, 83.3, -1},
		{[]string{"sources.engine={alternator: 60 A, fuel: 100 L, costs: 400, costs per L: 2}"}, -1, 600},
		{[]string{"sources.engine={alternator: 60 A, fuel: 100 L}"}, -1, -1},
	} {
		s, err := withSets(t, append(c.sets, capacity)...)
		require.NoError(t, err, c.sets)
		kg, given := s.File.Weight()
		assert.Equal(t, c.kg >= 0, given, c.sets)
		price, given := s.File.Price()
		assert.Equal(t, c.price >= 0, given, c.sets)
		assert.InDelta(t, max(c.kg, 0), float64(kg), 1e-9, c.sets)
		assert.InDelta(t, max(c.price, 0), price, 1e-9, c.sets)
	}
}

func TestWorthGivenTwice(t *testing.T) {
	_, err := withSets(t, "bank.weighs=60 kg", "bank.weighs per Ah=0.3 kg", "sources.panels[1].costs=9", "sources.panels[1].costs per W=2")
	assert.ErrorContains(t, err, "give either 'weighs' or 'weighs per Ah'")
	_, err = withSets(t, "bank.weighs=-1 kg")
	assert.Error(t, err)
	_, err = withSets(t, "bank.costs=450 EUR")
	assert.Error(t, err)
}

func TestItems(t *testing.T) {
	s, err := withSets(t, "sources.engine={alternator: 60 A, weighs: 90 kg}")
	require.NoError(t, err)
	var names []string
	for _, x := range s.File.Items() {
		names = append(names, x.Name)
	}
	assert.Equal(t, "bank, rail panel, deck panel, hydro, engine, fuel", strings.Join(names, ", "))
}
