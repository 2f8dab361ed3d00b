package trial

import (
	"bytes"
	"fmt"
	"math"
	"path/filepath"
	"sync"

	"gonum.org/v1/gonum/mat"

	"ampwake/scenarios"
	"ampwake/scenarios/form"
)

// File is what a trial found, as it is kept on disk: overrides that correct the
// scenario, which itself is left alone, and what the trial did not settle.
type File struct {
	Scenario string   `key:"scenario,required" doc:"the scenario that it corrects"`
	Log      string   `key:"log" doc:"the log that it was found from"`
	Days     float64  `key:"days" doc:"days of the log"`
	Poor     bool     `key:"poor" doc:"the readings fit no boat near the scenario's"`
	Set      Settings `key:"set,required" doc:"the factors found, as overrides of the scenario"`
	Spread   Spread   `key:"spread" doc:"how well they are known"`

	chol *mat.TriDense // of the covariance, in the order of Spread.Factors; nil: all is known
	of   []scenarios.Factor
}

// Settings are overrides, values by path.
type Settings map[string]string

// Spread is the joint spread of the logarithms of the factors.
type Spread struct {
	Factors      []string    `key:"factors" doc:"the order of what follows"`
	Deviations   []float64   `key:"deviations" doc:"standard deviation of the logarithm of each" min:"0" max:"3"`
	Correlations [][]float64 `key:"correlations" doc:"correlation of each with those before it and itself: 1 on the right"`
}

// File returns what the fit found, to be kept. scenario is the name of the
// scenario.
func (f *Fit) File(scenario string) *File {
	x := &File{Scenario: scenario, Log: f.Logged.Log.Name, Days: math.Round(f.Days*10) / 10, Poor: f.Poor, Set: Settings{}}
	base := f.Logged.Scenario.File.Trial.Corrections()
	for i, e := range f.Factors {
		value := min(20, max(0.05, base[e.Factor]*e.Value()))
		x.Set[e.Factor.Path()] = fmt.Sprintf("%.4f", value)
		x.Spread.Factors = append(x.Spread.Factors, e.Factor.String())
		x.Spread.Deviations = append(x.Spread.Deviations, math.Round(e.Spread*1e4)/1e4)
		row := make([]float64, i+1)
		for j := range row {
			row[j] = math.Round(f.Apart(i, j)*1e4) / 1e4
		}
		x.Spread.Correlations = append(x.Spread.Correlations, row)
	}
	if err := x.check(); err != nil {
		panic("trial: " + err.Error()) // the fit's own covariance
	}
	return x
}

// Encode returns the file as YAML that ReadFile reads.
func (x *File) Encode() []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "# What a trial sail found. The scenario itself is left alone: give this file to\n# ampwake run, odds or noon with --trial. Written by ampwake trial.\n")
	fmt.Fprintf(&b, "scenario: %q\nlog: %q\ndays: %.1f\n", x.Scenario, x.Log, x.Days)
	if x.Poor {
		fmt.Fprintf(&b, "poor: true # the readings fit no boat near the scenario's: do not trust this\n")
	}
	fmt.Fprintf(&b, "\nset: # times what the scenario says\n")
	for _, f := range x.of {
		fmt.Fprintf(&b, "  %s: %s\n", f.Path(), x.Set[f.Path()])
	}
	fmt.Fprintf(&b, "\nspread: # what is not settled: of the logarithms of these factors\n  factors: [")
	for i, f := range x.Spread.Factors {
		fmt.Fprintf(&b, "%s%s", comma(i), f)
	}
	fmt.Fprintf(&b, "]\n  deviations: [")
	for i, d := range x.Spread.Deviations {
		fmt.Fprintf(&b, "%s%.4f", comma(i), d)
	}
	fmt.Fprintf(&b, "]\n  correlations:\n")
	for _, row := range x.Spread.Correlations {
		fmt.Fprintf(&b, "    - [")
		for j, c := range row {
			fmt.Fprintf(&b, "%s%g", comma(j), c)
		}
		fmt.Fprintf(&b, "]\n")
	}
	return b.Bytes()
}

func comma(i int) string {
	if i == 0 {
		return ""
	}
	return ", "
}

// layout is the compiled form of File.
var layout = sync.OnceValue(func() *form.Form { return form.Of[File](nil) })

// ReadFile reads what a trial found. name stands in messages. The error is a
// *form.Problems with all that is wrong.
func ReadFile(name string, src []byte) (*File, error) {
	x := new(File)
	doc, err := layout().Load(name, src, nil, x)
	if err != nil {
		return nil, err
	}
	for path := range x.Set {
		if _, ok := factorAt(path); !ok {
			doc.Problem("set", "%q is no factor of a trial, like trial.panels", path)
		}
	}
	if doc.Err() == nil {
		if err := x.check(); err != nil {
			doc.Problem("spread", "%v", err)
		}
	}
	return x, doc.Err()
}

func factorAt(path string) (scenarios.Factor, bool) {
	const root = "trial."
	if len(path) <= len(root) || path[:len(root)] != root {
		return 0, false
	}
	return scenarios.FactorNamed(path[len(root):])
}

// check makes the spread ready for drawing. The error says what cannot be.
func (x *File) check() error {
	s := &x.Spread
	n := len(s.Factors)
	if len(s.Deviations) != n || len(s.Correlations) != n {
		return fmt.Errorf("%d factors, %d deviations and %d rows of correlations: want as many of each", n, len(s.Deviations), len(s.Correlations))
	}
	x.of = nil
	seen := map[string]bool{}
	for _, name := range s.Factors {
		f, ok := scenarios.FactorNamed(name)
		if !ok {
			return fmt.Errorf("%q is no factor", name)
		}
		if seen[name] {
			return fmt.Errorf("%s stands twice", name)
		}
		seen[name] = true
		x.of = append(x.of, f)
	}
	if n == 0 {
		return nil
	}
	cov := mat.NewSymDense(n, nil)
	for i, row := range s.Correlations {
		if len(row) != i+1 || row[i] != 1 {
			return fmt.Errorf("row %d of the correlations: want %d numbers, the last of them 1", i+1, i+1)
		}
		for j, c := range row {
			if !(c >= -1 && c <= 1) {
				return fmt.Errorf("row %d of the correlations: %g is not within -1 to 1", i+1, c)
			}
			if i == j {
				c += 1e-6 // rounding must not make it singular
			}
			cov.SetSym(i, j, c*s.Deviations[i]*s.Deviations[j])
		}
		if s.Deviations[i] == 0 {
			cov.SetSym(i, i, 1e-18)
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(cov) {
		return fmt.Errorf("these correlations contradict each other")
	}
	x.chol = new(mat.TriDense)
	chol.LTo(x.chol)
	return nil
}

// Doubts tells what speaks against taking the file for the scenario of a name; none
// if nothing does.
func (x *File) Doubts(scenario string) []string {
	var list []string
	if filepath.Base(scenario) != filepath.Base(x.Scenario) {
		list = append(list, fmt.Sprintf("the trial sail was that of %s: it holds here if the boat is the same", x.Scenario))
	}
	if x.Poor {
		list = append(list, "DOUBTFUL: the readings of the trial sail fitted no boat near the plan, so neither these factors nor their spread are to be trusted")
	}
	return list
}

// Overrides returns the factors found as "path=value", in their order.
func (x *File) Overrides() []string {
	var list []string
	for i := range scenarios.Factors {
		path := scenarios.Factor(i).Path()
		if v, ok := x.Set[path]; ok {
			list = append(list, path+"="+v)
		}
	}
	return list
}
