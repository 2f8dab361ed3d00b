package chart

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"
)

// compareOf makes a comparison of kits over so many days: each has more to spare
// than the one before, and the last one is a day longer under way.
func compareOf(kits, days int) CompareInput {
	in := CompareInput{
		Title: "Horta to Bermuda in the spring, three banks", About: "lowest of each UTC day, 300 weathers: band 8 in 10, line the median", Caption: "ampwake 0.1",
		Facts: []string{"TWO BATTERIES is the lightest kit that holds in 95 of 100 weathers", "Against one battery it holds in 86 more of 100 weathers (82 to 90)"},
	}
	names := []string{"one battery", "two batteries", "four batteries", "two batteries and the old panel from the garage roof, on the pushpit"}
	for k := range kits {
		b := KitBand{Name: names[k%len(names)], Says: fmt.Sprintf("holds in %d of 100", min(100, 12+40*k)), Floor: 0.5, Best: k == 1}
		n := days
		if k == kits-1 {
			n++
		}
		for i := range n {
			mid := 0.9 - 0.5*math.Pow(0.6, float64(k))*float64(i)/float64(days) + 0.05*math.Sin(float64(i))
			b.Days = append(b.Days, time.Date(2027, 4, 20+i, 0, 0, 0, 0, time.UTC))
			b.P10, b.P50, b.P90 = append(b.P10, mid-0.15), append(b.P50, mid), append(b.P90, mid+0.12)
		}
		in.Kits = append(in.Kits, b)
	}
	return in
}

// comparisons are those that must draw.
func comparisons() map[string]laidOut {
	out := map[string]laidOut{}
	for _, n := range []int{1, 2, 3, 4, 5, 8, 12, 20} {
		out[fmt.Sprintf("compare of %d", n)] = NewCompared(compareOf(n, 26))
	}
	out["compare of a day"] = NewCompared(compareOf(3, 1))
	out["compare of 200 days"] = NewCompared(compareOf(6, 200))
	bare := compareOf(3, 9)
	for i := range bare.Kits {
		bare.Kits[i].Floor, bare.Kits[i].Best = 0, false
	}
	bare.Title, bare.Facts = "", nil
	out["bare compare"] = NewCompared(bare)
	odd := compareOf(2, 9)
	odd.Kits[0].Name, odd.Kits[0].Says, odd.Kits[0].Floor = strings.Repeat("long & <odd> ", 20), strings.Repeat("as long ", 20), 0.02
	out["odd compare"] = NewCompared(odd)
	return out
}

func TestComparedModel(t *testing.T) {
	in := compareOf(3, 26)
	c := NewCompared(in)
	require.Len(t, c.Panels, 3)
	require.Equal(t, 3, c.Columns)
	require.Equal(t, in.Kits[0].Days[0], c.From)
	require.Equal(t, in.Kits[2].Days[26].Add(24*time.Hour), c.To, "one scale, as long as the longest")
	for i, p := range c.Panels {
		require.Equal(t, []float64{0, 100}, []float64{p.Min, p.Max})
		require.Equal(t, in.Kits[i].Name, p.Title)
		require.Equal(t, in.Kits[i].Says, p.About)
		require.Equal(t, 50.0, p.Levels[0].At)
		require.Equal(t, i == 1, p.Best)
		require.InDelta(t, 100*in.Kits[i].P50[3], p.Lines[0].Y[4], 1e-12)
	}
	require.Equal(t, "12 panels", fmt.Sprint(len(NewCompared(compareOf(20, 5)).Panels), " panels"))
	require.Contains(t, NewCompared(compareOf(20, 5)).Remarks[0], "8 more kits")
	require.Panics(t, func() { NewCompared(CompareInput{}) })
	in.Kits[1].P10 = in.Kits[1].P10[1:]
	require.Panics(t, func() { NewCompared(in) })
}

// Each kit's name and what is said of it stand in the picture once, the panels
// of a row have their data at one height and those of a column at one place.
func TestComparedLayout(t *testing.T) {
	c := NewCompared(compareOf(5, 26))
	w, h := c.Size()
	require.Equal(t, 8*vg.Inch, w)
	s := c.layout(w, h)
	seen := map[string]vg.Point{}
	for _, word := range s.words {
		if _, again := seen[word.text]; !again { // the names begin anew after four
			seen[word.text] = word.at
		}
	}
	require.Equal(t, seen["one battery"].Y, seen["two batteries"].Y)
	require.Greater(t, seen["two batteries"].X, seen["one battery"].X)
	require.Contains(t, seen, "holds in 12 of 100")
	require.Contains(t, seen, "floor 50 %")
	require.Greater(t, seen["holds in 12 of 100"].X, seen["one battery"].X)
}
