package report

import (
	"fmt"
	"math"
	"sort"
	"strings"
	"unicode/utf8"

	"ampwake/sim"
)

// cause is a cause of trouble with how often it was.
type cause struct {
	name string
	n    int
}

// inWords says what a cause of counted does to the goals.
func inWords(name string) string {
	switch name {
	case sim.UnderVoltage.String():
		return "too little voltage under load"
	case sim.Flat.String():
		return "a flat bank"
	case sim.Shed.String():
		return "a load switched off to spare the bank"
	}
	return "charge under the floor"
}

// counted lists the causes that were, the most frequent first.
func counted(c sim.Counts) []cause {
	all := []cause{{sim.UnderVoltage.String(), c.Voltage}, {sim.Flat.String(), c.Flat}, {sim.Shed.String(), c.Shed}, {"floor", c.Floor}}
	sort.SliceStable(all, func(i, j int) bool { return all[i].n > all[j].n })
	for len(all) > 0 && all[len(all)-1].n == 0 {
		all = all[:len(all)-1]
	}
	return all
}

// causes prints the causes that were: "flat 3, shed 1".
func causes(c sim.Counts) string {
	var parts []string
	for _, x := range counted(c) {
		parts = append(parts, fmt.Sprintf("%s %d", x.name, x.n))
	}
	return strings.Join(parts, ", ")
}

// widest returns the width of the widest name, at least 14.
func widest(n int, name func(int) string) int {
	w := 14
	for i := range n {
		w = max(w, utf8.RuneCountInString(name(i)))
	}
	return w
}

func oddsGoals(b *strings.Builder, o *sim.Odds) {
	if len(o.Goals) == 0 {
		return
	}
	b.WriteString("\nChance of each goal: holds in so many of 100 weathers (95 % interval)\n")
	w := widest(len(o.Goals), func(i int) string { return o.Goals[i].Name })
	row := func(name string, s sim.Share, rest string) {
		line := fmt.Sprintf("  %-*s  %9s  (%s)", w, name, hundred(s.P), interval(s))
		if rest != "" {
			line = fmt.Sprintf("%-*s  %s", w+31, line, rest)
		}
		b.WriteString(line + "\n")
	}
	for i := range o.Goals {
		g := &o.Goals[i]
		rest := ""
		if n := g.Begins.Total(); n > 0 && g.Load >= 0 {
			rest = fmt.Sprintf("first miss: %s; median %s", causes(g.Begins), later(o.Depart, float64(g.After.P50)).Format("2 Jan"))
		} else if n > 0 {
			rest = fmt.Sprintf("broken in %d; median %s", n, later(o.Depart, float64(g.After.P50)).Format("2 Jan"))
		}
		row(g.Name, g.Holds, rest)
	}
	if len(o.Goals) > 1 {
		row("all together", o.Holds, "")
	}
}

// oddsDays writes the band of the state of charge, at most 16 days of it.
func oddsDays(b *strings.Builder, o *sim.Odds) {
	b.WriteString("\nState of charge by day, %: 8 weathers in 10 lie between P10 and P90\n")
	b.WriteString("   day          at sea   at 12:00 UTC        lowest of the day\n")
	b.WriteString("                          P10  P50  P90      P10  P50  P90   worst\n")
	every := max(1, int(math.Ceil(float64(len(o.Days)-1)/15)))
	p := func(x float64) string { return fmt.Sprintf("%.0f", 100*x) }
	for i := range o.Days {
		if i%every != 0 && i != len(o.Days)-1 {
			continue
		}
		d := &o.Days[i]
		fmt.Fprintf(b, "  %4d  %6s %7d    %4s %4s %4s     %4s %4s %4s    %4s\n", i+1, d.Date.Format("2 Jan"), d.AtSea,
			p(float64(d.Noon.P10)), p(float64(d.Noon.P50)), p(float64(d.Noon.P90)),
			p(float64(d.Low.P10)), p(float64(d.Low.P50)), p(float64(d.Low.P90)), p(float64(d.Low.Min)))
	}
}

