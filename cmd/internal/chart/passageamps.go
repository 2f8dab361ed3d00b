package chart

import (
	"slices"

	"ampwake/sim"
	"ampwake/sim/units"
)

// bothAmps is the share of the page for amps in and out together; neither gets
// less than leastAmps of it.
const (
	bothAmps  = 3.0 / 8
	leastAmps = 0.4
	// A pile lower than this share of its panel gets a scale of its own.
	leastPile = 0.3
	// What is spilled is cut off where it would make the pile more than
	// mostSpill times as high as what is taken or used.
	mostSpill = 2.5
	cutSpill  = 1.3 // times that is then shown
	// A load that used a smaller share than this is too thin to be seen.
	thinnest = 0.05
)

// inAndOut makes the panels of what the sources put on the bus and what the
// loads drew from it.
func (v *voyage) inAndOut() (in, out Panel) {
	out = v.stacked("Out, by load, A", v.loads())
	if len(out.Stack.Layers) == 0 {
		out.Empty = "no load used anything"
	}
	in = v.stacked("In, by source, A", v.taken())
	base := max(in.Stack.top(), out.Stack.top())
	if len(in.Stack.Layers) == 0 {
		in.Empty = "no source gave anything"
	}
	if spilled := v.sum(v.amps(v.trace.Spilled)); spilled > 0.05 {
		in.Stack.Offered = make([]float64, len(v.edges)-1)
		for _, w := range v.trace.Sources {
			for i, a := range v.amps(w) {
				in.Stack.Offered[i] += a
			}
		}
		in.About += "; line: offered; spilled " + v.amount(spilled, 0)
	}
	offered := in.Stack.top()
	if in.Stack.Offered != nil {
		offered = slices.Max(in.Stack.Offered)
	}
	in.Max, out.Max = nice(offered), nice(out.Stack.top())
	if offered > mostSpill*base && base > 0 {
		in.Max = nice(cutSpill * base)
	}
	if v.opt.TopIn > 0 {
		in.Max = float64(v.opt.TopIn)
	}
	if v.opt.TopOut > 0 {
		out.Max = float64(v.opt.TopOut)
	}
	scale(&in, &out)
	if offered > in.Max*(1+1e-9) {
		in.About += ", up to " + short(offered) + " A"
	}
	return in, out
}

// follows reports whether a source makes no more than the bus takes, so that
// nothing of it is spilled (sim.Follower). The result does not say; the kind
// does.
func follows(k Kind) bool { return k == Engine || k == Shore }

// taken returns what was taken from each source. Who offered what was spilled
// is told by no rule: it is shared in proportion to the offers, leaving out
// those that follow.
func (v *voyage) taken() []part {
	names := make([]string, len(v.res.Sources))
	following := make([]bool, len(names))
	for k, s := range v.res.Sources {
		names[k] = s.Name
		following[k] = follows(v.kind(s.Name))
	}
	steps := len(v.at) - 1
	free, rest := make([]float64, steps), make([]float64, steps) // what is left of an offer
	for i := range steps {
		var offered [2]units.Watts
		for k, w := range v.trace.Sources {
			if following[k] {
				offered[1] += w[i]
			} else {
				offered[0] += w[i]
			}
		}
		lost := v.trace.Spilled[i]
		free[i], lost = afterLoss(offered[0], lost)
		rest[i], _ = afterLoss(offered[1], lost)
	}
	paints := Paints(names, v.opt.Kinds)
	var parts []part
	for k, s := range v.res.Sources {
		share := free
		if following[k] {
			share = rest
		}
		w := make([]units.Watts, steps)
		for i := range w {
			w[i] = v.trace.Sources[k][i] * units.Watts(share[i])
		}
		values := v.amps(w)
		parts = append(parts, part{name: clean(s.Name), paint: paints[k], values: values, charge: v.sum(values), of: float64(s.Charge)})
	}
	return parts
}

// afterLoss takes lost from offered and returns the share of it that is left and
// what could not be taken.
func afterLoss(offered, lost units.Watts) (share float64, more units.Watts) {
	if offered <= 0 {
		return 1, lost
	}
	cut := min(lost, offered)
	return 1 - float64(cut/offered), lost - cut
}

// loads returns what each load used. Those that missed a slot, and those to be
// kept that are not too thin to be seen, are shown by name.
func (v *voyage) loads() []part {
	names := make([]string, len(v.res.Loads))
	total := 0.0
	for k, l := range v.res.Loads {
		names[k] = l.Name
		total += float64(l.Charge)
	}
	paints := Paints(names, v.opt.Kinds)
	var parts []part
	for k, l := range v.res.Loads {
		goal := slices.ContainsFunc(v.res.Verdict.Goals, func(g sim.GoalVerdict) bool { return g.Name == l.Name })
		named := goal && float64(l.Charge) >= thinnest*total ||
			slices.ContainsFunc(v.res.Misses, func(m sim.Miss) bool { return m.Load == k && m.Until.IsZero() })
		parts = append(parts, part{name: clean(l.Name), paint: paints[k], values: v.amps(v.trace.Loads[k]), charge: float64(l.Charge), named: named})
	}
	return parts
}

// kind returns the kind of a source or load.
func (v *voyage) kind(name string) Kind {
	if k, ok := v.opt.Kinds[name]; ok {
		return k
	}
	return KindOf(name)
}

// stacked makes a panel of parts in a pile.
func (v *voyage) stacked(title string, parts []part) Panel {
	st, parts := pile(v.edges, parts)
	p := Panel{Title: title, About: v.means, Stack: st}
	for k, at := range st.ends() {
		fill := parts[k].paint.Fill
		p.Ends = append(p.Ends, End{At: at, Label: parts[k].name, Value: v.amount(parts[k].charge, parts[k].of), Ink: parts[k].paint.Ink, Swatch: &fill})
	}
	return p
}

// scale gives both panels the same amps for a centimetre, unless one of the
// piles would be too low to read; then the titles say so.
func scale(in, out *Panel) {
	a, b := in.Max, out.Max
	share := held(a/(a+b), leastAmps, 1-leastAmps)
	in.Share, out.Share = bothAmps*share, bothAmps*(1-share)
	perShare := max(a/in.Share, b/out.Share)
	switch {
	case min(a/in.Share, b/out.Share) >= leastPile*perShare:
		in.Max, out.Max = perShare*in.Share, perShare*out.Share
		out.About += "; same scale"
	default:
		in.Share, out.Share = bothAmps/2, bothAmps/2
		if a > b {
			out.About += "; 1 A is " + short(a/b) + " times as high as above"
		} else {
			in.About += "; 1 A is " + short(b/a) + " times as high as below"
		}
	}
	common := pace(max(in.Max, out.Max), 5)
	for _, p := range []*Panel{in, out} {
		step := common
		if p.Max < 2*step {
			step = pace(p.Max, 4)
		}
		p.Ticks = ticks(0, p.Max, step)
	}
}

// amps turns the watts of each step into mean amps by bin.
func (v *voyage) amps(w []units.Watts) []float64 {
	return means(v.edges, v.at, func(i int) float64 {
		if i >= len(w) || !(v.trace.Bus[i] > 0) {
			return 0
		}
		return held(float64(w[i])/float64(v.trace.Bus[i]), 0, 1e6)
	})
}
