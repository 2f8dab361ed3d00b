package outlook

import (
	"time"

	"gonum.org/v1/gonum/mathext"

	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/sky"
	"ampwake/sim/track"
	"ampwake/sim/units"
	"ampwake/sources"
)

// BusVolts is the voltage of the bus at which ampere-hours are reckoned at a
// place: that of a lead-acid bank that is charged and used at the same time
// (common practice, no source). Along a passage the bus of the voyage counts.
const BusVolts units.Volts = 13

// Panel is a panel on a boat that lies upright at a place.
type Panel struct {
	// Facing counts from true north here, not from the bow.
	sources.Panel
	// Swings says that her heading is not known: the mean over all headings is
	// taken, and Facing does not count.
	Swings bool
}

// Reference returns 100 W of flat panel with what a scenario file takes where it
// says nothing: 10 % of the light lost to rigging, 5 % to dirt.
func Reference() Panel {
	p := sources.DefaultPanel()
	p.Rated, p.Shade, p.Dirt = 100, 0.10, 0.05
	return Panel{Panel: p, Swings: true}
}

// headings is over how many headings the mean of a swinging boat is taken: the
// mean of eight is within 0.3 % of it up to a tilt of 60°.
const headings = 8

// array is a panel that can be asked what it gives.
type array struct {
	panel *sources.SolarPanel
	turns []units.Degrees // headings
}

func (p *Panel) array() (array, error) {
	panel, err := sources.NewPanel(p.Panel)
	if err != nil {
		return array{}, err
	}
	a := array{panel: panel, turns: []units.Degrees{0}}
	if p.Swings && p.Tilt != 0 && p.Trims == 0 {
		for i := 1; i < headings; i++ {
			a.turns = append(a.turns, units.Degrees(i*360/headings))
		}
	}
	return a, nil
}

// offer returns the watts under the conditions: the mean over the headings and
// over the skies.
func (a *array) offer(c *sim.Conditions, model *sky.Model, skies *skies) float64 {
	sum := 0.0
	for _, through := range skies {
		c.Light = model.Light(&c.Sun, through)
		for _, h := range a.turns {
			c.Heading = h
			sum += float64(a.panel.Offer(c).Power)
		}
	}
	return sum / float64(len(a.turns)*len(skies))
}

// skies are what a month's cloud lets through in ten equally long parts of the
// time. A tilted panel gains in sunshine and loses under a grey sky: in the even
// light of the mean cloud, which seldom is, it would come out some percent too
// low.
type skies [10]units.Fraction

// skiesOf returns the skies of a mean cloud that is beta distributed (Falls 1974,
// see climate.Concentration), scaled to have the mean that lets through as much
// as is given.
func skiesOf(w *climate.Sample, lat units.Degrees) skies {
	nu := climate.Concentration(lat)
	m := max(0.05, min(0.97, float64(w.Cloud))) // as climate.MeanThrough
	var s skies
	mean := 0.0
	for i := range s {
		p := (float64(i) + 0.5) / float64(len(s))
		s[i] = climate.Through(units.Fraction(mathext.InvRegIncBeta(m*nu, (1-m)*nu, p)))
		mean += float64(s[i]) / float64(len(s))
	}
	for i := range s {
		s[i] = min(1, s[i]*w.Through/units.Fraction(mean))
	}
	return s
}

// instant is how the day is cut: into steps as long as those of a voyage. The
// light at their middles sums to within 0.1 % of the day's.
const instant = 10 * time.Minute

// daylight walks through the daylight from one moment to another at a place with
// one weather, and calls do with the conditions in the middle of each step, in the
// light of the mean cloud, and the light that a clear sky would give.
func daylight(from, to time.Time, place track.Position, w climate.Sample, model *sky.Model, do func(c *sim.Conditions, clear float64)) {
	var almanac sky.Almanac
	c := sim.Conditions{Length: units.Hours(instant.Hours()), Place: place, Weather: w, State: sim.AtAnchor, Bus: BusVolts}
	for t := from; t.Before(to); t = t.Add(instant) {
		c.Start, c.Time = t, t.Add(instant/2)
		c.Sun = almanac.Sun(c.Time, place.Lat, place.Lon)
		if c.Sun.Up <= 0 {
			continue
		}
		c.Light = model.Light(&c.Sun, w.Through)
		do(&c, float64(model.ClearGlobal(&c.Sun)))
	}
}
