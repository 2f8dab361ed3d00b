package main

import (
	"bytes"
	"encoding/binary"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The embedded files are those that the sources give today; if not, run
// go generate ./sim/climate. The cloud table rests on transcendental functions
// whose last bit may differ between machines: it may be off by one unit.
func TestFilesAreFresh(t *testing.T) {
	const from, to = "../../../../testdata/climate/", "../../"
	have := func(name string) []byte {
		data, err := os.ReadFile(to + name)
		require.NoError(t, err)
		return data
	}
	ocean, err := packOcean(from + "ocean_climate.csv.gz")
	require.NoError(t, err)
	assert.True(t, bytes.Equal(ocean, have("ocean.bin")), "ocean.bin is stale")
	land, err := packLand(from + "land_mask_1deg.txt")
	require.NoError(t, err)
	assert.True(t, bytes.Equal(land, have("land.bin")), "land.bin is stale")

	got, want := packCloud(), have("cloud.bin")
	require.Len(t, want, len(got))
	quantiles := 2 * means * concentrations * deviates
	for i := 0; i < quantiles; i += 2 {
		require.InDelta(t, binary.LittleEndian.Uint16(got[i:]), binary.LittleEndian.Uint16(want[i:]), 1, "quantile at %d", i)
	}
	for i := quantiles; i < len(got); i += 4 {
		require.InDelta(t, float64(binary.LittleEndian.Uint32(got[i:])), float64(binary.LittleEndian.Uint32(want[i:])), 1, "share at %d", i)
	}
}
