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
	for _, r := range refdata.Read(t, "radio/light_intensity_check.csv") {
		miles := units.NauticalMiles(r.Float("range_nm"))
		got := float64(Intensity(miles))
		assert.InDelta(t, r.Float("candela_formula"), got, 0.00005, r.Where()) // tol: 4 digits printed
		tol := 0.5                                                             // half the last digit printed
		if r.Float("range_nm") < 3 {
			tol = 0.05
		}
		printed := r.Float("candela_table_colreg_annex1")
		assert.InDelta(t, printed, got, tol, r.Where())
	}
	assert.Zero(t, Intensity(0))
}
