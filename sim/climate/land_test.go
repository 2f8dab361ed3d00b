package climate

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/testdata/refdata"
)

// The embedded mask has every square of its source.
func TestLandEqualsSource(t *testing.T) {
	raw, err := os.ReadFile(refdata.Path(t, "climate/land_mask_1deg.txt"))
	require.NoError(t, err)
	row := 0
	for _, line := range strings.Fields(strings.Join(withoutComments(string(raw)), "\n")) {
		for i, square := range line {
			p := place(89.5-float64(row), -179.5+float64(i))
			require.Equal(t, square == '#', Land(p), "%v", p)
		}
		row++
	}
	require.Equal(t, 180, row)
}

func withoutComments(text string) (lines []string) {
	for _, l := range strings.Split(text, "\n") {
		if !strings.HasPrefix(l, ";") {
			lines = append(lines, l)
		}
	}
	return lines
}

// Places everybody can check on a globe.
func TestLand(t *testing.T) {
	for _, x := range []struct {
		name     string
		lat, lon float64
		land     bool
	}{
		{"Sahara", 23, 5, true},
		{"Kansas", 38.5, -98.5, true},
		{"Siberia", 65.5, 105.5, true},
		{"Antarctica", -85, 0, true},
		{"mid Atlantic", 30.5, -40.5, false},
		{"South Pacific", -40.5, -120.5, false},
		{"date line", 20.5, 180, false},
		{"date line, the other way round", 20.5, -180, false},
		{"south pole", -90, 0, true},
	} {
		assert.Equal(t, x.land, Land(place(x.lat, x.lon)), x.name)
	}
}
