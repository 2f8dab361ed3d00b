package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/cmd/internal/report"
	"ampwake/scenarios"
	"ampwake/scenarios/logbook"
	atsea "ampwake/scenarios/trial"
)

// loggedOf puts the boat of radio-cover on the way of a log.
func loggedOf(t *testing.T, text string) *atsea.Logged {
	t.Helper()
	label, src, err := scenarios.Source("radio-cover")
	require.NoError(t, err)
	s, err := scenarios.Read(label, src, nil, "")
	require.NoError(t, err)
	log, err := logbook.Read("log.csv", []byte(text), atsea.OptionsFor(s))
	require.NoError(t, err)
	l, err := atsea.NewLogged(s, log)
	require.NoError(t, err)
	return l
}

func builtinLog(t *testing.T) string {
	t.Helper()
	src, err := logbook.Source("trial-sail")
	require.NoError(t, err)
	return string(src)
}

func fitted(t *testing.T, text string) *atsea.Fit {
	t.Helper()
	f, err := atsea.New(t.Context(), loggedOf(t, text))
	require.NoError(t, err)
	return f
}

func TestTrialText(t *testing.T) {
	f := fitted(t, builtinLog(t))
	var b bytes.Buffer
	require.NoError(t, report.TrialText(&b, f))
	lines := strings.Split(b.String(), "\n")
	assert.Regexp(t, `^Found   she uses \d+ % more than planned \(.* to .*\); panels give \d\d % \(\d\d to \d+\) of the plan, the generator \d\d %`, lines[0])
	assert.Regexp(t, `^Settled .*panels.*; not by this log: .*other loads`, lines[1])
	assert.Regexp(t, `^More    \d+ more days like these would halve the spread of the `, lines[2])
	assert.Contains(t, b.String(), "other loads: not settled by this log: it stays about what was assumed")
	assert.Contains(t, b.String(), "What the log cannot tell apart\n")
	assert.Contains(t, b.String(), "EPIRB")

	b.Reset()
	f.Poor, f.Factors[3].Mean = true, -2*f.Factors[3].Prior
	require.NoError(t, report.TrialText(&b, f))
	assert.Regexp(t, `^Found   DOUBTFUL: she uses`, b.String())
	assert.Contains(t, b.String(), "other loads: not settled by this log: it moved only because the readings cannot be had otherwise")
	assert.Contains(t, b.String(), "The readings lie farther from the fit than readings do")
	f.Poor, f.Factors[3].Mean = false, 0

	b.Reset()
	require.NoError(t, report.TrialJSON(&b, f))
	var x struct {
		Schema  string
		Factors []struct {
			Name  string
			Value float64
			More  *float64 `json:"days_to_halve"`
		}
		Correlations [][]float64
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &x))
	assert.Equal(t, report.TrialSchema, x.Schema)
	assert.Len(t, x.Factors, 8)
	assert.InDelta(t, 1, x.Correlations[3][3], 1e-9)

	for _, write := range []func() error{
		func() error { return report.TrialFactors(&b, f) },
		func() error { return report.TrialReadings(&b, f) },
	} {
		b.Reset()
		require.NoError(t, write())
		rows, err := csv.NewReader(&b).ReadAll()
		require.NoError(t, err)
		assert.Greater(t, len(rows), 8)
	}
}

