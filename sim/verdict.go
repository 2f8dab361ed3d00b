package sim

import (
	"fmt"

	"ampwake/sim/units"
)

// judge answers the goals of the voyage.
func (p *passage) judge(r *Result) Verdict {
	v := p.v
	out := Verdict{Holds: true, Floor: v.Goals.Above}
	if out.Floor == 0 {
		out.Floor = v.Goals.Floor
	}
	for _, i := range v.Goals.Keep {
		l := &r.Loads[i]
		g := GoalVerdict{Name: l.Name, Load: i, Due: l.Due, Kept: l.Kept, Holds: true}
		for j := range r.Misses {
			if r.Misses[j].Load == i {
				g.Holds = false
				g.First = &r.Misses[j]
				break
			}
		}
		out.Goals = append(out.Goals, g)
		out.Holds = out.Holds && g.Holds
	}
	out.Margin = r.Lowest.Charge - out.Floor
	out.MarginCharge = units.AmpHours(float64(out.Margin) * float64(v.Bank.Capacity(p.c.Weather.Sea)))
	if v.Goals.Above > 0 {
		g := GoalVerdict{Name: fmt.Sprintf("stay above %.0f %%", 100*v.Goals.Above), Load: -1, Holds: out.Margin >= 0, Broken: p.broken}
		out.Goals = append(out.Goals, g)
		out.Holds = out.Holds && g.Holds
	}
	return out
}
