package trial

import (
	"context"
	"math"
	"runtime"
	"sort"
	"time"

	"golang.org/x/sync/errgroup"

	"ampwake/scenarios"
	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/units"
)

// parameter is one thing that the fit moves. Inside, each is counted in standard
// deviations of its prior.
type parameter struct {
	factor scenarios.Factor
	which  which
	sd     float64
}

// which is what a parameter is.
type which uint8

const (
	ofFactor which = iota
	ofStart        // state of charge at the first row
	ofOffset       // error shared by all voltages
)

// model predicts what the log reads.
type model struct {
	l    *Logged
	pars []parameter
	obs  []observation
	// grid is when the charge is told: every hour or so, and at each row.
	grid []time.Time
	// periods are those that may deviate from the log.
	periods []period
	// uneven multiplies what the periods may deviate by: see solver.scale.
	uneven float64
}

// prediction is what the model says.
type prediction struct {
	obs    []float64
	charge []float64 // on the grid
	result *sim.Result
}

// newModel readies the model of a logged voyage for some factors.
func newModel(l *Logged, factors []scenarios.Factor, sds [scenarios.Factors]float64) *model {
	m := &model{l: l, uneven: 1}
	for _, f := range factors {
		m.pars = append(m.pars, parameter{factor: f, sd: sds[f]})
	}
	m.pars = append(m.pars, parameter{which: ofStart, sd: startSpread}, parameter{which: ofOffset, sd: offsetSpread})
	m.makeGrid()
	m.cut()
	return m
}

// mostPoints is how many moments the charge is told at, about.
const mostPoints = 600

func (m *model) makeGrid() {
	rows := m.l.Log.Rows
	from, to := m.l.Log.Span()
	step := time.Hour
	for to.Sub(from)/step > mostPoints {
		step += time.Hour
	}
	for i := range rows {
		m.grid = append(m.grid, rows[i].Time)
	}
	for t := from.Truncate(time.Hour).Add(time.Hour); t.Before(to); t = t.Add(step) {
		m.grid = append(m.grid, t)
	}
	sort.Slice(m.grid, func(i, j int) bool { return m.grid[i].Before(m.grid[j]) })
	kept := m.grid[:1]
	for _, t := range m.grid[1:] {
		if t.After(kept[len(kept)-1]) {
			kept = append(kept, t)
		}
	}
	m.grid = kept
}

// voyage returns the voyage at a point: of the parameters and, if there are more
// numbers than these, of the deviations of the periods.
func (m *model) voyage(u []float64) (v *sim.Voyage, offset float64, err error) {
	c := scenarios.Uncorrected()
	charge := m.l.Voyage.Charge
	for i, p := range m.pars {
		x := u[i] * p.sd
		switch p.which {
		case ofFactor:
			c[p.factor] = math.Exp(x)
		case ofStart:
			charge = units.Fraction(logistic(logit(float64(charge)) + x))
		case ofOffset:
			offset = x
		}
	}
	v, err = m.l.Scenario.Corrected(m.l.Voyage, c)
	if err != nil {
		return nil, 0, err
	}
	v.Charge = charge
	if w := u[len(m.pars):]; len(w) > 0 {
		d := &deviations{periods: m.periods, amps: make([]units.Amps, len(w))}
		for i, x := range w {
			d.amps[i] = units.Amps(x) * m.periods[i].amps
		}
		v.Loads = append(v.Loads, sim.Fixed{Load: d})
	}
	return v, offset, nil
}

// logit of a state of charge; a full or an empty bank counts as nearly so.
func logit(x float64) float64 {
	x = min(0.99, max(0.01, x))
	return math.Log(x / (1 - x))
}

func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

// predict sails the voyage at a point of the parameters and, if there are more
// numbers than these, of the deviations of the periods.
func (m *model) predict(ctx context.Context, z []float64) (*prediction, error) {
	v, offset, err := m.voyage(z)
	if err != nil {
		return nil, err
	}
	res, err := v.Sail(ctx, sim.Options{Trace: true})
	if err != nil {
		return nil, err
	}
	p := &prediction{result: res, obs: make([]float64, len(m.obs)), charge: make([]float64, len(m.grid))}
	t := newReader(res.Trace, v.Bank)
	for i, at := range m.grid {
		p.charge[i] = t.charge(at)
	}
	for i := range m.obs {
		p.obs[i] = m.obs[i].predict(t, m.l.Log.Rows)
		if m.obs[i].Kind != Counted {
			p.obs[i] += offset
		}
	}
	return p, nil
}

// predictAll sails several voyages at once; the order of the predictions is
// theirs. They come without the result of the voyage.
func (m *model) predictAll(ctx context.Context, zs [][]float64) ([]*prediction, error) {
	out := make([]*prediction, len(zs))
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(runtime.GOMAXPROCS(0))
	for i, z := range zs {
		group.Go(func() (err error) {
			if out[i], err = m.predict(ctx, z); err == nil {
				out[i].result = nil // the traces of a hundred voyages are large
			}
			return err
		})
	}
	return out, group.Wait()
}

// reader reads a trace at given moments.
type reader struct {
	t     *sim.Trace
	bank  *bank.Model
	drawn []float64 // Ah out of the terminals since the beginning, at each entry
}

func newReader(t *sim.Trace, b *bank.Model) *reader {
	r := &reader{t: t, bank: b, drawn: make([]float64, len(t.Time))}
	for i := 1; i < len(t.Time); i++ {
		h := t.Time[i].Sub(t.Time[i-1]).Hours()
		r.drawn[i] = r.drawn[i-1] + float64(float64(t.Battery[i-1])*h)
	}
	return r
}

// step returns the step under way at a moment and the share of it that is over.
func (r *reader) step(at time.Time) (i int, share float64) {
	n := len(r.t.Time)
	i = sort.Search(n, func(i int) bool { return r.t.Time[i].After(at) }) - 1
	if i < 0 {
		return 0, 0
	}
	if i >= n-1 {
		return n - 1, 0
	}
	return i, float64(at.Sub(r.t.Time[i])) / float64(r.t.Time[i+1].Sub(r.t.Time[i]))
}

// between reads a column that runs straight from entry to entry.
func between[Q ~float64](column []Q, i int, share float64) float64 {
	x := float64(column[i])
	if share > 0 {
		x += share * (float64(column[i+1]) - x)
	}
	return x
}

func (r *reader) charge(at time.Time) float64 {
	i, share := r.step(at)
	return between(r.t.Charge, i, share)
}

// current returns the mean current out of the bank over the time before a moment.
func (r *reader) current(at time.Time, over time.Duration) float64 {
	i, share := r.step(at)
	j, part := r.step(at.Add(-over))
	return (between(r.drawn, i, share) - between(r.drawn, j, part)) / over.Hours()
}

// volts returns the terminal voltage with a current out of the bank and nothing
// else.
func (r *reader) volts(at time.Time, amps units.Amps) float64 {
	i, share := r.step(at)
	return r.rest(units.Fraction(between(r.t.Charge, i, share)), r.t.Sea[i], amps)
}

// rest returns the terminal voltage at a state of charge with a current out of
// the bank and nothing else.
func (r *reader) rest(charge units.Fraction, sea units.Celsius, amps units.Amps) float64 {
	s := r.bank.Start(charge, sea)
	return float64(r.bank.Look(&s, bank.Node{Current: amps, Temp: sea}).Volts)
}

// bus returns the bus voltage of the step before a moment.
func (r *reader) bus(at time.Time) float64 {
	i, share := r.step(at)
	if share == 0 && i > 0 {
		i--
	}
	return float64(r.t.Bus[i])
}
