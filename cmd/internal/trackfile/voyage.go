package trackfile

import (
	"fmt"
	"math"
	"time"

	"ampwake/cmd/internal/chart"
	"ampwake/sim"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// Voyage is what the files are written from.
type Voyage struct {
	Result *sim.Result // with a trace
	Route  *track.Route
	// Maker goes into the files as what made them, like "ampwake 0.3".
	Maker string
}

// mostPoints bounds the track of a long voyage: it is thinned until it fits.
const mostPoints = 4000

// fix is a place at a time.
type fix struct {
	at    time.Time
	place track.Position
}

// noon is a noon of the ship's clock.
type noon struct {
	fix
	zone   int // hours to add to UTC
	charge units.Fraction
	bus    units.Volts
	run    float64 // nm since the noon before, or since departure
	sailed float64 // nm since departure
}

// ship returns the moment on the ship's clock.
func (n *noon) ship() time.Time { return n.at.Add(time.Duration(n.zone) * time.Hour) }

// name is what a plotter shows beside the place.
func (n *noon) name() string { return "Noon " + n.ship().Format("2 Jan") }

// fixes returns the track: a point an hour, or less often on a voyage of months,
// and one wherever the course changes by 2° or more. Where she stays only the
// first is kept.
func (v *Voyage) fixes() []fix {
	t := v.trace()
	last := len(t.Time) - 1
	every := time.Hour
	if span := t.Time[last].Sub(t.Time[0]); span > mostPoints/2*time.Hour {
		every *= time.Duration(math.Ceil(span.Hours() / (mostPoints / 2)))
	}
	var out []fix
	heading := t.Heading[0]
	for i := range t.Time {
		f := fix{t.Time[i], track.Position{Lat: t.Lat[i], Lon: t.Lon[i]}}
		turned := i < last && math.Abs(math.Remainder(float64(t.Heading[i]-heading), 360)) >= 2
		if n := len(out); n > 0 {
			before := &out[n-1]
			switch {
			case f.at.Unix() == before.at.Unix(): // files tell seconds
				if i == last && n > 1 {
					before.place = f.place
				}
				continue
			case i < last && (f.place == before.place || !turned && f.at.Truncate(every).Equal(before.at.Truncate(every))):
				continue
			}
		}
		heading = t.Heading[i]
		out = append(out, f)
	}
	return out
}

// trace returns the trace. It panics without one of a step at least.
func (v *Voyage) trace() *sim.Trace {
	t := v.Result.Trace
	if t == nil || len(t.Time) < 2 {
		panic("trackfile: a track needs a result with a trace")
	}
	return t
}

// noons returns the ship's noons.
func (v *Voyage) noons() []noon {
	t := v.trace()
	var out []noon
	i := 0
	sailed, before := 0.0, 0.0
	for _, n := range chart.Noons(t) {
		at := time.Unix(0, int64(math.Round(n.At*1e9))).UTC()
		for i+1 < len(t.Time)-1 && !t.Time[i+1].After(at) {
			sailed += miles(t, i, 1)
			i++
		}
		// Noon lies on the grid of the steps; between two of them only where
		// the trace does not come from the engine.
		share := 0.0
		if span := t.Time[i+1].Sub(t.Time[i]); span > 0 {
			share = max(0, min(1, float64(at.Sub(t.Time[i]))/float64(span)))
		}
		x := noon{
			fix:    fix{at, chart.Between(t, i, share)},
			zone:   n.Zone,
			charge: t.Charge[i] + units.Fraction(share)*(t.Charge[i+1]-t.Charge[i]),
			bus:    t.Bus[i],
			sailed: sailed + miles(t, i, share),
		}
		x.run = x.sailed - before
		before = x.sailed
		out = append(out, x)
	}
	return out
}

// miles returns the length of a share of step i of a trace, nm.
func miles(t *sim.Trace, i int, share float64) float64 {
	const perDegree = 60
	north := float64(t.Lat[i+1] - t.Lat[i])
	east := math.Remainder(float64(t.Lon[i+1]-t.Lon[i]), 360) * math.Cos(float64(t.Lat[i+1]+t.Lat[i])/2*math.Pi/180)
	return share * perDegree * math.Hypot(north, east)
}

// about says in a sentence what the track is.
func (v *Voyage) about() string {
	r := v.Result
	end := "arrives"
	if !r.Arrived {
		end = "is still under way"
	}
	return fmt.Sprintf("Projected track: departs %s, %s %s, %.0f nm. An estimate, not a passage plan.",
		r.Depart.UTC().Format("2 Jan 2006 15:04 UTC"), end, r.End.UTC().Format("2 Jan 2006 15:04 UTC"), float64(r.Sailed))
}

// rounded returns a coordinate to 0.00001°, a metre: closer than any projection.
func rounded(x units.Degrees) float64 { return math.Round(float64(x)*1e5) / 1e5 }

// hundredth returns x to two decimals.
func hundredth(x float64) float64 { return math.Round(x*100) / 100 }
