package trial

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"ampwake/scenarios"
	"ampwake/sim"
	"ampwake/sim/units"
)

// Vary returns the voyage with a boat of its own for each member: its factors are
// drawn from what the trial left open, about those found, which the voyage has
// already. s is the scenario with the overrides of x. Member i is the same
// whatever the number of members and of workers.
func (x *File) Vary(s *scenarios.Scenario, v *sim.Voyage, seed uint64) *sim.Voyage {
	return vary(s, v, seed, x, 0)
}

// vary is Vary, with the logit of the charge at departure drawn as well, of the
// given standard deviation. x may be nil.
func vary(s *scenarios.Scenario, v *sim.Voyage, seed uint64, x *File, start float64) *sim.Voyage {
	out := *v
	out.Notes = append([]sim.Note(nil), v.Notes...)
	if x != nil {
		out.Notes = append(out.Notes, sim.Note{About: "trial", Text: x.says()})
	}
	base := *v
	base.Vary = nil
	out.Vary = func(member int) *sim.Voyage {
		dice := rand.New(stream(seed, member))
		c := scenarios.Uncorrected()
		if x != nil {
			c = x.draw(dice)
		}
		w, err := s.Corrected(&base, c)
		if err != nil {
			panic("trial: " + err.Error()) // scaled within bounds from a bank that is one
		}
		if start > 0 {
			w.Charge = units.Fraction(logistic(logit(float64(v.Charge)) + start*normal(dice)))
		}
		return w
	}
	return &out
}

// says tells of the spread in a note.
func (x *File) says() string {
	var parts []string
	for i, name := range x.Spread.Factors {
		parts = append(parts, fmt.Sprintf("%s ±%.0f %%", name, 100*z80*x.Spread.Deviations[i]))
	}
	if len(parts) == 0 {
		return "the factors found are taken for certain"
	}
	return "each weather has a boat of its own, drawn from what the trial left open: 8 in 10 within " + strings.Join(parts, ", ")
}

// draw draws the factors of one boat, relative to those found.
func (x *File) draw(dice *rand.Rand) scenarios.Corrections {
	c := scenarios.Uncorrected()
	if x.chol == nil {
		return c
	}
	z := mat.NewVecDense(len(x.of), nil)
	for i := range x.of {
		z.SetVec(i, normal(dice))
	}
	var d mat.VecDense
	d.MulVec(x.chol, z)
	for i, f := range x.of {
		c[f] = min(5, max(0.2, math.Exp(d.AtVec(i))))
	}
	return c
}

// normal draws from the normal distribution by its quantile, so that the draw
// does not depend on the version of a library.
func normal(dice *rand.Rand) float64 {
	return distuv.UnitNormal.Quantile((float64(dice.Uint64()>>11) + 0.5) / (1 << 53))
}

// stream returns the random source of one member.
func stream(seed uint64, member int) *rand.PCG {
	var b [16]byte
	binary.LittleEndian.PutUint64(b[0:], seed)
	binary.LittleEndian.PutUint64(b[8:], uint64(member))
	h := sha256.Sum256(append(b[:], "trial"...))
	return rand.NewPCG(binary.LittleEndian.Uint64(h[0:]), binary.LittleEndian.Uint64(h[8:]))
}
