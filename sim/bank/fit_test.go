package bank

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

// tables returns the capacity tables of the data sheets by battery.
func tables(t *testing.T) map[string][]Rate {
	all := map[string][]Rate{}
	for _, r := range refdata.Read(t, "battery/capacity_by_rate.csv") {
		name := r.Text("battery")
		all[name] = append(all[name], Rate{units.Hours(r.Float("hours")), ah(r.Float("capacity_Ah"))})
	}
	return all
}

// Source: capacities of an own least-squares fit (capacity_by_rate.csv,
// kibam_fits.csv). c and k trade off, so capacities are compared.
func TestFitTanks(t *testing.T) {
	all := tables(t)
	rated := map[string]units.AmpHours{
		"flooded_6V_330Ah": 330, "agm_12V_40Ah": 40, "agm_12V_65Ah": 65,
		"generic_gel_12V_100Ah": 100, "generic_lfp_12V_100Ah": 100,
	}
	fits := map[string]Tanks{}
	for _, r := range refdata.Read(t, "battery/kibam_fits.csv") {
		name := r.Text("battery")
		fit, worst, err := FitTanks(all[name], rated[name])
		require.NoError(t, err)
		fits[name] = fit
		within(t, fit.Over*float64(rated[name]), r.Float("qmax_Ah"), 0.02, name+": qmax")
		assert.InDelta(t, r.Float("max_rel_error_pct"), 100*float64(worst), 0.1, "%s: worst error", name)
	}
	for _, r := range refdata.Read(t, "battery/capacity_by_rate.csv") {
		name := r.Text("battery")
		got := fits[name].Delivered(ah(fits[name].Over)*rated[name], units.Hours(r.Float("hours")))
		within(t, float64(got), r.Float("kibam_fit_Ah"), 0.02, r.Where())
	}
}

// The tanks of Default deliver what the fits of their kind deliver.
func TestDefaultTanks(t *testing.T) {
	kinds := map[string]Chemistry{"flooded_6V_330Ah": Flooded, "agm_12V_40Ah": AGM, "generic_gel_12V_100Ah": Gel, "generic_lfp_12V_100Ah": LFP}
	rated := map[Chemistry]units.AmpHours{Flooded: 330, AGM: 40, Gel: 100, LFP: 100}
	for _, r := range refdata.Read(t, "battery/capacity_by_rate.csv") {
		c, ok := kinds[r.Text("battery")]
		if !ok {
			continue
		}
		m := model(t, Default(c, rated[c]))
		within(t, float64(m.Delivers(units.Hours(r.Float("hours")), 25)), r.Float("kibam_fit_Ah"), 0.001, r.Where())
	}
}

func TestFitTanksRefuses(t *testing.T) {
	for _, c := range []struct {
		table []Rate
		rated units.AmpHours
		want  string
	}{
		{nil, 100, "three rows"},
		{[]Rate{{20, 100}, {10, 95}, {5, 85}}, 100, "4 h or shorter"},
		{[]Rate{{10, 95}, {5, 85}, {1, 60}}, 100, "20 h or longer"},
		{[]Rate{{20, 100}, {10, -95}, {1, 60}}, 100, "row 2"},
		{[]Rate{{20, 100}, {10, 95}, {1, 60}}, 0, "rated capacity"},
	} {
		_, _, err := FitTanks(c.table, c.rated)
		assert.ErrorContains(t, err, c.want)
	}
}
