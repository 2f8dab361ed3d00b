package scenarios

import (
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios/form"
	"ampwake/sim"
	"ampwake/sim/bank"
)

func TestTags(t *testing.T) {
	require.NoError(t, form.CheckTags(reflect.TypeFor[File](), glossary()))
}

// The words of the file stand in the order of what they mean.
func TestChoicesMeanWhatTheySay(t *testing.T) {
	for i, want := range []sim.State{sim.UnderSail, sim.Motoring, sim.HoveTo, sim.Drifting, sim.AtAnchor, sim.Alongside} {
		assert.Equal(t, want, BoatState(BoatState("").Choices()[i]).state())
	}
	assert.Len(t, BoatState("").Choices(), 6)
	for _, name := range Chemistry("").Choices() {
		var c bank.Chemistry
		assert.NoError(t, c.UnmarshalText([]byte(name)), name)
	}
	assert.NotEqual(t, Line("great circle").track(), Line("rhumb line").track())
}
