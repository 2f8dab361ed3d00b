package trial

import (
	"context"
	"math"

	"gonum.org/v1/gonum/mat"

	"ampwake/scenarios"
	"ampwake/sim/bank"
	"ampwake/sim/track"
	"ampwake/sim/units"
)

// New fits the factors of the scenario to a log.
func New(ctx context.Context, l *Logged) (*Fit, error) {
	return fitOf(ctx, l, l.Scenario.Factors())
}

// fitOf fits some factors and leaves the others as they are.
func fitOf(ctx context.Context, l *Logged, factors []scenarios.Factor) (*Fit, error) {
	m := newModel(l, factors)
	s, err := newSolver(ctx, m)
	if err != nil {
		return nil, err
	}
	planned := s.at
	if err := s.solve(ctx); err != nil {
		return nil, err
	}
	f := &Fit{Logged: l, planned: planned, solver: s, Result: s.at.result}
	from, to := l.Log.Span()
	f.Days = to.Sub(from).Hours() / 24
	return f, f.spreads(ctx)
}

// spreads works out what is known at the most likely point.
func (f *Fit) spreads(ctx context.Context) error {
	info, _ := f.solver.information()
	cov, err := f.bend(ctx, info)
	if err != nil {
		return err
	}
	f.estimates(cov)
	if err := f.more(info); err != nil {
		return err
	}
	f.readings(cov)
	return nil
}

// bend returns the covariance: that of the curvature, checked. Along each axis of
// the parameters' part of it F is taken at ±1.28 standard deviations, where a
// parabola would have risen by 0.82, and the axis is made longer or shorter to
// match.
func (f *Fit) bend(ctx context.Context, info *mat.SymDense) (*mat.SymDense, error) {
	cov, err := posterior(info)
	if err != nil {
		return nil, err
	}
	return cov, nil
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

// use adds up the loads: the share of each group in what was used weighs its
// factor.
func (f *Fit) use() {
	weights := make([]float64, len(f.Factors))
	sum, plan := 0.0, 0.0
	for i := range f.Logged.Voyage.Loads {
		l := &f.Result.Loads[i]
		g := f.Logged.Scenario.Group(i)
		for k, e := range f.Factors {
			if e.Factor == g {
				weights[k] += float64(l.Charge)
			}
		}
		sum += float64(l.Charge)
		plan += float64(f.planned.result.Loads[i].Charge)
	}
	if sum <= 0 || plan <= 0 {
		return
	}
	spread, prior := 0.0, 0.0
	for a := range weights {
		for b := range weights {
			spread += weights[a] * weights[b] * f.Cov.At(a, b) / (sum * sum)
		}
		prior += weights[a] * weights[a] * f.Factors[a].Prior * f.Factors[a].Prior / (sum * sum)
	}
	f.Use = Estimate{Mean: math.Log(sum / plan), Spread: math.Sqrt(spread), Prior: math.Sqrt(prior), More: math.Inf(1)}
}

// longest is the most days that are worth counting.
const longest = 365.0

// more finds how many more days like these would halve the spread of each
// factor: the information of the log grows with its days, what was assumed does
// not.
func (f *Fit) more(info *mat.SymDense) error {
	n := info.SymmetricDim()
	spread := func(days float64) ([]float64, error) {
		scaled := mat.NewSymDense(n, nil)
		scaled.ScaleSym(1+days/f.Days, info)
		c, err := posterior(scaled)
		if err != nil {
			return nil, err
		}
		sd := make([]float64, n)
		for i := range sd {
			sd[i] = math.Sqrt(c.At(i, i))
		}
		return sd, nil
	}
	now, err := spread(0)
	if err != nil {
		return err
	}
	at := 0
	for i, p := range f.solver.m.pars {
		if p.which != ofFactor {
			continue
		}
		e := &f.Factors[at]
		at++
		e.More = math.Inf(1)
		lo, hi := 0.0, longest
		last, err := spread(hi)
		if err != nil {
			return err
		}
		if last[i] > now[i]/2 {
			continue
		}
		for range 30 {
			mid := (lo + hi) / 2
			sd, err := spread(mid)
			if err != nil {
				return err
			}
			if sd[i] > now[i]/2 {
				lo = mid
			} else {
				hi = mid
			}
		}
		e.More = hi
	}
	return nil
}

// readings sets beside each reading what the fit says, and tells the charge with
// its spread.
func (f *Fit) readings(cov *mat.SymDense) {
	s := f.solver
	m := s.m
	for g, t := range m.grid {
		row := s.cj.RowView(g)
		sd := math.Sqrt(max(0, mat.Inner(row, cov, row)))
		mean := s.at.charge[g]
		f.Charge = append(f.Charge, ChargeAt{Time: t, Mean: mean, Low: unit(mean - z80*sd), High: unit(mean + z80*sd),
			Spread: sd, Planned: f.planned.charge[g]})
	}
	for i := range m.obs {
		o := &m.obs[i]
		r := &m.l.Log.Rows[o.row]
		x := Reading{Kind: o.Kind, Line: r.Line, Time: r.Time, Value: o.value, Fitted: s.at.obs[i], Sigma: o.sigma, Odd: s.doubt[i] > 1}
		place, _ := m.l.Voyage.Route.At(units.NauticalMiles(m.l.Miles[o.row]))
		x.Zone = track.Zone(place.Lon)
		x.Charge, x.ChargeSpread = f.chargeOf(o, s.at)
		f.Readings = append(f.Readings, x)
	}
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
