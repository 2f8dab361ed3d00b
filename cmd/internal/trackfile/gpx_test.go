package trackfile

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/scenarios/gpx"
)

// order is the children that each element of GPX 1.1 may have, in the order its
// schema asks for (topografix.com/GPX/1/1/gpx.xsd); those that we write.
var order = map[string][]string{
	"gpx":      {"metadata", "wpt", "rte", "trk", "extensions"},
	"metadata": {"name", "desc", "author", "copyright", "link", "time", "keywords", "bounds", "extensions"},
	"wpt":      {"ele", "time", "magvar", "geoidheight", "name", "cmt", "desc", "src", "link", "sym", "type", "fix", "extensions"},
	"rte":      {"name", "cmt", "desc", "src", "link", "number", "type", "extensions", "rtept"},
	"trk":      {"name", "cmt", "desc", "src", "link", "number", "type", "extensions", "trkseg"},
	"trkseg":   {"trkpt", "extensions"},
}

// checkGPX walks through a file as the schema has it: namespace, order of
// elements, attributes, decimals in range, times.
func checkGPX(t *testing.T, text []byte) {
	t.Helper()
	require.True(t, bytes.HasPrefix(text, []byte(`<?xml version="1.0" encoding="UTF-8"?>`)))
	d := xml.NewDecoder(bytes.NewReader(text))
	type open struct {
		name string
		at   int // in its children
	}
	var stack []open
	var before time.Time
	words := ""
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		switch x := token.(type) {
		case xml.StartElement:
			require.Equal(t, "http://www.topografix.com/GPX/1/1", x.Name.Space)
			name := x.Name.Local
			if len(stack) == 0 {
				require.Equal(t, "gpx", name)
				got := map[string]string{}
				for _, a := range x.Attr {
					got[a.Name.Local] = a.Value
				}
				require.Equal(t, "1.1", got["version"])
				require.NotEmpty(t, got["creator"])
			} else {
				up := &stack[len(stack)-1]
				kind := up.name
				if kind == "rtept" || kind == "trkpt" {
					kind = "wpt"
				}
				i := slices.Index(order[kind], name)
				require.GreaterOrEqual(t, i, 0, "<%s> in <%s>", name, up.name)
				require.GreaterOrEqual(t, i, up.at, "<%s> comes too late in <%s>", name, up.name)
				up.at = i
			}
			if name == "wpt" || name == "rtept" || name == "trkpt" {
				require.Len(t, x.Attr, 2)
				for _, a := range x.Attr {
					deg, err := strconv.ParseFloat(a.Value, 64)
					require.NoError(t, err)
					require.NotContains(t, a.Value, "e")
					if a.Name.Local == "lat" {
						require.True(t, deg >= -90 && deg <= 90)
					} else {
						require.Equal(t, "lon", a.Name.Local)
						require.True(t, deg >= -180 && deg < 180, a.Value) // longitudeType
					}
				}
			}
			stack = append(stack, open{name: name})
			words = ""
		case xml.CharData:
			words += string(x)
		case xml.EndElement:
			if x.Name.Local == "time" {
				at, err := time.Parse("2006-01-02T15:04:05Z", words)
				require.NoError(t, err)
				if stack[len(stack)-2].name == "trkpt" {
					require.True(t, at.After(before), "the track goes on in time")
					before = at
				}
			}
			stack = stack[:len(stack)-1]
			words = ""
		}
	}
	require.Empty(t, stack)
}

func TestGPX(t *testing.T) {
	for name, v := range voyages(t) {
		t.Run(name, func(t *testing.T) {
			var a, b bytes.Buffer
			require.NoError(t, GPX(&a, v))
			require.NoError(t, GPX(&b, v))
			require.Equal(t, a.String(), b.String(), "the same each time")
			checkGPX(t, a.Bytes())
			f, err := gpx.Read(&a)
			require.NoError(t, err)
			require.Len(t, f.Routes, 1)
			require.Len(t, f.Tracks, 1)
			require.LessOrEqual(t, len(f.Tracks[0].Points), gpx.MaxPoints)
			require.Zero(t, f.Tracks[0].Beyond)
			require.Len(t, f.Routes[0].Points, v.Route.Len())
		})
	}
}

// A route written and read again is as long, and so is its track taken for a
// route: the first to what five decimals of a degree hold, the second but for
// the corners that an hourly point cuts and for turns of a tacking boat.
func TestThereAndBack(t *testing.T) {
	for name, v := range voyages(t) {
		if !v.Result.Arrived {
			continue
		}
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			var out bytes.Buffer
			require.NoError(t, GPX(&out, v))
			require.NoError(t, os.WriteFile(filepath.Join(dir, "crossing.gpx"), out.Bytes(), 0o644))
			_, src, err := scenarios.Source("radio-cover")
			require.NoError(t, err)
			for route, tolerance := range map[string]float64{ // a share of the length; 0.002 nm are the rounding of its ends
				"{gpx: crossing.gpx}": 1e-5,
				"{gpx: crossing.gpx, named: '" + v.Result.Title + ", projected'}": 0.005,
			} {
				s, err := scenarios.Read(filepath.Join(dir, "mine.yaml"), src,
					[]string{"voyage.route=" + route, "voyage.pace=[{speed: 5 kn}]", "voyage.zones="}, "")
				require.NoError(t, err)
				was, is := float64(v.Route.Length()), float64(s.Voyage().Route.Length())
				t.Logf("%s: %.3f nm, again %.3f nm: %+.4f %%", route, was, is, 100*(is/was-1))
				require.InDelta(t, was, is, tolerance*was+0.002)
			}
		})
	}
}

func TestGPXNoons(t *testing.T) {
	v := sailed(t, "radio-cover")
	var out bytes.Buffer
	require.NoError(t, GPX(&out, v))
	f, err := gpx.Read(bytes.NewReader(out.Bytes()))
	require.NoError(t, err)
	noons := v.noons()
	require.Len(t, f.Waypoints.Points, len(noons))
	require.Len(t, noons, 43)
	// Noon is at 12:00 of the ship's clock, at the place and charge of the step
	// that begins then; the runs add up to the whole.
	tr := v.Result.Trace
	run := 0.0
	for i, n := range noons {
		require.Equal(t, "12:00:00", n.ship().Format(time.TimeOnly))
		k := slices.IndexFunc(tr.Time, n.at.Equal)
		require.GreaterOrEqual(t, k, 0)
		require.InDelta(t, float64(tr.Charge[k]), float64(n.charge), 1e-12)
		require.InDelta(t, float64(tr.Lat[k]), float64(n.place.Lat), 1e-9)
		require.InDelta(t, float64(tr.Lon[k]), float64(n.place.Lon), 1e-9)
		run += n.run
		require.InDelta(t, run, n.sailed, 1e-9)
		require.Equal(t, n.name(), f.Waypoints.Points[i].Name)
	}
	// What is left after the last noon is less than a day's run.
	left := float64(v.Result.Sailed) - noons[len(noons)-1].sailed
	require.True(t, left > 0 && left < 24*5.5, left)
	assert.Contains(t, out.String(), "<desc>10 Jan 2027 12:00 ship&#39;s time; charge ")
	assert.Equal(t, 1, strings.Count(out.String(), "<trkseg>"))
}

func TestNoTraceIsOurMistake(t *testing.T) {
	v := sailed(t, "doldrums-week")
	v.Result.Trace = nil
	require.PanicsWithValue(t, "trackfile: a track needs a result with a trace", func() { _ = GPX(io.Discard, v) })
}
