package climate

import (
	"crypto/sha256"
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"ampwake/sim/track"
	"ampwake/sim/units"
)

// The mixture of the slow and the fast series forgets as fast as the reference
// asks at each latitude: exact autocorrelation of the mixture, 1/e time within
// 1 % of tau (ours; the reference allows 12 % in a sampled series).
func TestMixtureForgets(t *testing.T) {
	assert.InDelta(t, math.Exp(-1.0/42), keepSlow, 1e-15)
	assert.InDelta(t, math.Exp(-1.0/20), keepFast, 1e-15)
	assert.InDelta(t, math.Exp(-1.0/12), keepCloud, 1e-15)
	assert.InDelta(t, math.Exp(-1.0/36), keepAir, 1e-15)
	rho := math.Sqrt((1-keepSlow*keepSlow)*(1-keepFast*keepFast)) / (1 - keepSlow*keepFast)
	assert.InDelta(t, rho, slowFast, 1e-15)
	for lat := -60.0; lat <= 60; lat += 0.5 {
		tau := min(max(42-1.1*(math.Abs(lat)-20), 20), 42) // section 6
		m := mix(lat)
		assert.InDelta(t, 1, m.slow*m.slow+m.fast*m.fast+2*m.slow*m.fast*rho, 1e-12, "variance")
		lags := func(h float64) float64 {
			a, b := math.Pow(keepSlow, h), math.Pow(keepFast, h)
			return m.slow*m.slow*a + m.fast*m.fast*b + m.slow*m.fast*rho*(a+b)
		}
		lo, hi := 1.0, 100.0
		for range 50 {
			if h := (lo + hi) / 2; lags(h) > 1/math.E {
				lo = h
			} else {
				hi = h
			}
		}
		assert.InEpsilon(t, tau, lo, 0.01, "latitude %g", lat)
	}
}

// Holding the weather for an hour in place of letting it run changes the scatter
// of daily means by next to nothing: exact variance of the mean over a day of a
// Gaussian of tau 12 h, running and held.
func TestHourlyHold(t *testing.T) {
	const tau, day = 12.0, 24
	running := 2 * tau / day * (1 - tau/day*(1-math.Exp(-day/tau)))
	held := 1.0
	for k := 1; k < day; k++ {
		held += 2 * (1 - float64(k)/day) * math.Exp(-float64(k)/tau)
	}
	held /= day
	t.Logf("sd of daily means: running %.5f, held %.5f", math.Sqrt(running), math.Sqrt(held))
	assert.InEpsilon(t, math.Sqrt(running), math.Sqrt(held), 0.001)
}

// sail asks a weather along a passage from 40°N 20°W southward at given minutes.
func sail(w Weather, minutes []int) []Sample {
	start := time.Date(2027, 1, 5, 10, 30, 0, 0, time.UTC)
	samples := make([]Sample, len(minutes))
	for i, m := range minutes {
		samples[i] = w.At(start.Add(time.Duration(m)*time.Minute), place(40-float64(m)*1e-3, -20-float64(m)*2e-4))
	}
	return samples
}

// What is told at an instant does not depend on which other instants were asked
// about: with any subset of the minutes of twelve days the answers are those of
// asking at every ten minutes, bit by bit.
func TestStepCutting(t *testing.T) {
	all := make([]int, 12*144)
	for i := range all {
		all[i] = 10 * i
	}
	want := sail(NewSynthetic(Ocean(), 7, 3), all)
	rapid.Check(t, func(t *rapid.T) {
		var some, at []int
		for i := 0; i < len(all); i += rapid.IntRange(1, 40).Draw(t, "skip") {
			some, at = append(some, all[i]), append(at, i)
		}
		for k, s := range sail(NewSynthetic(Ocean(), 7, 3), some) {
			if s != want[at[k]] {
				t.Fatalf("minute %d: %v, want %v", some[k], s, want[at[k]])
			}
		}
	})
}

// The same seed and member give the same bytes, on every machine: the digest was
// written down once. Another seed or member gives another weather. If this fails
// on a change of the model, say so in the commit; if it fails on another machine,
// that is a flaw.
func TestSameBytes(t *testing.T) {
	minutes := make([]int, 19*144)
	for i := range minutes {
		minutes[i] = 5 + 10*i
	}
	digest := func(seed uint64, member int) string {
		h := sha256.New()
		for _, s := range sail(NewSynthetic(Ocean(), seed, member), minutes) {
			for _, x := range []float64{float64(s.WindSpeed), float64(s.WindFrom), float64(s.Cloud), float64(s.Through), float64(s.Air), float64(s.Sea)} {
				fmt.Fprintf(h, "%016x", math.Float64bits(x))
			}
		}
		return fmt.Sprintf("%x", h.Sum(nil)[:8])
	}
	assert.Equal(t, digest(1, 0), digest(1, 0))
	assert.Equal(t, "a290752f78a98244", digest(1, 0))
	seen := map[string]bool{}
	for seed := range uint64(8) {
		for member := range 8 {
			seen[digest(seed, member)] = true
		}
	}
	assert.Len(t, seen, 64)
}

