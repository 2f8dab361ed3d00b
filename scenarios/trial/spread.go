package trial

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"ampwake/scenarios"
	"ampwake/sim"
	"ampwake/sim/bank"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// New fits the factors of the scenario to a log.
func New(ctx context.Context, l *Logged) (*Fit, error) {
	return fitOf(ctx, l, l.Scenario.Factors(), priors)
}

// fitOf fits some factors, with the given standard deviations before, and leaves
// the others as they are.
func fitOf(ctx context.Context, l *Logged, factors []scenarios.Factor, sds [scenarios.Factors]float64) (*Fit, error) {
	s, planned, err := best(ctx, l, factors, sds)
	if err != nil {
		return nil, err
	}
	f := &Fit{Logged: l, planned: planned, solver: s, Result: s.at.result, Poor: s.poor()}
	from, to := l.Log.Span()
	f.Days = to.Sub(from).Hours() / 24
	return f, f.spreads(ctx)
}

// By how much the spread of the curvature is too narrow: the most likely point of
// parameters and deviations together is not the middle of what is left of the
// parameters when the deviations are averaged out. A voltmeter leaves more to
// average than a counter does. Measured, not derived, in 600 synthetic trials of
// which the plain 80 % intervals held the truth in 74 and 78 %; the coverage is told
// of others (see TestCoverageOfAVoltmeter).
const (
	widerVolts   = 1.16
	widerCounter = 1.05
)

// widening returns what holds for the log.
func (l *Logged) widening() float64 {
	if l.counted() {
		return widerCounter
	}
	return widerVolts
}

// spreads works out what is known at the most likely point.
func (f *Fit) spreads(ctx context.Context) error {
	s := f.solver
	info, _ := s.information()
	cov, err := posterior(info)
	if err != nil {
		return err
	}
	n := len(s.m.pars)
	checked, err := s.bend(ctx, n, info, cov)
	if err != nil {
		return err
	}
	wide, err := widened(cov.SliceSym(0, n), f.Logged.widening(), checked)
	if err != nil {
		return err
	}
	if f.Rough = runsFlat(s.at.result); f.Rough {
		for k := range s.m.pars {
			scaleRow(wide, k, max(1, roughest/math.Sqrt(wide.At(k, k))))
		}
	}
	for k, p := range s.m.pars {
		if checked[k].bent && p.which == ofFactor && wide.At(k, k) < 0.7 {
			f.Bent = append(f.Bent, p.factor)
		}
	}
	f.estimates(wide)
	if err := f.more(cov); err != nil {
		return err
	}
	return f.readings(ctx, cov)
}

// widened makes the spread wider along each axis, but nowhere wider than what was
// thought before, so that a factor of which the log tells nothing keeps its prior;
// and then as the check of the curvature says.
func widened(cov mat.Symmetric, by float64, checked []sides) (*mat.SymDense, error) {
	n := cov.SymmetricDim()
	var eigen mat.EigenSym
	if !eigen.Factorize(cov, true) {
		return nil, errCurvature
	}
	var axes mat.Dense
	eigen.VectorsTo(&axes)
	out := mat.NewSymDense(n, nil)
	for k, v := range eigen.Values(nil) {
		out.SymRankOne(out, max(v, min(1, v*by*by)), axes.ColView(k))
	}
	for i := range n {
		scaleRow(out, i, max(1, min(checked[i].stretch, 1/math.Sqrt(out.At(i, i)))))
	}
	return out, nil
}

// scaleRow multiplies a standard deviation of a covariance and leaves the
// correlations.
func scaleRow(cov *mat.SymDense, i int, by float64) {
	for j := range cov.SymmetricDim() {
		x := cov.At(i, j) * by
		if i == j {
			x *= by
		}
		cov.SetSym(i, j, x)
	}
}

// roughest is the least that is left of a spread, of that before, where the bank
// runs flat in the fit: loads that drop out and come back make F jagged, and the
// curvature of one dent of it says nothing.
const roughest = 0.5