// What was left out of a log, what looks wrong with it and what was taken for
// granted stand in the report, and a factor of which it says nothing.
func TestTrialOfAPoorLog(t *testing.T) {
	f := fitted(t, `time [UTC], position, run [nm], volts rested [V], cloud [oktas], speed [kn], generator [h]
2027-01-10 07:00, 16°53'N 25°W, , 12.65, 3, , 2
2027-01-10 12:00, 16°30'N 25°W, 25, 12.6, 12.6, 5, 0
2027-01-10 12:00, 16°30'N 25°W, 25, 12.6, 12.6, 5, 0
2027-01-11 12:00, 14°20'N 25°W, 130, 230, 4, 5, 0
2027-01-12 12:00, 12°10'N 25°W, 130, 12.5, 4, 5, 0
2027-01-15 12:00, 06°00'N 25°W, 370, 12.3, 4, 5, 0
`)
	var b bytes.Buffer
	require.NoError(t, report.TrialText(&b, f))
	for _, say := range []string{
		"Left out of log.csv\n",
		"line 2: generator: 2.0 h since no line",
		"line 3: cloud: 12.6 is no cloud amount",
		"line 4: it repeats line 3",
		"line 5: volts rested: 230 is no voltage",
		"Look at this\n", "head the column time [ship]",
		"Taken for granted\n", "nothing for 3.0 days between lines 6 and 7",
		"generator: not settled by this log",
	} {
		assert.Contains(t, b.String(), say)
	}
	assert.NotContains(t, report.TrialAnswer(f), "the generator gives")
}

func TestNoonText(t *testing.T) {
	n, err := atsea.NewNoon(t.Context(), loggedOf(t, builtinLog(t)), atsea.NoonOptions{Members: 20, Seed: 1})
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, report.NoonText(&b, n))
	lines := strings.Split(b.String(), "\n")
	assert.Regexp(t, `^BELOW THE BAND   24 Jan 08:00 UTC \(06:00 ship's time\): \d\d % of charge`, lines[0])
	assert.Regexp(t, `^Why     \d+ of \d+ points are the weather and the speed, \d+ the boat: panels at \d\d % of the plan`, lines[1])
	assert.Regexp(t, `^Ahead   FAILS IN ALL 20 WEATHERS with the boat of the plan: HF radio, voltage under load on 24 Jan; above 50 % again by`, lines[2])
	assert.Contains(t, b.String(), "What would explain the readings by itself")
	assert.Contains(t, b.String(), "judged without that goal")
	n.Unlike = false
	assert.Contains(t, report.NoonAnswer(n), "FAILS IN ALL 20 WEATHERS: HF radio")
	n.Fit.Poor = true
	assert.Contains(t, report.NoonAnswer(n), "\nWhy     DOUBTFUL, the readings fit no boat near the plan: ")
	n.Fit.Poor = false
	b.Reset()
	require.NoError(t, report.NoonJSON(&b, n))
	var x map[string]any
	require.NoError(t, json.Unmarshal(b.Bytes(), &x))
	assert.Equal(t, "below", x["side"])
	b.Reset()
	require.NoError(t, report.NoonBand(&b, n))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, []string{"band", "utc", "p10_soc", "p50_soc", "p90_soc"}, rows[0])

	// The other answers.
	n.Side = atsea.Inside
	n.Causes = nil
	assert.Contains(t, report.NoonAnswer(n), "INSIDE THE BAND")
	assert.Contains(t, report.NoonAnswer(n), "Why     nothing to explain\n")
	n.Side = atsea.Above
	n.Logged = n.Charge
	assert.Contains(t, report.NoonAnswer(n), "Why     the weather and the speed: with those of the log")
}

// TestNoonBegunLow has a boat that put to sea with less than planned: that is what
// explains the readings, and no factor of the boat.
func TestNoonBegunLow(t *testing.T) {
	n, err := atsea.NewNoon(t.Context(), loggedOf(t, `time [UTC], position, volts rested [V], cloud [oktas], speed [kn], generator [h]
2027-01-10 09:00, 16°53'N 025°00'W, 12.20, 3, 5,
2027-01-10 15:00, 16°23'N 025°02'W, 12.22, 3, 5, 0
2027-01-10 21:00, 15°53'N 025°05'W, 12.22, 3, 5, 0
2027-01-11 09:00, 14°53'N 025°12'W, 12.10, 3, 5, 0
`), atsea.NoonOptions{Members: 5, Seed: 1})
	require.NoError(t, err)
	assert.Regexp(t, `\nWhy     .* the boat: she began with 6\d % of charge \(± \d\), the plan with 95 %\n`, report.NoonAnswer(n))
}
