package trial

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"
)

func sample(t testing.TB, seed uint64) (*Fit, []float64, time.Duration) {
	s := open(t, "radio-cover")
	dice := rand.New(rand.NewPCG(seed, 7))
	l := readLog(t, s, days14(dice))
	m := newModel(l, s.Factors())
	sv, err := newSolver(t.Context(), m)
	if err != nil {
		t.Fatal(err)
	}
	u := make([]float64, len(m.pars))
	for i := range u {
		u[i] = dice.NormFloat64()
	}
	live(t, m, truth{u, dice})
	start := time.Now()
	f := &Fit{Logged: l, planned: sv.at, solver: sv, Days: 14}
	if err := sv.solve(t.Context()); err != nil {
		t.Fatal(err)
	}
	f.Result = sv.at.result
	if err := f.spreads(t.Context()); err != nil {
		t.Fatal(err)
	}
	return f, u, time.Since(start)
}
func TestOne(t *testing.T) {
	f, u, d := sample(t, 1)
	fmt.Println(d, f.solver.cost, len(f.Readings))
	for i, e := range f.Factors {
		lo, hi := e.Interval()
		fmt.Printf("%-16s truth %.2f  %.2f (%.2f-%.2f) prior %.2f spread %.2f %v more %.1f\n", e.Factor, math.Exp(u[i]*f.solver.m.pars[i].sd), e.Value(), lo, hi, e.Prior, e.Spread, e.Settled(), e.More)
	}
	fmt.Println(f.Start, f.StartSpread, f.Offset, f.OffsetSpread, f.Use, f.Bent)
	for _, c := range f.Charge[:0] {
		fmt.Println(c)
	}
	rms, n := f.Scatter()
	fmt.Println(rms, n)
	for _, p := range f.Confused() {
		fmt.Println(f.Factors[p[0]].Factor, f.Factors[p[1]].Factor, f.Apart(p[0], p[1]))
	}
	for i, r := range f.Readings {
		if i < 12 {
			fmt.Printf("%v %v %.2f %.3f  soc %.2f±%.2f\n", r.Time.Format("2 15"), r.Kind, r.Value, r.Fitted, r.Charge, r.ChargeSpread)
		}
	}
}
func TestCover(t *testing.T) {
	n, _ := strconv.Atoi(os.Getenv("N"))
	if n == 0 {
		t.Skip()
	}
	hit := make([]int, 12)
	var zs = make([][]float64, 12)
	var total time.Duration
	for k := range n {
		f, u, d := sample(t, uint64(k)+100)
		total += d
		for i, e := range f.Factors {
			x := u[i] * f.solver.m.pars[i].sd
			z := (x - e.Mean) / e.Spread
			zs[i] = append(zs[i], z)
			if math.Abs(z) <= z80 {
				hit[i]++
			}
		}
	}
	all := 0
	f, _, _ := sample(t, 1)
	for i, e := range f.Factors {
		all += hit[i]
		m, s := 0.0, 0.0
		for _, z := range zs[i] {
			m += z
			s += z * z
		}
		fmt.Printf("%-16s %.1f%%  mean z %.2f rms z %.2f\n", e.Factor, 100*float64(hit[i])/float64(n), m/float64(n), math.Sqrt(s/float64(n)))
	}
	fmt.Printf("all %.1f%%, %v a fit\n", 100*float64(all)/float64(n*len(f.Factors)), total/time.Duration(n))
}