// runsFlat reports whether loads went without for want of charge.
func runsFlat(r *sim.Result) bool {
	return r.Lowest.Charge < 0.03 || slices.ContainsFunc(r.Misses, func(m sim.Miss) bool { return m.Cause == sim.Flat })
}

// estimates turns the parameters, counted in prior standard deviations, back.
func (f *Fit) estimates(cov *mat.SymDense) {
	s := f.solver
	var index []int
	for i, p := range s.m.pars {
		sd := math.Sqrt(cov.At(i, i)) * p.sd
		switch p.which {
		case ofFactor:
			index = append(index, i)
			f.Factors = append(f.Factors, Estimate{Factor: p.factor, Mean: s.z[i] * p.sd, Spread: sd, Prior: p.sd})
		case ofStart:
			x := logit(float64(s.m.l.Voyage.Charge)) + s.z[i]*p.sd
			f.Start = logistic(x)
			f.StartSpread = sd * f.Start * (1 - f.Start)
		case ofOffset:
			f.Offset, f.OffsetSpread = units.Volts(s.z[i]*p.sd), units.Volts(sd)
		}
	}
	f.Cov = mat.NewSymDense(len(index), nil)
	for a, i := range index {
		for b := a; b < len(index); b++ {
			j := index[b]
			f.Cov.SetSym(a, b, cov.At(i, j)*s.m.pars[i].sd*s.m.pars[j].sd)
		}
	}
	f.use()
}

// weights returns the share of each factor's group in all that was used.
func (f *Fit) weights() []float64 {
	weights := make([]float64, len(f.Factors))
	sum := 0.0
	for i := range f.Logged.Voyage.Loads {
		ah := float64(f.Result.Loads[i].Charge)
		sum += ah
		for k, e := range f.Factors {
			if e.Factor == f.Logged.Scenario.Group(i) {
				weights[k] += ah
			}
		}
	}
	for k := range weights {
		weights[k] /= max(1e-9, sum)
	}
	return weights
}

// use adds up the loads.
func (f *Fit) use() {
	weights := f.weights()
	sum, plan := 0.0, 0.0
	for i := range f.Logged.Voyage.Loads {
		sum += float64(f.Result.Loads[i].Charge)
		plan += float64(f.planned.result.Loads[i].Charge)
	}
	if sum <= 0 || plan <= 0 {
		return
	}
	spread, prior := 0.0, 0.0
	for a, w := range weights {
		for b, v := range weights {
			spread += w * v * f.Cov.At(a, b)
		}
		prior += w * w * f.Factors[a].Prior * f.Factors[a].Prior
	}
	f.Use = Estimate{Mean: math.Log(sum / plan), Spread: math.Sqrt(spread), Prior: math.Sqrt(prior)}
}

// longest is the most days that are worth counting.
const longest = 365.0

// more finds how many more days like these would halve the spread of each factor
// and of the use in all: the information of the log grows with its days, what was
// thought before does not. The information about the factors is what is left of
// it when the deviations of these days, which other days do not share, are
// averaged out.
func (f *Fit) more(cov *mat.SymDense) error {
	n := len(f.solver.m.pars)
	var chol mat.Cholesky
	if !chol.Factorize(cov.SliceSym(0, n)) {
		return errCurvature
	}
	info := mat.NewSymDense(n, nil)
	if err := chol.InverseTo(info); err != nil {
		return err
	}
	for i := range n {
		info.SetSym(i, i, max(0, info.At(i, i)-1))
	}
	weights := f.weights()
	for i := range f.Factors {
		one := make([]float64, n)
		one[i] = 1 // the factors come first
		f.Factors[i].More = f.halved(info, one)
	}
	all := make([]float64, n)
	for i, w := range weights {
		all[i] = w * f.solver.m.pars[i].sd
	}
	f.Use.More = f.halved(info, all)
	return nil
}

