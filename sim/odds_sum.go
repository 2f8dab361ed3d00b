package sim

import (
	"slices"
	"time"

	"ampwake/sim/units"
)

// sum draws everything together from the members, in their order.
func (v *Voyage) sum(o *Odds) {
	o.Title, o.Depart, o.Notes = v.Title, v.Depart, slices.Clone(v.Notes)
	o.Floor = v.Goals.floor()
	for _, z := range v.zones() {
		o.Zones = append(o.Zones, OddsZone{Zone: z})
	}
	holds, arrived := 0, 0
	for _, m := range o.Members {
		if m.Holds {
			holds++
		}
		if m.Arrived {
			arrived++
		}
		for _, n := range m.notes {
			if !slices.Contains(o.Notes, n) {
				o.Notes = append(o.Notes, n)
			}
		}
		m.notes = nil
	}
	o.Holds, o.Arrived = NewShare(holds, o.Done), NewShare(arrived, o.Done)
	o.Alike = alike(o.Members)
	v.sumGoals(o)
	v.sumKit(o)
	v.sumDays(o)
	v.sumWhere(o)

	o.Margin = spread(o.Members, func(m *Member) units.Fraction { return m.Margin })
	o.MarginCharge = spread(o.Members, func(m *Member) units.AmpHours { return m.MarginCharge })
	o.Last = spread(o.Members, func(m *Member) units.Fraction { return m.Last })
	o.Engine = spread(o.Members, func(m *Member) units.Hours { return m.Engine })
	o.Fuel = spread(o.Members, func(m *Member) units.Litres { return m.Fuel })
	o.Made = spread(o.Members, func(m *Member) units.WattHours { return m.Made })
	o.Used = spread(o.Members, func(m *Member) units.WattHours { return m.Used })
	o.Spilled = spread(o.Members, func(m *Member) units.AmpHours { return m.Spilled })
	var passages []units.Hours
	for _, m := range o.Members {
		if m.Arrived {
			passages = append(passages, since(v.Depart, m.End))
		}
	}
	o.Passage = spreadOf(passages)
}

func spread[Q ~float64](members []*Member, of func(*Member) Q) Spread[Q] {
	values := make([]Q, len(members))
	for i, m := range members {
		values[i] = of(m)
	}
	return spreadOf(values)
}

func since(depart, t time.Time) units.Hours {
	return units.Hours(hours(t.UnixNano() - depart.UnixNano()))
}

// alike reports whether all members, of at least two, sailed the same voyage.
func alike(members []*Member) bool {
	for _, b := range members[1:] {
		if !members[0].same(b) {
			return false
		}
	}
	return len(members) > 1
}

// same reports whether two members are the same voyage, as far as one can tell.
func (m *Member) same(b *Member) bool {
	return m.End.Equal(b.End) && m.Margin == b.Margin && m.Last == b.Last && m.Made == b.Made &&
		slices.Equal(m.noon, b.noon) && slices.Equal(m.low, b.low)
}

func (v *Voyage) sumGoals(o *Odds) {
	for j := range o.Members[0].Goals {
		g := OddsGoal{Load: -1, Name: v.Goals.aboveName()}
		if j < len(v.Goals.Keep) {
			g.Load = v.Goals.Keep[j]
			g.Name = v.Loads[g.Load].Load.Name()
		}
		holds := 0
		var after []units.Hours
		var sailed []units.NauticalMiles
		for _, m := range o.Members {
			if m.Goals[j].Holds {
				holds++
			}
			if f := m.Goals[j].First; f != nil {
				g.Begins.failure(f)
				after = append(after, since(v.Depart, f.At.Time))
				sailed = append(sailed, f.At.Sailed)
			}
		}
		g.Holds, g.After, g.Sailed = NewShare(holds, o.Done), spreadOf(after), spreadOf(sailed)
		o.Goals = append(o.Goals, g)
	}
}

// sumKit sums over sources and loads.
func (v *Voyage) sumKit(o *Odds) {
	for j := range v.Sources {
		o.Sources = append(o.Sources, OddsSource{
			Name:   v.Sources[j].Source.Name(),
			Energy: spread(o.Members, func(m *Member) units.WattHours { return m.Sources[j].Energy }),
			InUse:  spread(o.Members, func(m *Member) units.Hours { return m.Sources[j].InUse }),
		})
	}
	for j := range v.Loads {
		l := OddsLoad{Name: v.Loads[j].Load.Name(), Keep: v.Goals.keeps(j)}
		for _, m := range o.Members {
			k := &m.Loads[j]
			l.Due += k.Due
			l.Kept += k.Kept
			l.Misses.add(k.Misses)
			if k.Misses.Total() > 0 {
				l.Missing++
			}
		}
		l.Off = spread(o.Members, func(m *Member) units.Hours { return m.Loads[j].Off })
		o.Loads = append(o.Loads, l)
	}
}

func (v *Voyage) sumDays(o *Odds) {
	days := 0
	for _, m := range o.Members {
		days = max(days, len(m.low))
	}
	o.Days = make([]OddsDay, days)
	values := make([]units.Fraction, 0, len(o.Members))
	at := func(i int, of func(*Member) []units.Fraction) Spread[units.Fraction] {
		values = values[:0]
		for _, m := range o.Members {
			if x := of(m); i < len(x) {
				values = append(values, x[i])
			}
		}
		return spreadOf(values)
	}
	midnight := v.Depart.UTC().Truncate(24 * time.Hour)
	for i := range o.Days {
		d := &o.Days[i]
		d.Date = midnight.AddDate(0, 0, i)
		d.Noon = at(i, func(m *Member) []units.Fraction { return m.noon })
		d.Low = at(i, func(m *Member) []units.Fraction { return m.low })
		d.AtSea = d.Low.Count
		for _, m := range o.Members {
			if i < len(m.missed) {
				d.Misses += m.missed[i]
			}
		}
	}
}

// sumWhere sums by day and place where trouble begins.
func (v *Voyage) sumWhere(o *Odds) {
	length := v.Route.Length()
	var elsewhere Counts
	for _, m := range o.Members {
		for i := range m.where {
			o.Bins[i].Misses.add(m.where[i])
		}
		f := m.First()
		if f == nil {
			continue
		}
		o.Begins.failure(f)
		o.Bins[binOf(f.At.Sailed, length, len(o.Bins))].Begins.failure(f)
		o.Days[min(int(utcDay(f.At.Time)-utcDay(v.Depart)), len(o.Days)-1)].Begins.failure(f)
		named := &elsewhere
		for i := range o.Zones {
			if o.Zones[i].holds(f.At.Sailed, length) {
				named = &o.Zones[i].Begins
				break
			}
		}
		named.failure(f)
	}
	if elsewhere.Total() > 0 {
		o.Zones = append(o.Zones, OddsZone{Zone: Zone{Name: "elsewhere", To: length}, Begins: elsewhere})
	}
}
