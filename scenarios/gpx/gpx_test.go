package gpx

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim/track"
)

// A file with all there may be, as a plotter writes it: attributes in any order,
// extensions with their own names, comments, entities.
const full = `<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="a plotter" xmlns="http://www.topografix.com/GPX/1/1" xmlns:x="urn:x">
 <metadata><name>not this one</name><time>2027-01-01T00:00:00Z</time></metadata>
 <wpt lon="-25" lat="16.88"><name>Mindelo</name></wpt>
 <wpt lat="0" lon="-27"/>
 <rte>
  <name>short</name>
  <rtept lat="1" lon="2"/>
 </rte>
 <rte>
  <name>Mindelo &amp; on</name>
  <!-- southward -->
  <rtept lat="16.88" lon="-25.0"><ele>0</ele><name>
     Mindelo
     Bay</name><type>FLAG</type></rtept>
  <rtept lon="-27" lat="0"><name>crossing</name><type>Rhumb line</type><x:name>no</x:name>
   <extensions><x:a><rtept lat="80" lon="80"/></x:a></extensions></rtept>
  <rtept lat=" -33.03 " lon="+17.95"/>
 </rte>
 <trk><name>sailed</name>
  <trkseg><trkpt lat="10" lon="179.9"><time>2027-01-01T00:00:00Z</time></trkpt></trkseg>
  <trkseg><trkpt lat="10" lon="180"/><trkpt lat="10" lon="-180"><name>line</name></trkpt><trkpt lat="11" lon="-179"/></trkseg>
 </trk>
</gpx>
`

func TestRead(t *testing.T) {
	f, err := Read(strings.NewReader(full))
	require.NoError(t, err)
	require.Len(t, f.Routes, 2)
	require.Len(t, f.Tracks, 1)
	require.Len(t, f.Waypoints.Points, 2)
	r, err := f.Pick("")
	require.NoError(t, err)
	assert.Equal(t, "Mindelo & on", r.Name)
	assert.Equal(t, []Point{
		{Name: "Mindelo Bay", Place: track.Position{Lat: 16.88, Lon: -25}},
		{Name: "crossing", Place: track.Position{Lat: 0, Lon: -27}, Line: "rhumb line"},
		{Place: track.Position{Lat: -33.03, Lon: 17.95}},
	}, r.Points)
	tr, err := f.Pick("SAILED ")
	require.NoError(t, err)
	assert.Equal(t, Track, tr.Kind)
	assert.Equal(t, []Point{
		{Place: track.Position{Lat: 10, Lon: 179.9}},
		{Name: "line", Place: track.Position{Lat: 10, Lon: 180}}, // and 180° west is the same place
		{Place: track.Position{Lat: 11, Lon: -179}},
	}, tr.Points)
	_, err = f.Pick("short")
	require.EqualError(t, err, `the route "short" has fewer than two places`)
	_, err = f.Pick("home")
	require.EqualError(t, err, `has no route or track called "home": there are "short", "Mindelo & on", "sailed"`)
}

// Without a route the track serves, without that the waypoints.
func TestPickFallsBack(t *testing.T) {
	pick := func(body string) (*Path, error) {
		f, err := Read(strings.NewReader(`<gpx>` + body + `</gpx>`))
		require.NoError(t, err)
		return f.Pick("")
	}
	const two, trk = `<wpt lat="1" lon="1"/><wpt lat="2" lon="1"/>`, `<trk><trkseg><trkpt lat="1" lon="1"/><trkpt lat="2" lon="1"/></trkseg></trk>`
	p, err := pick(two + trk)
	require.NoError(t, err)
	assert.Equal(t, Track, p.Kind)
	p, err = pick(two + `<rte><rtept lat="1" lon="1"/></rte>`)
	require.NoError(t, err)
	assert.Equal(t, Waypoints, p.Kind)
	_, err = pick(`<wpt lat="1" lon="1"/>`)
	require.EqualError(t, err, "has no route, no track and no list of waypoints with two places or more")
}

