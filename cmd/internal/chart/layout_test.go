package chart

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"

	"ampwake/sim/units"
)

// laidOut is a picture that shows its scene.
type laidOut interface {
	Picture
	layout(width, height vg.Length) *scene
}

// gallery is every picture there is, at the edges of what must draw.
func gallery() map[string]laidOut {
	out := map[string]laidOut{}
	for name, f := range voyages() {
		out[name] = NewPassage(f.sail(), PassageOptions{Version: "ampwake 0.1"})
	}
	res := atlantic().sail()
	res.Title = strings.Repeat("a long way round & <back> ", 12)
	res.Sources[0].Name = "the water generator with the large rotor, on the port quarter"
	res.Loads[2].Name = "HF radio\x00 \"the big one\"\nwith a second line and a name that is too long"
	out["long names"] = NewPassage(res, PassageOptions{})
	for name, days := range map[string]int{"fan of a day": 1, "fan of two days": 2, "fan": 26, "fan of 90": 90, "fan of 240": 240} {
		out[name] = NewFan(fanOf(days))
	}
	bare := fanOf(5)
	bare.Low, bare.High, bare.Floor, bare.Title, bare.Facts = nil, nil, 0, "", nil
	out["bare fan"] = NewFan(bare)
	for name, n := range map[string][2]int{"where": {11, 3}, "where one": {1, 1}, "where many": {60, 5}} {
		out[name] = NewWhere(whereOf(n[0], n[1]))
	}
	none := whereOf(4, 2)
	for i := range none.Counts {
		none.Counts[i] = []int{0, 0}
		none.Edges[i].Lat = units.Degrees(30 + float64(i)/10)
		none.Edges[i].Sailed = 0
	}
	out["where nothing"] = NewWhere(none)
	maps.Copy(out, comparisons())
	maps.Copy(out, climates())
	maps.Copy(out, tracks())
	maps.Copy(out, frontiers())
	maps.Copy(out, tornadoes())
	maps.Copy(out, fields())
	return out
}

// texts returns the words of an SVG, and fails if it is no XML.
func texts(t *testing.T, svg []byte) []string {
	t.Helper()
	var out []string
	d := xml.NewDecoder(bytes.NewReader(svg))
	inside := false
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		require.NoError(t, err)
		switch x := token.(type) {
		case xml.StartElement:
			inside = x.Name.Local == "text"
		case xml.EndElement:
			inside = false
		case xml.CharData:
			if inside {
				out = append(out, string(x))
			}
		}
	}
}

func TestGallery(t *testing.T) {
	for name, p := range gallery() {
		t.Run(name, func(t *testing.T) {
			look(t, name, p)
			w, h := p.Size()
			for _, size := range [][2]vg.Length{{w, h}, {400, 540}} { // of the page, and smaller, as on the card
				s := p.layout(size[0], size[1])
				page := vg.Rectangle{Max: vg.Point{X: size[0], Y: size[1]}}
				for i, a := range s.words {
					require.True(t, within(a.box, page), "%q runs off the page of %v", a.text, size)
					for _, b := range s.words[:i] {
						require.True(t, apart(a.box, b.box), "%q and %q overlap on the page of %v", a.text, b.text, size)
					}
				}
				for _, sh := range s.shapes {
					for _, at := range slices.Concat(append(sh.rings, sh.ring, sh.line)...) {
						require.True(t, at.X >= 0 && at.X <= size[0] && at.Y >= 0 && at.Y <= size[1], "a shape runs off the page: %v", at)
					}
				}
			}
			var svg bytes.Buffer
			require.NoError(t, Encode(&svg, p, "svg"))
			require.NotContains(t, svg.String(), "NaN")
			require.NotContains(t, svg.String(), "Inf")
			require.NotContains(t, svg.String(), "#-")
			require.Less(t, svg.Len(), 800_000, "thinned")
			var want []string
			for _, word := range p.layout(w, h).words {
				want = append(want, word.text)
			}
			require.Equal(t, want, texts(t, svg.Bytes()), "each word of the layout once")
		})
	}
}

func TestEachNameOnce(t *testing.T) {
	p := NewPassage(atlantic().sail(), PassageOptions{Version: "ampwake 0.1"})
	var svg bytes.Buffer
	require.NoError(t, p.Encode(&svg, "svg"))
	all := strings.Join(texts(t, svg.Bytes()), "\n")
	for _, name := range []string{
		"State of charge, %", "In, by source, A", "Out, by load, A", "Speed through the water, kn", "Latitude",
		"water generator 43 of 60 Ah/d", "solar 21 of 27 Ah/d", "line: offered; spilled 26 Ah/d", "engine", "instruments", "fridge", "tricolour light", "weather fax 1.6 Ah/d",
		"floor 50 %", "ends at 88 %", "lowest 36 %, 18 Mar 03:10", "2 missed: HF radio", "first 17 Mar 20:10, voltage under load", "motoring 9 h", "ship’s noon",
	} {
		require.Equal(t, 1, strings.Count(all, name), name)
	}
}

// The panels of a page stand on one time axis: the same left and right edge.
func TestPanelsAligned(t *testing.T) {
	p := NewPassage(atlantic().sail(), PassageOptions{})
	s := p.layout(p.Size())
	// The full-width hairlines of all panels.
	var lefts, rights []vg.Length
	for _, sh := range s.shapes {
		if len(sh.line) == 2 && sh.line[0].Y == sh.line[1].Y && sh.line[1].X-sh.line[0].X > 300 {
			lefts, rights = append(lefts, sh.line[0].X), append(rights, sh.line[1].X)
		}
	}
	require.Greater(t, len(lefts), 15)
	require.Equal(t, slices.Min(lefts), slices.Max(lefts))
	require.Equal(t, slices.Min(rights), slices.Max(rights))
}

// The words at the lowest point lie on no curve.
func TestPointIsClear(t *testing.T) {
	for _, name := range []string{"atlantic", "week", "forty", "date line", "polar day"} {
		p := NewPassage(voyages()[name].sail(), PassageOptions{})
		s := p.layout(p.Size())
		i := slices.IndexFunc(s.words, func(w word) bool { return strings.HasPrefix(w.text, "lowest") })
		require.GreaterOrEqual(t, i, 0, name)
		for _, sh := range s.shapes {
			if len(sh.line) > 100 {
				r := s.words[i].box
				require.Zero(t, crossings(grown(r, -1.5), [][]vg.Point{sh.line}), name)
				break // the first long line is the state of charge
			}
		}
	}
}

func BenchmarkPassage(b *testing.B) {
	res := atlantic().sail()
	for _, format := range []string{"png", "svg"} {
		b.Run(format, func(b *testing.B) {
			for b.Loop() {
				if err := NewPassage(res, PassageOptions{}).Encode(io.Discard, format); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func TestNoTraceIsOurMistake(t *testing.T) {
	res := atlantic().sail()
	res.Trace = nil
	require.PanicsWithValue(t, "chart: a passage needs a result with a trace", func() { NewPassage(res, PassageOptions{}) })
}

// A voyage of no length still gives a page.
func TestNothingSailed(t *testing.T) {
	f := atlantic()
	f.span = 10 * time.Minute
	res := f.sail()
	res.Trace.Time[1] = res.Trace.Time[0]
	require.NoError(t, NewPassage(res, PassageOptions{}).Encode(io.Discard, "svg"))
}
