package climate_test

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// The climate of the trades in mid-January, and of a place ashore.
func ExampleTable_At() {
	ocean := climate.Ocean()
	january := time.Date(2027, 1, 16, 12, 0, 0, 0, time.UTC)
	c, err := ocean.At(january, track.Position{Lat: 15, Lon: -30})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("wind %.1f kn from %.0f°, steadiness %.2f, cloud %.0f %%, air %.1f °C, sea %.1f °C\n",
		float64(c.WindSpeed), float64(c.WindFrom()), float64(c.Steadiness()), 100*float64(c.Cloud), float64(c.Air), float64(c.Sea))

	_, err = ocean.At(january, track.Position{Lat: 46, Lon: 105})
	fmt.Println(errors.Is(err, climate.ErrInland), err)
	// Output:
	// wind 16.2 kn from 53°, steadiness 0.84, cloud 47 %, air 23.6 °C, sea 24.0 °C
	// true 46.0°, 105.0°: no climate inland: give the weather in the file
}

// The sun comes through a changing sky less than its mean cloud suggests.
func ExampleMeanThrough() {
	fmt.Printf("at the mean %.3f, on average %.3f\n",
		float64(climate.Through(0.72)), float64(climate.MeanThrough(0.72, climate.Concentration(-45))))
	// Output: at the mean 0.771, on average 0.631
}

// The same weather for every kit: a member is the same however often it is made
// and whatever the instants it is asked about.
func ExampleSynthetic() {
	at := track.Position{Lat: 45, Lon: -30}
	noon := time.Date(2027, 1, 16, 12, 0, 0, 0, time.UTC)
	a, b := climate.NewSynthetic(climate.Ocean(), 7, 3), climate.NewSynthetic(climate.Ocean(), 7, 3)
	a.At(noon, at)
	b.At(noon, at)
	for m := 0; m < 240; m += 10 {
		a.At(noon.Add(time.Duration(m)*time.Minute), at)
	}
	later := noon.Add(4 * time.Hour)
	fmt.Println(a.At(later, at) == b.At(later, at), a.Edge(later).Format("15:04"))
	// Output: true 17:00
}

// "Calm: 7 d from the first day north of 5°N."
func ExampleOverlay() {
	spell := climate.Calm(7 * 24)
	spell.When = climate.NorthOf(5)
	w, err := climate.NewOverlay(climate.Fixed{Sample: climate.Sample{WindSpeed: 15, Cloud: 0.5, Through: 0.93}}, spell)
	if err != nil {
		fmt.Println(err)
		return
	}
	start := time.Date(2027, 3, 1, 0, 10, 0, 0, time.UTC)
	for h := range 4 {
		t := start.Add(time.Duration(h) * time.Hour)
		lat := units.Degrees(4.95 + 0.1*float64(h))
		s := w.At(t, track.Position{Lat: lat, Lon: -30})
		fmt.Printf("%s %.1f kn\n", t.Format("15:04"), float64(s.WindSpeed))
	}
	from, to, _ := w.Span()
	fmt.Println(from.Format(time.DateTime), "to", to.Format(time.DateTime))
	// Output:
	// 00:10 15.0 kn
	// 01:10 15.0 kn
	// 02:10 1.8 kn
	// 03:10 1.8 kn
	// 2027-03-01 02:00:00 to 2027-03-08 02:00:00
}

// A deck log becomes a weather; what was bridged is told.
func ExampleReadRecord() {
	log := `time, cloud [oktas], wind speed [kn], wind from [deg], air [C], sea [C]
2027-01-05T10:00Z, 2, 12, 350, 24.0, 25.0
2027-01-05T14:00Z,  , 16,  10, 25.0, 25.0
2027-01-05T18:00Z, 8, 20,  20, 25.0, 25.0
`
	r, err := climate.ReadRecord(strings.NewReader(log))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(strings.Join(r.Notes, "\n"))
	w, err := climate.NewDated(r.Timetable, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	s := w.At(time.Date(2027, 1, 5, 15, 0, 0, 0, time.UTC), track.Position{})
	fmt.Printf("%.1f kn from %.1f°, cloud %.2f\n", float64(s.WindSpeed), float64(s.WindFrom), float64(s.Cloud))
	// Output:
	// cloud: 1 empty cell: the reading before holds
	// 17.0 kn from 12.5°, cloud 0.25
}
