package main

import (
	"cmp"
	"fmt"
	"slices"

	"ampwake/testdata/refdata"
)

// perMinute is the slack of the difference of the state of charge, points for a
// minute of the step. In which step the charger reaches one of its limits hangs on the
// last digits: another machine may find it in the next. A third of a step at the
// tail current, which is C/50.
const perMinute = 100.0 / 50 / 60 / 3

// stepsTable makes the table of DEVELOPERS: what the length of a step changes on
// the built-in scenarios.
func stepsTable(h *heard) ([]line, error) {
	rows := slices.Clone(h.steps)
	slices.SortFunc(rows, func(a, b refdata.StepRow) int {
		return cmp.Or(cmp.Compare(a.Scenario, b.Scenario), cmp.Compare(a.Minutes, b.Minutes))
	})
	t := []line{
		{cells: []string{"scenario", "min", "SoC off", "plain charger", "lowest SoC, %", "made, Wh", "used, Wh", "slots missed"}},
		{text: "|---|--:|--:|--:|--:|--:|--:|--:|"},
	}
	for i, r := range rows {
		if i > 0 && rows[i-1].Scenario == r.Scenario && rows[i-1].Minutes == r.Minutes {
			return nil, fmt.Errorf("two tests tell %s at %d min", r.Scenario, r.Minutes)
		}
		name := r.Scenario
		if i > 0 && rows[i-1].Scenario == r.Scenario {
			name = ""
		}
		t = append(t, line{slack: 0.02, loose: map[int]float64{2: float64(r.Minutes) * perMinute}, cells: []string{
			name, fmt.Sprint(r.Minutes), fmt.Sprintf("%.1f", r.Off), fmt.Sprintf("%.3f", r.Plain), fmt.Sprintf("%.2f", r.Lowest),
			fmt.Sprintf("%.0f", r.Made), fmt.Sprintf("%.0f", r.Used), fmt.Sprintf("%d of %d", r.Missed, r.Due),
		}})
	}
	return t, nil
}