// halved returns after how many more days the standard deviation of a sum of
// parameters is half of what it is now.
func (f *Fit) halved(info *mat.SymDense, weights []float64) float64 {
	n := info.SymmetricDim()
	w := mat.NewVecDense(n, weights)
	spread := func(days float64) float64 {
		scaled := mat.NewSymDense(n, nil)
		scaled.ScaleSym(1+days/f.Days, info)
		c, err := posterior(scaled)
		if err != nil {
			return math.Inf(1)
		}
		return math.Sqrt(mat.Inner(w, c, w))
	}
	half := spread(0) / 2
	if !(spread(longest) <= half) {
		return math.Inf(1)
	}
	lo, hi := 0.0, longest
	for range 30 {
		if mid := (lo + hi) / 2; spread(mid) > half {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}

// readings sets beside each reading what the fit says, and tells the charge with
// its spread.
func (f *Fit) readings(ctx context.Context, cov *mat.SymDense) error {
	s := f.solver
	m := s.m
	for g, t := range m.grid {
		row := s.cj.RowView(g)
		sd := math.Sqrt(max(0, mat.Inner(row, cov, row)))
		mean := s.at.charge[g]
		f.Charge = append(f.Charge, ChargeAt{
			Time: t, Mean: mean, Low: unit(mean - z80*sd), High: unit(mean + z80*sd),
			Spread: sd, Planned: f.planned.charge[g],
		})
	}
	plain, err := m.predict(ctx, s.z[:len(m.pars)])
	if err != nil {
		return err
	}
	for i := range m.obs {
		o := &m.obs[i]
		r := &m.l.Log.Rows[o.row]
		x := Reading{Kind: o.Kind, Line: r.Line, Time: r.Time, Value: o.value, Fitted: s.at.obs[i], Sigma: o.sigma, Odd: s.doubt[i] > 1}
		place, _ := m.l.Voyage.Route.At(units.NauticalMiles(m.l.Miles[o.row]))
		x.Zone = track.Zone(place.Lon)
		x.Charge, x.ChargeSpread = f.chargeOf(o, s.at)
		x.Plain, x.PlainSigma = plain.obs[i], o.sigma
		for k := len(m.pars); k < len(s.z); k++ {
			x.PlainSigma = noise(x.PlainSigma, s.j.At(i, k))
		}
		f.Readings = append(f.Readings, x)
	}
	return nil
}

// bank returns the bank as fitted.
func (f *Fit) bank() *bank.Model {
	v, _, err := f.solver.m.voyage(f.solver.z)
	if err != nil {
		panic("trial: " + err.Error()) // it has been sailed
	}
	return v.Bank
}

func unit(x float64) float64 { return min(1, max(0, x)) }

// chargeOf returns the state of charge at which a voltage would have been read,
// all else as fitted, and its standard deviation.
func (f *Fit) chargeOf(o *observation, p *prediction) (charge, spread float64) {
	if o.Kind == Counted {
		return 0, 0
	}
	r := &f.Logged.Log.Rows[o.row]
	t := newReader(p.result.Trace, f.bank())
	i, _ := t.step(r.Time)
	at := func(soc float64) float64 {
		var amps units.Amps
		if o.Kind == Loaded && r.Load != nil {
			amps = *r.Load
		}
		return t.rest(units.Fraction(soc), t.t.Sea[i], amps)
	}
	// What is not known of the current is taken from the fit.
	shift := float64(f.Offset)
	if o.Kind == Loaded && r.Load == nil {
		shift += t.bus(r.Time) - at(t.charge(r.Time))
	}
	find := func(volts float64) float64 {
		lo, hi := 0.0, 1.0
		for range 40 {
			if mid := (lo + hi) / 2; at(mid)+shift < volts {
				lo = mid
			} else {
				hi = mid
			}
		}
		return (lo + hi) / 2
	}
	charge = find(o.value)
	return charge, max(0.005, (find(o.value+o.sigma)-find(o.value-o.sigma))/2)
}
