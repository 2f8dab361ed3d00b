package sources_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim"
	"ampwake/sim/units"
	"ampwake/sources"
)

func TestShoreChargerOnlyAlongside(t *testing.T) {
	s, err := sources.NewShoreCharger("shore", 360)
	require.NoError(t, err)
	for state := sim.UnderSail; state <= sim.Alongside; state++ {
		want := units.Watts(0)
		if state == sim.Alongside {
			want = 360
		}
		assert.Equal(t, sim.Supply{Power: want}, s.Offer(&sim.Conditions{State: state}), "state %d", state)
	}
	_, err = sources.NewShoreCharger("shore", 0)
	assert.EqualError(t, err, "shore: the output must be above 0")
}
