package logbook

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestOtherUnit has the volts of a bank of 24 V under a header of one of 12 V, and
// a counter that shows what was drawn.
func TestOtherUnit(t *testing.T) {
	l := read(t, "time [UTC], volts rested [V], counter [Ah], generator [min]\n2027-01-10 09:00, 25.2, 4,\n2027-01-10 12:00, 25.3, 0, 700000\n2027-01-10 15:00, 12.6, 8,\n2027-01-10 18:00, 25.1, 12,\n")
	assert.Equal(t, []string{
		"3 of 4 cells under volts rested are out of range: is it another column, or another unit?",
		"the counter is never under 0: a log wants 0 when full and minus when charge is drawn; if yours shows with a plus what was drawn, write a minus before it",
	}, l.Warnings)
	assert.Contains(t, problems(l), "line 3: generator: 700000 is no time: want 0 to 600000 min")
	assert.Empty(t, read(t, "time [UTC], counter [Ah]\n2027-01-10 09:00, -4\n2027-01-10 12:00, 3\n2027-01-10 15:00, 2\n2027-01-10 18:00, 1\n").Warnings)
}

// TestDecimalCommas refuses a log whose decimal commas part its cells: a line that
// chances to have the right number of them would be read amiss.
func TestDecimalCommas(t *testing.T) {
	_, err := Read("log.csv", []byte("time [UTC], volts rested [V], speed [kn]\n2027-01-10 09:00,12,6,5,1\n2027-01-10 12:00,12,6,5,2\n2027-01-10 15:00,12,6\n2027-01-10 18:00,12,6,5,4\n"), Options{})
	require.EqualError(t, err, "log.csv: 3 of 4 lines have more cells than the header: with decimal commas, put semicolons between the columns; put quotes about a text with a comma in it")
}
