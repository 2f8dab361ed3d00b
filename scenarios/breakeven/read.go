package breakeven

import (
	"fmt"
	"time"

	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/units"
)

// notes tells what was assumed.
func (m *Maps) notes(q climate.Quality) {
	add := func(about, format string, args ...any) {
		m.Notes = append(m.Notes, sim.Note{About: about, Text: fmt.Sprintf(format, args...)})
	}
	add("bank", "takes all that is made; nothing is spilled, and what charging loses is not counted")
	for _, name := range m.Left {
		add(name, "left out: the question is whether she lives without it")
	}
	add("boat", "heads %.0f° and heels %s, as half way along the passage; speed is through the water, before the drag of a generator", float64(m.Course), heelText(m.Heel))
	if m.Average {
		add("cloud", "is the mean of a changing sky: none and eight oktas stand for nearly none and nearly eight")
	} else {
		add("cloud", "is a steady sky, as the file has it")
	}
	add("climate", "air, sea and wind are its means; by latitude and month they, and the cloud, are means around the globe, over the sea")
	for _, n := range q.Notes() {
		add("climate", "%s", n)
	}
}

func heelText(heel units.Degrees) string {
	switch {
	case heel < 0:
		return fmt.Sprintf("%.0f° to port", -float64(heel))
	case heel > 0:
		return fmt.Sprintf("%.0f° to starboard", float64(heel))
	}
	return "not at all"
}

// AllYear returns the widest band of latitudes, of the map by latitude and
// month, in which she gains in every month; ok is false if there is none.
func (m *Maps) AllYear() (south, north units.Degrees, ok bool) {
	width := units.Degrees(-1)
	from := -1
	for j := range m.Latitudes {
		gains := true
		for _, b := range m.ByYear[j] {
			gains = gains && b.Net() >= 0
		}
		if !gains {
			from = -1
			continue
		}
		if from < 0 {
			from = j
		}
		if w := m.Latitudes[j] - m.Latitudes[from]; w > width {
			south, north, ok, width = m.Latitudes[from], m.Latitudes[j], true, w
		}
	}
	return south, north, ok
}

// Worst and Best return the least and the greatest balance of the map by
// latitude and month, with their place.
func (m *Maps) Worst() (lat units.Degrees, date time.Time, net units.AmpHours) { return m.extreme(-1) }

// Best is Worst for the greatest.
func (m *Maps) Best() (lat units.Degrees, date time.Time, net units.AmpHours) { return m.extreme(1) }

func (m *Maps) extreme(sign units.AmpHours) (lat units.Degrees, date time.Time, net units.AmpHours) {
	first := true
	for j, row := range m.ByYear {
		for i, b := range row[:len(row)-1] {
			if n := b.Net(); first || sign*n > sign*net {
				lat, date, net, first = m.Latitudes[j], m.Dates[i], n, false
			}
		}
	}
	return lat, date, net
}
