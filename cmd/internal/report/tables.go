package report

import (
	"fmt"
	"math"
	"sort"
	"strings"
	"unicode/utf8"

	"ampwake/sim"
)

// budget writes the mean daily budget in Ah, with a bar for the eye.
func budget(b *strings.Builder, r *sim.Result) {
	days := r.End.Sub(r.Depart).Hours() / 24
	if days <= 0 {
		return
	}
	fmt.Fprintf(b, "\nDaily budget, Ah a day (mean of %.1f days)\n", days)
	type row struct {
		name string
		ah   float64
	}
	var in, out []row
	for _, s := range r.Sources {
		in = append(in, row{s.Name, float64(s.Charge) / days})
	}
	for _, l := range r.Loads {
		out = append(out, row{l.Name, float64(l.Charge) / days})
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].ah > out[j].ah })
	most, width := 0.0, len("less spilled")
	for _, x := range append(append([]row{}, in...), out...) {
		most = math.Max(most, x.ah)
		width = max(width, utf8.RuneCountInString(x.name))
	}
	line := func(lead, name string, ah float64) {
		bar := ""
		if most > 0 && ah > 0 {
			bar = "  " + strings.Repeat("▪", int(math.Round(24*ah/most)))
		}
		pad := strings.Repeat(" ", width-utf8.RuneCountInString(name))
		fmt.Fprintf(b, "  %-5s%s%s %8.1f%s\n", lead, name, pad, ah, strings.TrimRight(bar, " "))
	}
	total := func(name string, ah float64) {
		fmt.Fprintf(b, "  %-5s%-*s %8.1f\n", "", width, name, ah)
	}
	lead, sum := "in", 0.0
	for _, x := range in {
		line(lead, x.name, x.ah)
		lead, sum = "", sum+x.ah
	}
	spilled := float64(r.Books.SpilledCharge) / days
	if spilled > 0.05 {
		total("less spilled", -spilled)
	}
	total("in all", sum-spilled)
	lead, sum = "out", 0
	for _, x := range out {
		line(lead, x.name, x.ah)
		lead, sum = "", sum+x.ah
	}
	total("out in all", sum)
	k := &r.Books
	fmt.Fprintf(b, "  bank %s → %s: %.1f Ah a day went in, %.1f came out, %.1f was lost on charging and at rest\n",
		percent(float64(r.Start)), percent(float64(r.Last)), float64(k.Taken)/days, float64(k.Drawn)/days,
		float64(k.Taken-k.Charged+k.SelfDischarge)/days)
	if r.Fuel > 0.05 {
		fmt.Fprintf(b, "  fuel %.1f L\n", float64(r.Fuel))
	}
}

// worst writes the worst moments and the misses, a few lines at most.
func worst(b *strings.Builder, r *sim.Result) {
	b.WriteString("\nWorst moments\n")
	fmt.Fprintf(b, "  lowest charge   %s on %s, %s\n", percent(float64(r.Lowest.Charge)), when(r.Lowest), r.Lowest.Place)
	fmt.Fprintf(b, "  lowest voltage  %.2f V on %s\n", float64(r.LowestVolts.Bus), when(r.LowestVolts))
	if d, net, ok := leanestDay(r); ok {
		fmt.Fprintf(b, "  leanest day     %s: %+.1f Ah, cloud %.0f oktas, %.0f miles\n",
			d.Date.Format("2 Jan"), net, 8*float64(d.Cloud), float64(d.Sailed))
	}
	const most = 6
	for i := range r.Misses {
		if i == most {
			fmt.Fprintf(b, "  … and %d more misses: see the CSV or JSON\n", len(r.Misses)-most)
			break
		}
		fmt.Fprintf(b, "  missed          %s\n", miss(r, &r.Misses[i]))
	}
}

// leanestDay finds the whole day with the worst balance.
func leanestDay(r *sim.Result) (day *sim.Day, net float64, ok bool) {
	for i := range r.Days {
		d := &r.Days[i]
		if d.Hours < 23.9 {
			continue
		}
		if n := netCharge(d); !ok || n < net {
			day, net, ok = d, n, true
		}
	}
	return day, net, ok
}

