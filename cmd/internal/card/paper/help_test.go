package paper

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

func writeFile(t *testing.T, path string, data []byte) {
	t.Helper()
	require.NoError(t, os.WriteFile(path, data, 0o600))
}
