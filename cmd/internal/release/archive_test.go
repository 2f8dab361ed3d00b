package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"io"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var date = time.Date(2027, 1, 10, 9, 0, 2, 0, time.UTC) // even: a zip counts in steps of 2 s

func sample() []file {
	return []file{
		{"man/man1/ampwake.1", 0o644, []byte("page")},
		{"ampwake", 0o755, bytes.Repeat([]byte("binary "), 1000)},
		{"LICENSE", 0o644, []byte("terms")},
	}
}

// The order of the files and the zone of the date change no byte.
func TestPackIsTheSameWhateverTheOrder(t *testing.T) {
	for _, at := range []target{{"linux", "arm64"}, {"windows", "amd64"}} {
		one, err := at.pack("ampwake-v1", sample(), date)
		require.NoError(t, err)
		turned := sample()
		slices.Reverse(turned)
		two, err := at.pack("ampwake-v1", turned, date.In(time.FixedZone("ship", -7200)))
		require.NoError(t, err)
		assert.True(t, bytes.Equal(one, two), at.system)
		later, err := at.pack("ampwake-v1", sample(), date.Add(time.Hour))
		require.NoError(t, err)
		assert.False(t, bytes.Equal(one, later), at.system)
	}
}

func TestTarred(t *testing.T) {
	packed, err := target{"darwin", "arm64"}.pack("ampwake-v1", sample(), date)
	require.NoError(t, err)
	gz, err := gzip.NewReader(bytes.NewReader(packed))
	require.NoError(t, err)
	assert.Empty(t, gz.Name)
	assert.True(t, gz.ModTime.IsZero())
	in := tar.NewReader(gz)
	var names []string
	for {
		h, err := in.Next()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
		names = append(names, h.Name)
		assert.True(t, h.ModTime.Equal(date))
		assert.Zero(t, h.Uid+h.Gid)
		assert.Empty(t, h.Uname+h.Gname)
		want := int64(0o644)
		if h.Name == "ampwake-v1/ampwake" {
			want = 0o755
			data, err := io.ReadAll(in)
			require.NoError(t, err)
			assert.Len(t, data, 7000)
		}
		assert.Equal(t, want, h.Mode, h.Name)
	}
	assert.Equal(t, []string{"ampwake-v1/LICENSE", "ampwake-v1/ampwake", "ampwake-v1/man/man1/ampwake.1"}, names)
}

func TestZipped(t *testing.T) {
	packed, err := target{"windows", "arm64"}.pack("ampwake-v1", sample(), date)
	require.NoError(t, err)
	in, err := zip.NewReader(bytes.NewReader(packed), int64(len(packed)))
	require.NoError(t, err)
	require.Len(t, in.File, 3)
	assert.Equal(t, "ampwake-v1/ampwake", in.File[1].Name)
	assert.Equal(t, "-rwxr-xr-x", in.File[1].Mode().String())
	assert.Equal(t, "-rw-r--r--", in.File[0].Mode().String())
	for _, f := range in.File {
		assert.True(t, f.Modified.Equal(date), f.Name)
	}
	r, err := in.File[1].Open()
	require.NoError(t, err)
	data, err := io.ReadAll(r)
	require.NoError(t, err)
	assert.Equal(t, sample()[1].data, data)
}
