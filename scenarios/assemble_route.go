package scenarios

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"

	"ampwake/scenarios/gpx"
	"ampwake/sim"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// waypoints returns those of the route, written out or from a GPX file.
func (a *assembly) waypoints() []track.Waypoint {
	r := &a.file.Voyage.Route
	switch {
	case r.GPX != "":
		return a.fromGPX(r)
	case len(r.Points) < 2:
		a.doc.Problem("voyage.route", "a route needs two waypoints at least, or a GPX file")
		return nil
	}
	return a.written(r.Points)
}

// written returns the waypoints of the scenario file.
func (a *assembly) written(list []Waypoint) []track.Waypoint {
	names := map[string]int{}
	points := make([]track.Waypoint, len(list))
	for i, w := range list {
		points[i] = track.Waypoint{Name: w.Name, Position: w.At, Line: w.By.track()}
		if j, twice := names[w.Name]; twice {
			a.doc.Problem(fmt.Sprintf("voyage.route[%d].name", i), "waypoint %d is called %q too: names must differ", j+1, w.Name)
		}
		names[w.Name] = i
	}
	return points
}

// fromGPX returns the waypoints of the file that the scenario names, which lies
// in the scenario's folder unless its path begins at the root, and keeps their
// names.
func (a *assembly) fromGPX(r *Route) []track.Waypoint {
	const at = "voyage.route.gpx"
	name := r.GPX
	if !filepath.IsAbs(name) {
		name = filepath.Join(filepath.Dir(a.label), name)
	}
	f, err := a.open(name)
	if err != nil {
		if errors.Is(err, fs.ErrNotExist) {
			want(a.doc.Problem(at, "there is no file %s", name), "a GPX file, its path as seen from the folder of this file")
			return nil
		}
		a.doc.Problem(at, "the file cannot be read: %v", err)
		return nil
	}
	defer func() { _ = f.Close() }() // only read
	read, err := gpx.Read(f)
	if err != nil {
		a.doc.Problem(at, "%s: %v", r.GPX, err)
		return nil
	}
	p, err := read.Pick(r.Named)
	if err != nil {
		path := at
		if r.Named != "" {
			path = "voyage.route.named"
		}
		a.doc.Problem(path, "%s %v", r.GPX, err)
		return nil
	}
	points := make([]track.Waypoint, len(p.Points))
	used := map[string]int{}
	for i, x := range p.Points {
		line := Line(x.Line)
		if r.By != nil {
			line = *r.By
		}
		points[i] = track.Waypoint{Name: x.Name, Position: x.Place, Line: line.track()}
		if used[x.Name]++; x.Name != "" && used[x.Name] > 1 { // there and back again
			points[i].Name = fmt.Sprintf("%s (%d)", x.Name, used[x.Name])
		}
		a.names = append(a.names, points[i].Name)
	}
	which := fmt.Sprintf("the %s", p.Kind)
	if p.Name != "" {
		which += fmt.Sprintf(" %q", p.Name)
	}
	a.noted("route", fmt.Sprintf("%s of %s, %d points", which, r.GPX, len(points)))
	return points
}

// mostNames is how many waypoints are worth naming in a message or as zones:
// a track from a GPX file may have thousands.
const mostNames = 40

// namedLegs returns the parts of a route between waypoints with a name, or nil
// where each waypoint has one. Many parts are as good as none: then the whole
// route is one.
func namedLegs(r *track.Route) []sim.Zone {
	named := []int{0}
	bare := false
	last := r.Len() - 1
	for i := 1; i < last; i++ {
		if r.Waypoint(i).Name == "" {
			bare = true
		} else {
			named = append(named, i)
		}
	}
	if !bare && r.Waypoint(0).Name != "" && r.Waypoint(last).Name != "" {
		return nil
	}
	if len(named) > mostNames {
		named = named[:1]
	}
	called := func(i int, usual string) string {
		if name := r.Waypoint(i).Name; name != "" {
			return name
		}
		return usual
	}
	var zs []sim.Zone
	var from units.NauticalMiles
	for k, i := range named {
		next := last
		if k+1 < len(named) {
			next = named[k+1]
		}
		zs = append(zs, sim.Zone{Name: called(i, "start") + " – " + called(next, "end"), From: from, To: r.Mark(next)})
		from = r.Mark(next)
	}
	return zs
}