// oddsWhere writes where trouble begins, by zone and by distance.
func oddsWhere(b *strings.Builder, o *sim.Odds) {
	fails := o.Begins.Total()
	if fails == 0 {
		return
	}
	fmt.Fprintf(b, "\nWhere trouble begins: first failure of the %d weathers that fail\n", fails)
	w := widest(len(o.Zones), func(i int) string { return o.Zones[i].Name })
	for i := range o.Zones {
		z := &o.Zones[i]
		n := z.Begins.Total()
		if n == 0 {
			fmt.Fprintf(b, "  %-*s     –\n", w, z.Name)
			continue
		}
		fmt.Fprintf(b, "  %-*s %5d  %4s %%  %s\n", w, z.Name, n, hundred(float64(n)/float64(fails)), causes(z.Begins))
	}
	b.WriteString("  by distance sailed\n")
	most := 0
	for i := range o.Bins {
		most = max(most, o.Bins[i].Begins.Total())
	}
	for i := range o.Bins {
		x := &o.Bins[i]
		n := x.Begins.Total()
		if n == 0 {
			continue
		}
		fmt.Fprintf(b, "  %6.0f – %-6.0f nm  near %s %5d  %s\n", float64(x.From), float64(x.To), x.Place, n,
			strings.Repeat("▪", max(1, int(math.Round(24*float64(n)/float64(most))))))
	}
}

// oddsMisses writes what the loads go without.
func oddsMisses(b *strings.Builder, o *sim.Odds) {
	w := widest(len(o.Loads), func(i int) string { return o.Loads[i].Name })
	begun := false
	for i := range o.Loads {
		l := &o.Loads[i]
		if l.Misses.Total() == 0 {
			continue
		}
		if !begun {
			b.WriteString("\nMissed, all weathers together\n")
			begun = true
		}
		what := fmt.Sprintf("off %d times", l.Misses.Total())
		if l.Due > 0 {
			what = fmt.Sprintf("%d of %d slots", l.Due-l.Kept, l.Due)
			if between := l.Misses.Total() - (l.Due - l.Kept); between > 0 {
				what += fmt.Sprintf(", off %d times between slots", between)
			}
		}
		weathers := "weathers"
		if l.Missing == 1 {
			weathers = "weather"
		}
		fmt.Fprintf(b, "  %-*s  %s in %d %s: %s\n", w, l.Name, what, l.Missing, weathers, causes(l.Misses))
	}
}

// oddsSpreads writes arrival, engine, fuel and energy.
func oddsSpreads(b *strings.Builder, o *sim.Odds) {
	days := float64(o.Passage.P50) / 24
	b.WriteString("\nSpread between weathers       least     P10  median     P90    most\n")
	row := func(name string, least, p10, p50, p90, most float64) {
		fmt.Fprintf(b, "  %-25s %7.1f %7.1f %7.1f %7.1f %7.1f\n", name, least, p10, p50, p90, most)
	}
	if days > 0 {
		scaled(row, "days to arrival", o.Passage, 1.0/24)
	}
	scaled(row, "charge at the end, %", o.Last, 100)
	scaled(row, "margin, points of charge", o.Margin, 100)
	if o.Engine.Max > 0 {
		scaled(row, "engine, hours", o.Engine, 1)
		scaled(row, "fuel, litres", o.Fuel, 1)
	}
	for i := range o.Sources {
		s := &o.Sources[i]
		scaled(row, cut(s.Name, 20)+", kWh", s.Energy, 0.001)
	}
	scaled(row, "used, kWh", o.Used, 0.001)
	scaled(row, "spilled, Ah", o.Spilled, 1)
}

func scaled[Q ~float64](row func(string, float64, float64, float64, float64, float64), name string, s sim.Spread[Q], by float64) {
	row(name, by*float64(s.Min), by*float64(s.P10), by*float64(s.P50), by*float64(s.P90), by*float64(s.Max))
}

// cut shortens a name to so many letters.
func cut(name string, most int) string {
	r := []rune(name)
	if len(r) <= most {
		return name
	}
	return string(r[:most-1]) + "…"
}
