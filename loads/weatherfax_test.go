package loads

import (
	"fmt"
	"maps"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/loads/fax"
)

// Boston sends at 03:25 (13 min), 03:38 (13 min) and 03:51 (11 min).
func TestFaxCharts(t *testing.T) {
	charts, err := fax.Published().Choose("Boston", "0325", "0338", "0351", "1600")
	require.NoError(t, err)
	l, err := NewFax(FaxSpec{Name: "fax", Draw: Draw{Power: 12}, Charts: charts, Margin: fax.Margin})
	require.NoError(t, err)
	for _, c := range []struct{ at, chart, what string }{
		{"03:24", "03:25", "chart 03:25 Boston US, surface analysis part 1 NE Atlantic"}, // lead-in
		{"03:37", "03:25", "chart 03:25 Boston US, surface analysis part 1 NE Atlantic"},
		{"03:38", "03:38", "chart 03:38 Boston US, surface analysis part 2 NW Atlantic"},
		{"04:01", "03:51", "chart 03:51 Boston US, satellite image"},
		{"04:02", "03:51", "chart 03:51 Boston US, satellite image"}, // the minute after
		{"04:03", "", ""},
		{"03:23", "", ""},
		{"16:10", "16:00", "chart 16:00 Boston US, ice chart (repeat)"},
	} {
		d := l.Draw(conditions(on(t, c.at), 0))
		assert.Equal(t, c.chart != "", d.On, c.at)
		assert.Equal(t, c.what, d.What, c.at)
		if c.chart != "" {
			assert.Equal(t, on(t, c.chart).Unix(), d.Slot, c.at)
		}
	}
	hours, ah, slots := run(t, l, jan5, 2, 5)
	assert.InDelta(t, 2*(39+12)/60.0, hours, 1e-9) // one span 03:24-04:03, one 15:59-16:11
	assert.InDelta(t, hours, ah, 1e-9)             // 12 W at 12 V
	assert.Len(t, slots, 8)
}

func on(t *testing.T, clock string) time.Time {
	x, err := time.Parse("15:04", clock)
	require.NoError(t, err)
	return jan5.Add(time.Duration(x.Hour())*time.Hour + time.Duration(x.Minute())*time.Minute)
}

// Every chart of every station, received alone, takes its minutes and two more.
func TestFaxAll(t *testing.T) {
	s := fax.Published()
	for _, st := range s.Stations() {
		charts, err := s.Choose(st.Name, "all")
		require.NoError(t, err)
		minutes := 0
		for _, c := range charts {
			minutes += c.Minutes
		}
		l, err := NewFax(FaxSpec{Name: st.Name, Draw: Draw{Current: 1}, Charts: charts})
		require.NoError(t, err)
		hours, _, slots := run(t, l, jan5, 1, 0)
		assert.InDelta(t, float64(minutes)/60, hours, 1e-9, st.Name) // no chart runs into the next
		if last := charts[len(charts)-1].Window(); last.To < last.From {
			slots = without(slots, jan5.Unix()) // the end of yesterday's last
		}
		assert.Len(t, slots, len(charts), st.Name)
	}
}

// without leaves out the slots that began before a moment.
func without(slots map[int64]bool, before int64) map[int64]bool {
	maps.DeleteFunc(slots, func(start int64, _ bool) bool { return start < before })
	return slots
}

func TestFaxSlots(t *testing.T) {
	l, err := NewFax(FaxSpec{
		Name: "fax", Draw: Draw{Power: 12}, Margin: fax.Margin, Length: 0.25,
		Slots: list(t, "03:35-03:55 UTC", "10:00 ship's time"),
	})
	require.NoError(t, err)
	hours, _, slots := run(t, l, jan5, 1, -3)
	assert.InDelta(t, 35.0/60, hours, 1e-9) // as written, no margin
	assert.Len(t, slots, 2)
	assert.Equal(t, "chart 10:00 ship's time", l.Draw(conditions(on(t, "13:14"), -3)).What)
}

func TestNewFaxRefuses(t *testing.T) {
	for say, s := range map[string]FaxSpec{
		"name: it is missing":    {Slots: list(t, "08:00-09:00 UTC")},
		"charts: none":           {Name: "fax"},
		"slot 1: length":         {Name: "fax", Slots: list(t, "08:00 UTC")},
		"draw: a draw must not":  {Name: "fax", Draw: Draw{Power: -1}},
		"lowest working voltage": {Name: "fax", Supply: Supply{Least: -1}},
		"charts: \"always\"":     {Name: "fax", Slots: list(t, "always")},
	} {
		_, err := NewFax(s)
		assert.ErrorContains(t, err, say)
	}
}

func ExampleNewFax() {
	charts, err := fax.Published().Choose("Boston", "surface analysis part")
	if err != nil {
		fmt.Println(err)
		return
	}
	l, err := NewFax(FaxSpec{Name: "weather fax", Draw: Draw{Power: 8}, Charts: charts, Margin: fax.Margin})
	if err != nil {
		fmt.Println(err)
		return
	}
	for now := jan5.Add(6 * time.Hour); ; {
		now = l.Edge(now, 0)
		d := l.Draw(conditions(now, 0))
		fmt.Printf("%s %v %q\n", now.Format("15:04"), d.Power, d.What)
		if !d.On {
			break
		}
	}
	// Output:
	// 09:24 8 W "chart 09:25 Boston US, surface analysis part 1 NE Atlantic"
	// 09:25 8 W "chart 09:25 Boston US, surface analysis part 1 NE Atlantic"
	// 09:38 8 W "chart 09:38 Boston US, surface analysis part 2 NW Atlantic"
	// 09:51 8 W "chart 09:38 Boston US, surface analysis part 2 NW Atlantic"
	// 09:52 0 W ""
}
