package scenarios_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/testdata/refdata"
)

// legFile is a reference leg, with what writes it as a scenario.
type legFile struct{ *refdata.Leg }

// text writes the leg as a scenario file, with no help but what the format has.
func (f *legFile) text() string {
	var b strings.Builder
	say := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	list := func(n int, item func(i int) string) string {
		var items []string
		for i := range n {
			items = append(items, item(i))
		}
		return "[" + strings.Join(items, ", ") + "]"
	}
	say("title: %s", f.Title)
	say("voyage:\n  depart: %s", f.Start.Format("2006-01-02 15:04 UTC"))
	place := func(lat, lon float64) string {
		ns, ew := "N", "E"
		if lat < 0 {
			ns = "S"
		}
		if lon < 0 {
			ew = "W"
		}
		return fmt.Sprintf("%g°%s %g°%s", math.Abs(lat), ns, math.Abs(lon), ew)
	}
	line := "great circle"
	if f.Track.Kind == "rhumb" {
		line = "rhumb line"
	}
	say("  route:\n    - {name: from, at: %s}\n    - {name: to, at: %s, by: %s}", place(f.Track.From.Lat, f.Track.From.Lon), place(f.Track.To.Lat, f.Track.To.Lon), line)
	say("  pace:")
	hours := 0.0
	for _, s := range f.Segments {
		side := "starboard"
		if s.Heel < 0 {
			side = "port"
		}
		say("    - {for: %g h, speed: %g kn, heel: %g° to %s}", s.Hours, s.Speed, math.Abs(s.Heel), side)
		hours += s.Hours
	}
	say("  for: %g h", hours)
	w := &f.Weather
	say("weather:\n  cloud: {every: 6 h, values: %s}", list(len(w.Cloud), func(i int) string { return fmt.Sprint(w.Cloud[i]) }))
	say("  air: {points: %s}", list(len(w.Knots), func(i int) string { return fmt.Sprintf("[%g h, %g °C]", w.Knots[i], w.Air[i]) }))
	say("  sea: {points: %s}", list(len(w.Knots), func(i int) string { return fmt.Sprintf("[%g h, %g °C]", w.Knots[i], w.Sea[i]) }))
	h := f.Hydro
	if d := h.Drag; d != nil {
		say("boat: {roughness: %g, resistance: %s}", d.Factor, list(len(d.Speed), func(i int) string { return fmt.Sprintf("[%g kn, %g N]", d.Speed[i], d.Force[i]) }))
	}
	say("bank: {chemistry: agm, capacity: %g Ah, start: %g %%, cut-off: 0 V}", f.Bank.Rated, 100*f.Bank.Start)
	say("sources:\n  panels:")
	for _, p := range f.Panels {
		facing := "up"
		if p.Tilt > 0 {
			facing = fmt.Sprintf("%g° from the bow", p.Facing)
		}
		say("    - {name: %s, rated: %g W, tilt: %g°, facing: %s, shaded: %g %%, dirt: %g %%}", p.Name, p.Rated, p.Tilt, facing, 100*(1-p.Shading), 100*(1-p.Dirt))
	}
	say("  hydro:\n    cut-in: %g kn\n    limit: %g A\n    lift below: %g kn", h.CutIn, h.Limit/14, h.LiftBelow)
	say("    curve: %s", list(len(h.Speed), func(i int) string { return fmt.Sprintf("[%g kn, %g A]", h.Speed[i], h.Power[i]/14) }))
	if d := h.Drag; d != nil {
		say("    drag: {diameter: %g m, thrust coefficient: %g}", d.Diameter, d.CT)
	}
	say("loads:")
	for _, l := range f.Loads {
		draws := func(power, current float64) string {
			if power > 0 {
				return fmt.Sprintf("%g W", power)
			}
			return fmt.Sprintf("%g A", current)
		}
		clock := "UTC"
		if l.When == "ship_time" {
			clock = "ship's time"
		}
		switch {
		case l.Name == "hf_radio": // 2.5 A, and 0.15 of the sched at half of 30 A
			var scheds []string
			for _, p := range l.Phases {
				if p.Current != 2.5 {
					scheds = append(scheds, fmt.Sprintf("%q", p.From+" "+clock))
				}
			}
			say("  - {name: %s, receive: 2.5 A, transmit: {peak: 30 A, share: 15 %%}, standby: 30 min, for: 15 min, when: [%s]}", l.Name, strings.Join(scheds, ", "))
		case l.When == "always":
			say("  - {name: %s, draws: %s}", l.Name, draws(l.Power, l.Current))
		case l.When == "sun_below":
			say("  - {name: %s, draws: %s, when: sun below -0.833°}", l.Name, draws(l.Power, l.Current))
		default:
			p := l.Phases[0]
			when := list(len(l.Phases), func(i int) string { return fmt.Sprintf("%q", l.Phases[i].From+"-"+l.Phases[i].To+" "+clock) })
			say("  - {name: %s, draws: %s, when: %s}", l.Name, draws(p.Power, p.Current), when)
		}
	}
	say("model: {charger: plain}")
	return b.String()
}

// The file format can say all that the reference legs are. What differs from the
// engine's own test of them is the temperature of the self-discharge figure: the
// file's banks have 20 °C where the reference has 25 °C. testdata/leg says that
// this is worth 0.2 points on leg A and 0.05 on leg B; the legs' own tolerance of
// half a point holds all the same.
func TestReferenceLegsAsFiles(t *testing.T) {
	charge := refdata.Check{
		Model: refdata.Legs, Quantity: "state of charge at every hour, legs as files",
		Source: "an independent calculation in 30 s steps", Status: refdata.Calculated, Tolerance: 0.5, Unit: "points",
	}.Begin(t)
	for _, id := range []string{"leg_a", "leg_b"} {
		leg := legFile{refdata.ReadLeg(t, id)}
		s, err := scenarios.Read(id, []byte(leg.text()), nil, "")
		require.NoError(t, err, leg.text())
		tr := sailOf(t, s).Trace
		at := map[time.Time]int{}
		for i, x := range tr.Time {
			at[x] = i
		}
		for _, row := range refdata.Read(t, "leg/"+id+"_trace.csv") {
			i, ok := at[row.Time("utc")]
			require.True(t, ok, row.Where())
			charge.Within(100*float64(tr.Charge[i]), 100*row.Float("soc"), row.Where())
		}
	}
}
