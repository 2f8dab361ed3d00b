package chart

import (
	"fmt"
	"io"
	"math"
	"time"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ampwake/sim"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// TrackOptions say how a track is drawn. The zero value will do.
type TrackOptions struct {
	// Version and Verdict are as for a passage.
	Version, Verdict string
}

// Track is the picture of where a voyage leads: its track on a map, coloured by
// the state of charge.
type Track struct {
	Title   string
	Facts   []string
	About   string // what the colour is
	Remarks []string
	Caption string
	Frame   TrackFrame
	Path    []TrackPoint // in order
	Classes []ChargeClass
	Days    []TrackDay
	Places  []TrackPlace // those with a name, in order
	Missed  []TrackMiss
	Lowest  TrackPlace // of the state of charge; its name says how low
	Width   vg.Length
	Height  vg.Length
}

// TrackFrame is the part of the world that must be seen, degrees.
type TrackFrame struct {
	Middle, Half float64 // longitudes from Middle-Half to Middle+Half
	South, North float64
}

// TrackPoint is a place on the track. Charge counts from there to the next.
type TrackPoint struct {
	Lat, Lon float64
	Charge   float64 // %
}

// TrackDay is a ship's noon on the track.
type TrackDay struct {
	Lat, Lon float64
	Course   float64 // degrees true
	Label    string  // "" for one that is only ticked
}

// TrackPlace is a waypoint with a name.
type TrackPlace struct {
	Lat, Lon float64
	Name     string
	End      bool // where she departs or arrives
}

// TrackMiss is where something was missed.
type TrackMiss struct {
	Lat, Lon float64
	Label    string // "" but for the first of a load
}

// NewTrack makes the page model of a voyage along a route. It panics if the
// result has no trace of at least one step.
//
// Up to twelve days the colour is that of every step; beyond, that of the lowest
// state of charge from one noon to the next.
func NewTrack(res *sim.Result, route *track.Route, opt TrackOptions) *Track {
	t := res.Trace
	if t == nil || len(t.Time) < 2 {
		panic("chart: a track needs a result with a trace")
	}
	n := len(t.Time) - 1
	v := voyage{res: res, trace: t, opt: PassageOptions{Version: opt.Version, Verdict: opt.Verdict}, from: seconds(t.Time[0]), to: seconds(t.Time[n])}
	p := &Track{
		Title: clean(res.Title), Facts: v.facts(), Caption: v.caption(),
		About:   "at every step",
		Classes: chargeClasses(100 * float64(res.Verdict.Floor)),
		Width:   8 * vg.Inch,
	}
	noons := Noons(t)
	p.path(t, noons, v.to-v.from > hourlyUpTo)
	p.days(t, noons)
	p.places(route)
	p.missed(res)
	if low := res.Lowest; !low.Time.IsZero() {
		p.Lowest = TrackPlace{
			Lat: float64(low.Place.Lat), Lon: float64(low.Place.Lon),
			Name: "lowest " + percent(held(100*float64(low.Charge), 0, 100)) + ", " + moment(seconds(low.Time)).Format("2 Jan"),
		}
	}
	p.frame()
	if 2*p.frameOn(p.Size()).half >= leastWorld {
		p.Remarks = []string{"Coasts from squares of one degree: not for navigation."}
	} else {
		p.Remarks = []string{"Too small for coasts from squares of one degree: not for navigation."}
	}
	return p
}

// WriteFile writes the picture; see the function WriteFile.
func (p *Track) WriteFile(path string) error { return WriteFile(path, p) }

// Encode writes the picture as "png" or "svg".
func (p *Track) Encode(w io.Writer, format string) error { return Encode(w, p, format) }

// Size returns the size of the page.
func (p *Track) Size() (width, height vg.Length) { return p.Width, p.Height }

// Draw draws the picture to fill the canvas.
func (p *Track) Draw(c draw.Canvas) {
	size := c.Size()
	p.layout(size.X, size.Y).draw(c)
}

// Between returns the place a share of the way from step i of a trace to the
// next, the short way round.
func Between(t *sim.Trace, i int, share float64) track.Position {
	east := math.Remainder(float64(t.Lon[i+1]-t.Lon[i]), 360)
	return track.Position{
		Lat: t.Lat[i] + units.Degrees(share)*(t.Lat[i+1]-t.Lat[i]),
		Lon: units.Degrees(math.Remainder(float64(t.Lon[i])+share*east, 360)),
	}
}

// bearing returns the direction of step i of a trace, degrees true.
func bearing(t *sim.Trace, i int) float64 {
	north := float64(t.Lat[i+1] - t.Lat[i])
	east := math.Remainder(float64(t.Lon[i+1]-t.Lon[i]), 360) * math.Cos(float64(t.Lat[i])*math.Pi/180)
	return math.Atan2(east, north) * 180 / math.Pi
}

// path takes the track from the trace, one point for each step that leads on.
func (p *Track) path(t *sim.Trace, noons []Noon, byDay bool) {
	charge := make([]float64, len(t.Time))
	for i, c := range t.Charge {
		charge[i] = held(100*float64(c), 0, 100)
	}
	if byDay {
		p.About = "lowest of each day, noon to noon"
		edges := []float64{seconds(t.Time[0])}
		at := make([]float64, len(t.Time))
		for i, x := range t.Time {
			at[i] = seconds(x)
		}
		for _, x := range noons {
			if x.At > edges[len(edges)-1] {
				edges = append(edges, x.At)
			}
		}
		if last := at[len(at)-1]; last > edges[len(edges)-1] {
			edges = append(edges, last)
		}
		low, _ := extremes(edges, at, charge)
		k := 0
		for i := range charge {
			for k < len(low)-1 && at[i] >= edges[k+1] {
				k++
			}
			charge[i] = low[k]
		}
	}
	for i := range t.Time {
		x := TrackPoint{Lat: float64(t.Lat[i]), Lon: float64(t.Lon[i]), Charge: charge[i]}
		if n := len(p.Path); n > 0 && p.Path[n-1].Lat == x.Lat && p.Path[n-1].Lon == x.Lon {
			p.Path[n-1].Charge = min(p.Path[n-1].Charge, x.Charge)
			continue
		}
		p.Path = append(p.Path, x)
	}
}

// days marks the ship's noons, dated so often that there is room.
func (p *Track) days(t *sim.Trace, noons []Noon) {
	every := 1
	for _, n := range []int{1, 2, 5, 10, 20, 30, 60} {
		if every = n; len(noons)/n <= 12 {
			break
		}
	}
	i := 0
	for k, n := range noons {
		for i+2 < len(t.Time) && seconds(t.Time[i+1]) <= n.At {
			i++
		}
		share := 0.0
		if span := seconds(t.Time[i+1]) - seconds(t.Time[i]); span > 0 {
			share = held((n.At-seconds(t.Time[i]))/span, 0, 1)
		}
		at := Between(t, i, share)
		d := TrackDay{Lat: float64(at.Lat), Lon: float64(at.Lon), Course: bearing(t, i)}
		if m := len(p.Days); m > 0 && p.Days[m-1].Lat == d.Lat && p.Days[m-1].Lon == d.Lon {
			continue // she stays there
		}
		if (k+1)%every == 0 {
			d.Label = moment(n.At).Add(time.Duration(n.Zone) * time.Hour).Format("2 Jan")
		}
		p.Days = append(p.Days, d)
	}
	if len(p.Days) == 0 {
		return
	}
	p.About += "; a tick at each ship’s noon"
	if every > 1 {
		p.About += fmt.Sprintf(", dated every %d days", every)
	}
}

// places takes the waypoints that have a name. Where she begins and ends has a
// dot in any case.
func (p *Track) places(route *track.Route) {
	last := route.Len() - 1
	for i := range route.Len() {
		w := route.Waypoint(i)
		if w.Name == "" && i > 0 && i < last {
			continue
		}
		p.Places = append(p.Places, TrackPlace{
			Lat: float64(w.Position.Lat), Lon: float64(w.Position.Lon), Name: clean(w.Name), End: i == 0 || i == last,
		})
	}
}

// missed marks what was missed, and names the first of each load.
func (p *Track) missed(res *sim.Result) {
	counts := map[int]int{}
	for _, m := range res.Misses {
		counts[m.Load]++
	}
	seen := map[int]bool{}
	for _, m := range res.Misses {
		x := TrackMiss{Lat: float64(m.At.Place.Lat), Lon: float64(m.At.Place.Lon)}
		if !seen[m.Load] {
			seen[m.Load] = true
			name := clean(res.Loads[m.Load].Name)
			when := moment(seconds(m.Slot)).Format("2 Jan")
			x.Label = name + " missed " + when
			if n := counts[m.Load]; n > 1 {
				x.Label = fmt.Sprintf("%s: first of %d missed, %s", name, n, when)
			}
		}
		p.Missed = append(p.Missed, x)
	}
}

// frame sets what must be seen: track and waypoints with a margin about them,
// and the size of the page.
func (p *Track) frame() {
	lon := p.Path[0].Lon
	west, eastMost := lon, lon
	low, high := p.Path[0].Lat, p.Path[0].Lat
	see := func(lat, at float64) {
		lon += math.Remainder(at-lon, 360)
		west, eastMost = min(west, lon), max(eastMost, lon)
		low, high = min(low, lat), max(high, lat)
	}
	for _, x := range p.Path {
		see(x.Lat, x.Lon)
	}
	lon = p.Path[0].Lon // the waypoints begin where the track does
	for _, x := range p.Places {
		see(x.Lat, x.Lon)
	}
	f := chartFrame{middle: (west + eastMost) / 2, half: (eastMost - west) / 2, south: meridional(low), north: meridional(high)}
	// The margin is wide enough for some land to be seen, if any is near.
	for _, share := range []float64{0.1, 0.2, 0.35, 0.1} {
		p.Height = p.margin(f, share)
		if width, height := p.Size(); p.frameOn(width, height).anyLand() {
			return
		}
	}
}

// margin sets the frame to f with a margin of a share of it all round, and
// returns the height of a page that suits it.
func (p *Track) margin(f chartFrame, share float64) (height vg.Length) {
	by := max(share*max(2*f.half, f.north-f.south), 0.6) // squares of a degree are no map of a bay
	end := meridional(mostLat)
	f.half = min(180, f.half+by)
	f.south, f.north = max(-end, f.south-by), min(end, f.north+by)
	p.Frame = TrackFrame{
		Middle: math.Remainder(f.middle, 360), Half: f.half,
		South: latitudeOf(f.south), North: latitudeOf(f.north),
	}
	aspect := held((f.north-f.south)/(2*f.half), 0.5, 0.95)
	return vg.Length(aspect)*(p.Width-2*edge-trackLeft) + trackAround
}
