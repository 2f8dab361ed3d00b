package trackfile

import (
	"bytes"
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim/track"
	"ampwake/sim/units"
)

type collection struct {
	Type     string    `json:"type"`
	Bbox     []float64 `json:"bbox"`
	CRS      any       `json:"crs"`
	Features []struct {
		Type     string `json:"type"`
		Geometry struct {
			Type        string          `json:"type"`
			Coordinates json.RawMessage `json:"coordinates"`
		} `json:"geometry"`
		Properties map[string]any `json:"properties"`
	} `json:"features"`
}

// written returns the collection and the lines of its track.
func written(t *testing.T, v Voyage) (collection, [][]place) {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, GeoJSON(&out, v))
	var c collection
	require.NoError(t, json.Unmarshal(out.Bytes(), &c))
	var lines [][]place
	if g := c.Features[0].Geometry; g.Type == "LineString" {
		lines = make([][]place, 1)
		require.NoError(t, json.Unmarshal(g.Coordinates, &lines[0]))
	} else {
		require.Equal(t, "MultiLineString", g.Type)
		require.NoError(t, json.Unmarshal(g.Coordinates, &lines))
		require.Greater(t, len(lines), 1)
	}
	return c, lines
}

// The rules of RFC 7946 that a file like ours can break.
func TestGeoJSON(t *testing.T) {
	crossings := map[string]int{"southern-ocean": 1, "westward over the line": 1, "there and back": 2, "a year": 1}
	for name, v := range voyages(t) {
		t.Run(name, func(t *testing.T) {
			c, lines := written(t, v)
			require.Equal(t, "FeatureCollection", c.Type)
			require.Nil(t, c.CRS, "section 4")
			require.Len(t, c.Features, 1+v.Route.Len()+len(v.noons()))
			require.Len(t, lines, crossings[name]+1)
			require.Len(t, c.Bbox, 4)
			inside := func(p place) {
				west, south, east, north := c.Bbox[0], c.Bbox[1], c.Bbox[2], c.Bbox[3]
				require.True(t, p[0] >= -180 && p[0] <= 180 && p[1] >= -90 && p[1] <= 90, p)
				require.True(t, p[1] >= south && p[1] <= north, "%v in %v", p, c.Bbox)
				in := func(x float64) bool {
					if west <= east {
						return x >= west && x <= east
					}
					return x >= west || x <= east
				}
				// 180° east and west are one meridian.
				require.True(t, in(p[0]) || math.Abs(p[0]) == 180 && in(-p[0]), "%v in %v", p, c.Bbox)
			}
			miles := 0.0
			for k, line := range lines {
				require.GreaterOrEqual(t, len(line), 2, "section 3.1.4")
				for i, p := range line {
					inside(p)
					if i > 0 {
						require.Less(t, math.Abs(p[0]-line[i-1][0]), 180.0, "no line across the map")
						miles += 60 * math.Hypot(p[1]-line[i-1][1], (p[0]-line[i-1][0])*math.Cos((p[1]+line[i-1][1])/2*math.Pi/180))
					}
				}
				if k > 0 { // section 3.1.9
					end := lines[k-1][len(lines[k-1])-1]
					require.Equal(t, 180.0, math.Abs(end[0]))
					require.Equal(t, place{-end[0], end[1]}, line[0])
				}
			}
			require.InDelta(t, float64(v.Result.Sailed), miles, 0.005*float64(v.Result.Sailed)+0.01)
			for _, f := range c.Features[1:] {
				require.Equal(t, "Feature", f.Type)
				require.Equal(t, "Point", f.Geometry.Type)
				var p place
				require.NoError(t, json.Unmarshal(f.Geometry.Coordinates, &p))
				inside(p)
				if f.Properties["kind"] == "noon" {
					soc := f.Properties["soc"].(float64)
					require.True(t, soc >= 0 && soc <= 1)
				}
			}
		})
	}
}

// Longitude comes first, west is negative.
func TestOrderOfCoordinates(t *testing.T) {
	c, lines := written(t, sailed(t, "radio-cover"))
	require.Equal(t, place{-25, 16.88333}, lines[0][0])
	// West is the equator crossing, east and south the landfall, north the start.
	assert.Equal(t, []float64{-27, -33.03333, 17.95, 16.88333}, c.Bbox)
}

// An example of RFC 7946, section 3.1.9: a line from 45° N 170° E to 45° N
// 170° W becomes two that meet at 180°.
func TestCutOfTheStandard(t *testing.T) {
	at := func(lon, lat float64) fix {
		return fix{place: track.Position{Lat: units.Degrees(lat), Lon: units.Degrees(lon)}}
	}
	require.Equal(t, [][]place{{{170, 45}, {180, 45}}, {{-180, 45}, {-170, 45}}}, cut([]fix{at(170, 45), at(-170, 45)}))
	// Cut at the latitude in between, westward too.
	require.Equal(t, [][]place{{{-179, 10}, {-180, 11}}, {{180, 11}, {177, 14}}}, cut([]fix{at(-179, 10), at(177, 14)}))
	// A place on the meridian itself.
	require.Equal(t, [][]place{{{179, 0}, {180, 1}}, {{-180, 1}, {-179, 2}}}, cut([]fix{at(179, 0), at(180, 1), at(-179, 2)}))
	require.Equal(t, [][]place{{{-180, 1}, {-179, 2}}}, cut([]fix{at(180, 1), at(-179, 2)}))
	require.Equal(t, [][]place{{{-179, 2}, {-180, 1}}}, cut([]fix{at(-179, 2), at(180, 1)}))
	require.Equal(t, [][]place{{{1, 2}, {1, 2}}}, cut([]fix{at(1, 2)}))
}

// Section 5.2: Fiji, 20°S 177°E to 16°S 178°W.
func TestBboxOfTheStandard(t *testing.T) {
	var b bounds
	for _, p := range []track.Position{{Lat: -20, Lon: 177}, {Lat: -16, Lon: -178}} {
		b.add(p)
	}
	require.Equal(t, [4]float64{177, -20, -178, -16}, b.bbox())
	b = bounds{}
	for lon := 0; lon <= 400; lon += 10 {
		b.add(track.Position{Lat: -50, Lon: units.Degrees(math.Remainder(float64(lon), 360))})
	}
	require.Equal(t, [4]float64{-180, -50, 180, -50}, b.bbox(), "round the world")
}
