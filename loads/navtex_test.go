package loads

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/loads/timetable"
	"ampwake/testdata/refdata"
)

// Source: radio/navtex_slots.csv, from a maker's support page that states the
// rule.
func TestNavtexSlots(t *testing.T) {
	minutes := refdata.Check{
		Model: refdata.Radio, Quantity: "NAVTEX slots of the letters",
		Source: "a maker's support page", Status: refdata.Published, Tolerance: 0, Unit: "min",
	}.Begin(t)
	rows := refdata.Read(t, "radio/navtex_slots.csv")
	assert.Len(t, rows, 24)
	for _, r := range rows {
		got, err := Navtex([]rune(r.Text("b1"))[0])
		require.NoError(t, err)
		require.Len(t, got, 6)
		for i, w := range got {
			start, err := timetable.ParseTimeOfDay(r.Text(fmt.Sprintf("start_%d", i+1)))
			require.NoError(t, err)
			minutes.Within(float64(w.From), float64(start), r.Where())
			assert.Equal(t, 10, w.Minutes())
			assert.Equal(t, timetable.UTC, w.Clock)
		}
	}
	for _, bad := range "Y@a" {
		_, err := Navtex(bad)
		assert.ErrorContains(t, err, "A to X")
	}
}

// Source: radio/navtex_station_check.csv, published first starts of 14
// stations.
func TestNavtexStations(t *testing.T) {
	minutes := refdata.Check{
		Model: refdata.Radio, Quantity: "NAVTEX first slots of 14 stations",
		Source: "published lists", Status: refdata.Published, Tolerance: 0, Unit: "min",
	}.Begin(t)
	for _, r := range refdata.Read(t, "radio/navtex_station_check.csv") {
		got, err := Navtex([]rune(r.Text("b1"))[0])
		require.NoError(t, err)
		published, err := timetable.ParseTimeOfDay(r.Text("published_first_start_utc"))
		require.NoError(t, err)
		minutes.Within(float64(got[0].From), float64(published), r.Text("station"))
	}
}
