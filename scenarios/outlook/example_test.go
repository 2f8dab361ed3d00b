package outlook_test

import (
	"fmt"
	"time"

	"ampwake/scenarios/outlook"
	"ampwake/sim/track"
)

// What 100 W of panel makes in the summer and in the winter off Ireland.
func ExampleMonths() {
	y, err := outlook.Months(track.Position{Lat: 50, Lon: -20}, outlook.Reference())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, m := range []time.Month{time.June, time.December} {
		x := &y.Months[m-1]
		fmt.Printf("%s: %.1f kWh/m² of %.1f, %.0f Ah a day, night %.1f h, wind %.0f kn\n",
			m, float64(x.Expected)/1000, float64(x.Clear)/1000, float64(x.Array), float64(x.Night), float64(x.Wind))
	}
	// Output:
	// June: 4.8 kWh/m² of 8.4, 29 Ah a day, night 7.7 h, wind 14 kn
	// December: 0.8 kWh/m² of 1.3, 5 Ah a day, night 15.8 h, wind 22 kn
}