// The Gaussians of different members, seeds and purposes have nothing to do with
// each other: correlations over 20 000 independent draws stay within 4.5 standard
// errors, 45 pairs.
func TestStreamsIndependent(t *testing.T) {
	const n = 20_000
	var x [][]float64
	for seed := range uint64(2) {
		for member := range 2 {
			for _, purpose := range []string{"wind east", "cloud"} {
				p := stream(seed, member, purpose)
				z := make([]float64, n)
				for i := range z {
					z[i] = deviate(&p)
				}
				mean, sd := moments(z)
				assert.InDelta(t, 0, mean, 4.5/math.Sqrt(n))
				assert.InDelta(t, 1, sd, 4.5/math.Sqrt(2*n))
				x = append(x, z)
			}
		}
	}
	for i := range x {
		for j := range i {
			var c float64
			for k := range n {
				c += x[i][k] * x[j][k]
			}
			assert.InDelta(t, 0, c/n, 4.5/math.Sqrt(n), "%d %d", i, j)
		}
	}
}

// The weather stays within its bounds wherever the boat goes, inland and beyond
// the table too, and in 99 of 100 places the mean wind changes by less than
// 0.25 kn from one quarter-degree square to the next.
func TestSyntheticBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := NewSynthetic(Ocean(), rapid.Uint64().Draw(t, "seed"), rapid.IntRange(0, 1e6).Draw(t, "member"))
		when := time.Unix(rapid.Int64Range(-1e9, 4e9).Draw(t, "unix"), 0)
		for range 50 {
			p := place(rapid.Float64Range(-85, 85).Draw(t, "lat"), rapid.Float64Range(-180, 180).Draw(t, "lon"))
			x := s.At(when, p)
			if !(x.WindSpeed >= 0 && x.WindSpeed < 150 && x.WindFrom >= 0 && x.WindFrom < 360 && x.Cloud >= 0 && x.Cloud <= 1 &&
				x.Through >= 0.2999 && x.Through <= 1 && x.Air > -30 && x.Air < 45 && x.Sea >= -2 && x.Sea < 36) {
				t.Fatalf("%v at %v", x, p)
			}
			if e := s.Edge(when); !e.After(when) || e.Sub(when) > time.Hour || e.Unix()%3600 != 0 {
				t.Fatalf("edge of %v is %v", when, e)
			}
			when = when.Add(time.Duration(rapid.Int64Range(0, 2e13).Draw(t, "ns")))
		}
	})
	var steps []float64
	for j := range gridRows - 1 {
		for i := range gridColumns {
			for mo := range 12 {
				a, doubtA, ok1 := Ocean().month(j, i, mo)
				b, doubtB, ok2 := Ocean().month(j+1, i, mo)
				c, doubtC, ok3 := Ocean().month(j, (i+1)%gridColumns, mo)
				if ok1 && ok2 && doubtA|doubtB == 0 {
					steps = append(steps, math.Abs(a.speed-b.speed)/16*knotsPerMS)
				}
				if ok1 && ok3 && doubtA|doubtC == 0 {
					steps = append(steps, math.Abs(a.speed-c.speed)/20*knotsPerMS)
				}
			}
		}
	}
	slices.Sort(steps)
	assert.Less(t, steps[len(steps)*99/100], 0.25)
}

func TestTimeRunsForward(t *testing.T) {
	s := NewSynthetic(Ocean(), 1, 1)
	at := time.Date(2027, 3, 1, 12, 20, 0, 0, time.UTC)
	a := s.At(at, place(10, -30))
	assert.Equal(t, a, s.At(at.Add(-20*time.Minute), place(10, -30)), "the same hour")
	assert.Panics(t, func() { s.At(at.Add(-21*time.Minute), place(10, -30)) })
	assert.Equal(t, time.Date(2027, 3, 1, 13, 0, 0, 0, time.UTC), s.Edge(at))
	assert.Equal(t, time.Date(2027, 3, 1, 14, 0, 0, 0, time.UTC), s.Edge(s.Edge(at)))
}

// The average weather and the long synthetic one have the same means at one place
// and month: 20 years of hours with the calendar stopped in mid-June.
func TestSyntheticMeetsMean(t *testing.T) {
	for _, p := range []track.Position{place(15, -30), place(45, -30), place(-48, -170), place(-28, -20)} {
		when := midOf(2027, 6)
		want := NewMean(Ocean()).At(when, p)
		lat := float64(p.Lat)
		w := Ocean().Walk()
		m := w.blend(when.Unix(), lat, float64(p.Lon))
		var s spread
		s.set(m, lat)
		g := newGaussians(99, 0)
		var speed, cloud, through, air float64
		const n = 20 * 365 * 24
		for range n {
			x := s.weather(&g)
			speed, cloud, through, air = speed+float64(x.WindSpeed), cloud+float64(x.Cloud), through+float64(x.Through), air+float64(x.Air)
			g.step()
		}
		assert.InEpsilon(t, float64(want.WindSpeed), speed/n, 0.02, "%v", p)
		assert.InEpsilon(t, float64(want.Cloud), cloud/n, 0.02, "%v", p)
		assert.InEpsilon(t, float64(want.Through), through/n, 0.02, "%v", p)
		assert.InDelta(t, float64(want.Air), air/n, 0.1, "%v", p)
		assert.Equal(t, want.Sea, units.Celsius(s.sea))
	}
}
