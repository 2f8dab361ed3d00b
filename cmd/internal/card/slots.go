package card

import (
	"math"
	"slices"
	"sort"
	"strings"
	"time"

	"ampwake/cmd/internal/chart"
	"ampwake/sim"
	"ampwake/sim/units"
)

// Slot is a sched or a chart of the day.
type Slot struct {
	Load string
	What string // the chart, or the load's name
	// Station sends it; "" for a sched, or if the file does not say.
	Station string
	Radio   bool
	UTC     int // minute of the day at which it begins
	Ship    int // the same on the ship's clock in the middle of the zone
	// ByShip tells that the ship's clock rules it: its UTC moves with the zone.
	ByShip  bool
	Minutes int            // from there to its end
	Ah      units.AmpHours // with the standby before it, or the margins around it
	// Of tells on how many days of the week from the middle of the zone on it is
	// due, 7 for a daily one.
	Of int
}

// spell is a time during which the demand of a load does not change.
type spell struct {
	from time.Time
	h    float64
	d    sim.Demand
}

// conditions is what a load is asked under; at night the sun is well below the
// horizon, else well above it.
func (b *still) conditions(t time.Time, night bool) *sim.Conditions {
	return b.conditionsIn(t, night, b.zone())
}

func (b *still) zone() int {
	zone, _ := b.route.ZoneAt(0)
	return zone
}

func (b *still) conditionsIn(t time.Time, night bool, zone int) *sim.Conditions {
	c := &sim.Conditions{Start: t, Time: t, State: sim.UnderSail}
	c.Place, _ = b.route.At(0)
	c.Sun.Elevation = 45
	if night {
		c.Sun.Elevation = -45
	}
	sec := int(t.Unix())
	ship := sec + 3600*zone
	c.Clock = sim.Clock{UTC: sec % 86400, Day: sec / 86400, Ship: ship % 86400, ShipDay: ship / 86400, Zone: zone}
	return c
}

// week returns, for each load, its demands by night over a week from ship's noon.
func (b *still) week() [][]spell {
	out := make([][]spell, len(b.v.Loads))
	for i := range out {
		out[i] = b.spells(i, b.depart, 7*24*time.Hour, b.zone())
	}
	return out
}

// spells returns when load i is on and what it asks by night.
func (b *still) spells(i int, from time.Time, length time.Duration, zone int) []spell {
	l := b.v.Loads[i].Load
	var out []spell
	end := from.Add(length)
	for t := from; t.Before(end); {
		next := l.Edge(t, zone)
		if next.IsZero() || next.After(end) {
			next = end
		}
		middle := t.Add(next.Sub(t) / 2)
		if d := l.Draw(b.conditionsIn(middle, true, zone)); d.On {
			out = append(out, spell{t, next.Sub(t).Hours(), d})
		}
		t = next
	}
	return out
}

// slots lists the scheds and the charts of a day in the middle of the zone, by
// UTC. Times of a week are looked at, so that what is not daily is found.
func slots(b *still, v *sim.Voyage, kinds map[string]string) []Slot {
	volts := float64(restAt(v.Bank, (1+b.floor)/2, b.sea))
	var out []Slot
	for i := range v.Loads {
		name := v.Loads[i].Load.Name()
		radio, fax := listens(name, kinds[name])
		if !radio && !fax {
			continue
		}
		mine := b.slotsOf(i, volts, b.zone())
		// What the ship's clock rules moves when that clock does.
		moved := b.slotsOf(i, volts, b.zone()-1)
		for _, s := range mine {
			s.Load, s.Radio = name, radio
			if s.What == "" {
				s.What = name
			}
			s.ByShip = !slices.ContainsFunc(moved, func(m Slot) bool { return m.UTC == s.UTC })
			out = append(out, s)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].UTC < out[j].UTC })
	return out
}

// listens reports whether a load is a radio or a weather fax: by its kind, or by
// what its name says if it has none.
func listens(name, kind string) (radio, fax bool) {
	lower := strings.ToLower(name)
	switch {
	case kind != "":
		return kind == "radio", kind == "fax"
	case strings.Contains(lower, "fax") || strings.Contains(lower, "navtex"):
		return false, true
	}
	return chart.KindOf(name) == chart.Radio, false
}

// slotsOf lists the different slots of a week of load i.
func (b *still) slotsOf(i int, volts float64, zone int) []Slot {
	var out []Slot
	// A day more at both ends, for slots that the borders of the week cut.
	const day = 24 * time.Hour
	from := b.depart.Add(-day)
	lead := 0.0 // Ah of a standby, kept for the slot that follows
	var now *Slot
	var id, began int64
	var end time.Time
	finish := func() {
		if now == nil {
			return
		}
		start := time.Unix(began, 0).UTC()
		if !start.Before(b.depart) && start.Before(b.depart.Add(7*day)) {
			now.Minutes = int(math.Round(end.Sub(start).Minutes()))
			same := slices.IndexFunc(out, func(s Slot) bool { return s.UTC == now.UTC && s.What == now.What && s.Station == now.Station })
			if same >= 0 {
				out[same].Of++
			} else {
				out = append(out, *now)
			}
		}
		now = nil
	}
	for _, s := range b.spells(i, from, 9*day, zone) {
		ah := (float64(s.d.Current) + float64(s.d.Power)/volts) * s.h
		if s.d.Slot == 0 {
			finish()
			if !s.from.Equal(end) {
				lead = 0
			}
			lead += ah
			end = s.from.Add(time.Duration(s.h * 3.6e12))
			continue
		}
		if now == nil || s.d.Slot != id {
			finish()
			if !s.from.Equal(end) {
				lead = 0
			}
			minute := int(s.d.Slot % 86400 / 60)
			id, began = s.d.Slot, s.d.Slot
			station, what := label(s.d.What)
			now = &Slot{Station: station, What: what, UTC: minute, Ship: ((minute+60*zone)%1440 + 1440) % 1440, Of: 1, Ah: units.AmpHours(lead)}
			lead = 0
		}
		now.Ah += units.AmpHours(ah)
		end = s.from.Add(time.Duration(s.h * 3.6e12))
	}
	finish()
	return out
}

// label takes the time off the name of a slot: "chart 02:33 Boston US, surface
// analysis" is a chart of Boston US, "sched 08:00 UTC" has no name.
func label(what string) (station, name string) {
	for _, word := range []string{"chart ", "sched "} {
		rest, ok := strings.CutPrefix(what, word)
		if !ok {
			continue
		}
		_, rest, _ = strings.Cut(rest, " ")
		if rest == "UTC" || rest == "ship's time" {
			return "", ""
		}
		if station, name, ok = strings.Cut(rest, ", "); ok {
			return station, name
		}
		return "", rest
	}
	return "", what
}
