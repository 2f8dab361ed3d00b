package refdata

import (
	"encoding/json"
	"testing"
)

// StepAttribute is the key under which a test tells a StepRow.
const StepAttribute = "step"

// StepRow is what one length of the step gives on one scenario.
type StepRow struct {
	Scenario string
	Minutes  int
	Off      float64 // largest difference of the state of charge at whole hours, points
	Plain    float64 // the same with a charger without stages
	Lowest   float64 // state of charge, %
	Made     float64 // Wh
	Used     float64 // Wh
	Missed   int     // slots
	Due      int
}

// Tell records the row.
func (r StepRow) Tell(t testing.TB) {
	t.Helper()
	text, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	t.Attr(StepAttribute, string(text))
}
