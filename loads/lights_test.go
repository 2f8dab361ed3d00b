package loads

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

// Source: radio/light_intensity_check.csv; its second column is the table of
// COLREGS Annex I section 8(b), from memory, rounded there to two digits.
func TestIntensity(t *testing.T) {
	near := refdata.Check{
		Model: refdata.Radio, Quantity: "intensity of a navigation light under 3 miles",
		Source: "COLREGS Annex I, section 8(b)", Status: refdata.Memory, Tolerance: 0.05, Unit: "cd",
	}.Begin(t)
	far := refdata.Check{
		Model: refdata.Radio, Quantity: "intensity of a navigation light from 3 miles",
		Source: "COLREGS Annex I, section 8(b)", Status: refdata.Memory, Tolerance: 0.5, Unit: "cd",
	}.Begin(t)
	for _, r := range refdata.Read(t, "radio/light_intensity_check.csv") {
		miles := units.NauticalMiles(r.Float("range_nm"))
		got := float64(Intensity(miles))
		assert.InDelta(t, r.Float("candela_formula"), got, 0.00005, r.Where()) // tol: 4 digits printed
		table := far                                                           // tol: half the last digit printed
		if r.Float("range_nm") < 3 {
			table = near
		}
		table.Within(got, r.Float("candela_table_colreg_annex1"), r.Where())
	}
	assert.Zero(t, Intensity(0))
}
