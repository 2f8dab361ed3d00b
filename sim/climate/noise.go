package climate

import (
	"crypto/sha256"
	"encoding/binary"
	"math"
	"math/rand/v2"
)

// What one hour leaves of each Gaussian: exp(-1 h/tau). The wind lasts tau = 42 h
// at low and 20 h at high latitudes (buoys of the equatorial Pacific; buoy 44005
// at 43°N), cloud 12 h (hourly sky cover at 55°N and near Copenhagen; assumed in
// the trades), the air's departure from its mean 36 h.
const (
	keepSlow  = 0.9764716866522433 // exp(-1/42)
	keepFast  = 0.951229424500714  // exp(-1/20)
	keepCloud = 0.9200444146293233 // exp(-1/12)
	keepAir   = 0.9726044771163483 // exp(-1/36)
)

// slowFast is the correlation of the slow and the fast Gaussian of one wind
// component, which share their innovations: sqrt((1-a²)(1-b²))/(1-ab).
const slowFast = 0.9349542460128965

// stream returns the random numbers of one purpose of one member of a seeded
// set. They depend on these three alone. Neighbouring seeds are made unlike by
// SHA-256.
func stream(seed uint64, member int, purpose string) rand.PCG {
	b := make([]byte, 16, 48)
	binary.BigEndian.PutUint64(b, seed)
	binary.BigEndian.PutUint64(b[8:], uint64(member))
	h := sha256.Sum256(append(b, purpose...))
	return *rand.NewPCG(binary.BigEndian.Uint64(h[:]), binary.BigEndian.Uint64(h[8:]))
}

// deviate draws a standard normal number by inverse transform: it lasts as long
// as the specified output of PCG does.
func deviate(p *rand.PCG) float64 {
	return quantile((float64(p.Uint64()>>11) + 0.5) / (1 << 53))
}

// gaussian is a stationary first-order autoregressive standard normal series.
type gaussian struct {
	z, keep, gain float64
	numbers       rand.PCG
}

func newGaussian(keep float64, numbers rand.PCG) gaussian {
	g := gaussian{keep: keep, gain: math.Sqrt(1 - float64(keep*keep)), numbers: numbers}
	g.z = deviate(&g.numbers)
	return g
}

func (g *gaussian) step() {
	g.z = float64(g.keep*g.z) + float64(g.gain*deviate(&g.numbers))
}

// breeze is one component of the wind: a slow and a fast standard normal series
// with the same innovations. How long the wind lasts depends on the latitude,
// but where the boat is asked about depends on how a simulation cuts its steps;
// so both series run by the clock alone and the latitude only mixes them.
type breeze struct {
	slow, fast         float64
	slowGain, fastGain float64
	numbers            rand.PCG
}

func newBreeze(numbers rand.PCG) breeze {
	b := breeze{
		slowGain: math.Sqrt(1 - float64(keepSlow*keepSlow)),
		fastGain: math.Sqrt(1 - float64(keepFast*keepFast)),
		numbers:  numbers,
	}
	b.slow = deviate(&b.numbers)
	b.fast = float64(slowFast*b.slow) + float64(math.Sqrt(1-float64(slowFast*slowFast))*deviate(&b.numbers))
	return b
}

func (b *breeze) step() {
	e := deviate(&b.numbers)
	b.slow = float64(keepSlow*b.slow) + float64(b.slowGain*e)
	b.fast = float64(keepFast*b.fast) + float64(b.fastGain*e)
}

// mixture holds the weights of the slow and the fast series.
type mixture struct{ slow, fast float64 }

// mix returns the weights for a latitude: tau 42 h up to 20°, 20 h from 40° on,
// linear between. The sum is standard normal, and its correlation falls to 1/e
// within 0.4 % of tau.
func mix(latitude float64) mixture { return mixFor(1 - ramp(latitude, 20, 40)) }

// mixFor returns the weights for tau = 20 h + 22 h x, x in [0, 1].
func mixFor(x float64) mixture {
	slow := x + float64(x*(1-x)*(0.59-float64(0.48*x))) // fitted to exact mixtures
	fast := 1 - slow
	norm := math.Sqrt(float64(slow*slow) + float64(fast*fast) + float64(2*slow*fast*slowFast))
	return mixture{slow / norm, fast / norm}
}

func (m mixture) of(b *breeze) float64 {
	return float64(m.slow*b.slow) + float64(m.fast*b.fast)
}

// gaussians is the hidden state of a synthetic weather.
type gaussians struct {
	east, north breeze
	cloud, air  gaussian
}

func newGaussians(seed uint64, member int) gaussians {
	return gaussians{
		east:  newBreeze(stream(seed, member, "wind east")),
		north: newBreeze(stream(seed, member, "wind north")),
		cloud: newGaussian(keepCloud, stream(seed, member, "cloud")),
		air:   newGaussian(keepAir, stream(seed, member, "air")),
	}
}

// step goes on by one hour.
func (g *gaussians) step() {
	g.east.step()
	g.north.step()
	g.cloud.step()
	g.air.step()
}
