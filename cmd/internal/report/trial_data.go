package report

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"math"
	"strconv"
	"time"

	"ampwake/scenarios/logbook"
	"ampwake/scenarios/trial"
)

// TrialSchema is the version of the JSON form of a trial; it changes when a field
// changes its name or meaning, not when one is added.
const TrialSchema = "ampwake.trial/1"

type trialJSON struct {
	Schema   string         `json:"schema"`
	Title    string         `json:"title"`
	Log      string         `json:"log"`
	Answer   string         `json:"answer"` // three lines for people
	From     string         `json:"from_utc"`
	To       string         `json:"to_utc"`
	Days     float64        `json:"days"`
	Factors  []estimateJSON `json:"factors"`
	Use      estimateJSON   `json:"use_in_all"`
	Matrix   [][]float64    `json:"correlations"` // of the logarithms, in the order of factors
	Start    float64        `json:"start_soc"`
	StartSD  float64        `json:"start_soc_sd"`
	Offset   float64        `json:"voltages_off_v"`
	OffsetSD float64        `json:"voltages_off_v_sd"`
	Poor     bool           `json:"poor"` // the readings fit no boat near that of the scenario
	Readings []readingJSON  `json:"readings"`
	Charge   []chargeJSON   `json:"charge"`
	LeftOut  []leftOutJSON  `json:"left_out"`
	Warnings []string       `json:"warnings"`
	Notes    []string       `json:"notes"`
}

// estimateJSON is a factor on what the scenario says; its logarithm is normal with
// the standard deviation log_sd.
type estimateJSON struct {
	Name    string  `json:"name"`
	Value   float64 `json:"value"`
	Low     float64 `json:"low80"`
	High    float64 `json:"high80"`
	LogSD   float64 `json:"log_sd"`
	Before  float64 `json:"log_sd_before"`
	Settled string  `json:"settled"`
	// More is how many more days like these would halve the spread; null if none
	// would.
	More *float64 `json:"days_to_halve"`
}

type readingJSON struct {
	Line   int     `json:"line"`
	Time   string  `json:"utc"`
	Kind   string  `json:"kind"`
	Value  float64 `json:"value"` // V or Ah
	Fitted float64 `json:"fitted"`
	Sigma  float64 `json:"sigma"`
	SoC    float64 `json:"soc_by_itself"`
	SoCSD  float64 `json:"soc_by_itself_sd"`
	Odd    bool    `json:"counts_less"`
}

type chargeJSON struct {
	Time    string  `json:"utc"`
	SoC     float64 `json:"soc"`
	Low     float64 `json:"low80"`
	High    float64 `json:"high80"`
	Planned float64 `json:"as_planned"`
}

type leftOutJSON struct {
	Line   int    `json:"line"`
	Column string `json:"column,omitempty"`
	Why    string `json:"why"`
}

func estimateData(name string, e trial.Estimate) estimateJSON {
	low, high := e.Interval()
	x := estimateJSON{Name: name, Value: e.Value(), Low: low, High: high, LogSD: e.Spread, Before: e.Prior, Settled: e.Settled().String()}
	if !math.IsInf(e.More, 0) {
		x.More = &e.More
	}
	return x
}

func leftOut(problems []logbook.Problem) []leftOutJSON {
	list := []leftOutJSON{}
	for _, p := range problems {
		list = append(list, leftOutJSON{p.Line, p.Column, p.Text})
	}
	return list
}

// TrialJSON writes a trial for programs.
func TrialJSON(w io.Writer, f *trial.Fit) error {
	from, to := f.Logged.Log.Span()
	x := trialJSON{
		Schema: TrialSchema, Title: f.Logged.Scenario.File.Title, Log: f.Logged.Log.Name, Answer: TrialAnswer(f),
		From: from.Format(time.RFC3339), To: to.Format(time.RFC3339), Days: f.Days, Poor: f.Poor, Use: estimateData("use in all", f.Use),
		Start: f.Start, StartSD: f.StartSpread, Offset: float64(f.Offset), OffsetSD: float64(f.OffsetSpread),
		LeftOut: leftOut(f.Logged.Log.Problems), Warnings: orNone(f.Logged.Warnings), Notes: orNone(f.Logged.Notes),
	}
	for i, e := range f.Factors {
		x.Factors = append(x.Factors, estimateData(e.Factor.String(), e))
		row := make([]float64, len(f.Factors))
		for j := range row {
			row[j] = f.Apart(i, j)
		}
		x.Matrix = append(x.Matrix, row)
	}
	for _, r := range f.Readings {
		x.Readings = append(x.Readings, readingJSON{
			Line: r.Line, Time: r.Time.Format(time.RFC3339), Kind: r.Kind.String(),
			Value: r.Value, Fitted: r.Fitted, Sigma: r.Sigma, SoC: r.Charge, SoCSD: r.ChargeSpread, Odd: r.Odd,
		})
	}
	for _, c := range f.Charge {
		x.Charge = append(x.Charge, chargeJSON{c.Time.Format(time.RFC3339), c.Mean, c.Low, c.High, c.Planned})
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", " ")
	return enc.Encode(x)
}

func orNone(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}

// TrialFactors writes a row of CSV for each factor.
func TrialFactors(w io.Writer, f *trial.Fit) error {
	c := csv.NewWriter(w)
	rows := [][]string{{"factor", "value", "low80", "high80", "log_sd", "log_sd_before", "settled", "days_to_halve"}}
	row := func(name string, e trial.Estimate) {
		low, high := e.Interval()
		more := ""
		if !math.IsInf(e.More, 0) {
			more = decimals(e.More, 1)
		}
		rows = append(rows, []string{name, decimals(e.Value(), 4), decimals(low, 4), decimals(high, 4), decimals(e.Spread, 4), decimals(e.Prior, 4), e.Settled().String(), more})
	}
	for _, e := range f.Factors {
		row(e.Factor.String(), e)
	}
	row("use in all", f.Use)
	return c.WriteAll(rows)
}

// TrialReadings writes a row of CSV for each reading beside the fit.
func TrialReadings(w io.Writer, f *trial.Fit) error {
	c := csv.NewWriter(w)
	rows := [][]string{{"line", "utc", "kind", "value", "fitted", "residual", "sigma", "soc_by_itself", "counts_less"}}
	for _, r := range f.Readings {
		soc := ""
		if r.Kind != trial.Counted {
			soc = decimals(r.Charge, 3)
		}
		rows = append(rows, []string{
			strconv.Itoa(r.Line), r.Time.Format(time.RFC3339), r.Kind.String(), decimals(r.Value, 2),
			decimals(r.Fitted, 3), decimals(r.Value-r.Fitted, 3), decimals(r.Sigma, 3), soc, strconv.FormatBool(r.Odd),
		})
	}
	return c.WriteAll(rows)
}

func decimals(x float64, n int) string { return strconv.FormatFloat(x, 'f', n, 64) }
