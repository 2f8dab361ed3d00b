package trial

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/scenarios/logbook"
	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// open reads a built-in scenario.
func open(t testing.TB, name string, set ...string) *scenarios.Scenario {
	t.Helper()
	label, src, err := scenarios.Source(name)
	require.NoError(t, err)
	s, err := scenarios.Read(label, src, set, "")
	require.NoError(t, err)
	return s
}

// readLog reads a log from its text.
func readLog(t testing.TB, s *scenarios.Scenario, text string) *Logged {
	t.Helper()
	log, err := logbook.Read("log.csv", []byte(text), OptionsFor(s))
	require.NoError(t, err)
	l, err := NewLogged(s, log)
	require.NoError(t, err)
	return l
}

// sailText writes a log of so many days of the boat on a way down the Atlantic,
// three lines a day: changing cloud, speeds from ghosting to brisk, the generator
// down on some days and up on others. Volts are 12.5 all the way: whoever uses it
// sets them.
func sailText(dice *rand.Rand, days int, head string, row func(i int) string) string {
	var b strings.Builder
	b.WriteString("time [UTC], position, cloud [oktas], speed [kn], generator [h]" + head + "\n")
	at := time.Date(2027, 1, 10, 9, 0, 0, 0, time.UTC)
	lat, cloud := 16.8, 4.0
	last := at
	down := false
	for i := range 3*days + 1 {
		if i > 0 {
			hours := []int{8, 14, 21}[(i-1)%3]
			at = time.Date(2027, 1, 10+(i+2)/3, hours, 0, 0, 0, time.UTC)
		}
		if i%3 == 0 {
			down = dice.Float64() < 0.35
		}
		h := at.Sub(last).Hours()
		speed := max(0.8, min(7, 4.2+1.3*dice.NormFloat64()))
		lat -= speed * h / 60
		cloud = max(0, min(8, 4+0.6*(cloud-4)+2.2*dice.NormFloat64()))
		gen := 0.0
		if down {
			gen = h
		}
		fmt.Fprintf(&b, "%s, %s, %.0f, %.1f, %.1f%s\n", at.Format("2006-01-02 15:04"),
			track.Position{Lat: units.Degrees(lat), Lon: -25}, cloud, speed, gen, row(i))
		last = at
	}
	return b.String()
}

// days14 is a usual log: rested volts in the morning and in the evening.
func days14(dice *rand.Rand) string {
	return sailText(dice, 14, ", volts rested [V]", func(i int) string {
		if i%3 == 2 {
			return ", "
		}
		return ", 12.5"
	})
}

// atSea is what is so at sea and nobody on board knows.
type atSea struct {
	u    []float64 // parameters, in prior standard deviations
	dice *rand.Rand
}

// live has a boat sail as the truth is and writes what is read into the log: with
// the noise of each day's light, stream and use, and that of the meters. The model
// is one of the log.
func live(t testing.TB, m *model, x atSea) {
	t.Helper()
	v, offset, err := m.voyage(x.u)
	require.NoError(t, err)
	v = uneven(v, m.l.Scenario.Kinds(), x.dice)
	res, err := v.Sail(t.Context(), sim.Options{Trace: true})
	require.NoError(t, err)
	read := newReader(res.Trace, v.Bank)
	for i := range m.obs {
		o := &m.obs[i]
		o.value = o.predict(read, m.l.Log.Rows) + o.sigma*x.dice.NormFloat64()
		if o.Kind == Counted { // the next reading goes on from this one
			o.value = min(0, math.Round(10*o.value)/10)
			x := units.AmpHours(o.value)
			m.l.Log.Rows[o.row].Counter = &x
			continue
		}
		v := units.Volts(math.Round(100*(o.value+offset)) / 100) // as a person writes it down
		if o.Kind == Rested {
			m.l.Log.Rows[o.row].Rested = &v
		} else {
			m.l.Log.Rows[o.row].Loaded = &v
		}
	}
}

// uneven makes each day differ from what the log says of it.
func uneven(v *sim.Voyage, kinds map[string]string, dice *rand.Rand) *sim.Voyage {
	out := *v
	first := int(v.Depart.Unix() / 86400)
	days := int(v.Limit/24) + 3
	draw := func(sd float64) []float64 {
		f := make([]float64, days)
		for i := range f {
			f[i] = math.Exp(sd * dice.NormFloat64())
		}
		return f
	}
	light, stream, use := draw(dayLight), draw(dayStream), draw(dayUse)
	out.Weather = func(member int) sim.Weather {
		return patchy{v.Weather(member), first, light}
	}
	out.Sources = append([]sim.Fitted(nil), v.Sources...)
	for i := range out.Sources {
		if kinds[out.Sources[i].Source.Name()] == "hydro" {
			out.Sources[i].Source = stirred{out.Sources[i].Source, first, stream}
		}
	}
	out.Loads = append([]sim.Fixed(nil), v.Loads...)
	for i := range out.Loads {
		l := moody{out.Loads[i].Load, first, use}
		if w, ok := l.Load.(sim.SunWatcher); ok {
			out.Loads[i].Load = watching{l, w}
		} else {
			out.Loads[i].Load = l
		}
	}
	return &out
}

// patchy is a weather whose light differs by day.
type patchy struct {
	sim.Weather
	first  int
	factor []float64
}

func (w patchy) At(t time.Time, p track.Position) climate.Sample {
	s := w.Weather.At(t, p)
	s.Through *= units.Fraction(w.factor[int(t.Unix()/86400)-w.first])
	return s
}

// stirred is a source whose yield differs by day.
type stirred struct {
	sim.Source
	first  int
	factor []float64
}

func (g stirred) Offer(c *sim.Conditions) sim.Supply {
	o := g.Source.Offer(c)
	o.Power *= units.Watts(g.factor[c.Clock.Day-g.first])
	return o
}

// moody is a load that uses more on some days.
type moody struct {
	sim.Load
	first  int
	factor []float64
}

func (l moody) Draw(c *sim.Conditions) sim.Demand {
	d := l.Load.Draw(c)
	f := l.factor[c.Clock.Day-l.first]
	d.Power *= units.Watts(f)
	d.Current *= units.Amps(f)
	return d
}

func (l moody) Edge(t time.Time, zone int) time.Time {
	e := l.Load.Edge(t, zone)
	if midnight := t.Truncate(24 * time.Hour).Add(24 * time.Hour); e.IsZero() || midnight.Before(e) {
		return midnight
	}
	return e
}

type watching struct {
	moody
	sim.SunWatcher
}

func (w watching) Name() string                         { return w.moody.Name() }
func (w watching) Draw(c *sim.Conditions) sim.Demand    { return w.moody.Draw(c) }
func (w watching) Edge(t time.Time, zone int) time.Time { return w.moody.Edge(t, zone) }