// Each wrong file is told with its line.
func TestReadRefuses(t *testing.T) {
	gpx := func(body string) string {
		return "<gpx xmlns=\"http://www.topografix.com/GPX/1/1\">\n<rte>\n" + body + "\n</rte></gpx>"
	}
	for name, x := range map[string]struct{ text, want string }{
		"empty":          {" \n", "is empty"},
		"no XML":         {"lat,lon\n1,2\n", "line 3: is not GPX: it holds no element"},
		"another format": {"\n<kml xmlns='http://www.opengis.net/kml/2.2'></kml>", "line 2: is not GPX: its first element is <kml>"},
		"foreign gpx":    {"<gpx xmlns='urn:other'/>", "line 1: is not GPX: its first element is <gpx>"},
		"not closed":     {"<gpx>\n<rte><rtept lat='1' lon='2'>", "line 2: unexpected EOF"},
		"crossed":        {"<gpx>\n<rte></gpx></rte>", "line 2: element <rte> closed by </gpx>"},
		"no lat":         {gpx(`<rtept lon="1"/>`), "line 3: <rtept> has no lat"},
		"no lon":         {gpx(`<rtept lat="1"/>`), "line 3: <rtept> has no lon"},
		"minutes":        {gpx(`<rtept lat="16°53'N" lon="1"/>`), `line 3: lat="16°53'N" of <rtept> is no number of degrees within ±90`},
		"comma":          {gpx(`<rtept lat="1,5" lon="1"/>`), `line 3: lat="1,5" of <rtept> is no number of degrees within ±90`},
		"swapped":        {gpx(`<rtept lat="100" lon="1"/>`), `line 3: lat="100" of <rtept> is no number of degrees within ±90`},
		"far round":      {gpx(`<rtept lat="1" lon="190"/>`), `line 3: lon="190" of <rtept> is no number of degrees within ±180`},
		"hexadecimal":    {gpx(`<rtept lat="0x1p3" lon="1"/>`), `line 3: lat="0x1p3" of <rtept> is no number of degrees within ±90`},
		"infinite":       {gpx(`<rtept lat="inf" lon="1"/>`), `line 3: lat="inf" of <rtept> is no number of degrees within ±90`},
		"charset":        {`<?xml version="1.0" encoding="ISO-8859-1"?><gpx/>`, `line 1: xml: opening charset "ISO-8859-1": it is written in ISO-8859-1: save it in UTF-8`},
		"document type":  {"<?xml version='1.0'?>\n<!DOCTYPE gpx SYSTEM 'x.dtd'>\n<gpx/>", "line 2: a document type or entity is refused: remove the line that begins with <!"},
		"entity bomb": {
			"<!DOCTYPE x [<!ENTITY a 'aaaaaaaaaa'><!ENTITY b '&a;&a;&a;&a;&a;&a;'>]>\n<gpx><rte><name>&b;</name></rte></gpx>",
			"line 1: a document type or entity is refused: remove the line that begins with <!",
		},
		"undeclared entity": {gpx(`<name>&b;</name>`), "line 3: invalid character entity &b;"},
	} {
		_, err := Read(strings.NewReader(x.text))
		assert.EqualError(t, err, x.want, name)
	}
}

func TestLimits(t *testing.T) {
	many := func(n int) string {
		var b strings.Builder
		b.WriteString("<gpx><trk><name>long</name><trkseg>")
		for i := range n {
			fmt.Fprintf(&b, `<trkpt lat="%.4f" lon="1"/>`, float64(i)/1000)
		}
		b.WriteString("</trkseg></trk></gpx>")
		return b.String()
	}
	f, err := Read(strings.NewReader(many(MaxPoints)))
	require.NoError(t, err)
	p, err := f.Pick("")
	require.NoError(t, err)
	require.Len(t, p.Points, MaxPoints)
	f, err = Read(strings.NewReader(many(MaxPoints + 7)))
	require.NoError(t, err)
	_, err = f.Pick("long")
	require.EqualError(t, err, `the track "long" has 5007 points, more than 5000: thin it out to the places where the course changes`)
	_, err = Read(strings.NewReader("<gpx>" + strings.Repeat(" ", MaxBytes) + "</gpx>"))
	require.EqualError(t, err, "is larger than 16 MiB: save only the route")
	// Names are bounded, and deep nesting is walked through without a stack.
	f, err = Read(strings.NewReader(`<gpx><wpt lat="0" lon="0"><name>` + strings.Repeat("ä", 500) + `</name></wpt><extensions>` +
		strings.Repeat("<a>", 100000) + strings.Repeat("</a>", 100000) + `</extensions></gpx>`))
	require.NoError(t, err)
	require.Equal(t, strings.Repeat("ä", 120)+"…", f.Waypoints.Points[0].Name)
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(full))
	f.Add([]byte("<gpx><wpt lat='1' lon='2'/><wpt lat='1' lon='3'><name>&lt;</name></wpt></gpx>"))
	f.Add([]byte("<!DOCTYPE a><gpx/>"))
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := Read(strings.NewReader(string(data)))
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		p, err := file.Pick("")
		if err != nil {
			return
		}
		require.GreaterOrEqual(t, len(p.Points), 2)
		for i, x := range p.Points {
			require.True(t, x.Place.Lat >= -90 && x.Place.Lat <= 90 && x.Place.Lon >= -180 && x.Place.Lon <= 180)
			require.NotContains(t, x.Name, "\n")
			require.True(t, i == 0 || !same(p.Points[i-1].Place, x.Place))
		}
	})
}
