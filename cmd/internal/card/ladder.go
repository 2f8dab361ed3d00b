package card

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"ampwake/cmd/internal/chart"
	"ampwake/scenarios"
	"ampwake/sim"
	"ampwake/sim/units"
)

// Rung is one step of the ladder of what to do as the bank goes down.
type Rung struct {
	// Charge is where it begins; the first rung lasts from a full bank to there.
	Charge units.Fraction
	Rest   units.Volts // rested
	// Always tells that it holds at any charge.
	Always bool
	// Bus is the voltage under load that says so, in place of Rest; 0: none.
	Bus  units.Volts
	Head string // what to do, in few words
	Text string
}

// ladder tells what to do at which charge, from above.
func ladder(c *Card, z *Zone, b *still) []Rung {
	at := func(charge units.Fraction) Rung {
		return Rung{Charge: charge, Rest: restAt(b.v.Bank, charge, z.Sea)}
	}
	var rungs []Rung
	add := func(charge units.Fraction, head, format string, args ...any) {
		r := at(charge)
		r.Head, r.Text = head, fmt.Sprintf(format, args...)
		rungs = append(rungs, r)
	}
	edge := c.Floor // the first rung that hurts
	var lasting, deaf []string
	told := 0
	needs := slices.Clone(z.Needs)
	sort.SliceStable(needs, func(i, j int) bool { return needs[i].Charge > needs[j].Charge })
	for i := range needs {
		n := &needs[i]
		switch {
		case n.Charge <= 0:
			lasting = append(lasting, n.Load)
			continue
		case n.Never():
			deaf = append(deaf, n.Load)
			continue
		}
		edge = max(edge, n.Charge)
		if told++; told > mostNeeds {
			continue
		}
		if n.Peak > 0 {
			verb := "work"
			if chart.KindOf(n.Load) == chart.Radio {
				verb = "transmit"
			}
			add(n.Charge, n.Load+" will not "+verb,
				"At %[2]s A it would see under %[1]s. Send before you get here; later only while charging.", volts(n.Least), amount(units.AmpHours(n.Peak)))
		} else {
			add(n.Charge, n.Load+" will not work", "It would see under %s, unless something charges.", volts(n.Least))
		}
	}
	if len(deaf) > 0 {
		rungs = append(rungs, Rung{
			Charge: 1, Always: true, Head: brief(deaf, 40) + ": only while something charges",
			Text: "Even a full bank leaves too little voltage at the set.",
		})
	}
	// One day's use above that, but no more than half of what there is.
	day := units.Fraction(z.Used() / b.v.Bank.Capacity(z.Sea))
	shed := edge + min(day, (1-edge)/2)
	switch off, ah := shedding(z); {
	case shed-edge < 0.005: // nothing is used to speak of
	case off != "":
		add(shed, "Switch off "+off, "%s in hand. It saves %s Ah a day.", inHand(day, shed-edge), amount(ah))
	default:
		add(shed, "Save", "%s in hand. Nothing in the file may be spared: sail faster, or charge.", inHand(day, shed-edge))
	}
	usual := ""
	if c.UsualFloor {
		usual = " (usual; none in the file)"
	}
	add(c.Floor, "Floor"+usual, "%s", recovery(z))
	sort.SliceStable(rungs, func(i, j int) bool { return rungs[i].Charge > rungs[j].Charge })
	for i := range rungs { // the first is a whole range
		if !rungs[i].Always {
			top := at(rungs[i].Charge)
			top.Head, top.Text = "All as usual", normal(z)
			rungs = append([]Rung{top}, rungs...)
			break
		}
	}
	if c.CutOff > 0 {
		last := at(b.gives(units.Amps(z.Used() / 24)))
		last.Bus = c.CutOff
		last.Head, last.Text = "Cut-off", cutOff(b.v)
		if len(lasting) > 0 {
			last.Text += " " + capital(series(lasting, 3)) + " works till then."
		}
		rungs = append(rungs, last)
	}
	return rungs
}

// mostNeeds is how many loads that need a voltage find a place on the ladder: those
// that fail first.
const mostNeeds = 3

// inHand tells how long the charge lasts without any charging.
func inHand(day, share units.Fraction) string {
	switch hours := 24 * float64(share/day); {
	case !(day > 0) || hours > 23:
		return "One day's use"
	default:
		return fmt.Sprintf("%.0f h of use", hours)
	}
}

// normal tells the charge of an ordinary noon.
func normal(z *Zone) string {
	low, high := z.Usual()
	if high == 0 {
		return "All loads running."
	}
	return fmt.Sprintf("Ordinary noons here: %.0f to %.0f %%.", 100*low, 100*high)
}

// Usual returns the lowest P10 and the highest P90 of the noons while she is here,
// 0 and 0 if there is none.
func (z *Zone) Usual() (low, high units.Fraction) {
	for i := range z.Noons {
		n := &z.Noons[i]
		if n.Thin || n.Date.After(z.Leave.P90) {
			continue
		}
		if high == 0 || n.Band.P10 < low {
			low = n.Band.P10
		}
		high = max(high, n.Band.P90)
	}
	return low, high
}

