package refdata

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"
)

// Attribute is the key under which a test tells its record, with testing.TB.Attr:
// "go test -json" passes it on, and cmd/internal/validation makes README's table of
// all of them.
const Attribute = "checked"

// Model is a group of rows of the table.
type Model string

// The groups, in the order of the table.
const (
	Track   Model = "Route and time"
	Sun     Model = "Sun"
	Light   Model = "Light"
	Panels  Model = "Panels"
	Water   Model = "Water generator and drag"
	Others  Model = "Engine and wind turbine"
	Charge  Model = "Bank: charge"
	Voltage Model = "Bank: voltage"
	Bank    Model = "Bank: sizing and life"
	Cables  Model = "Cables"
	Climate Model = "Weather"
	Radio   Model = "Radio, fax and lights"
	Legs    Model = "Whole legs"
)

// Models returns the groups in the order of the table.
func Models() []Model {
	return []Model{Track, Sun, Light, Panels, Water, Others, Charge, Voltage, Bank, Cables, Climate, Radio, Legs}
}

// Status tells what kind of outside a value comes from.
type Status string

// The kinds, the strongest first.
const (
	Measured   Status = "measured"        // by somebody, on the real thing
	Published  Status = "published"       // printed in a book, paper, standard or manual
	Library    Status = "library"         // another program that many use
	Calculated Status = "calculated"      // outside this project's code, from the published formula or by an ODE solver
	Practice   Status = "common practice" // without a source
	Memory     Status = "from memory"     // of something published, which was not at hand
)

// Statuses returns the kinds, the strongest first.
func Statuses() []Status {
	return []Status{Measured, Published, Library, Calculated, Practice, Memory}
}

// Check is one row of the table: a quantity held against values from outside.
// Tests that share a row tell the same; the table shows the worst of them.
type Check struct {
	Model    Model
	Quantity string
	Source   string
	Status   Status
	// Tolerance is the largest difference allowed, in Unit, and 0 for "exact". With
	// the unit "%" it is of the value wanted; see Ratio.
	Tolerance float64
	Unit      string
}

// Record is a check with what came out.
type Record struct {
	Check
	Error  float64 // the worst difference, in Unit
	Values int     // how many values were compared
}

// Checked compares values for one row, fails the test when one is out of
// tolerance, and tells the worst difference when the test ends.
type Checked struct {
	t testing.TB
	r Record
}

// Begin starts the comparison.
func (c Check) Begin(t testing.TB) *Checked {
	t.Helper()
	if c.Quantity == "" || c.Source == "" || c.Status == "" || !(c.Tolerance >= 0) {
		t.Fatalf("refdata: the check %+v is not whole", c)
	}
	k := &Checked{t: t, r: Record{Check: c}}
	t.Cleanup(func() {
		if k.r.Values == 0 {
			t.Errorf("refdata: nothing was compared for %q", c.Quantity)
			return
		}
		text, err := json.Marshal(k.r)
		if err != nil {
			t.Errorf("refdata: %q: %v", c.Quantity, err)
			return
		}
		t.Attr(Attribute, string(text))
	})
	return k
}

// Within fails the test unless got is as near to want as the tolerance asks.
func (k *Checked) Within(got, want float64, where ...any) {
	k.t.Helper()
	if !k.Off(got - want) {
		k.t.Errorf("%s%s = %.8g, want %.8g ± %g %s", at(where), k.r.Quantity, got, want, k.r.Tolerance, k.r.Unit)
	}
}

// Ratio is Within for a tolerance in per cent of want.
func (k *Checked) Ratio(got, want float64, where ...any) {
	k.t.Helper()
	d := 100 * (got - want) / want
	if got == want {
		d = 0
	}
	if !k.Off(d) {
		k.t.Errorf("%s%s = %.8g, want %.8g ± %g %%", at(where), k.r.Quantity, got, want, k.r.Tolerance)
	}
}

// Off takes a difference that the test has found itself and reports whether it is
// within the tolerance; the caller fails the test if it is not.
func (k *Checked) Off(d float64) bool {
	k.r.Values++
	d = math.Abs(d)
	if d > k.r.Error || math.IsNaN(d) {
		k.r.Error = d
	}
	return d <= k.r.Tolerance
}

func at(where []any) string {
	if len(where) == 0 {
		return ""
	}
	return fmt.Sprint(where...) + ": "
}
