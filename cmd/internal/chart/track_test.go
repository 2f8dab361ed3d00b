package chart

import (
	"image/color"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"

	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// straight is a route of waypoints called by their numbers.
func straight(t testing.TB, line track.Line, points ...track.Waypoint) *track.Route {
	for i := range points {
		points[i].Line = line
	}
	r, err := track.NewRoute(track.Sphere{}, points)
	if t != nil {
		require.NoError(t, err)
	} else if err != nil {
		panic(err)
	}
	return r
}

func wp(name string, lat, lon float64) track.Waypoint {
	return track.Waypoint{Name: name, Position: track.Position{Lat: units.Degrees(lat), Lon: units.Degrees(math.Remainder(lon, 360))}}
}

// along is a voyage over a route at a steady speed, its charge falling and
// rising with the days.
func along(r *track.Route, knots float64, floor units.Fraction) *sim.Result {
	depart := time.Date(2027, 1, 10, 9, 0, 0, 0, time.UTC)
	t := &sim.Trace{}
	res := &sim.Result{
		Title: "Along a route", Depart: depart, Arrived: true, Trace: t, Sailed: r.Length(),
		Loads:  []sim.LoadTotal{{Name: "HF radio", Due: 9, Kept: 7}, {Name: "weather fax"}},
		Lowest: sim.Moment{Charge: 2}, Verdict: sim.Verdict{Floor: floor},
	}
	step := max(600, float64(r.Length())/knots*3600/8000) // s
	for k := 0; ; k++ {
		s := float64(k) * step
		d := min(units.NauticalMiles(s/3600*knots), r.Length())
		at, heading := r.At(d)
		zone, _ := r.ZoneAt(d)
		charge := units.Fraction(0.62 + 0.3*math.Cos(3*math.Pi*float64(d)/max(1, float64(r.Length()))) + 0.06*math.Sin(2*math.Pi*s/86400))
		now := depart.Add(time.Duration(s * 1e9))
		t.Time, t.Lat, t.Lon = append(t.Time, now), append(t.Lat, at.Lat), append(t.Lon, at.Lon)
		t.Zone, t.Charge, t.Heading = append(t.Zone, int8(zone)), append(t.Charge, charge), append(t.Heading, heading)
		m := sim.Moment{Time: now, Place: at, Charge: charge}
		if charge < res.Lowest.Charge {
			res.Lowest = m
		}
		if charge < 0.32 && k%24 == 0 {
			res.Misses = append(res.Misses, sim.Miss{Load: 0, What: "HF radio", Slot: now, At: m})
		}
		if d >= r.Length() || k > 20000 {
			res.End = now
			return res
		}
	}
}

// tracks are maps of all kinds.
func tracks() map[string]laidOut {
	out := map[string]laidOut{}
	add := func(name string, r *track.Route, knots float64, floor units.Fraction) {
		res := along(r, knots, floor)
		res.Title = "Track: " + name
		out["track "+name] = NewTrack(res, r, TrackOptions{Version: "ampwake 0.1"})
	}
	gc, rl := track.GreatCircle, track.RhumbLine
	add("atlantic", straight(nil, rl, wp("Mindelo", 16.9, -25), wp("equator", 0, -27), wp("Cape Town", -33.9, 18.4)), 5, 0.5)
	add("date line", straight(nil, rl, wp("Suva", -18, 178), wp("Apia", -14, -172)), 5, 0.5)
	add("pacific", straight(nil, gc, wp("Auckland", -36.8, 174.8), wp("Papeete", -17.5, -149.6), wp("Hilo", 19.7, -155), wp("Sitka", 57, -135.4)), 5, 0.5)
	add("indian ocean", straight(nil, rl, wp("Galle", 6, 80), wp("Chagos", -6, 71.5), wp("Rodrigues", -19.7, 63.4), wp("Réunion", -21, 55), wp("Durban", -29.9, 31.1)), 5, 0.5)
	add("north sea", straight(nil, rl, wp("Oban", 56.4, -5.5), wp("Butt of Lewis", 58.6, -6.2), wp("Lerwick", 60.1, -1.1), wp("Bergen", 60.4, 5)), 5, 0.3)
	add("channel hop", straight(nil, rl, wp("Yarmouth", 50.7, -1.5), wp("Cherbourg", 49.7, -1.6)), 5, 0.5)
	add("round a headland", straight(nil, rl, wp("in", 50.1, -5.1), wp("out", 50.05, -5.15)), 5, 0)
	add("far north", straight(nil, rl, wp("Longyearbyen", 78.2, 15), wp("ice edge", 82, 30), wp("farther", 84.9, 60), wp("Franz Josef Land", 80.5, 58)), 4, 0.5)
	add("round the pole", straight(nil, rl, wp("A", 84.5, 0), wp("B", 84.5, 120), wp("C", 84.5, -120), wp("D", 84.5, 0)), 4, 0.5)
	add("round the world", straight(nil, rl, wp("Falmouth", 50, -5), wp("Cape", -40, 20), wp("Leeuwin", -42, 115), wp("Horn", -57, -67), wp("home", 49, -6)), 6, 0.5)
	add("twice round", straight(nil, rl, wp("a", -50, 0), wp("b", -52, 120), wp("c", -50, -120), wp("d", -52, 0), wp("e", -50, 120), wp("f", -52, -120), wp("g", -50, 1)), 6, 0.5)
	add("no floor", straight(nil, gc, wp("Bergen", 60.4, 5), wp("Nuuk", 64, -52)), 5, 0)
	// A track from a file: thousands of points, few names, one long.
	var points []track.Waypoint
	for i := range 3000 {
		u := float64(i) / 2999
		p := wp("", 36-20*u+2*math.Sin(40*u), -6-55*u+math.Cos(31*u))
		switch {
		case i == 0:
			p.Name = "the marina in the bay behind the second headland after the lighthouse"
		case i%500 == 0:
			p.Name = "x" + strings.Repeat("o", i/500)
		}
		points = append(points, p)
	}
	add("from a file", straight(nil, gc, points...), 5, 0.5)
	for name, f := range voyages() {
		switch name {
		case "hour", "week", "round", "polar day", "date line":
			out["track of "+name] = NewTrack(f.sail(), straight(nil, gc,
				wp("from", float64(f.from.Lat), float64(f.from.Lon)), wp("to", float64(f.to.Lat), float64(f.to.Lon))), TrackOptions{})
		}
	}
	return out
}

// Whatever the track: all of it is on the map, in pieces that do not cross it
// from side to side, and each piece is as dark as its charge is low.
func TestTrackOnTheMap(t *testing.T) {
	for name, pic := range tracks() {
		p := pic.(*Track)
		f := p.frameOn(p.Size())
		runs := p.runs(f)
		require.NotEmpty(t, runs, name)
		width := f.data.Max.X - f.data.Min.X
		for _, r := range runs {
			require.GreaterOrEqual(t, len(r.line), 2, name)
			for i, at := range r.line {
				require.True(t, f.holds(at), "%s: %v is off the map %v", name, at, f.data)
				require.True(t, i == 0 || math.Abs(float64(at.X-r.line[i-1].X)) < float64(width)/2, name)
			}
		}
	}
}

// grey is what a colour becomes without colours (Rec. 601), red what is left of
// it in red light.
func grey(c color.RGBA) float64 { return float64(color.GrayModel.Convert(c).(color.Gray).Y) }
func red(c color.RGBA) float64  { return float64(c.R) }

// Less charge is darker: in grey and in red light, by enough to see.
func TestChargeClasses(t *testing.T) {
	for _, floor := range []float64{0, 20, 30, 42, 50, 55, 80, 95} {
		classes := chargeClasses(floor)
		require.LessOrEqual(t, len(classes), 8)
		require.Zero(t, classes[0].From)
		require.Equal(t, 100.0, classes[len(classes)-1].To)
		for i := 1; i < len(classes); i++ {
			a, b := classes[i-1], classes[i]
			require.Equal(t, a.To, b.From)
			require.Greater(t, grey(b.Fill)-grey(a.Fill), 14.0, "floor %v, class %d", floor, i)
			if a.Fill != below {
				require.Greater(t, red(b.Fill)-red(a.Fill), 20.0)
			} else {
				require.Greater(t, red(b.Fill), red(a.Fill))
				require.Greater(t, a.Width, b.Width)
			}
		}
		for _, charge := range []float64{0, floor - 1, floor, 50, 99.9, 100} {
			c := classes[class(classes, max(0, charge))]
			require.True(t, charge <= 0 || charge >= c.From && charge <= c.To)
		}
	}
}

// The projection and its inverse; a rhumb line is straight (Mercator's point),
// and 60° of latitude are twice as tall as at the equator.
func TestMercator(t *testing.T) {
	for lat := -85.0; lat <= 85; lat += 5 {
		require.InDelta(t, lat, latitudeOf(meridional(lat)), 1e-9)
	}
	// Meridional parts of 45° on the sphere, ln tan(67.5°) in minutes: 3029.9
	// (Bowditch, American Practical Navigator, table of meridional parts, for the
	// sphere).
	require.InDelta(t, 3029.9, 60*meridional(45), 0.1)
	scale := func(lat float64) float64 { return (meridional(lat+0.01) - meridional(lat-0.01)) / 0.02 }
	require.InDelta(t, 2*scale(0), scale(60), 1e-4)
	leg, err := track.Sphere{}.RhumbLine(track.Position{Lat: -40, Lon: 170}, track.Position{Lat: 10, Lon: -150})
	require.NoError(t, err)
	f := chartFrame{middle: -170, half: 60, south: meridional(-60), north: meridional(60)}
	f = f.fitted(vg.Rectangle{Max: vg.Point{X: 500, Y: 400}})
	a, b := f.at(-40, 170), f.at(10, -150)
	for d := units.NauticalMiles(0); d < leg.Length(); d += 100 {
		p, _ := leg.At(d)
		require.Less(t, offLine(f.at(float64(p.Lat), float64(p.Lon)), a, b), 1e-6)
	}
}

// A frame shows at least what was asked for, in the shape of the page, and never
// more of the world than there is.
func TestFrameFits(t *testing.T) {
	for _, f := range []chartFrame{
		{middle: 10, half: 20, south: -10, north: 10},
		{middle: 179, half: 5, south: 100, north: 140},
		{middle: 0, half: 180, south: -60, north: -50},
		{middle: 0, half: 1, south: -180, north: 180},
	} {
		for _, size := range [][2]vg.Length{{500, 250}, {300, 300}, {200, 500}} {
			g := f.fitted(vg.Rectangle{Min: vg.Point{X: 20, Y: 30}, Max: vg.Point{X: 20 + size[0], Y: 30 + size[1]}})
			require.LessOrEqual(t, g.half, 180.0)
			require.GreaterOrEqual(t, g.half, f.half-1e-9)
			require.LessOrEqual(t, g.south, f.south+1e-9)
			require.GreaterOrEqual(t, g.north, f.north-1e-9)
			require.LessOrEqual(t, g.north, meridional(mostLat)+1e-9)
			require.True(t, within(g.data, vg.Rectangle{Min: vg.Point{X: 19.99, Y: 29.99}, Max: vg.Point{X: 20.01 + size[0], Y: 30.01 + size[1]}}))
			// One scale both ways.
			require.InEpsilon(t, float64(g.data.Max.X-g.data.Min.X)/(2*g.half), float64(g.data.Max.Y-g.data.Min.Y)/(g.north-g.south), 1e-9)
		}
	}
}

// The coast keeps to the squares it is made from: their middles are on the right
// side of it, but for a strait or spit of one square, and a square of land alone
// does not get lost.
func TestCoastFollowsTheMask(t *testing.T) {
	wrong, all := 0, 0
	for lat := -84.5; lat < 85; lat++ {
		for lon := -179.5; lon < 180; lon++ {
			land := climate.Land(track.Position{Lat: units.Degrees(lat), Lon: units.Degrees(lon)})
			all++
			if land {
				require.GreaterOrEqual(t, landAt(lat, lon), shore, "%v %v", lat, lon)
			} else if landAt(lat, lon) >= shore {
				wrong++
			}
		}
	}
	t.Logf("%d of %d squares are land where the mask has sea", wrong, all)
	require.Less(t, wrong, all/100)
}

// A coast at a place everybody knows: Cape Verde is the west of Africa, the
// Cape of Good Hope its south.
func TestCoastOfAfrica(t *testing.T) {
	f := chartFrame{middle: 0, half: 40, south: meridional(-45), north: meridional(40)}
	f = f.fitted(vg.Rectangle{Max: vg.Point{X: 500, Y: 500}})
	rings, coasts := f.land()
	require.NotEmpty(t, coasts)
	var africa []vg.Point
	for _, r := range rings {
		if len(r) > len(africa) {
			africa = r
		}
	}
	southmost := f.data.Max
	for _, p := range africa {
		if p.Y < southmost.Y {
			southmost = p
		}
	}
	cape := f.at(-34.8, 20)
	require.InDelta(t, float64(cape.Y), float64(southmost.Y), 6) // tol: a degree
	for _, line := range coasts {
		for _, p := range line {
			require.True(t, f.holds(p))
		}
	}
}

func TestTrackModel(t *testing.T) {
	r := straight(t, track.RhumbLine, wp("Mindelo", 16.9, -25), wp("equator", 0, -27), wp("Cape Town", -33.9, 18.4))
	res := along(r, 5, 0.5)
	p := NewTrack(res, r, TrackOptions{Version: "ampwake 0.1"})
	require.Len(t, p.Places, 3)
	require.True(t, p.Places[0].End && !p.Places[1].End && p.Places[2].End)
	require.Len(t, p.Missed, len(res.Misses))
	require.Contains(t, p.Missed[0].Label, "HF radio: first of ")
	require.Empty(t, p.Missed[1].Label)
	// A noon each day at sea; zones change by an hour, so it is the span in days.
	days := res.End.Sub(res.Depart).Hours() / 24
	require.InDelta(t, days, float64(len(p.Days)), 1)
	dated := 0
	for _, d := range p.Days {
		if d.Label != "" {
			dated++
		}
	}
	require.Equal(t, len(p.Days)/5, dated)
	require.Contains(t, p.About, "dated every 5 days")
	// By the day: each piece has the lowest charge of its day.
	low := 100.0
	for _, x := range p.Path {
		low = min(low, x.Charge)
	}
	require.InDelta(t, 100*float64(res.Lowest.Charge), low, 1e-9)
	s := p.layout(p.Size())
	var words []string
	for _, w := range s.words {
		words = append(words, w.text)
	}
	all := strings.Join(words, "\n")
	for _, name := range []string{"Mindelo", "equator", "Cape Town", "below the floor", "floor 50 %", "100 %", "20°S", "10°W", "missed", p.Lowest.Name, p.Missed[0].Label} {
		require.Contains(t, all, name)
	}
	res.Trace = nil
	require.PanicsWithValue(t, "chart: a track needs a result with a trace", func() { NewTrack(res, r, TrackOptions{}) })
}

func TestDegreesText(t *testing.T) {
	for want, x := range map[string]float64{"0°": 0, "20°": 20, "20°30'": 20.5, "180°": -180, "179°45'": 179.75} {
		got := strings.TrimRight(degreesText(x, "E", "W"), "EW")
		require.Equal(t, want, got)
	}
	require.Equal(t, "20°W", degreesText(-20, "E", "W"))
	require.Equal(t, "180°", degreesText(180, "E", "W"))
}
