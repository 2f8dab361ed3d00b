package gpx

import (
	"fmt"
	"math"
	"strings"

	"ampwake/sim/track"
)

// Limits of what is read.
const (
	MaxBytes  = 16 << 20
	MaxPoints = 5000 // of one path
)

// Point is a place with a name, which may be empty.
type Point struct {
	Name  string
	Place track.Position
	// Line is what the point's <type> says of the leg that leads to it, "great
	// circle" or "rhumb line", or "" if it says neither.
	Line string
}

// Kind is what a path is in the file.
type Kind string

// The kinds of paths.
const (
	Route     Kind = "route"
	Track     Kind = "track"
	Waypoints Kind = "list of waypoints"
)

// Path is places in order. A point at the very place of the one before it is
// left out.
type Path struct {
	Kind   Kind
	Name   string // may be empty
	Points []Point
	// Beyond is how many points there are more than MaxPoints; they are not kept.
	Beyond int
}

// File is what was found in a GPX file, in the order of the file.
type File struct {
	Routes, Tracks []*Path
	Waypoints      Path
}

// Pick returns the path of that name, whatever its case: a route, or else a
// track. With no name it is the first route of two points or more, else the
// first such track, else the waypoints.
//
// Errors: no such path, fewer than two points, and more than MaxPoints.
func (f *File) Pick(name string) (*Path, error) {
	all := append(append([]*Path{}, f.Routes...), f.Tracks...)
	if name != "" {
		var names []string
		for _, p := range all {
			if strings.EqualFold(p.Name, strings.TrimSpace(name)) {
				return p.fit()
			}
			if p.Name != "" {
				names = append(names, fmt.Sprintf("%q", p.Name))
			}
		}
		const most = 12
		switch {
		case len(names) == 0:
			return nil, fmt.Errorf("has no route or track called %q: none has a name", name)
		case len(names) > most:
			names = append(names[:most], fmt.Sprintf("and %d more", len(names)-most))
		}
		return nil, fmt.Errorf("has no route or track called %q: there are %s", name, strings.Join(names, ", "))
	}
	for _, p := range append(all, &f.Waypoints) {
		if len(p.Points) >= 2 {
			return p.fit()
		}
	}
	return nil, fmt.Errorf("has no route, no track and no list of waypoints with two places or more")
}

// fit returns the path if a passage can follow it.
func (p *Path) fit() (*Path, error) {
	switch {
	case p.Beyond > 0:
		return nil, fmt.Errorf("%s has %d points, more than %d: thin it out to the places where the course changes", p.called(), MaxPoints+p.Beyond, MaxPoints)
	case len(p.Points) < 2:
		return nil, fmt.Errorf("%s has fewer than two places", p.called())
	}
	return p, nil
}

func (p *Path) called() string {
	if p.Name == "" {
		return "the " + string(p.Kind)
	}
	return fmt.Sprintf("the %s %q", p.Kind, p.Name)
}

// add appends a point, or gives its name to the one before if that is at the
// same place and has none.
func (p *Path) add(x Point) {
	n := len(p.Points)
	if n > 0 && same(p.Points[n-1].Place, x.Place) {
		if p.Points[n-1].Name == "" {
			p.Points[n-1].Name = x.Name
		}
		return
	}
	if n >= MaxPoints {
		p.Beyond++
		return
	}
	p.Points = append(p.Points, x)
}

// same reports whether two places are one to 0.00001', less than any fix.
func same(a, b track.Position) bool {
	const near = 0.00001 / 60
	east := math.Remainder(float64(a.Lon-b.Lon), 360)
	return math.Abs(float64(a.Lat-b.Lat)) < near && math.Abs(east) < near
}
