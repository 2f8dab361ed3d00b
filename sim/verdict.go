package sim

import (
	"fmt"

	"ampwake/sim/units"
)

// judge answers the goals of the voyage.
func (p *passage) judge(r *Result) Verdict {
	v := p.v
	out := Verdict{Holds: true, Floor: v.Goals.floor()}
	for _, i := range v.Goals.Keep {
		l := &r.Loads[i]
		g := GoalVerdict{Name: l.Name, Load: i, Due: l.Due, Kept: l.Kept, Holds: true}
		for j := range r.Misses {
			m := &r.Misses[j]
			if m.Load != i || l.Due > 0 && !m.Until.IsZero() {
				continue // a load with slots is judged by these
			}
			g.Holds, g.First = false, m
			break
		}
		out.Goals = append(out.Goals, g)
		out.Holds = out.Holds && g.Holds
	}
	out.Margin = r.Lowest.Charge - out.Floor
	out.MarginCharge = units.AmpHours(float64(out.Margin) * float64(p.model.Capacity(p.c.Weather.Sea)))
	if v.Goals.Above > 0 {
		g := GoalVerdict{Name: v.Goals.aboveName(), Load: -1, Holds: out.Margin >= 0, Broken: p.broken}
		out.Goals = append(out.Goals, g)
		out.Holds = out.Holds && g.Holds
	}
	return out
}

// floor returns what margins are measured from.
func (g *Goals) floor() units.Fraction {
	if g.Above > 0 {
		return g.Above
	}
	return g.Floor
}

// aboveName names the goal of a floor.
func (g *Goals) aboveName() string { return fmt.Sprintf("stay above %.0f %%", 100*g.Above) }
