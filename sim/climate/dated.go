package climate

import (
	"errors"
	"fmt"
	"math"
	"time"

	"ampwake/sim/track"
	"ampwake/sim/units"
)

// Knot is a value at a moment.
type Knot[T ~float64] struct {
	At    time.Time
	Value T
}

// Series is a quantity by date, its knots in order of time. The first value
// holds before the first knot and the last one after the last.
type Series[T ~float64] struct {
	Knots []Knot[T]
	// Steps says that a value holds from its knot to the next; else the
	// quantity runs straight from knot to knot, a direction the shorter way
	// round.
	Steps bool
}

// Timetable is a weather by date, the same wherever the boat is. A series
// without knots is taken from the weather under it.
type Timetable struct {
	Cloud Series[units.Fraction] // 0..1
	// Average says that the clouds are averages of a changing sky: the sun
	// factor is then their expectation at the boat's latitude, else that of the
	// cloud of the moment.
	Average   bool
	WindSpeed Series[units.Knots]   // 0..200 kn
	WindFrom  Series[units.Degrees] // true, -360°..360°
	Air, Sea  Series[units.Celsius] // -60..60 °C
}

// Span returns the first and the last knot of all series, or zero times if
// there are none.
func (t Timetable) Span() (from, to time.Time) {
	widen(t.Cloud, &from, &to)
	widen(t.WindSpeed, &from, &to)
	widen(t.WindFrom, &from, &to)
	widen(t.Air, &from, &to)
	widen(t.Sea, &from, &to)
	return from, to
}

func widen[T ~float64](s Series[T], from, to *time.Time) {
	for _, k := range s.Knots {
		if from.IsZero() || k.At.Before(*from) {
			*from = k.At
		}
		if to.IsZero() || k.At.After(*to) {
			*to = k.At
		}
	}
}

// Dated is the weather of a timetable.
type Dated struct {
	cloud, windSpeed, windFrom, air, sea course
	average                              bool
	skies                                Skies
	of                                   float64        // the cloud of the moment last asked about
	through                              units.Fraction // and what came through it
	under                                Weather        // nil if all series are there
}

// NewDated returns the weather of a timetable over another weather, which may be
// nil if the timetable is complete. The error tells all that is wrong: knots out
// of order or outside 1900..2200, values out of range, series missing.
func NewDated(t Timetable, under Weather) (*Dated, error) {
	var wrong []error
	bare := under == nil
	d := &Dated{average: t.Average, under: under, through: 1}
	d.cloud = courseOf("cloud", t.Cloud, 0, 1, bare, &wrong)
	d.windSpeed = courseOf("wind speed", t.WindSpeed, 0, 200, bare, &wrong)
	d.windFrom = courseOf("wind direction", t.WindFrom, -360, 360, bare, &wrong)
	d.windFrom.round = true
	d.air = courseOf("air temperature", t.Air, -60, 60, bare, &wrong)
	d.sea = courseOf("sea temperature", t.Sea, -60, 60, bare, &wrong)
	if wrong != nil {
		return nil, errors.Join(wrong...)
	}
	return d, nil
}

// At returns the weather of a moment.
func (d *Dated) At(t time.Time, place track.Position) Sample {
	var s Sample
	if d.under != nil {
		s = d.under.At(t, place)
	}
	now := t.UnixNano()
	if d.cloud.at != nil {
		c := d.cloud.value(now)
		s.Cloud, s.Through, s.Skies = units.Fraction(c), d.through, nil
		if d.average {
			s.Through = throughOf(c, float64(place.Lat), true)
			d.skies.deal(c, float64(place.Lat), s.Through)
			s.Skies = &d.skies
		} else if c != d.of {
			d.of, d.through = c, throughOf(c, 0, false)
			s.Through = d.through
		}
	}
	if d.windSpeed.at != nil {
		s.WindSpeed = units.Knots(d.windSpeed.value(now))
	}
	if d.windFrom.at != nil {
		s.WindFrom = units.Degrees(d.windFrom.value(now))
	}
	if d.air.at != nil {
		s.Air = units.Celsius(d.air.value(now))
	}
	if d.sea.at != nil {
		s.Sea = units.Celsius(d.sea.value(now))
	}
	return s
}

// Edge returns the next knot of a series in steps or the next edge of the
// weather under it, whichever comes first.
func (d *Dated) Edge(t time.Time) time.Time {
	var next time.Time
	if d.under != nil {
		next = d.under.Edge(t)
	}
	now := t.UnixNano()
	for _, c := range [...]*course{&d.cloud, &d.windSpeed, &d.windFrom, &d.air, &d.sea} {
		if at, ok := c.edge(now); ok {
			if e := time.Unix(0, at).UTC(); next.IsZero() || e.Before(next) {
				next = e
			}
		}
	}
	return next
}

// course is a series with a finger on the present knot.
type course struct {
	at           []int64 // Unix nanoseconds, rising
	values       []float64
	steps, round bool
	i            int
}

func courseOf[T ~float64](name string, s Series[T], least, most float64, bare bool, wrong *[]error) course {
	if len(s.Knots) == 0 {
		if bare {
			*wrong = append(*wrong, fmt.Errorf("%s: no values and no weather under them", name))
		}
		return course{}
	}
	c := course{steps: s.Steps}
	for i, k := range s.Knots {
		x := float64(k.Value)
		if year := k.At.UTC().Year(); year < 1900 || year >= 2200 {
			*wrong = append(*wrong, fmt.Errorf("%s %d: year %d is not within 1900..2199", name, i+1, year))
		}
		if i > 0 && !k.At.After(s.Knots[i-1].At) {
			*wrong = append(*wrong, fmt.Errorf("%s %d: %s is not later than the value before", name, i+1, k.At.UTC().Format(time.RFC3339)))
		}
		if !(x >= least && x <= most) {
			*wrong = append(*wrong, fmt.Errorf("%s %d: %g is not within %g..%g", name, i+1, x, least, most))
		}
		c.at, c.values = append(c.at, k.At.UnixNano()), append(c.values, x)
	}
	return c
}

// seek moves the finger to the last knot at or before now, or the first.
func (c *course) seek(now int64) {
	if now < c.at[c.i] {
		c.i = 0
	}
	for c.i+1 < len(c.at) && now >= c.at[c.i+1] {
		c.i++
	}
}

func (c *course) value(now int64) float64 {
	c.seek(now)
	x := c.values[c.i]
	if !c.steps && now > c.at[c.i] && c.i+1 < len(c.at) {
		rise := c.values[c.i+1] - x
		if c.round {
			rise -= 360 * math.Round(rise/360)
		}
		x += float64(rise * (float64(now-c.at[c.i]) / float64(c.at[c.i+1]-c.at[c.i])))
	}
	if c.round {
		if x -= 360 * math.Floor(x/360); x >= 360 {
			x = 0
		}
	}
	return x
}

func (c *course) edge(now int64) (at int64, ok bool) {
	if !c.steps {
		return 0, false
	}
	c.seek(now)
	if now < c.at[0] { // the first knot changes nothing: its value holds before
		if len(c.at) == 1 {
			return 0, false
		}
		return c.at[1], true
	}
	if c.i+1 == len(c.at) {
		return 0, false
	}
	return c.at[c.i+1], true
}
