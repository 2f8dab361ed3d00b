package scenarios

import (
	"reflect"
	"strings"
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

// Nobody takes a default for more than it is: each tells where it comes from, in
// one of a few words, with what else is met in brackets.
func TestEveryDefaultHasAStatus(t *testing.T) {
	known := []string{"published", "measured", "common practice, no source", "from memory", "own choice", "changes nothing", "by chemistry"}
	n := 0
	for _, k := range Keys() {
		if k.Default == "" && k.Status == "" || strings.HasSuffix(k.Path, ".name") {
			continue
		}
		n++
		head, _, _ := strings.Cut(k.Status, " (")
		assert.Contains(t, known, head, "status of %s, default %q", k.Path, k.Default)
	}
	assert.Greater(t, n, 60)
	assert.Contains(t, Reference(), "default 10 %: common practice, no source; at least 0 % and less than 100 %")
	assert.Contains(t, Reference(), "if absent: by chemistry (see package bank); from 12 V to 16 V")
	assert.Contains(t, string(Schema()), "share lost to salt and dirt; at least 0 % and less than 100 %; default: common practice, no source")
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