// netCharge is what a day's sources made more than its loads used, in Ah,
// spilled part taken off.
func netCharge(d *sim.Day) float64 {
	sum := -float64(d.Spilled)
	for _, s := range d.Sources {
		sum += float64(s.Charge)
	}
	for _, l := range d.Loads {
		sum -= float64(l.Charge)
	}
	return sum
}

// decisions tells what was done on board and what befell her, in order.
func decisions(b *strings.Builder, r *sim.Result) {
	if len(r.Decisions) == 0 {
		return
	}
	b.WriteString("\nWhat happened on board\n")
	// What happens again and again is told a few times; faults and what is done
	// seldom, like a spare that is rigged, always.
	const most, seldom = 12, 3
	times := map[string]int{}
	for i := range r.Decisions {
		times[r.Decisions[i].What]++
	}
	told, often := 0, 0
	for i := range r.Decisions {
		d := &r.Decisions[i]
		if !d.Fault && times[d.What] > seldom {
			if often++; often > most {
				continue
			}
		}
		told++
		fmt.Fprintf(b, "  %s  %s\n", d.At.Time.Format("2 Jan 15:04 UTC"), happened(d))
	}
	if rest := len(r.Decisions) - told; rest > 0 {
		fmt.Fprintf(b, "  … and %d more times that something was brought into use or out of it\n", rest)
	}
}

// happened tells one decision or fault.
func happened(d *sim.Decision) string {
	switch {
	case d.Fault && d.Use:
		return fmt.Sprintf("MENDED  %s", d.What)
	case d.Fault:
		return fmt.Sprintf("FAULT   %s (%s)", d.What, d.Why)
	case d.Use:
		return fmt.Sprintf("in use  %s: %s", d.What, d.Why)
	}
	return fmt.Sprintf("out     %s: %s", d.What, d.Why)
}

// prices tells what the charge cost in miles and what the voyage cost the bank.
func prices(b *strings.Builder, r *sim.Result) {
	b.WriteString("\nWhat it cost\n")
	for _, l := range costs(r) {
		fmt.Fprintf(b, "  %-6s %s\n", l[0], l[1])
	}
}

// costs are the lines of prices: of what, and what. A line of nothing goes with
// the one before.
func costs(r *sim.Result) [][2]string {
	var lines [][2]string
	add := func(of, format string, args ...any) {
		lines = append(lines, [2]string{of, fmt.Sprintf(format, args...)})
	}
	offered := 0.0
	for _, s := range r.Sources {
		offered += float64(s.Charge)
	}
	for _, s := range r.Sources {
		if s.Miles < 0.5 || s.Charge < 1 {
			continue
		}
		// What is spilled is nobody's in particular: shared by what was offered.
		useful := float64(s.Charge) * (1 - float64(r.Books.SpilledCharge)/offered)
		add("miles", "%s slowed her by %.0f miles, %s in all; %.0f of its %.0f Ah found a use: %.0f miles for 100 Ah",
			s.Name, float64(s.Miles), span(float64(r.Drag.Hours)), useful, float64(s.Charge), 100*float64(s.Miles)/max(useful, 1))
		if r.Diesel > 0 {
			add("", "by the engine 100 Ah take %.1f L of diesel", float64(r.Diesel))
		}
	}
	w := &r.Wear
	add("bank", "as good as %.1f full cycles, %.1f %% of its cycle life; deepest swing %s; longest without a full charge %s",
		w.Cycles, 100*float64(w.Life), percent(float64(w.Deepest)), span(float64(w.SinceFull)))
	if w.Lead && (w.SinceFull > sim.FullEvery || w.Low > sim.LowFor) {
		add("", "lead-acid left partly charged for weeks sulphates: give it a full charge every two weeks")
	}
	return lines
}

func assumed(b *strings.Builder, notes []sim.Note) {
	if len(notes) == 0 {
		return
	}
	b.WriteString("\nAssumed\n")
	for _, n := range notes {
		fmt.Fprintf(b, "  %-10s %s\n", n.About, n.Text)
	}
}
