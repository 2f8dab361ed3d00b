package trial

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios/logbook"
)

// TestSwappedSpeed gives the cloud as the speed: both are numbers from 0 to 8, so
// that only the positions tell.
func TestSwappedSpeed(t *testing.T) {
	s := open(t, "radio-cover")
	src, err := logbook.Source("trial-sail")
	require.NoError(t, err)
	assert.Empty(t, readLog(t, s, string(src)).Warnings)
	swapped := strings.Replace(string(src), "cloud [oktas], speed [kn]", "speed [kn], cloud [oktas]", 1)
	assert.Equal(t, []string{"the speeds do not come to the miles between the positions in 9 of 13 stretches: did the speed change places with another column, or is it in another unit?"}, readLog(t, s, swapped).Warnings)
}

// TestOtherHemisphere has E for W in each position.
func TestOtherHemisphere(t *testing.T) {
	s := open(t, "radio-cover")
	src, err := logbook.Source("trial-sail")
	require.NoError(t, err)
	l := readLog(t, s, strings.NewReplacer("N 025°", "S 125°", "N 026°", "S 126°").Replace(string(src)))
	require.Len(t, l.Warnings, 1)
	assert.Contains(t, l.Warnings[0], "miles off the route of the scenario")
	_, err = NewNoon(t.Context(), l, NoonOptions{Members: 1})
	require.ErrorContains(t, err, "miles off the planned route: the log is of another voyage, or N and S or E and W changed places")
}

// TestNewestFirst says why but one line is left of a log that is written upwards.
func TestNewestFirst(t *testing.T) {
	s := open(t, "radio-cover")
	log, err := logbook.Read("log.csv", []byte("time [UTC], volts rested [V]\n2027-01-11 12:00, 12.6\n2027-01-11 09:00, 12.6\n2027-01-10 12:00, 12.6\n"), OptionsFor(s))
	require.NoError(t, err)
	_, err = NewLogged(s, log)
	require.ErrorIs(t, err, ErrShort)
	require.ErrorContains(t, err, "2 more were left out, such as line 3: its time, 11 Jan 2027 09:00, is not later than that of line 2")
}

// TestPoorFit reads charge of which no boat near the plan could be: full, and all
// but empty, by turns. What is taken for granted is said once though the fit sets
// out several times.
func TestPoorFit(t *testing.T) {
	s := open(t, "radio-cover")
	l := readLog(t, s, `time [UTC], position, volts rested [V]
2027-01-10 12:00, 16°53'N 025°00'W, 12.75
2027-01-10 18:00, , 11.8
2027-01-11 00:00, , 12.75
2027-01-11 06:00, , 11.8
2027-01-11 12:00, 14°53'N 025°10'W, 12.75
2027-01-11 18:00, , 11.8
`)
	f, err := New(t.Context(), l)
	require.NoError(t, err)
	assert.True(t, f.Poor)
	seen := map[string]bool{}
	for _, note := range l.Notes {
		assert.False(t, seen[note], note)
		seen[note] = true
	}
}