// shedding tells what to switch off and what that saves a day: what goes first,
// or else the two largest loads that are no essentials and no lights.
func shedding(z *Zone) (names string, ah units.AmpHours) {
	list := z.spares()
	if list == nil {
		on := z.essentials()
		rest := slices.Clone(z.Out)
		sort.SliceStable(rest, func(i, j int) bool { return rest[i].Ah > rest[j].Ah })
		for _, e := range rest {
			if !slices.Contains(on, e.Name) && !lawful(e.Name) && chart.KindOf(e.Name) != chart.Radio && e.Ah > 0 && len(list) < 2 {
				list = append(list, e.Name)
			}
		}
	}
	for _, e := range z.Out {
		if slices.Contains(list, e.Name) {
			ah += e.Ah
		}
	}
	return brief(list, 60), ah
}

// spares names what goes first, essentials what stays to the last; nil if the
// file does not say.
func (z *Zone) spares() []string {
	for _, w := range z.Ways {
		if w.Name == SparesOff {
			return w.Off
		}
	}
	return nil
}

func (z *Zone) essentials() []string {
	for _, w := range z.Ways {
		if w.Name == Essentials {
			return w.On
		}
	}
	return nil
}

// recovery tells how the charge comes back from the floor.
func recovery(z *Zone) string {
	var s []string
	if e := z.Engine; e.Own {
		if r := e.fromFloor(); r != nil {
			s = append(s, fmt.Sprintf("Run the engine: %s, %s L bring %.0f %% back to %.0f %%.", clock(r.Hours), amount(units.AmpHours(r.Litres)), 100*r.From, 100*e.To))
		}
	}
	if on := z.essentials(); on != nil {
		s = append(s, "Only "+series(on, 5)+" from here on.")
	}
	if !z.steady() && z.Even > 0 && !math.IsNaN(float64(z.Even)) {
		s = append(s, fmt.Sprintf("From %.1f kn the day breaks even with everything on.", float64(z.Even)))
	}
	if len(s) == 0 {
		s = append(s, "Switch off all that can be spared.")
	}
	return strings.Join(s, " ")
}

// steady reports whether the speed makes no difference.
func (z *Zone) steady() bool { return len(z.Speeds) == 1 }

// fromFloor returns the row that begins at the floor, nil if a day does not do.
func (e *Engine) fromFloor() *Recovers {
	for i := range e.Rows {
		if r := &e.Rows[i]; r.AtFloor && !math.IsNaN(float64(r.Hours)) {
			return r
		}
	}
	return nil
}

// cutOff tells what the low-voltage cut-off does.
func cutOff(v *sim.Voyage) string {
	var spare []string
	for _, f := range v.Loads {
		if f.Spare {
			spare = append(spare, f.Load.Name())
		}
	}
	if len(spare) == 0 {
		return "Everything goes off."
	}
	be := "go"
	if len(spare) == 1 {
		be = "goes"
	}
	return fmt.Sprintf("%s %s off first, then everything.", capital(brief(spare, 80)), be)
}

// advice returns what to do when the noon lies below the band, and above it.
func advice(z *Zone, s *scenarios.Scenario) (below, above string) {
	off, ah := shedding(z)
	var b, a []string
	if off != "" {
		b = append(b, fmt.Sprintf("Switch off %s today: it saves %s Ah a day.", off, amount(ah)))
	}
	h := s.File.Sources.Hydro
	if h != nil {
		b = append(b, fmt.Sprintf("Keep the %s down whenever she makes %.1f kn.", h.Name, float64(h.LiftBelow)))
	}
	if len(s.File.Sources.Panels) > 0 {
		b = append(b, "Wash the panels, and keep sails off them.")
	}
	engine := (*Recovers)(nil)
	if z.Engine.Own {
		engine = z.Engine.fromFloor()
	}
	switch {
	case engine != nil:
		b = append(b, fmt.Sprintf("Still below after two noons: engine on, %s from %.0f %%.", clock(engine.Hours), 100*engine.From))
	case z.essentials() != nil:
		b = append(b, "Still below after two noons: only "+series(z.essentials(), 5)+" until it is back.")
	}
	a = append(a, "Doubt the reading first: volts stand high for hours after charging. Above for two noons: there is charge to spare.")
	switch gain := gained(z, s.Voyage()); {
	case h != nil && gain >= 0.05:
		a = append(a, fmt.Sprintf("Lift the %s until the line is back: she gains %.1f kn.", h.Name, gain))
	case h != nil:
		a = append(a, fmt.Sprintf("Lift the %s until the line is back, and spare it.", h.Name))
	case z.Engine.Own:
		a = append(a, "Leave the engine off until the line is back.")
	default:
		a = append(a, "Everything may run.")
	}
	return strings.Join(b, " "), strings.Join(a, " ")
}

// gained returns the speed that is gained by lifting what drags, kn.
func gained(z *Zone, v *sim.Voyage) float64 {
	if v.Hull == nil || z.Speed <= 0 {
		return 0
	}
	slowed := v.Hull.Slowed(z.Speed, func(at units.Knots) (sum units.Newtons) {
		for _, f := range v.Sources {
			if d, ok := f.Source.(sim.Dragger); ok {
				sum += d.Drag(at)
			}
		}
		return sum
	})
	return float64(z.Speed - slowed)
}
