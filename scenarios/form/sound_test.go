package form_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios/form"
)

func TestSound(t *testing.T) {
	src := whole + `loads:
  - {name: HF radio, draws: 5 X}
  - {name: VHF}
  - {name: lamp, draws: 1 W, wen: always}
  - {name: fan, draws: 1 W}
seed: x
`
	var v voyage
	d, err := sample().Load("x.yaml", []byte(src), form.Sets([]string{"crew=y"}), &v)
	require.Error(t, err)
	assert.False(t, d.Empty())
	for path, want := range map[string]bool{
		"": false, "name": true, "bank": true, "bank.capacity": true, "seed": false, "crew": false, "loads": false,
		"loads[0]": false, "loads[0].draws": false, "loads[HF radio].draws": false, "loads[0].name": true,
		"loads[1]": false, "loads[1].draws": false, "loads[1].name": true,
		"loads[2]": false, "loads[2].draws": true,
		"loads[3]": true, "cloud": true,
	} {
		assert.Equal(t, want, d.Sound(path), path)
	}
	d, err = sample().Load("x.yaml", nil, nil, &v)
	require.Error(t, err)
	assert.True(t, d.Empty())
	assert.False(t, d.Sound("name"))
}

func TestNearestHint(t *testing.T) {
	assert.Equal(t, `did you mean "Horta"?`, form.Nearest("Hrota", []string{"Falmouth", "Horta"}))
	assert.Empty(t, form.Nearest("Brest", []string{"Falmouth", "Horta"}))
}
