package sheet

import (
	"crypto/sha256"
	"encoding/hex"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
)

// The chart library is that of its release, unchanged: SOURCE.txt has the sums
// of the published files.
func TestVendored(t *testing.T) {
	const dir = "assets/uplot"
	source, err := os.ReadFile(filepath.Join(dir, "SOURCE.txt"))
	require.NoError(t, err)
	sums := regexp.MustCompile(`(?m)^sha256 ([0-9a-f]{64}) (\S+)$`).FindAllStringSubmatch(string(source), -1)
	require.Len(t, sums, 2)
	for _, m := range sums {
		data, err := os.ReadFile(filepath.Join(dir, m[2]))
		require.NoError(t, err)
		sum := sha256.Sum256(data)
		require.Equal(t, m[1], hex.EncodeToString(sum[:]), m[2])
	}
	version := regexp.MustCompile(`uPlot (\d+\.\d+\.\d+), npm`).FindSubmatch(source)
	require.Contains(t, uplotJS, "(v"+string(version[1])+")", "the banner names the version that the text records")
	require.Contains(t, uplotLicence, "The MIT License (MIT)")
}
