package trackfile

import (
	"encoding/xml"
	"fmt"
	"io"
	"strings"
	"time"

	"ampwake/sim/track"
)

// The elements of GPX 1.1, fields in the order that its schema asks for.
type (
	gpxFile struct {
		XMLName xml.Name   `xml:"http://www.topografix.com/GPX/1/1 gpx"`
		Version string     `xml:"version,attr"`
		Creator string     `xml:"creator,attr"`
		Name    string     `xml:"metadata>name"`
		Desc    string     `xml:"metadata>desc"`
		Noons   []gpxPoint `xml:"wpt"`
		Route   gpxRoute   `xml:"rte"`
		Track   gpxTrack   `xml:"trk"`
	}
	gpxRoute struct {
		Name   string     `xml:"name"`
		Points []gpxPoint `xml:"rtept"`
	}
	gpxTrack struct {
		Name   string     `xml:"name"`
		Desc   string     `xml:"desc"`
		Points []gpxPoint `xml:"trkseg>trkpt"`
	}
	gpxPoint struct {
		Lat  gpxDegrees `xml:"lat,attr"`
		Lon  gpxDegrees `xml:"lon,attr"`
		Time string     `xml:"time,omitempty"`
		Name string     `xml:"name,omitempty"`
		Desc string     `xml:"desc,omitempty"`
		Type string     `xml:"type,omitempty"`
	}
	gpxDegrees float64
)

// MarshalText writes decimals without an exponent, as the schema asks.
func (x gpxDegrees) MarshalText() ([]byte, error) {
	text := strings.TrimRight(fmt.Sprintf("%.5f", float64(x)), "0")
	text = strings.TrimSuffix(text, ".")
	if text == "-0" {
		text = "0"
	}
	return []byte(text), nil
}

// GPX writes the voyage as GPX 1.1: the noons as waypoints, the planned route
// with the line sailed to each point as its type, and the projected track with
// its times in one segment. A longitude of 180° is written as -180, which is
// where the schema has it.
//
// It panics if the result has no trace.
func GPX(w io.Writer, v Voyage) error {
	title := v.Result.Title
	f := gpxFile{
		Version: "1.1", Creator: v.Maker, Name: title, Desc: v.about(),
		Route: gpxRoute{Name: title},
		Track: gpxTrack{Name: title + ", projected", Desc: v.about()},
	}
	for _, n := range v.noons() {
		p := point(n.fix)
		p.Name, p.Type = n.name(), "noon"
		p.Desc = fmt.Sprintf("%s ship's time; charge %.0f %%, %.1f V; %.0f nm since the noon before",
			n.ship().Format("2 Jan 2006 15:04"), 100*float64(n.charge), float64(n.bus), n.run)
		f.Noons = append(f.Noons, p)
	}
	for i := range v.Route.Len() {
		x := v.Route.Waypoint(i)
		p := point(fix{place: x.Position})
		p.Name = x.Name
		if i > 0 {
			p.Type = x.Line.String()
		}
		f.Route.Points = append(f.Route.Points, p)
	}
	for _, x := range v.fixes() {
		f.Track.Points = append(f.Track.Points, point(x))
	}
	if _, err := io.WriteString(w, xml.Header); err != nil {
		return err
	}
	e := xml.NewEncoder(w)
	e.Indent("", " ")
	if err := e.Encode(f); err != nil {
		return err
	}
	_, err := io.WriteString(w, "\n")
	return err
}

// point returns a place and its time, if it has one.
func point(x fix) gpxPoint {
	p := gpxPoint{Lat: gpxDegrees(rounded(x.place.Lat)), Lon: gpxDegrees(west180(x.place))}
	if !x.at.IsZero() {
		p.Time = x.at.UTC().Format(time.RFC3339)
	}
	return p
}

// west180 returns the longitude within [-180, 180).
func west180(p track.Position) float64 {
	lon := rounded(p.Lon)
	if lon >= 180 {
		lon -= 360
	}
	return lon
}
