package scenarios_test

import (
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
)

// What a text names is opened through the opener and no other way, also when it
// is read again with overrides.
func TestReadSealed(t *testing.T) {
	const text = "title: x\nvoyage: {depart: 2027-01-10 09:00 UTC, route: {gpx: way.gpx}, pace: [{speed: 5 kn}]}\nbank: {capacity: 100 Ah}\nweather: {record: log.csv}\n"
	var asked []string
	shut := func(path string) (io.ReadCloser, error) {
		asked = append(asked, path)
		return nil, errors.New("sealed")
	}
	_, err := scenarios.ReadSealed(shut, "sealed.yaml", []byte(text))
	require.Error(t, err)
	assert.ElementsMatch(t, []string{"way.gpx"}, asked, "the log is asked for once there is a route")
	assert.Contains(t, err.Error(), "sealed")

	asked = nil
	give := func(path string) (io.ReadCloser, error) {
		asked = append(asked, path)
		return io.NopCloser(strings.NewReader(`<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><wpt lat="16" lon="-25"><name>A</name></wpt><wpt lat="10" lon="-30"><name>B</name></wpt></gpx>`)), nil
	}
	s, err := scenarios.ReadSealed(give, "there/sealed.yaml", []byte(text), "weather.record=")
	require.NoError(t, err)
	assert.Equal(t, []string{"there/way.gpx"}, asked)
	_, err = s.With("again", "bank.capacity=50 Ah")
	require.NoError(t, err)
	assert.Equal(t, []string{"there/way.gpx", "there/way.gpx"}, asked)
}
