package sim

import (
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// Zone is a named part of the passage, from one distance along the route to
// another. The first zone that holds a place has it.
type Zone struct {
	Name     string
	From, To units.NauticalMiles
}

// holds reports whether a distance is within the zone. The far end belongs to
// the next zone, but for that of the route.
func (z *Zone) holds(d, length units.NauticalMiles) bool {
	return d >= z.From && (d < z.To || d == z.To && d >= length)
}

// zones returns the voyage's zones, or else the legs of its route.
func (v *Voyage) zones() []Zone {
	if len(v.Zones) > 0 {
		return v.Zones
	}
	r := v.Route
	if r.Len() == 1 {
		return []Zone{{Name: r.Waypoint(0).Name}}
	}
	var zs []Zone
	for i := 1; i < r.Len(); i++ {
		zs = append(zs, Zone{Name: r.Waypoint(i-1).Name + " – " + r.Waypoint(i).Name, From: r.Mark(i - 1), To: r.Mark(i)})
	}
	return zs
}

// Counts counts by cause: the causes of a miss, and the floor broken.
type Counts struct{ Flat, Voltage, Shed, Floor int }

// Total returns the sum.
func (c Counts) Total() int { return c.Flat + c.Voltage + c.Shed + c.Floor }

func (c *Counts) miss(cause Cause) {
	switch cause {
	case Flat:
		c.Flat++
	case UnderVoltage:
		c.Voltage++
	case Shed:
		c.Shed++
	}
}

func (c *Counts) failure(f *Failure) {
	if f.Floor {
		c.Floor++
		return
	}
	c.miss(f.Cause)
}

func (c *Counts) add(d Counts) {
	c.Flat += d.Flat
	c.Voltage += d.Voltage
	c.Shed += d.Shed
	c.Floor += d.Floor
}

// OddsBin is one of the equal parts of the passage.
type OddsBin struct {
	From, To units.NauticalMiles
	Place    track.Position // in its middle
	// Begins counts the weathers whose first failure of all is here, Misses what
	// the loads to keep missed here in all weathers together.
	Begins, Misses Counts
}

// OddsZone is what begins in a zone. A last one, called elsewhere, is there if a
// failure is in none of them.
type OddsZone struct {
	Zone
	Begins Counts
}

const stdBins = 20

// bins returns n empty bins along the route; a route of no length has one.
func (v *Voyage) bins(n int) []OddsBin {
	length := float64(v.Route.Length())
	if length == 0 {
		n = 1
	}
	bins := make([]OddsBin, n)
	edge := func(i int) units.NauticalMiles {
		return units.NauticalMiles(length * float64(i) / float64(n))
	}
	for i := range bins {
		b := &bins[i]
		b.From, b.To = edge(i), edge(i+1)
		b.Place, _ = v.Route.At((b.From + b.To) / 2)
	}
	return bins
}

// binOf returns the bin of a distance sailed.
func binOf(d, length units.NauticalMiles, n int) int {
	if length <= 0 {
		return 0
	}
	return max(0, min(n-1, int(float64(d)/float64(length)*float64(n))))
}
