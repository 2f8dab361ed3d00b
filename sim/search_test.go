package sim_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim"
)

// anyBox draws a box of up to four axes, some of which do not rise, with or
// without costs: rising with size or drawn from a few values so that many tie.
func anyBox(t *rapid.T) *sim.Box {
	b := &sim.Box{}
	for range rapid.IntRange(1, 4).Draw(t, "axes") {
		b.Axes = append(b.Axes, sim.Axis{Len: rapid.IntRange(1, 7).Draw(t, "values"), Rises: rapid.IntRange(0, 3).Draw(t, "rises") > 0})
	}
	n := b.Len()
	switch rapid.IntRange(0, 2).Draw(t, "cost") {
	case 1:
		b.Cost = rapid.SliceOfN(rapid.Float64Range(0, 3), n, n).Draw(t, "costs")
		for i := range b.Cost {
			b.Cost[i] = math.Round(b.Cost[i])
		}
	case 2:
		each := rapid.SliceOfN(rapid.IntRange(0, 9), len(b.Axes), len(b.Axes)).Draw(t, "weights")
		for i := range n {
			sum := 0
			for k, x := range b.Point(i) {
				sum += each[k] * x
			}
			b.Cost = append(b.Cost, float64(sum))
		}
	}
	return b
}

// anyTable draws which kits of the box reach the goal: those over one of a few
// corners, so that no step up a rising axis makes a kit worse.
func anyTable(t *rapid.T, b *sim.Box) []bool {
	reach := make([]bool, b.Len())
	for _, corner := range rapid.SliceOfN(rapid.IntRange(0, b.Len()-1), 0, 8).Draw(t, "corners") {
		for i := range reach {
			reach[i] = reach[i] || b.Under(corner, i)
		}
	}
	return reach
}

// Smallest finds what trying every kit finds, asks of none twice, and of no more
// than it states.
func TestSmallestAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := anyBox(t)
		reach := anyTable(t, b)
		want := -1
		for _, i := range b.Order() {
			if reach[i] {
				want = i
				break
			}
		}
		asked := map[int]bool{}
		got, err := b.Smallest(func(kit int) (bool, error) {
			require.False(t, asked[kit], "kit %d is asked twice", kit)
			for j := range asked {
				if reach[j] {
					continue
				}
				require.False(t, b.Under(kit, j), "kit %d follows from kit %d", kit, j)
			}
			asked[kit] = true
			return reach[kit], nil
		})
		require.NoError(t, err)
		require.Equal(t, want, got)
		require.LessOrEqual(t, len(asked), b.Bound())
		// The proof: the kit itself was asked, and over each smaller one a kit
		// that fails.
		for _, i := range b.Order() {
			if i == want {
				require.True(t, asked[i])
				break
			}
			proved := false
			for j := range asked {
				proved = proved || !reach[j] && b.Under(i, j)
			}
			require.True(t, proved, "kit %d is taken to fail without a reason", i)
		}
		// What is known beforehand is not asked again, and changes no answer.
		var known []sim.Answer
		for kit := range reach {
			if rapid.IntRange(0, 9).Draw(t, "known") == 0 {
				known = append(known, sim.Answer{Kit: kit, Reaches: reach[kit]})
			}
		}
		again, err := b.Smallest(func(kit int) (bool, error) {
			for _, a := range known {
				require.NotEqual(t, a.Kit, kit)
			}
			return reach[kit], nil
		}, known...)
		require.NoError(t, err)
		require.Equal(t, want, again)
	})
}

// One axis that rises is bisected.
func TestSmallestBisects(t *testing.T) {
	for n := 1; n <= 70; n++ {
		b := &sim.Box{Axes: []sim.Axis{{Len: n, Rises: true}}}
		most := int(math.Ceil(math.Log2(float64(n + 1))))
		require.Equal(t, most, b.Bound(), "%d kits", n)
		for from := range n + 1 {
			asked := 0
			got, err := b.Smallest(func(kit int) (bool, error) { asked++; return kit >= from, nil })
			require.NoError(t, err)
			want := from
			if from == n {
				want = -1
			}
			require.Equal(t, want, got)
			require.LessOrEqual(t, asked, most)
		}
	}
}

// Two axes that rise, every border between kits that reach and kits that do not:
// a staircase of ten by four is walked in far fewer than the 40 kits.
func TestSmallestStaircase(t *testing.T) {
	b := &sim.Box{Axes: []sim.Axis{{Len: 10, Rises: true}, {Len: 4, Rises: true}}}
	for i := range b.Len() {
		p := b.Point(i)
		b.Cost = append(b.Cost, 12*float64(p[0])+17*float64(p[1]))
	}
	require.Equal(t, 17, b.Bound())
	worst, sum, n := 0, 0, 0
	for a := range 11 {
		for c := range a + 1 {
			for d := range c + 1 {
				for e := range d + 1 {
					need := []int{a, c, d, e} // steps of the first axis wanted at each of the second
					asked := 0
					best, err := b.Smallest(func(kit int) (bool, error) {
						asked++
						p := b.Point(kit)
						return p[0] >= need[p[1]], nil
					})
					require.NoError(t, err)
					if best >= 0 {
						p := b.Point(best)
						require.GreaterOrEqual(t, p[0], need[p[1]])
					}
					worst, sum, n = max(worst, asked), sum+asked, n+1
				}
			}
		}
	}
	assert.LessOrEqual(t, worst, 9)
	assert.Less(t, float64(sum)/float64(n), 7.0)
}

// Without costs the first axis matters most, then the second.
func TestSmallestByOrder(t *testing.T) {
	b := &sim.Box{Axes: []sim.Axis{{Len: 3, Rises: true}, {Len: 3, Rises: true}}}
	best, err := b.Smallest(func(kit int) (bool, error) { p := b.Point(kit); return p[0]+p[1] >= 3, nil })
	require.NoError(t, err)
	require.Equal(t, []int{1, 2}, b.Point(best))
}

// An axis that does not rise is tried value by value.
func TestSmallestOfWhatDoesNotRise(t *testing.T) {
	b := &sim.Box{Axes: []sim.Axis{{Len: 5}}}
	require.Equal(t, 5, b.Bound())
	best, err := b.Smallest(func(kit int) (bool, error) { return kit == 1, nil })
	require.NoError(t, err)
	require.Equal(t, 1, best)
}

func TestSmallestStopsAtAnError(t *testing.T) {
	b := &sim.Box{Axes: []sim.Axis{{Len: 9, Rises: true}}}
	broken := errors.New("broken")
	asked := 0
	_, err := b.Smallest(func(int) (bool, error) { asked++; return false, broken })
	require.ErrorIs(t, err, broken)
	require.Equal(t, 1, asked)
}

func TestBoxIsWhole(t *testing.T) {
	require.Panics(t, func() { (&sim.Box{Axes: []sim.Axis{{}}}).Len() })
	require.Panics(t, func() { (&sim.Box{Axes: []sim.Axis{{Len: 2}}, Cost: []float64{1}}).Order() })
}
