package scenarios

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios/form"
	"ampwake/sim/track"
)

const twoRoutes = `<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1">
<rte><name>out</name>
 <rtept lat="50" lon="-5"><name>Falmouth</name></rtept>
 <rtept lat="48" lon="-20"/>
 <rtept lat="38.5" lon="-28.6"><name>Horta</name><type>rhumb line</type></rtept>
</rte>
<rte><name>there and back</name>
 <rtept lat="50" lon="-5"><name>Falmouth</name></rtept>
 <rtept lat="38.5" lon="-28.6"><name>Horta</name></rtept>
 <rtept lat="50" lon="-5"><name>Falmouth</name></rtept>
</rte>
<rte><name>polar</name><rtept lat="84" lon="0"/><rtept lat="86" lon="10"/></rte>
<trk><name>sailed</name><trkseg>%s</trkseg></trk>
</gpx>`

// routed reads the radio-cover scenario, in a folder with a GPX file, with a
// route in place of its own.
func routed(t *testing.T, route string, more ...string) (*Scenario, error) {
	t.Helper()
	dir := t.TempDir()
	points := ""
	for i := range 200 {
		points += fmt.Sprintf(`<trkpt lat="%.2f" lon="-20"/>`, 40-float64(i)/10)
	}
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "routes"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "routes", "two.gpx"), []byte(fmt.Sprintf(twoRoutes, points)), 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "broken.gpx"), []byte("<gpx>\n<rte>\n<rtept lat=\"x\" lon=\"1\"/></rte></gpx>"), 0o644))
	_, src, err := Source("radio-cover")
	require.NoError(t, err)
	set := append([]string{"voyage.route=" + route, "voyage.zones=", "voyage.pace=[{speed: 5 kn}]"}, more...)
	return Read(filepath.Join(dir, "mine.yaml"), src, set, "")
}

func TestRouteFromGPX(t *testing.T) {
	length := func(line track.Line) float64 {
		var sum float64
		p := []track.Position{{Lat: 50, Lon: -5}, {Lat: 48, Lon: -20}, {Lat: 38.5, Lon: -28.6}}
		for i, by := range []track.Line{track.GreatCircle, line} {
			leg, err := track.Sphere{}.Leg(by, p[i], p[i+1])
			require.NoError(t, err)
			sum += float64(leg.Length())
		}
		return sum
	}
	s, err := routed(t, "{gpx: routes/two.gpx}")
	require.NoError(t, err)
	v := s.Voyage()
	require.Equal(t, 3, v.Route.Len())
	// The file says by which line the last leg is sailed.
	require.InDelta(t, length(track.RhumbLine), float64(v.Route.Length()), 1e-9)
	// A waypoint without a name begins no zone of its own.
	require.Len(t, v.Zones, 1)
	require.Equal(t, "Falmouth – Horta", v.Zones[0].Name)
	require.Contains(t, fmt.Sprint(v.Notes), `the route "out" of routes/two.gpx, 3 points`)

	s, err = routed(t, "{gpx: routes/two.gpx, by: great circle}")
	require.NoError(t, err)
	require.InDelta(t, length(track.GreatCircle), float64(s.Voyage().Route.Length()), 1e-9)

	// Names that come twice are told apart, and the pace may use them.
	s, err = routed(t, "{gpx: routes/two.gpx, named: There and back}", "voyage.pace=[{until: Horta, speed: 4 kn}, {until: Falmouth (2), speed: 5 kn}, {speed: 6 kn}]")
	require.NoError(t, err)
	require.Equal(t, "Falmouth (2)", s.Voyage().Route.Waypoint(2).Name)
	require.Equal(t, s.Voyage().Route.Mark(1), s.Voyage().Plan[0].Until)
	require.Nil(t, s.Voyage().Zones, "each waypoint has a name: the legs are the zones")

	// A track: many points, no names, one zone.
	s, err = routed(t, "{gpx: routes/two.gpx, named: sailed}")
	require.NoError(t, err)
	require.Equal(t, 200, s.Voyage().Route.Len())
	require.InDelta(t, 19.9*60, float64(s.Voyage().Route.Length()), 1e-6)
	require.Len(t, s.Voyage().Zones, 1)
	require.Equal(t, "start – end", s.Voyage().Zones[0].Name)
}

// Each wrong route is one problem, at the line that names the file.
func TestRouteFromGPXRefuses(t *testing.T) {
	for route, want := range map[string]string{
		"{gpx: nowhere.gpx}":                               "nowhere.gpx: want a GPX file",
		"{gpx: broken.gpx}":                                `voyage.route.gpx: broken.gpx: line 3: lat="x" of <rtept> is no number`,
		"{gpx: routes/two.gpx, named: home}":               `voyage.route.named: routes/two.gpx has no route or track called "home": there are "out", "there and back", "polar", "sailed"`,
		"{gpx: routes/two.gpx, named: polar}":              "voyage.route.gpx: waypoint 2: latitude of",
		"{gpx: routes/two.gpx, by: straight}":              `voyage.route.by: "straight" is not one of great circle, rhumb line`,
		"{named: out}":                                     "voyage.route: a route needs two waypoints at least, or a GPX file",
		"[{name: A, at: 10°N 10°W}]":                       "voyage.route: a route needs two waypoints at least, or a GPX file",
		"{gpx: routes/two.gpx, stay: 3 d}":                 `unknown key "stay"`,
		"[{name: A, at: 1°N 1°W}, {name: A, at: 2°N 1°W}]": "voyage.route[1].name: waypoint 1 is called \"A\" too",
	} {
		_, err := routed(t, route, "voyage.pace=[{until: Horta, speed: 5 kn}, {speed: 4 kn}]", "voyage.zones=[{name: one, until: 20°N}, {name: two}]")
		var problems *form.Problems
		require.ErrorAs(t, err, &problems, route)
		text := problems.Error()
		assert.Contains(t, text, want, route)
		if strings.Contains(route, "gpx") && !strings.Contains(route, "polar") && !strings.Contains(route, "stay") {
			assert.Len(t, problems.List, 1, "%s: %s", route, text)
		}
	}
}

// A list of waypoints is still found by paths.
func TestRouteListByPath(t *testing.T) {
	_, src, err := Source("radio-cover")
	require.NoError(t, err)
	s, err := Read("x.yaml", src, []string{"voyage.route[Mindelo].at=17°N 25°W", "voyage.route[3].at=34°S 18°E"}, "")
	require.NoError(t, err)
	require.Equal(t, track.Position{Lat: 17, Lon: -25}, s.Voyage().Route.Waypoint(0).Position)
	require.Equal(t, track.Position{Lat: -34, Lon: 18}, s.Voyage().Route.Waypoint(3).Position)
	require.Contains(t, string(Schema()), `"gpx"`)
}
