package trackfile

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"time"

	"ampwake/sim/track"
)

// place is [longitude, latitude], WGS 84 (RFC 7946, section 4).
type place [2]float64

type geometry struct {
	Type        string `json:"type"`
	Coordinates any    `json:"coordinates"`
}

type feature struct {
	Type       string   `json:"type"`
	Geometry   geometry `json:"geometry"`
	Properties any      `json:"properties"`
}

type trackProperties struct {
	Kind    string  `json:"kind"`
	Name    string  `json:"name"`
	About   string  `json:"about"`
	Depart  string  `json:"depart_utc"`
	End     string  `json:"end_utc"`
	Arrived bool    `json:"arrived"`
	Sailed  float64 `json:"sailed_nm"`
	Holds   bool    `json:"holds"`
	Maker   string  `json:"made_by"`
}

type waypointProperties struct {
	Kind string  `json:"kind"`
	Name string  `json:"name"`
	By   string  `json:"by,omitempty"`
	Mark float64 `json:"along_nm"`
}

type noonProperties struct {
	Kind   string  `json:"kind"`
	Name   string  `json:"name"`
	UTC    string  `json:"utc"`
	Ship   string  `json:"ship_time"`
	Zone   int     `json:"ship_zone_h"`
	SoC    float64 `json:"soc"`
	Bus    float64 `json:"bus_v"`
	Run    float64 `json:"run_nm"`
	Sailed float64 `json:"sailed_nm"`
}

// GeoJSON writes the voyage as a FeatureCollection (RFC 7946): the projected
// track, the waypoints of the route and the ship's noons. A track that crosses
// the antimeridian is cut there into a MultiLineString (section 3.1.9), and the
// west end of the bbox is then east of its east end (section 5.2).
//
// It panics if the result has no trace.
func GeoJSON(w io.Writer, v Voyage) error {
	r := v.Result
	fixes := v.fixes()
	lines := cut(fixes)
	var box bounds
	for _, x := range fixes {
		box.add(x.place)
	}
	features := []feature{{
		Type: "Feature", Geometry: lineOf(lines),
		Properties: trackProperties{
			Kind: "track", Name: r.Title, About: v.about(), Depart: r.Depart.UTC().Format(time.RFC3339), End: r.End.UTC().Format(time.RFC3339),
			Arrived: r.Arrived, Sailed: hundredth(float64(r.Sailed)), Holds: r.Verdict.Holds, Maker: v.Maker,
		},
	}}
	box.back() // the route begins where the track does
	for i := range v.Route.Len() {
		x := v.Route.Waypoint(i)
		box.add(x.Position)
		p := waypointProperties{Kind: "waypoint", Name: x.Name, Mark: hundredth(float64(v.Route.Mark(i)))}
		if i > 0 {
			p.By = x.Line.String()
		}
		features = append(features, pointOf(x.Position, p))
	}
	for _, n := range v.noons() {
		features = append(features, pointOf(n.place, noonProperties{
			Kind: "noon", Name: n.name(), UTC: n.at.UTC().Format(time.RFC3339), Ship: n.ship().Format("2006-01-02 15:04"), Zone: n.zone,
			SoC: math.Round(1e4*float64(n.charge)) / 1e4, Bus: hundredth(float64(n.bus)), Run: hundredth(n.run), Sailed: hundredth(n.sailed),
		}))
	}
	bbox, err := json.Marshal(box.bbox())
	if err != nil {
		return err
	}
	text := fmt.Sprintf("{\"type\":\"FeatureCollection\",\"bbox\":%s,\"features\":[\n", bbox)
	for i, f := range features { // a line each, so that the file can be read and compared
		line, err := json.Marshal(f)
		if err != nil {
			return err
		}
		if i > 0 {
			text += ",\n"
		}
		text += string(line)
	}
	_, err = io.WriteString(w, text+"\n]}\n")
	return err
}

func pointOf(p track.Position, properties any) feature {
	return feature{Type: "Feature", Geometry: geometry{"Point", place{rounded(p.Lon), rounded(p.Lat)}}, Properties: properties}
}

// lineOf returns a LineString, or a MultiLineString of more than one.
func lineOf(lines [][]place) geometry {
	if len(lines) == 1 {
		return geometry{"LineString", lines[0]}
	}
	return geometry{"MultiLineString", lines}
}
