package desk

import (
	"math"
	"net/http"
	"sync"

	"ampwake/cmd/internal/chart"
	"ampwake/scenarios"
	"ampwake/sim"
)

// way is the route for the map. Longitudes run on past 180°, so that a passage
// across the date line is one line.
type way struct {
	Track  [][2]float64 `json:"track"` // latitude, longitude
	Points []mark       `json:"points"`
	// Own tells that the waypoints are written in the file, so that they can be
	// moved: those of a GPX file cannot.
	Own bool `json:"own"`
}

type mark struct {
	Name string  `json:"name"`
	At   string  `json:"at"`
	Lat  float64 `json:"lat"`
	Lon  float64 `json:"lon"`
}

const mostTrack = 400

func wayOf(s *scenarios.Scenario, r *sim.Result) way {
	route := s.Voyage().Route
	w := way{Own: s.File.Voyage.Route.GPX == "", Points: []mark{}, Track: [][2]float64{}}
	last := math.NaN()
	run := func(lon float64) float64 {
		if !math.IsNaN(last) {
			lon += 360 * math.Round((last-lon)/360)
		}
		last = lon
		return lon
	}
	for i := range route.Len() {
		p := route.Waypoint(i)
		w.Points = append(w.Points, mark{p.Name, p.Position.String(), float64(p.Position.Lat), round4(run(float64(p.Position.Lon)))})
	}
	last = w.Points[0].Lon
	n := len(r.Trace.Time)
	step := max(1, n/mostTrack)
	for i := 0; i < n; i += step {
		w.Track = append(w.Track, [2]float64{round4(float64(r.Trace.Lat[i])), round4(run(float64(r.Trace.Lon[i])))})
	}
	w.Track = append(w.Track, [2]float64{round4(float64(r.Trace.Lat[n-1])), round4(run(float64(r.Trace.Lon[n-1])))})
	return w
}

func round4(x float64) float64 { return math.Round(x*1e4) / 1e4 }

// coasts are reckoned once, when first asked for.
var coasts = sync.OnceValue(chart.Coasts)

func (s *Server) coast(w http.ResponseWriter, _ *http.Request) { answer(w, http.StatusOK, coasts()) }
